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

use crate::elementary as el;
use crate::functions::Function;
use crate::given::{Argument, Found, Gives, NotFound, Parameter};

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
