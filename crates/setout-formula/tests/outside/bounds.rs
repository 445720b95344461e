//! Bounds of a formula hold every value that it comes to, whatever its names are between theirs.

use setout_formula::{Bounds, Code, Formula, Line, Machine, Texts};
use setout_quantity::Kind;

use crate::grow::{Grower, NAMES, Numbers, kind_of, spellings};
use crate::judge::judged;
use crate::random::Random;
use crate::tree::{Language, Tree};
use crate::units::UNITS;
use crate::{Named, known_units, meanings, slots};

/// The code of a formula, unless one of its numbers is too large in its unit.
fn compiled(text: &str, names: &[Named]) -> Option<Code> {
    let (formula, faults) = Formula::read(text, &known_units());
    let too_large = faults.iter().all(|fault| fault.slug() == "too-large");
    assert!(too_large, "{text}: {faults:?}");
    let formula = formula.filter(|_| faults.is_empty())?;
    let code = formula.compile(&meanings(&formula, names), &known_units(), &mut Texts::default());
    Some(code.unwrap_or_else(|faults| panic!("{text}: {faults:?}")).code)
}

/// The bounds of a formula of `x`, `y` and `z`, which are plain numbers between theirs. `x` is the
/// unknown if that is asked for.
fn bounds(text: &str, given: [[f64; 2]; 3], of_x: bool) -> [f64; 2] {
    let names = ["x", "y", "z"].map(|name| (name, Kind::NUMBER, 0.0));
    let given = given.map(|[low, high]| Bounds { low, high });
    let slots = |slot: u32| match slot {
        0 if of_x => Line::unknown(),
        slot => Line::of(given[slot as usize]),
    };
    let found = compiled(text, &names).unwrap().line(given[0], slots).bounds(given[0]);
    [found.low, found.high]
}

const ANY: [f64; 2] = [f64::NEG_INFINITY, f64::INFINITY];

#[test]
fn bounds_follow_the_plain_operations() {
    let given = [[1.0, 2.0], [-3.0, 4.0], ANY];
    for (text, low, high) in [
        ("x + y", -2.0, 6.0),
        ("x - y", -3.0, 5.0),
        ("x * y", -6.0, 8.0),
        ("y / x", -3.0, 4.0),
        ("-x", -2.0, -1.0),
        ("abs(y)", 0.0, 4.0),
        ("y^2", 0.0, 16.0),
        ("y^3", -27.0, 64.0),
        ("x^-2", 0.25, 1.0),
        ("sqrt(x + 2)", 3f64.sqrt(), 2.0),
        ("hypot(x, y)", 1.0, 20f64.sqrt()),
        ("min(x, y, 3)", -3.0, 2.0),
        ("max(x, y)", 1.0, 4.0),
        ("clamp(y, 0, x)", 0.0, 2.0),
        ("sum(x, y, 1)", -1.0, 7.0),
        ("mean(x, y)", -1.0, 3.0),
        ("round(x / 4)", 0.0, 1.0),
        ("floor(y / 2)", -2.0, 2.0),
        ("ceil(y / 2)", -1.0, 2.0),
        // No farther than one step off, whichever way.
        ("round(x, 0.5)", 0.5, 2.5),
        ("abs(z)", 0.0, f64::INFINITY),
        ("min(z, 3)", f64::NEG_INFINITY, 3.0),
        ("0 * z", 0.0, 0.0),
    ] {
        let found = bounds(text, given, false);
        let near = |found: f64, wanted: f64| found == wanted || (found - wanted).abs() < 1e-12;
        assert!(near(found[0], low) && near(found[1], high), "{text}: {found:?}");
        assert!(found[0] <= low && found[1] >= high, "{text}: {found:?} is too narrow");
    }
}

#[test]
fn what_is_not_followed_may_be_anything() {
    let given = [[1.0, 2.0], [-3.0, 4.0], [0.1, 0.2]];
    for text in [
        "x / y",
        "x / (0 - abs(y))",
        "sin(x * 1 deg)",
        "x^z",
        "if(x > 1, 1, 2)",
        "exp(x)",
        "y^-1",
        "z + tan(x * 1 rad)",
    ] {
        assert_eq!(bounds(text, given, false), ANY, "{text}");
    }
}

/// A product that no float is lies strictly between its bounds.
#[test]
fn what_is_rounded_is_rounded_outwards() {
    let given = [[0.1, 0.1], [3.0, 3.0], [1.0, 1.0]];
    for (text, value) in
        [("x * y", 0.1 * 3.0), ("z / y", 1.0 / 3.0), ("x + y + x", 0.1 + 3.0 + 0.1)]
    {
        let [low, high] = bounds(text, given, false);
        assert!(low < value && value < high, "{text}: {low} to {high}");
    }
}

