//! What is said of a requirement over a box is so at the points in it.

use setout_formula::{
    Centred, Closes, Formula, Interval, Judged, Machine, Outcome, Requirement, Stop, Texts,
};
use setout_quantity::Kind;

use crate::grow::{Grower, NAMES, Numbers, kind_of, spellings};
use crate::random::Random;
use crate::tree::Language;
use crate::units::LENGTH;
use crate::{Named, known_units, meanings};

/// Margins of no more than this count as 0.
const ZERO: f64 = 1e-9;

fn requirement(text: &str, names: &[Named]) -> Option<(Requirement, Texts)> {
    let (formula, faults) = Formula::read(text, &known_units());
    let formula = formula.filter(|_| faults.is_empty())?;
    let mut texts = Texts::default();
    let found = formula.requirement(&meanings(&formula, names), &known_units(), &mut texts);
    Some((found.unwrap_or_else(|faults| panic!("{text}: {faults:?}")), texts))
}

fn judged(of: &Requirement, texts: &Texts, place: &[Interval]) -> Judged {
    let middle: Vec<f64> = place.iter().map(|side| side.middle()).collect();
    let sides = place.iter().zip(&middle);
    let away: Vec<Interval> =
        sides.map(|(side, middle)| side.minus(Interval::point(*middle))).collect();
    let slot = |slot: u32| {
        let number = slot as usize;
        Centred::variable(number, place[number], middle[number], &away)
    };
    of.judge(texts, &slot, ZERO)
}

fn at(of: &Requirement, texts: &Texts, point: &[f64]) -> Result<Outcome, Stop> {
    of.outcome(&mut Machine::with(texts), point, ZERO)
}

#[test]
fn random_requirements_are_as_they_are_judged() {
    let (mut random, seed) = Random::seeded();
    let [mut decided, mut open, mut stops, mut margins] = [0; 4];
    for _ in 0..6000 {
        let names: Vec<Named> = NAMES
            .iter()
            .map(|(name, dims)| (*name, kind_of(*dims), random.between(-8.0, 25.0)))
            .collect();
        let mut grower = Grower { random: &mut random, numbers: Numbers::Usual, plain: false };
        let depth = 1 + grower.random.below(4);
        let tree = grower.formula(|grower| grower.condition(Some(LENGTH), depth));
        let text = tree.written(Language::Ours, &spellings());
        let Some((of, texts)) = requirement(&text, &names) else { continue };
        let place: Vec<Interval> = names
            .iter()
            .map(|(.., value)| {
                let reach = random.one_of(&[0.0, 1e-6, 0.01, 0.3, 3.0]) * (value.abs() + 1.0);
                Interval::new(value - random.between(0.0, reach), value + reach)
            })
            .collect();
        let judged = judged(&of, &texts, &place);
        decided += usize::from(judged.holds.is_some());
        open += usize::from(judged.holds.is_none());
        for turn in 0..8 {
            let point: Vec<f64> = place
                .iter()
                .map(|side| match turn {
                    0 => side.low(),
                    1 => side.high(),
                    _ => random.between(side.low(), side.high()).clamp(side.low(), side.high()),
                })
                .collect();
            let told = || format!("seed {seed}: {text}\n  in {place:?} at {point:?}: {judged:?}");
            match at(&of, &texts, &point) {
                Ok(found) => {
                    let agrees = judged.holds.is_none_or(|holds| holds == found.holds);
                    assert!(agrees, "{found:?} {}", told());
                    if let (Some(margin), Some(slope)) = (found.margin, &judged.margin) {
                        margins += 1;
                        let of = slope.of.interval;
                        let room = ZERO + 1e-9 * margin.abs();
                        let lies = of.low() - room <= margin && margin <= of.high() + room;
                        assert!(lies, "{margin} {}", told());
                    }
                }
                Err(_) => {
                    stops += 1;
                    let allowed = !judged.defined || judged.closes != Closes::Everywhere;
                    assert!(allowed, "no value for {}", told());
                }
            }
        }
    }
    assert!(decided > 500 && open > 500, "{decided} and {open}");
    assert!(stops > 500 && margins > 5000, "{stops} and {margins}");
}

/// On the very end of what holds, and by the least that counts as something.
#[test]
fn ends_are_judged_as_points_are() {
    let names: [Named; 2] = [("x", Kind::LENGTH, 0.0), ("y", Kind::LENGTH, 0.0)];
    for (text, span, wanted) in [
        ("x > 0 mm", [0.0, 1.0], None),
        ("x > 0 mm", [ZERO, 1.0], None),
        ("x > 0 mm", [2.0 * ZERO, 1.0], Some(true)),
        ("x > 0 mm", [-1.0, 0.0], Some(false)),
        ("x > 0 mm", [-1.0, ZERO], Some(false)),
        ("x >= 0 mm", [0.0, 1.0], Some(true)),
        ("x >= 0 mm", [-ZERO, 1.0], Some(true)),
        ("x >= 0 mm", [-1.0, 0.0], None),
        ("x >= 0 mm", [-1.0, -ZERO], None),
        ("x >= 0 mm", [-1.0, -2.0 * ZERO], Some(false)),
        // Two arms that differ, and a condition that is not known, or not there.
        ("if(x > 0 mm, x >= -2 mm, x >= 2 mm)", [-1.0, 1.0], None),
        ("if(x > 0 mm, x >= -2 mm, x >= -3 mm)", [-1.0, 1.0], Some(true)),
    ] {
        let (of, texts) = requirement(text, &names).unwrap_or_else(|| panic!("{text}"));
        let place = [Interval::new(span[0], span[1]), Interval::ZERO];
        assert_eq!(judged(&of, &texts, &place).holds, wanted, "{text} over {span:?}");
    }
}

