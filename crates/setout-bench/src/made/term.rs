//! Formulas that can be written for Setout and for those it is measured against.

/// A formula over named dimensions, in mm, deg and g.
#[derive(Clone, Debug)]
pub enum Term {
    /// An amount, with the unit that Setout wants to see.
    Amount(f64, &'static str),
    /// The dimension of a table and an index in it.
    Named(usize, usize),
    /// Two joined by an operator.
    Joined(Box<Self>, Op, Box<Self>),
    /// To the second power.
    Squared(Box<Self>),
    /// A root.
    Root(Box<Self>),
    /// The sine of an angle in deg.
    Sine(Box<Self>),
    /// The larger of two.
    Larger(Box<Self>, Box<Self>),
    /// If the first is larger than the second, the third, else the fourth.
    Choice(Box<[Self; 4]>),
}

/// What joins two terms.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Op {
    /// `a + b`
    Plus,
    /// `a - b`
    Minus,
    /// `a * b`
    Times,
    /// `a / b`
    Over,
}

impl Op {
    fn sign(self) -> &'static str {
        match self {
            Self::Plus => "+",
            Self::Minus => "-",
            Self::Times => "*",
            Self::Over => "/",
        }
    }

    fn binds(self) -> u8 {
        if matches!(self, Self::Plus | Self::Minus) { 1 } else { 2 }
    }
}

/// How a language writes what is not the same in all of them.
pub trait Dialect {
    /// An amount.
    fn amount(&self, amount: f64, unit: &str) -> String;
    /// The name of a dimension.
    fn name(&self, table: usize, index: usize) -> String;
    /// A power of two of something that stands alone.
    fn squared(&self, of: &str) -> String;
    /// A root.
    fn root(&self, of: &str) -> String;
    /// The sine of an angle in deg.
    fn sine(&self, of: &str) -> String;
    /// The larger of two.
    fn larger(&self, a: &str, b: &str) -> String;
    /// `yes` if a is larger than b, else `no`.
    fn choice(&self, a: &str, b: &str, yes: &str, no: &str) -> String;
}

impl Term {
    /// The formula in a language.
    pub fn written(&self, dialect: &dyn Dialect) -> String {
        let of = |term: &Self| term.written(dialect);
        match self {
            Self::Amount(amount, unit) => dialect.amount(*amount, unit),
            Self::Named(table, index) => dialect.name(*table, *index),
            Self::Joined(a, op, b) => {
                let left = a.within(dialect, op.binds());
                let right = b.within(dialect, op.binds() + 1);
                format!("{left} {} {right}", op.sign())
            }
            Self::Squared(a) => dialect.squared(&a.within(dialect, 3)),
            Self::Root(a) => dialect.root(&of(a)),
            Self::Sine(a) => dialect.sine(&of(a)),
            Self::Larger(a, b) => dialect.larger(&of(a), &of(b)),
            Self::Choice(terms) => {
                let [a, b, yes, no] = &**terms;
                dialect.choice(&of(a), &of(b), &of(yes), &of(no))
            }
        }
    }

    /// The same with other names.
    #[must_use]
    pub fn with_names(&self, names: &dyn Fn(usize, usize) -> (usize, usize)) -> Self {
        let of = |term: &Self| Box::new(term.with_names(names));
        match self {
            Self::Amount(..) => self.clone(),
            Self::Named(table, index) => {
                let (table, index) = names(*table, *index);
                Self::Named(table, index)
            }
            Self::Joined(a, op, b) => Self::Joined(of(a), *op, of(b)),
            Self::Squared(a) => Self::Squared(of(a)),
            Self::Root(a) => Self::Root(of(a)),
            Self::Sine(a) => Self::Sine(of(a)),
            Self::Larger(a, b) => Self::Larger(of(a), of(b)),
            Self::Choice(terms) => {
                Self::Choice(Box::new(terms.each_ref().map(|term| term.with_names(names))))
            }
        }
    }

    /// In brackets where it binds more weakly than what stands about it.
    fn within(&self, dialect: &dyn Dialect, binds: u8) -> String {
        match self {
            Self::Joined(_, op, _) if op.binds() < binds => format!("({})", self.written(dialect)),
            _ => self.written(dialect),
        }
    }
}

impl std::ops::Add for Term {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::Joined(Box::new(self), Op::Plus, Box::new(other))
    }
}

impl std::ops::Sub for Term {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::Joined(Box::new(self), Op::Minus, Box::new(other))
    }
}

impl std::ops::Mul for Term {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        Self::Joined(Box::new(self), Op::Times, Box::new(other))
    }
}

impl std::ops::Div for Term {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        Self::Joined(Box::new(self), Op::Over, Box::new(other))
    }
}
