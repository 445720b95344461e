//! Kinds against exponents that these tests add up by themselves.

use proptest::prelude::*;
use setout_formula::{Formula, Texts, Type};
use setout_quantity::{Kind, Ratio};

use crate::grow::{Grower, Numbers, kind_of, spellings};
use crate::known_units;
use crate::random::Random;
use crate::tree::Language;
use crate::units::UNITS;

/// Exponents of the seven base kinds in 1296ths, so that roots of roots stay whole; or none, where
/// kinds do not go together.
type Exponents = Option<[i64; 7]>;
const ONE: i64 = 1296;

fn kind_in(text: &str) -> Result<Type, String> {
    let formula = Formula::read(text, &known_units()).0.ok_or("unreadable")?;
    let compiled = formula.compile(&[], &known_units(), &mut Texts::default());
    compiled.map(|compiled| compiled.of).map_err(|faults| faults[0].slug().to_owned())
}

fn joined(a: Exponents, b: Exponents, sign: i64) -> Exponents {
    let (a, b) = (a?, b?);
    Some(std::array::from_fn(|index| a[index] + sign * b[index]))
}

fn powered(a: Exponents, above: i64, below: i64) -> Exponents {
    a.map(|a| a.map(|power| power * above / below))
}

fn same(a: Exponents, b: Exponents) -> Exponents {
    a.filter(|_| a == b)
}

fn leaf() -> impl Strategy<Value = (String, Exponents)> {
    let unit = (0..UNITS.len(), 1..9).prop_map(|(unit, number)| {
        let unit = &UNITS[unit];
        let exponents = unit.dims.map(|power| i64::from(power) * ONE);
        (format!("{number} {}", unit.symbol), Some(exponents))
    });
    prop_oneof![4 => unit, 1 => Just(("2.5".to_owned(), Some([0; 7])))]
}

type Part = (String, Exponents);

fn of_two(which: usize, (a, of_a): Part, (b, of_b): Part) -> Part {
    match which {
        0 => (format!("({a}) * ({b})"), joined(of_a, of_b, 1)),
        1 => (format!("({a}) / ({b})"), joined(of_a, of_b, -1)),
        2 => (format!("({a}) + ({b})"), same(of_a, of_b)),
        // Written so that it fits.
        3 => (format!("({a}) - 3 * ({a})"), of_a),
        4 => (format!("min({a}, ({a}) / 2, {b})"), same(of_a, of_b)),
        5 => (format!("hypot({a}, {a})"), of_a),
        6 => (format!("if(({b}) < 2 * ({b}), {a}, abs({a}))"), of_b.and(of_a)),
        _ => (format!("({a}) * ({b}) / ({b})"), of_b.and(of_a)),
    }
}

fn of_one(which: usize, (a, of_a): Part) -> Part {
    match which {
        0 => (format!("sqrt({a})"), powered(of_a, 1, 2)),
        1 => (format!("cbrt({a})"), powered(of_a, 1, 3)),
        2 => (format!("({a})^2"), powered(of_a, 2, 1)),
        3 => (format!("({a})^-1"), powered(of_a, -1, 1)),
        4 => (format!("({a})^(3/2)"), powered(of_a, 3, 2)),
        5 => (format!("({a})^0.5"), powered(of_a, 1, 2)),
        6 => (format!("({a})^(1 - 2/3)"), powered(of_a, 1, 3)),
        7 => (format!("-({a})"), of_a),
        8 => (format!("mean({a}, {a})"), of_a),
        9 => (format!("sign({a})"), of_a.map(|_| [0; 7])),
        _ => (format!("atan2({a}, {a})"), of_a.map(|_| [0, ONE, 0, 0, 0, 0, 0])),
    }
}

fn formula() -> impl Strategy<Value = Part> {
    // Four levels, so that 1296 = 6^4 holds every root.
    leaf().prop_recursive(4, 24, 2, |inner| {
        let two = (0..8_usize, inner.clone(), inner.clone())
            .prop_map(|(which, a, b)| of_two(which, a, b));
        let one = (0..11_usize, inner).prop_map(|(which, a)| of_one(which, a));
        prop_oneof![3 => two, 2 => one]
    })
}

fn kind(exponents: [i64; 7]) -> Kind {
    let names = ["length", "angle", "mass", "time", "current", "temperature", "money"];
    names.into_iter().zip(exponents).fold(Kind::NUMBER, |kind, (name, power)| {
        let power = Ratio::new(power, ONE).unwrap();
        kind.times(Kind::of_name(name).unwrap().powered(power).unwrap()).unwrap()
    })
}

proptest! {
    #[test]
    fn kinds_are_what_the_exponents_add_up_to((text, exponents) in formula()) {
        prop_assume!(text.len() <= 4096);
        let expected = match exponents {
            Some(exponents) => Ok(Type::Quantity(kind(exponents))),
            None => Err("unit-mismatch".to_owned()),
        };
        prop_assert_eq!(kind_in(&text), expected, "{}", text);
    }
}

/// The random formulas of the other tests are grown from a kind downwards.
#[test]
fn what_was_grown_for_a_kind_has_it() {
    let (mut random, seed) = Random::seeded();
    for turn in 0..2000 {
        let dims = UNITS[random.below(UNITS.len())].dims;
        let mut grower = Grower { random: &mut random, numbers: Numbers::Usual, plain: false };
        let tree = grower.formula(|grower| grower.quantity(dims, 1 + turn % 5));
        let text = tree.written(Language::Ours, &spellings());
        let units = known_units();
        let formula = Formula::read(&text, &units).0.expect("a formula");
        let names: Vec<_> =
            crate::grow::NAMES.iter().map(|(name, dims)| (*name, kind_of(*dims), 0.0)).collect();
        let meanings = crate::meanings(&formula, &names);
        let compiled = formula.compile(&meanings, &units, &mut Texts::default());
        let of = compiled.map(|compiled| compiled.of);
        assert_eq!(of, Ok(Type::Quantity(kind_of(dims))), "seed {seed}: {text}");
    }
}
