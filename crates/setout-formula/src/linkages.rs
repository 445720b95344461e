//! Four-bar linkages and the slider-crank, by intersecting circles.
//!
//! The convention is `a·e^(iθ2) + b·e^(iθ3) = d + c·e^(iθ4)`: a is the input link, b the coupler,
//! c the output link, d the ground, which runs along the x axis from the input's pivot to the
//! output's. *Open* is the circuit whose coupler pin lies to the left of the line from the input
//! pin to the output's ground pivot.
//!
//! ```text
//!              b
//!        P ─────────── B
//!     a /               \ c
//!      / θ2          θ4  \
//!     O ───────────────── D
//!              d
//! ```

use setout_quantity::{Kind, rounded};

use crate::Texts;
use crate::code::{One, Two};
use crate::elementary as el;
use crate::functions::Function;
use crate::given::{Argument, Found, Gives, NotFound, Parameter};
use crate::reading::Reading;
use crate::syntax::Comparison;

const LENGTH: Parameter = Parameter::Quantity(Kind::LENGTH);
const ANGLE: Parameter = Parameter::Quantity(Kind::ANGLE);
const FOUR_BAR: &[Parameter] = &[LENGTH, LENGTH, LENGTH, LENGTH, ANGLE, Parameter::Text];
const SLIDER: &[Parameter] = &[LENGTH, LENGTH, LENGTH, ANGLE, Parameter::Text];
const LINKS: &[Parameter] = &[LENGTH, LENGTH, LENGTH, LENGTH];

/// The classes of four-bar linkages after Grashof.
const CLASSES: &[&str] = &[
    "crank-rocker",
    "double-crank",
    "Grashof double-rocker",
    "rocker-crank",
    "change-point",
    "triple-rocker",
];

/// The functions of linkages, in the order of the documents.
pub static LINKAGES: &[Function] = &[
    Function::given(
        "four_bar_output",
        "a, b, c, d, θ2, \"open\"",
        FOUR_BAR,
        0,
        Gives::Quantity(Kind::ANGLE),
        "the angle θ4 of the output link, above -180 deg and up to 180 deg",
        "four_bar_output(40 mm, 100 mm, 40 mm, 100 mm, 50 deg, \"open\")",
        "50 deg",
        |given| closed(given).map(|pose| Found::Number(pose.output)),
    ),
    Function::given(
        "four_bar_coupler",
        "a, b, c, d, θ2, \"open\"",
        FOUR_BAR,
        0,
        Gives::Quantity(Kind::ANGLE),
        "the angle θ3 of the coupler, above -180 deg and up to 180 deg",
        "four_bar_coupler(40 mm, 100 mm, 40 mm, 100 mm, 50 deg, \"open\")",
        "0 deg",
        |given| closed(given).map(|pose| Found::Number(pose.coupler)),
    ),
    Function::given(
        "four_bar_transmission",
        "a, b, c, d, θ2, \"open\"",
        FOUR_BAR,
        0,
        Gives::Quantity(Kind::ANGLE),
        "the transmission angle between coupler and output link, from 0 deg to 180 deg",
        "four_bar_transmission(40 mm, 100 mm, 40 mm, 100 mm, 90 deg, \"open\")",
        "90 deg",
        |given| closed(given).map(|pose| Found::Number(pose.transmission)),
    ),
    Function::given(
        "four_bar_class",
        "a, b, c, d",
        LINKS,
        0,
        Gives::Text(CLASSES),
        "the class after Grashof: crank-rocker, double-crank, Grashof double-rocker, rocker-crank, \
         change-point or triple-rocker",
        "four_bar_class(40 mm, 120 mm, 80 mm, 100 mm)",
        "\"crank-rocker\"",
        |given| class(given).map(Found::Text),
    ),
    Function::given(
        "slider_crank",
        "a, b, offset, θ2, \"open\"",
        SLIDER,
        0,
        Gives::Quantity(Kind::LENGTH),
        "how far along the x axis the slider's pin stands that the crank a drives through the rod \
         b; its path lies at y = offset, and open is the pose farther along",
        "slider_crank(30 mm, 50 mm, 0 mm, 90 deg, \"open\")",
        "40 mm",
        |given| slider(given).map(Found::Number),
    ),
];

/// A four-bar linkage that closes.
struct Pose {
    coupler: f64,
    output: f64,
    transmission: f64,
}

fn refused(reason: impl Into<String>, help: impl Into<String>) -> NotFound {
    NotFound { reason: reason.into(), help: help.into() }
}

/// 1 for the open circuit, -1 for the crossed one.
fn side(circuit: &str) -> Result<f64, NotFound> {
    match circuit {
        "open" => Ok(1.0),
        "crossed" => Ok(-1.0),
        other => Err(refused(
            format!("`{}` is no circuit of a linkage", other.escape_debug()),
            "write \"open\" or \"crossed\"",
        )),
    }
}

