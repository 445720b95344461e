//! Readings over intervals hold every value that a formula comes to at points of the box, and the
//! slopes hold every way in which it changes between two of them.

use setout_formula::{
    Closes, Code, Decoration, Enclosure, Formula, Interval, Machine, Slope, Texts,
};
use setout_quantity::Kind;

use crate::grow::{Grower, NAMES, Numbers, kind_of};
use crate::random::Random;
use crate::{Named, known_units, meanings};

/// A formula ready to be read, if none of its numbers is too large in its unit.
pub(crate) fn compiled(text: &str, names: &[Named]) -> Option<(Code, Texts)> {
    let (formula, faults) = Formula::read(text, &known_units());
    let formula = formula.filter(|_| faults.is_empty())?;
    let mut texts = Texts::default();
    let code = formula.compile(&meanings(&formula, names), &known_units(), &mut texts);
    Some((code.unwrap_or_else(|faults| panic!("{text}: {faults:?}")).code, texts))
}

fn slope_in(code: &Code, texts: &Texts, places: &[Interval]) -> Slope {
    code.slope(texts, &|slot| Slope::variable(slot as usize, places[slot as usize]))
}

/// What the slopes say of the way from one point to another.
fn way(slope: &Slope, from: &[f64], to: &[f64]) -> Option<Interval> {
    let steps = from.iter().zip(to).enumerate().map(|(index, (from, to))| {
        let step = Interval::point(*to).minus(Interval::point(*from));
        Some(slope.by(index)?.times(step))
    });
    steps.sum::<Option<Sum>>().map(|sum| sum.0)
}

struct Sum(Interval);

impl std::iter::Sum<Interval> for Sum {
    fn sum<I: Iterator<Item = Interval>>(items: I) -> Self {
        Self(items.fold(Interval::ZERO, Interval::plus))
    }
}

/// What rounding may add to a difference of two values, by the sizes met on the way.
fn roundings(slope: &Slope, values: [f64; 2], points: [&[f64]; 2]) -> f64 {
    let by_inputs = (0..points[0].len()).map(|index| {
        let size = points[0][index].abs().max(points[1][index].abs());
        slope.by(index).map_or(0.0, |by| by.magnitude() * size)
    });
    let size = by_inputs.fold(values[0].abs().max(values[1].abs()), f64::max);
    1e-9 * size
}

/// How often each thing was seen, so that a test that sees nothing fails.
#[derive(Debug, Default)]
struct Seen {
    values: usize,
    stops: usize,
    slopes: usize,
    tight: usize,
}

fn is_held(text: &str, random: &mut Random, names: &[Named], seen: &mut Seen) {
    let Some((code, texts)) = compiled(text, names) else { return };
    let places: Vec<Interval> = names
        .iter()
        .map(|(.., value)| {
            let reach = random.one_of(&[0.0, 1e-6, 0.01, 0.3, 3.0]) * (value.abs() + 1.0);
            let (low, high) = (random.between(0.0, reach), random.between(0.0, reach));
            Interval::new(value - low, value + high)
        })
        .collect();
    let slope = slope_in(&code, &texts, &places);
    let enclosure = code.enclose(&texts, &|slot| Enclosure::of(places[slot as usize]));
    assert_eq!(enclosure, slope.of, "{text}: two readings of one box");
    let mut machine = Machine::with(&texts);
    let mut before: Option<(Vec<f64>, f64)> = None;
    for turn in 0..12 {
        let point: Vec<f64> = places
            .iter()
            .map(|place| match turn {
                0 => place.low(),
                1 => place.high(),
                _ => random.between(place.low(), place.high()).clamp(place.low(), place.high()),
            })
            .collect();
        let told = || format!("{text}\n  in {places:?}\n  at {point:?}\n  is {enclosure:?}");
        match machine.run(&code, &point) {
            Ok(value) => {
                seen.values += 1;
                assert!(enclosure.interval.contains(value), "{value} of {}", told());
                if let Some((from, was)) = &before
                    && enclosure.decoration == Decoration::Continuous
                    && let Some(way) = way(&slope, from, &point)
                {
                    seen.slopes += 1;
                    let slack = roundings(&slope, [*was, value], [from, &point]);
                    let held = Interval::new(way.low() - slack, way.high() + slack);
                    let change = value - was;
                    assert!(
                        held.contains(change) || !held.is_bounded(),
                        "{change} not in {held:?}: {}",
                        told()
                    );
                    seen.tight += usize::from(held.width() < 1.0);
                }
                before = Some((point, value));
            }
            Err(_) => {
                seen.stops += 1;
                let allowed = !enclosure.is_defined() || enclosure.closes != Closes::Everywhere;
                assert!(allowed, "no value for {}", told());
            }
        }
    }
}