/// What is a multiple of one name keeps that in mind, so that the name can cancel.
#[test]
fn the_unknown_cancels() {
    let given = [ANY, [1.0, 2.0], [3.0, 3.0]];
    for (text, low, high) in [
        ("x - (x + 1)", -1.0, -1.0),
        ("(x + y) - x", 1.0, 2.0),
        ("2 * x - (x + x) + z", 3.0, 3.0),
        ("(x + 4) / 2 - x / 2", 2.0, 2.0),
        ("-(x - y) + x", 1.0, 2.0),
        ("sum(x, z) - x", 3.0, 3.0),
    ] {
        let found = bounds(text, given, true);
        assert!(
            (found[0] - low).abs() < 1e-12 && (found[1] - high).abs() < 1e-12,
            "{text}: {found:?}"
        );
        assert_eq!(bounds(text, given, false), ANY, "{text}");
    }
    // A slope that is only nearly nothing is not nothing.
    assert_eq!(bounds("x / 3 * 3 - x", given, true), ANY);
    assert_eq!(bounds("max(x, 1) - x", given, true), ANY);
}

/// The names of a random formula, each between bounds, some of them points and some unlimited.
fn boxes(random: &mut Random) -> Vec<Bounds> {
    let mut one = || {
        let (a, b) = (random.between(-20.0, 20.0), random.between(-20.0, 20.0));
        match random.below(8) {
            0 => Bounds { low: a, high: a },
            1 => Bounds { low: a, high: f64::INFINITY },
            2 => Bounds { low: f64::NEG_INFINITY, high: a },
            3 => Bounds { low: 0.0, high: b.abs() },
            _ => Bounds { low: a.min(b), high: a.max(b) },
        }
    };
    NAMES.iter().map(|_| one()).collect()
}

fn inside(random: &mut Random, bounds: Bounds) -> f64 {
    let (low, high) = (bounds.low.max(-1e6), bounds.high.min(1e6));
    match random.below(4) {
        0 => low,
        1 => high,
        _ => random.between(low, high),
    }
}

#[test]
fn no_value_of_a_random_formula_lies_outside() {
    let (mut random, seed) = Random::seeded();
    let (mut told, mut tried) = (0, 0);
    for turn in 0..4000 {
        let numbers = if turn % 3 == 0 { Numbers::Extreme } else { Numbers::Usual };
        let mut grower = Grower { random: &mut random, numbers, plain: false };
        let tree: Tree = grower.formula(|grower| {
            let unit = grower.random.below(UNITS.len());
            grower.quantity(UNITS[unit].dims, 1 + turn % 4)
        });
        let text = tree.written(Language::Ours, &spellings());
        let boxes = boxes(&mut random);
        let names = |values: &[f64]| -> Vec<Named> {
            let named = NAMES.iter().zip(values);
            named.map(|((name, dims), value)| (*name, kind_of(*dims), *value)).collect()
        };
        let Some(code) = compiled(&text, &names(&[0.0; NAMES.len()])) else { continue };
        let unknown = random.below(2 * NAMES.len());
        let slots_of = |slot: u32| match slot as usize {
            slot if slot == unknown => Line::unknown(),
            slot => Line::of(boxes[slot]),
        };
        let range = boxes.get(unknown).copied().unwrap_or(Bounds::ANY);
        let found = code.line(range, slots_of).bounds(range);
        assert!(!found.low.is_nan() && !found.high.is_nan(), "seed {seed}: {text}: {found:?}");
        told += usize::from(found.low.is_finite() || found.high.is_finite());
        for _ in 0..20 {
            let point: Vec<f64> = boxes.iter().map(|at| inside(&mut random, *at)).collect();
            let Ok(value) = Machine::default().run(&code, &slots(&names(&point))) else { continue };
            // A multiple of the unknown cancels by exact rules, where floats lose their last bits.
            let slack = match judged(&tree, &point) {
                _ if unknown >= NAMES.len() => 0.0,
                Ok(judged) => 1e-12 * judged.largest,
                Err(_) => continue,
            };
            assert!(
                value >= found.low - slack && value <= found.high + slack,
                "seed {seed}: {text} is {value} at {point:?}, outside of {found:?}"
            );
            tried += 1;
        }
    }
    println!("seed {seed}: {told} formulas with bounds, {tried} values within");
    assert!(told > 1000 && tried > 20_000, "{told} told, {tried} tried");
}