fn positive(links: &[(&str, f64)]) -> Result<(), NotFound> {
    match links.iter().find(|(_, length)| *length <= 0.0) {
        None => Ok(()),
        Some((name, length)) => Err(refused(
            format!("the link {name} has no length: it is {} mm", rounded(*length)),
            "give every link a length above 0 mm",
        )),
    }
}

fn closed(given: &[Argument<'_>]) -> Result<Pose, NotFound> {
    let [a, b, c, d, angle] = [0, 1, 2, 3, 4].map(|index: usize| given[index].number());
    let side = side(given[5].text())?;
    positive(&[("a", a), ("b", b), ("c", c), ("d", d)])?;
    let pin = (a * el::cos(angle), a * el::sin(angle));
    // From the input pin to the output's pivot.
    let (x, y) = (d - pin.0, 0.0 - pin.1);
    let span = libm::hypot(x, y);
    if let Some(gap) = gap(span, b, c) {
        return Err(refused(
            format!(
                "the linkage cannot close at θ2 = {} deg: shortest gap {} mm",
                rounded(angle),
                rounded(gap)
            ),
            "lengthen the coupler or the output link, or keep the input away from there",
        ));
    }
    // The coupler pin, along the line and to its left.
    let along = (span * span + b * b - c * c) / (2.0 * span);
    let across = side * (b * b - along * along).max(0.0).sqrt();
    let (ux, uy) = (x / span, y / span);
    let coupler = (along * ux - across * uy, along * uy + across * ux);
    let output = (coupler.0 - x, coupler.1 - y);
    let (coupler_at, output_at) = (direction(coupler), direction(output));
    let cosine = ((b * b + c * c - span * span) / (2.0 * b * c)).clamp(-1.0, 1.0);
    Ok(Pose { coupler: coupler_at, output: output_at, transmission: el::acos(cosine) })
}

fn direction((x, y): (f64, f64)) -> f64 {
    if x == 0.0 && y == 0.0 { 0.0 } else { el::atan2(y, x) }
}

/// How much is missing for two links to meet over a span, if it is. The last bits of a linkage
/// that is just stretched do not keep it open.
fn gap(span: f64, b: f64, c: f64) -> Option<f64> {
    let missing = (span - (b + c)).max((b - c).abs() - span);
    let least = 1e-12 * (b + c).max(span);
    (missing > least || span == 0.0).then_some(missing.max(0.0))
}

fn class(given: &[Argument<'_>]) -> Result<&'static str, NotFound> {
    let [a, b, c, d] = [0, 1, 2, 3].map(|index: usize| given[index].number());
    positive(&[("a", a), ("b", b), ("c", c), ("d", d)])?;
    let mut sorted = [a, b, c, d];
    sorted.sort_by(f64::total_cmp);
    let [shortest, p, q, longest] = sorted;
    // Links that just make a line cannot move, whatever their last bits.
    if longest - (shortest + p + q) >= -1e-12 * longest {
        let reason = "no four-bar linkage has these links: the longest is not shorter than the others together";
        return Err(refused(reason, "shorten the longest link"));
    }
    let room = (p + q) - (shortest + longest);
    if room.abs() <= 1e-12 * (p + q) {
        return Ok("change-point");
    }
    Ok(match () {
        () if room < 0.0 => "triple-rocker",
        () if shortest == a => "crank-rocker",
        () if shortest == d => "double-crank",
        () if shortest == b => "Grashof double-rocker",
        () => "rocker-crank",
    })
}

fn slider(given: &[Argument<'_>]) -> Result<f64, NotFound> {
    let [a, b, offset, angle] = [0, 1, 2, 3].map(|index: usize| given[index].number());
    let side = side(given[4].text())?;
    positive(&[("a", a), ("b", b)])?;
    let height = a * el::sin(angle) - offset;
    let missing = height.abs() - b;
    if missing > 1e-12 * b {
        return Err(refused(
            format!(
                "the slider-crank cannot close at θ2 = {} deg: shortest gap {} mm",
                rounded(angle),
                rounded(missing)
            ),
            "lengthen the rod, or bring the slider's path nearer to the crank",
        ));
    }
    Ok(a * el::cos(angle) + side * (b * b - height * height).max(0.0).sqrt())
}

/// What a linkage comes to over intervals, `None` for any other function. The angles are put
/// together from that of the line from the input pin to the output's pivot and one of the triangle
/// that this makes with coupler and output link: of all that a linkage gives, only where it closes
/// is then a matter of a bound, a cosine between -1 and 1.
pub(crate) fn read<R: Reading>(name: &str, given: &[R], texts: &Texts) -> Option<R> {
    let circuit = |at: usize| {
        let number = given.get(at)?.place().interval.only()?;
        side(texts.text(number)).ok()
    };
    let found = match name {
        "four_bar_output" | "four_bar_coupler" | "four_bar_transmission" => {
            let [a, b, c, d, angle, _] = given else { return Some(R::unknown()) };
            let linkage = Triangle::of([a, b, c, d], angle);
            match (name, circuit(5)) {
                (_, None) => R::unknown(),
                ("four_bar_output", Some(side)) => linkage.output(side),
                ("four_bar_coupler", Some(side)) => linkage.coupler(side),
                _ => linkage.transmission(),
            }
        }
        "slider_crank" => {
            let [a, b, offset, angle, _] = given else { return Some(R::unknown()) };
            circuit(4).map_or_else(R::unknown, |side| slid([a, b, offset], angle, side))
        }
        _ => return None,
    };
    Some(found)
}

fn square<R: Reading>(x: &R) -> R {
    R::two(Two::Power, x, &R::constant(2.0))
}

fn add<R: Reading>(a: &R, b: &R) -> R {
    R::two(Two::Add, a, b)
}

fn less<R: Reading>(a: &R, b: &R) -> R {
    R::two(Two::Subtract, a, b)
}

fn times<R: Reading>(a: &R, b: &R) -> R {
    R::two(Two::Multiply, a, b)
}

/// Links without a length make no linkage.
fn with_links<R: Reading>(value: &R, links: &[&R]) -> R {
    let zero = R::constant(0.0);
    let is_positive = |link: &&R| R::two(Two::Compare(Comparison::Greater), link, &zero).truth();
    let all: Vec<Option<bool>> = links.iter().map(is_positive).collect();
    let holds = match () {
        () if all.contains(&Some(false)) => Some(false),
        () if all.contains(&None) => None,
        () => Some(true),
    };
    value.provided(holds)
}

/// The triangle of coupler, output link and the line between their far pins.
struct Triangle<'a, R> {
    coupler: &'a R,
    output: &'a R,
    /// From the input pin to the output's pivot.
    x: R,
    y: R,
    span: R,
    span_square: R,
    /// The cosine of the angle between coupler and output link.
    between: R,
}

impl<'a, R: Reading> Triangle<'a, R> {
    fn of([a, b, c, d]: [&'a R; 4], angle: &R) -> Self {
        let (cosine, sine) = (R::one(One::Cos, angle), R::one(One::Sin, angle));
        // (d - a)² + 2ad(1 - cos θ2) and (d + a)² - 2ad(1 + cos θ2): near a dead point the second
        // term of one of them is small, and with it what the links' tolerances seem to add twice.
        let one = R::constant(1.0);
        let twice = times(&R::constant(2.0), &times(a, d));
        let folded = add(&square(&less(d, a)), &times(&twice, &less(&one, &cosine)));
        let stretched = less(&square(&add(d, a)), &times(&twice, &add(&one, &cosine)));
        let span_square = with_links(&folded.met_with(&stretched), &[a, b, c, d]);
        let links = less(&add(&square(b), &square(c)), &span_square);
        let between = R::two(Two::Divide, &links, &times(&R::constant(2.0), &times(b, c)));
        Self {
            coupler: b,
            output: c,
            x: less(d, &times(a, &cosine)),
            y: R::one(One::Negate, &times(a, &sine)),
            span: R::one(One::Sqrt, &span_square),
            span_square,
            between: between.closing(),
        }
    }

    /// The angle between one of the two links and the line. Its cosine is
    /// (near² + span² - far²) / (2 near span), and the same with the span taken out: where the near
    /// link is the shorter one, both terms of that rise with the span.
    fn at(&self, near: &R, far: &R) -> R {
        let squares = less(&square(near), &square(far));
        let twice = times(&R::constant(2.0), near);
        let law = add(&squares, &self.span_square);
        let whole = R::two(Two::Divide, &law, &times(&twice, &self.span));
        let apart = add(&self.span, &R::two(Two::Divide, &squares, &self.span));
        let cosine = whole.met_with(&R::two(Two::Divide, &apart, &twice));
        R::one(One::Acos, &cosine.cosine_of(&self.between))
    }

    /// The direction of the line.
    fn line(&self) -> R {
        R::two(Two::Atan2, &self.y, &self.x)
    }

    /// The output link lies beyond the line from the input pin, turned by the angle at its pivot.
    fn output(&self, side: f64) -> R {
        let angle = times(&R::constant(0.0 - side), &self.at(self.output, self.coupler));
        add(&add(&self.line(), &R::constant(180.0)), &angle).within_turn()
    }

    fn coupler(&self, side: f64) -> R {
        let angle = times(&R::constant(side), &self.at(self.coupler, self.output));
        add(&self.line(), &angle).within_turn()
    }

    fn transmission(&self) -> R {
        R::one(One::Acos, &self.between)
    }
}

/// Where the slider's pin stands.
fn slid<R: Reading>([a, b, offset]: [&R; 3], angle: &R, side: f64) -> R {
    let height = less(&times(a, &R::one(One::Sin, angle)), offset);
    let ratio = with_links(&R::two(Two::Divide, &height, b), &[a, b]).closing();
    let along = R::one(One::Sqrt, &less(&R::constant(1.0), &square(&ratio)));
    let rod = times(&times(&R::constant(side), b), &along);
    add(&times(a, &R::one(One::Cos, angle)), &rod)
}