#[test]
fn random_formulas_are_held() {
    let (mut random, seed) = Random::seeded();
    let mut seen = Seen::default();
    for numbers in [Numbers::Usual, Numbers::Extreme] {
        for _ in 0..3000 {
            let names: Vec<Named> = NAMES
                .iter()
                .map(|(name, dims)| (*name, kind_of(*dims), random.between(-8.0, 25.0)))
                .collect();
            let text = Grower { random: &mut random, numbers, plain: false }.any_text(4);
            is_held(&text, &mut random, &names, &mut seen);
        }
    }
    println!("seed {seed}: {seen:?}");
    assert!(seen.values > 20_000 && seen.stops > 500, "{seen:?}");
    assert!(seen.slopes > 5_000 && seen.tight > 1_000, "{seen:?}");
}

/// Every linkage, in boxes of every size, on both circuits, as it moves and as its links come out.
#[test]
fn linkages_are_held() {
    let (mut random, seed) = Random::seeded();
    let mut seen = Seen::default();
    let length = |name: &'static str, value: f64| (name, Kind::LENGTH, value);
    for _ in 0..1500 {
        let mut link = || random.between(5.0, 120.0);
        let links = [link(), link(), link(), link()];
        let angle = random.between(-400.0, 400.0);
        let names = [
            length("a", links[0]),
            length("b", links[1]),
            length("c", links[2]),
            length("d", links[3]),
            ("angle", Kind::ANGLE, angle),
        ];
        for circuit in ["open", "crossed"] {
            for function in ["output", "coupler", "transmission"] {
                let text = format!("four_bar_{function}(a, b, c, d, angle, \"{circuit}\")");
                is_held(&text, &mut random, &names, &mut seen);
            }
            let text = format!("slider_crank(a, b, c - d, angle, \"{circuit}\")");
            is_held(&text, &mut random, &names, &mut seen);
        }
    }
    println!("seed {seed}: {seen:?}");
    assert!(seen.values > 40_000 && seen.stops > 10_000, "{seen:?}");
    assert!(seen.slopes > 20_000 && seen.tight > 2_000, "{seen:?}");
}

/// The smaller the box, the nearer is the enclosure to the value: it is not merely wide.
#[test]
fn small_boxes_are_known_closely() {
    let names: [Named; 2] = [("x", Kind::LENGTH, 0.0), ("angle", Kind::ANGLE, 0.0)];
    for (text, x, angle) in [
        ("sqrt(x * x) * cos(angle)", 3.0, 20.0),
        ("four_bar_output(40 mm, 120 mm, 80 mm, 100 mm, angle, \"open\") * (x / 1 mm)", 1.0, 60.0),
        ("four_bar_coupler(40 mm, 120 mm, x, 100 mm, angle, \"crossed\")", 80.0, 0.0),
        ("slider_crank(30 mm, x, 5 mm, angle, \"open\")", 80.0, 130.0),
        ("atan2(x, 10 mm) + asin(x / 20 mm)", 4.0, 0.0),
        ("x * (x - 1 mm) * (x - 2 mm) / 1 mm^2", 1.5, 0.0),
    ] {
        let (code, texts) = compiled(text, &names).unwrap();
        for half in [1e-1, 1e-3, 1e-6] {
            let around = |at: f64| Interval::new(at - half, at + half);
            let away = [Interval::new(-half, half); 2];
            let slope = slope_in(&code, &texts, &[around(x), around(angle)]);
            let at = code
                .enclose(&texts, &|slot| Enclosure::of(Interval::point([x, angle][slot as usize])));
            let found = slope.clone().refined(at, &away).of.interval.width();
            // By the mean value form it is as wide as the value really varies, and the square of
            // the box more.
            let varies: f64 =
                (0..2).map(|index| 2.0 * half * slope.by(index).unwrap().magnitude()).sum();
            let room = 1.0 + 20.0 * half;
            assert!(found <= varies * room + 1e-11, "{text} by {half}: {found} for {varies}");
        }
    }
}

/// Over the spans of two plain numbers, `x` and `y`.
fn over(text: &str, [x, y]: [[f64; 2]; 2]) -> Enclosure {
    let names: [Named; 2] = [("x", Kind::NUMBER, 0.0), ("y", Kind::NUMBER, 0.0)];
    let (code, texts) = compiled(text, &names).unwrap();
    let spans = [x, y].map(|[low, high]| Interval::new(low, high));
    code.enclose(&texts, &|slot| Enclosure::of(spans[slot as usize]))
}