#[test]
fn a_condition_without_a_value_is_not_passed_over() {
    let names: [Named; 2] = [("x", Kind::LENGTH, 0.0), ("y", Kind::LENGTH, 0.0)];
    for text in [
        "if(sqrt(x * 1 mm) > 1 mm, y >= -2 mm, y >= -3 mm)",
        "y >= -2 mm && sqrt(x * 1 mm) >= 0 mm",
        "y >= 2 mm || sqrt(x * 1 mm) >= 0 mm",
    ] {
        let (of, texts) = requirement(text, &names).unwrap_or_else(|| panic!("{text}"));
        let place = [Interval::new(-1.0, 1.0), Interval::ZERO];
        assert!(!judged(&of, &texts, &place).defined, "{text}");
    }
}

/// A test without margin that may decide leaves nothing known of a margin, and so of a whole that it
/// is part of; one that decides, or does not, leaves none or the other side's.
#[test]
fn a_test_that_may_decide_leaves_no_margin() {
    let names: [Named; 2] = [("x", Kind::LENGTH, 0.0), ("y", Kind::LENGTH, 0.0)];
    // This is true where x is not above 0.
    let test = "((x > 0 mm) == (y > 5 mm))";
    let margin = |text: &str, low: f64, high: f64| {
        let (of, texts) = requirement(&text.replace("TEST", test), &names).unwrap();
        let found = judged(&of, &texts, &[Interval::new(low, high), Interval::ZERO]);
        found.margin.map(|margin| [margin.of.interval.low(), margin.of.interval.high()])
    };
    for (text, below, above) in [
        ("TEST && y >= -2 mm", Some([2.0, 2.0]), None),
        ("y >= -2 mm && TEST", Some([2.0, 2.0]), None),
        ("TEST || y >= -2 mm", None, Some([2.0, 2.0])),
        // The other side decides whether it holds, not by how much.
        ("(TEST || y <= 0 mm) && x >= -9 mm", Some([8.0, 8.5]), Some([0.0, 0.0])),
        ("x >= -9 mm && (y <= 0 mm || TEST)", Some([8.0, 8.5]), Some([0.0, 0.0])),
        ("if(x > -9 mm, TEST || y <= 0 mm, TEST) && x >= -9 mm", Some([8.0, 8.5]), Some([0.0; 2])),
    ] {
        assert_eq!(margin(text, -1.0, 1.0), None, "{text}");
        assert_eq!(margin(text, -1.0, -0.5), below, "{text}");
        assert_eq!(margin(text, 0.5, 1.0), above, "{text}");
    }
}

/// Where one side has no value and the other decides, the margin is that of the other.
#[test]
fn a_side_without_a_value_leaves_the_margin_to_the_other() {
    let names: [Named; 2] = [("x", Kind::LENGTH, 0.0), ("y", Kind::LENGTH, 0.0)];
    for (text, wanted) in [
        ("x >= 1 mm || sqrt(y * 1 mm) >= -100 mm", [1.0, 101.0]),
        ("x <= 1 mm && sqrt(y * 1 mm) <= -100 mm", [-101.0, -1.0]),
        ("sqrt(y * 1 mm) >= -100 mm || x >= 1 mm", [1.0, 101.0]),
        // It has none anywhere.
        ("x >= 1 mm || sqrt(y * 1 mm - 9 mm^2) >= 0 mm", [1.0, 2.0]),
    ] {
        let (of, texts) = requirement(text, &names).unwrap_or_else(|| panic!("{text}"));
        let found = judged(&of, &texts, &[Interval::new(2.0, 3.0), Interval::new(-1.0, 1.0)]);
        assert!(found.defined, "{text}: {found:?}");
        let margin = found.margin.expect("both sides have one").of.interval;
        assert_eq!(margin, Interval::new(wanted[0], wanted[1]), "{text}");
    }
}

/// What holds in both arms holds only where there is a condition, and decides nothing before.
#[test]
fn arms_of_a_condition_without_a_value_decide_nothing() {
    let names: [Named; 2] = [("x", Kind::LENGTH, 0.0), ("y", Kind::LENGTH, 0.0)];
    let text = "if(sqrt(x * 1 mm) > 1 mm, y >= -2 mm, y >= -3 mm) || y >= 2 mm";
    let (of, texts) = requirement(text, &names).unwrap_or_else(|| panic!("{text}"));
    let found = judged(&of, &texts, &[Interval::new(-1.0, 1.0), Interval::ZERO]);
    assert!(!found.defined && found.holds.is_none(), "{found:?}");
    assert!(at(&of, &texts, &[-0.5, 0.0]).is_err());
}
