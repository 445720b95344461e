//! Random formulas of a wanted kind.

use setout_quantity::Kind;

use crate::functions::function_called;
use crate::random::Random;
use crate::tree::{Language, Tree};
use crate::units::{ANGLE, Dims, LENGTH, NUMBER, UNITS, combined};

/// The names that random formulas use: how each is spelt and what it measures.
pub(crate) const NAMES: [(&str, Dims); 8] = [
    ("width", LENGTH),
    ("depth", LENGTH),
    ("jaw.opening", ANGLE),
    ("servo.load", [1, 0, 1, -2, 0, 0, 0]),
    ("supply", [2, 0, 1, -3, -1, 0, 0]),
    ("many", NUMBER),
    ("ratio", NUMBER),
    ("x_2", NUMBER),
];

/// The names' spellings.
pub(crate) fn spellings() -> Vec<&'static str> {
    NAMES.iter().map(|(name, _)| *name).collect()
}

/// The kind of powers of the base kinds.
pub(crate) fn kind_of(dims: Dims) -> Kind {
    let bases = [
        Kind::LENGTH,
        Kind::ANGLE,
        Kind::MASS,
        Kind::TIME,
        Kind::CURRENT,
        Kind::TEMPERATURE,
        Kind::MONEY,
    ];
    bases.into_iter().zip(dims).fold(Kind::NUMBER, |kind, (base, power)| {
        let power = setout_quantity::Ratio::whole(power as i16);
        kind.times(base.powered(power).unwrap()).unwrap()
    })
}

/// What numbers stand in a formula.
#[derive(Clone, Copy, PartialEq)]
pub(crate) enum Numbers {
    /// Such as people write.
    Usual,
    /// Zeros, and the ends of what floats can hold.
    Extreme,
}

/// Grows formulas.
pub(crate) struct Grower<'a> {
    pub(crate) random: &'a mut Random,
    pub(crate) numbers: Numbers,
    /// Plain numbers only, and only functions that evalexpr has too.
    pub(crate) plain: bool,
}

const EXTREMES: [f64; 14] = [
    0.0,
    0.0,
    1.0,
    5e-324,
    2.2e-308,
    1e-200,
    1e-16,
    0.5,
    90.0,
    360.0,
    1e16,
    1e200,
    1.7e308,
    f64::MAX,
];