/// Where an operand ends at 0, the result ends where the function tends to.
#[test]
fn operands_that_end_at_zero_are_known_closely() {
    let far = f64::INFINITY;
    for (text, operands, wanted) in [
        ("x / y", [[-30.0, 0.0], [-3.0, 0.0]], [0.0, far]),
        ("x / y", [[0.0, 30.0], [-3.0, 0.0]], [-far, 0.0]),
        ("x / y", [[-30.0, 1.0], [0.0, 3.0]], [-far, far]),
        ("x ^ y", [[0.0, 1.0], [-3.0, -3.0]], [1.0, far]),
        ("x ^ y", [[-1.0, 0.0], [-3.0, -3.0]], [-far, -1.0]),
        ("x ^ y", [[-1.0, 1.0], [-3.0, -3.0]], [-far, far]),
        ("x ^ y", [[-1.0, 1.0], [-4.0, -4.0]], [1.0, far]),
        ("x ^ y", [[0.0, 1.0], [-1.0, 0.0]], [1.0, far]),
        ("x ^ y", [[0.0, 0.0], [-1.0, 2.0]], [0.0, 1.0]),
        ("atan2(x, y)", [[0.0, 5.0], [-5.0, 0.0]], [90.0, 180.0]),
        ("atan2(x, y)", [[-5.0, 0.0], [0.0, 5.0]], [-90.0, 0.0]),
        ("atan2(x, y)", [[-5.0, 0.0], [-5.0, 0.0]], [-180.0, 180.0]),
        ("atan2(x, y)", [[-5.0, 5.0], [0.0, 5.0]], [-90.0, 90.0]),
        ("atan2(x, y)", [[0.0, 0.0], [-5.0, 0.0]], [180.0, 180.0]),
        ("atan2(x, y)", [[0.0, 0.0], [0.0, 5.0]], [0.0, 0.0]),
        ("atan2(x, y)", [[0.0, 0.0], [-5.0, 5.0]], [0.0, 180.0]),
        ("hypot(x, y)", [[-2.0, 1.0], [0.0, 0.0]], [0.0, 2.0]),
    ] {
        let found = over(text, operands).interval;
        assert_eq!(found, Interval::new(wanted[0], wanted[1]), "{text} over {operands:?}");
    }
}

/// 0 to the power 0 is 1, and to the power of anything greater it is 0.
#[test]
fn powers_jump_at_zero_to_the_power_zero() {
    let claims = |x, y| over("x ^ y", [x, y]).decoration;
    assert_eq!(claims([0.0, 1.5], [0.0, 2.5]), Decoration::Defined);
    assert_eq!(claims([0.0, 1.5], [0.5, 2.5]), Decoration::Continuous);
    assert_eq!(claims([0.5, 1.5], [0.0, 2.5]), Decoration::Continuous);
    assert_eq!(claims([0.0, 1.5], [0.0, 0.0]), Decoration::Continuous);
    assert_eq!(claims([-1.5, 1.5], [2.0, 2.0]), Decoration::Continuous);
    assert_eq!(claims([0.0, 1.5], [-1.0, 2.5]), Decoration::Partly);
    assert_eq!(claims([-1.5, 1.5], [0.5, 2.5]), Decoration::Partly);
    assert_eq!(claims([-1.5, 1.5], [-2.0, -2.0]), Decoration::Partly);
}

/// Two spans that touch are neither always in order nor never.
#[test]
fn comparisons_of_spans_that_touch_are_open() {
    for (text, operands) in [
        ("x < y", [[1.0, 2.0], [2.0, 3.0]]),
        ("x > y", [[2.0, 3.0], [1.0, 2.0]]),
        ("x <= y", [[2.0, 3.0], [1.0, 2.0]]),
        ("x >= y", [[1.0, 2.0], [2.0, 3.0]]),
        ("x == y", [[1.0, 2.0], [1.0, 2.0]]),
        ("x != y", [[1.0, 2.0], [1.0, 2.0]]),
    ] {
        assert_eq!(over(text, operands).interval, Interval::new(0.0, 1.0), "{text}");
    }
}

#[test]
fn what_jumps_is_not_continuous() {
    let claims = |text, x, y| over(text, [x, y]).decoration;
    assert_eq!(claims("atan2(x, y)", [-1.0, 1.0], [-2.0, -1.0]), Decoration::Defined);
    assert_eq!(claims("if(x > 0, y, 2)", [-1.0, 1.0], [1.0, 1.0]), Decoration::Defined);
    // A link that has no length is not one that is too short.
    let linkage = "four_bar_output(x * 1 mm, sqrt(y) * 1 mm, 20 mm, 30 mm, 60 deg, \"open\")";
    let found = over(linkage, [[10.0, 10.0], [-2.0, -1.0]]);
    assert!(!found.is_defined() && found.closes != Closes::Nowhere, "{found:?}");
}

/// The slope of a formula by `x` over a span of it.
fn by_x(text: &str, low: f64, high: f64) -> Option<Interval> {
    let (code, texts) = compiled(text, &[("x", Kind::NUMBER, 0.0)]).unwrap();
    slope_in(&code, &texts, &[Interval::new(low, high)]).by(0)
}

#[test]
fn there_is_no_slope_where_a_value_jumps_or_is_not_there() {
    let linkage = |crank: &str, angle: &str| {
        format!("four_bar_output({crank}, 40 mm, 30 mm, 35 mm, {angle}, \"open\")")
    };
    for (text, low, high) in [
        ("sqrt(x)".to_owned(), -1.0, 1.0),
        ("round(x)".to_owned(), 0.2, 0.9),
        ("floor(x, 0.5)".to_owned(), 0.2, 0.9),
        ("atan2(x, -1)".to_owned(), -1.0, 1.0),
        ("clamp(1, x, 0)".to_owned(), -1.0, 1.0),
        ("if(x > 0, x, 2 * x)".to_owned(), -1.0, 1.0),
        (linkage("x * 1 mm", "60 deg"), -1.0, 12.0),
        // A parallelogram that turns past the cut at half a turn.
        (
            "four_bar_output(20 mm, 50 mm, 20 mm, 50 mm, x * 1 deg, \"open\")".to_owned(),
            170.0,
            190.0,
        ),
    ] {
        let found = by_x(&text, low, high);
        assert!(found.is_none(), "{text}: {found:?}");
    }
}

/// At a point a slope is the derivative, as the values on both sides of it tell.
#[test]
fn slopes_at_a_point_are_derivatives() {
    for text in [
        "-x",
        "x * x",
        "1 / x",
        "(2 - x) / (1 + x)",
        "abs(x)",
        "abs(-x)",
        "sqrt(x)",
        "cbrt(x)",
        "exp(x)",
        "ln(x)",
        "log10(x)",
        "sin(x * 1 deg)",
        "cos(x * 50 deg)",
        "tan(x * 50 deg)",
        "asin(x) / 1 deg",
        "acos(x) / 1 deg",
        "atan(x) / 1 deg",
        "x ^ 2.5",
        "x ^ -2",
        "2 ^ x",
        "x ^ x",
        "atan2(x, 0.4) / 1 deg",
        "atan2(0.4, x) / 1 deg",
        "hypot(x, 3)",
        "hypot(3, x)",
        "min(x, 2 * x)",
        "max(x, 2 * x)",
        "clamp(x, 0, 2)",
        "max(x, 2) * x",
        "mean(x, x * x)",
        "slider_crank(14 mm, 30 mm, x * 3 mm, x * 70 deg, \"open\") / 1 mm",
        "four_bar_output(x * 10 mm, 40 mm, 30 mm, 35 mm, 60 deg, \"open\") / 1 deg",
        "four_bar_coupler(12 mm, x * 60 mm, 30 mm, 35 mm, 60 deg, \"open\") / 1 deg",
        "four_bar_transmission(12 mm, 40 mm, 30 mm, x * 50 mm, 60 deg, \"crossed\") / 1 deg",
    ] {
        let (code, texts) = compiled(text, &[("x", Kind::NUMBER, 0.0)]).unwrap();
        let mut machine = Machine::with(&texts);
        for x in [0.3, 0.6, 0.9] {
            let mut at = |x: f64| machine.run(&code, &[x]).unwrap_or(f64::NAN);
            let step = 1e-5;
            let wanted = (at(x + step) - at(x - step)) / (2.0 * step);
            if !wanted.is_finite() {
                continue;
            }
            let found = by_x(text, x, x).unwrap_or_else(|| panic!("{text} has none at {x}"));
            let room = 1e-5 * (1.0 + wanted.abs());
            let is_near = found.low() - room <= wanted && wanted <= found.high() + room;
            assert!(is_near && found.width() <= room, "{text} at {x}: {found:?} for {wanted}");
        }
    }
}