impl Grower<'_> {
    pub(crate) fn number(&mut self) -> f64 {
        if self.numbers == Numbers::Extreme && self.random.percent(60) {
            return self.random.one_of(&EXTREMES);
        }
        match self.random.below(4) {
            0 => self.random.below(13) as f64,
            1 => (self.random.below(1000) as f64) / 10.0,
            2 => (self.random.below(100_000) as f64) / 1000.0,
            _ => self.random.between(0.0, 20.0),
        }
    }

    fn leaf(&mut self, dims: Dims) -> Tree {
        let named: Vec<_> = (0..NAMES.len()).filter(|index| NAMES[*index].1 == dims).collect();
        if !named.is_empty() && self.random.percent(40) {
            return Tree::Name(self.random.one_of(&named));
        }
        let number = self.number();
        if dims == NUMBER && (self.plain || self.random.percent(90)) {
            return Tree::Number(number, None);
        }
        let units: Vec<_> = UNITS.iter().filter(|unit| unit.dims == dims).collect();
        if units.is_empty() {
            return self.composed(dims);
        }
        Tree::Number(number, Some(self.random.one_of(&units)))
    }

    /// A quantity for which the table has no unit, as a product of powers of base units.
    fn composed(&mut self, dims: Dims) -> Tree {
        let mut tree = Tree::Number(self.number(), None);
        for (index, power) in dims.into_iter().enumerate() {
            let mut base = NUMBER;
            base[index] = 1;
            for _ in 0..power.unsigned_abs() {
                let sign = if power > 0 { "*" } else { "/" };
                tree = Tree::binary(sign, tree, self.leaf(base));
            }
        }
        tree
    }

    fn call(&mut self, name: &str, kinds: &[Dims], depth: usize) -> Tree {
        let arguments = kinds.iter().map(|dims| self.quantity(*dims, depth)).collect();
        Tree::Call(function_called(name), arguments)
    }

    /// What a quantity can be measured in beside what is wanted: something small.
    fn any_dims(&mut self) -> Dims {
        if self.plain {
            return NUMBER;
        }
        let index = self.random.below(UNITS.len());
        UNITS[index].dims
    }

    /// A formula that gives a quantity of this kind.
    pub(crate) fn quantity(&mut self, dims: Dims, depth: usize) -> Tree {
        if depth == 0 || self.random.percent(10) {
            return self.leaf(dims);
        }
        let depth = depth - 1;
        match self.random.below(10) {
            0..=2 => {
                let sign = self.random.one_of(&["+", "-"]);
                Tree::binary(sign, self.quantity(dims, depth), self.quantity(dims, depth))
            }
            3..=5 => self.product(dims, depth),
            6 => Tree::unary('-', self.quantity(dims, depth)),
            7 => {
                let condition = self.condition(None, depth);
                let (a, b) = (self.quantity(dims, depth), self.quantity(dims, depth));
                Tree::Call(function_called("if"), vec![condition, a, b])
            }
            _ => self.function(dims, depth),
        }
    }

    fn product(&mut self, dims: Dims, depth: usize) -> Tree {
        let other = if self.random.percent(50) { NUMBER } else { self.any_dims() };
        let (sign, left) = match self.random.below(2) {
            0 => ("*", combined(dims, other, |a, b| a - b)),
            _ => ("/", combined(dims, other, |a, b| a + b)),
        };
        let (left, right) = (self.quantity(left, depth), self.quantity(other, depth));
        Tree::binary(sign, left, right)
    }

    fn function(&mut self, dims: Dims, depth: usize) -> Tree {
        if dims == NUMBER && self.random.percent(60) {
            return self.number_function(depth);
        }
        if self.plain {
            let name = self.random.one_of(&["abs", "min", "max", "hypot"]);
            let count = if name == "abs" { 1 } else { 2 };
            return self.call(name, &[dims; 2][..count], depth);
        }
        match self.random.below(12) {
            0 => self.call("abs", &[dims], depth),
            1 => self.call("min", &[dims; 3], depth),
            2 => self.call("max", &[dims; 2], depth),
            3 => self.call("hypot", &[dims; 2], depth),
            4 => self.call("hypot of three", &[dims; 3], depth),
            5 => self.call("sum", &[dims; 3], depth),
            6 => self.call("mean", &[dims; 2], depth),
            7 => self.call("clamp", &[dims; 3], depth),
            8 => {
                let name = ["round to a step", "floor to a step", "ceil to a step"];
                let name = self.random.one_of(&name);
                let (x, step) = (self.quantity(dims, depth), self.leaf(dims));
                Tree::Call(function_called(name), vec![x, step])
            }
            9 if dims == LENGTH => self.call("arc_length", &[LENGTH, ANGLE], depth),
            9 | 10 if dims == ANGLE => {
                let name = self.random.one_of(&["asin", "acos", "atan", "atan2"]);
                let of = if name == "atan2" { self.any_dims() } else { NUMBER };
                let count = if name == "atan2" { 2 } else { 1 };
                self.call(name, &[of; 2][..count], depth)
            }
            10 if dims.iter().all(|power| power % 2 == 0) => {
                let two = Tree::Number(2.0, None);
                Tree::binary("^", self.quantity(dims.map(|power| power / 2), depth), two)
            }
            11 => self.call("cbrt", &[dims.map(|power| power * 3)], depth.min(1)),
            _ => self.call("sqrt", &[dims.map(|power| power * 2)], depth.min(2)),
        }
    }

    fn number_function(&mut self, depth: usize) -> Tree {
        let (plain, angle) = (
            ["round", "floor", "ceil", "sqrt", "cbrt", "exp", "ln", "log10", "sin of rad"],
            ["cos of rad", "tan of rad", "asin in rad", "acos in rad", "atan in rad"],
        );
        match self.random.below(6) {
            0 | 1 => {
                let name = self.random.one_of(&plain);
                self.call(name, &[NUMBER], depth)
            }
            2 => {
                let name = self.random.one_of(&angle);
                self.call(name, &[NUMBER], depth)
            }
            3 if !self.plain => {
                let name = self.random.one_of(&["sin", "cos", "tan"]);
                self.call(name, &[ANGLE], depth)
            }
            4 if !self.plain => {
                let of = self.any_dims();
                self.call("sign", &[of], depth)
            }
            _ => self.power(depth),
        }
    }

    fn power(&mut self, depth: usize) -> Tree {
        let exponent = match self.random.below(3) {
            0 => Tree::Number(self.random.below(5) as f64, None),
            1 => Tree::unary('-', Tree::Number(self.random.below(4) as f64, None)),
            _ => self.quantity(NUMBER, depth.min(1)),
        };
        Tree::binary("^", self.quantity(NUMBER, depth), exponent)
    }

    /// What `grow` grows, again if it is longer than a formula may be.
    pub(crate) fn formula(&mut self, mut grow: impl FnMut(&mut Self) -> Tree) -> Tree {
        loop {
            let tree = grow(self);
            if tree.written(Language::Ours, &spellings()).len() <= 4096 {
                return tree;
            }
        }
    }

    /// The text of a formula of any kind, at most so deep.
    pub(crate) fn any_text(&mut self, deepest: usize) -> String {
        let dims = UNITS[self.random.below(UNITS.len())].dims;
        let depth = 1 + self.random.below(deepest);
        let tree = self.formula(|grower| grower.quantity(dims, depth));
        tree.written(Language::Ours, &spellings())
    }

    /// A formula that is true or false. All its ordered comparisons are of the kind `of`, if one
    /// is given.
    pub(crate) fn condition(&mut self, of: Option<Dims>, depth: usize) -> Tree {
        if depth == 0 {
            return self.comparison(of, 0);
        }
        let inner = depth - 1;
        match self.random.below(10) {
            0 | 1 => Tree::binary("&&", self.condition(of, inner), self.condition(of, inner)),
            2 | 3 => Tree::binary("||", self.condition(of, inner), self.condition(of, inner)),
            4 => Tree::unary('!', self.condition(of, inner)),
            5 => {
                let parts = [None, of, of].map(|of| self.condition(of, inner));
                Tree::Call(function_called("if"), parts.into())
            }
            6 => {
                let sign = self.random.one_of(&["==", "!="]);
                Tree::binary(sign, self.condition(None, inner), self.condition(None, inner))
            }
            7 if self.random.percent(30) => Tree::Truth(self.random.percent(50)),
            _ => self.comparison(of, inner),
        }
    }

    fn comparison(&mut self, of: Option<Dims>, depth: usize) -> Tree {
        let dims = of.unwrap_or_else(|| self.any_dims());
        let (sign, dims) = match self.random.below(5) {
            0 => (self.random.one_of(&["==", "!="]), NUMBER),
            _ => (self.random.one_of(&["<", "<=", ">", ">="]), dims),
        };
        Tree::binary(sign, self.quantity(dims, depth), self.quantity(dims, depth))
    }

    /// Values for the names.
    pub(crate) fn values(&mut self) -> Vec<f64> {
        NAMES
            .iter()
            .map(|_| if self.random.percent(20) { -self.number() } else { self.number() })
            .collect()
    }
}
