//! Linkages by Freudenstein's equation and the tangent of the half angle, where the first engine
//! intersects circles.
//!
//! With the pins at P (input) and D (ground of the output), and w from D to P, the loop
//! a·e^(iθ2) + b·e^(iθ3) = d + c·e^(iθ4) leaves for either angle x an equation
//! `p·cos x + q·sin x = r`. Its two solutions are the two circuits. Which is which is seen from where
//! the coupler pin then stands.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use crate::engine::Worth;

/// The last bits of a linkage that is just stretched do not keep it open.
const ROUNDING: f64 = 1e-12;

/// What an angle may miss a half turn by and still be one.
const HALF_TURN: f64 = 1e-14;

/// The square of a root that is none but for its last bits: then the linkage stands at its dead
/// centre. Without this a linkage of whole millimetres would be 1e-8 beside it in metres.
const NO_ROOT: f64 = 8.0 * f64::EPSILON;

const KNOWN: [&str; 5] = [
    "four_bar_output",
    "four_bar_coupler",
    "four_bar_transmission",
    "four_bar_class",
    "slider_crank",
];

pub(crate) fn is_known(name: &str) -> bool {
    KNOWN.contains(&name)
}

/// What a call comes to, `None` if there is no such call. [`Worth::NONE`] where the linkage does
/// not close.
pub(crate) fn call(name: &str, given: &[Worth]) -> Option<Worth> {
    let numbers: Vec<f64> = given.iter().map_while(Worth::number).collect();
    let circuit = match given.get(numbers.len()..) {
        Some([Worth::Text(circuit)]) => Some(circuit.as_str()),
        Some([]) => None,
        _ => return None,
    };
    let angle = match (name, &*numbers, circuit) {
        ("four_bar_class", [a, b, c, d], None) => {
            let class = class(*a, *b, *c, *d);
            return Some(class.map_or(Worth::NONE, |class| Worth::Text(class.to_owned())));
        }
        ("slider_crank", [a, b, offset, angle], Some(circuit)) => {
            slider(*a, *b, *offset, *angle, circuit)
        }
        ("four_bar_output", [a, b, c, d, angle], Some(circuit)) => {
            Loop::of(*a, *b, *c, *d, *angle).and_then(|it| it.output(circuit))
        }
        ("four_bar_coupler", [a, b, c, d, angle], Some(circuit)) => {
            Loop::of(*a, *b, *c, *d, *angle).and_then(|it| it.coupler(circuit))
        }
        ("four_bar_transmission", [a, b, c, d, angle], Some(circuit)) => {
            Loop::of(*a, *b, *c, *d, *angle).and_then(|it| it.transmission(circuit))
        }
        _ => return None,
    };
    Some(angle.map_or(Worth::NONE, Worth::Number))
}

/// A four-bar linkage that closes, its input at a given angle.
struct Loop {
    b: f64,
    c: f64,
    /// From the output's ground pivot to the input pin.
    w: (f64, f64),
}

impl Loop {
    fn of(a: f64, b: f64, c: f64, d: f64, angle: f64) -> Option<Self> {
        let w = (a * angle.cos() - d, a * angle.sin());
        let span = w.0.hypot(w.1);
        // Coupler, output link and span are the sides of a triangle.
        let longest = span.max(b).max(c);
        let closes = 2.0 * longest - (span + b + c) <= ROUNDING * longest;
        let links = [a, b, c, d].iter().all(|link| *link > 0.0);
        (links && closes && span > 0.0).then_some(Self { b, c, w })
    }

    /// |c·e^(iθ4) - w| = b.
    fn output(&self, circuit: &str) -> Option<f64> {
        self.angle(self.c, (self.c - self.b) * (self.c + self.b) + self.square(), circuit)
    }

    /// |b·e^(iθ3) + w| = c.
    fn coupler(&self, circuit: &str) -> Option<f64> {
        self.angle(self.b, (self.c - self.b) * (self.c + self.b) - self.square(), circuit)
    }

    fn transmission(&self, circuit: &str) -> Option<f64> {
        let between = (self.output(circuit)? - self.coupler(circuit)?).abs();
        Some(between.min(TAU - between))
    }

    fn square(&self) -> f64 {
        self.w.0 * self.w.0 + self.w.1 * self.w.1
    }

    /// The angle x of a link with 2·link·(w · e^(ix)) = r, on a circuit. The coupler pin stands to
    /// the left of the line from P to D (open) where the link points there, since the line itself
    /// ends in D and begins in P.
    fn angle(&self, link: f64, r: f64, circuit: &str) -> Option<f64> {
        let both = half_angles(2.0 * link * self.w.0, 2.0 * link * self.w.1, r);
        let left = |x: f64| self.w.1 * x.cos() - self.w.0 * x.sin();
        let [first, second] = both;
        let (open, crossed) =
            if left(first) > left(second) { (first, second) } else { (second, first) };
        match circuit {
            "open" => Some(open),
            "crossed" => Some(crossed),
            _ => None,
        }
    }
}

/// Both solutions of p·cos x + q·sin x = r, above -π and up to π. With t = tan(x/2) it is
/// (r + p)·t² - 2·q·t + (r - p) = 0, and t = (q ± √(p² + q² - r²)) / (r + p), or the same turned
/// round by Vieta, (r - p) / (q ∓ √…): that of the two is taken which is no small difference.
fn half_angles(p: f64, q: f64, r: f64) -> [f64; 2] {
    let size = p.hypot(q);
    let square = (size - r) * (size + r);
    let root = if square <= NO_ROOT * size * size { 0.0 } else { square.sqrt() };
    [root, -root].map(|root| {
        let (above, below) = (q + root, r + p);
        let (turned_above, turned_below) = (r - p, q - root);
        let plain = above.abs().max(below.abs()) >= turned_above.abs().max(turned_below.abs());
        let half = if plain { above.atan2(below) } else { turned_above.atan2(turned_below) };
        whole_turn(2.0 * half)
    })
}

/// Above -π and up to π. What lies on the cut but for its last digits is π.
fn whole_turn(angle: f64) -> f64 {
    let angle = if angle > PI * (1.0 + HALF_TURN) { angle - TAU } else { angle };
    if angle <= -PI * (1.0 - HALF_TURN) { angle + TAU } else { angle }
}

/// The class after Grashof by the signs of three sums, one for each way to pair the links
/// (McCarthy, Geometric Design of Linkages; from memory, and a test turns the links). The first
/// engine sorts them.
fn class(a: f64, b: f64, c: f64, d: f64) -> Option<&'static str> {
    let links = [a, b, c, d];
    let around: f64 = links.iter().sum();
    let is_loop = |link: &f64| *link > 0.0 && around - 2.0 * link > ROUNDING * around;
    if !links.iter().all(is_loop) {
        return None;
    }
    let sums = [d - a + b - c, d - a - b + c, b + c - d - a];
    if sums.iter().any(|sum| sum.abs() <= ROUNDING * around / 2.0) {
        return Some("change-point");
    }
    Some(match sums.map(|sum| sum > 0.0) {
        [true, true, true] => "crank-rocker",
        [true, false, false] => "rocker-crank",
        [false, false, true] => "double-crank",
        [false, true, false] => "Grashof double-rocker",
        _ => "triple-rocker",
    })
}

/// By the angle at which the rod stands to the slider's path.
fn slider(a: f64, b: f64, offset: f64, angle: f64, circuit: &str) -> Option<f64> {
    let sine = (offset - a * angle.sin()) / b;
    if !(a > 0.0 && b > 0.0 && sine.abs() <= 1.0 + ROUNDING) {
        return None;
    }
    let is_upright = 1.0 - sine.abs() <= NO_ROOT / 2.0;
    let rod = if is_upright { FRAC_PI_2 } else { sine.asin() };
    match circuit {
        "open" => Some(a * angle.cos() + b * rod.cos()),
        "crossed" => Some(a * angle.cos() - b * rod.cos()),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whether the first of four links turns right round against the last.
    fn turns([a, b, c, d]: [f64; 4]) -> bool {
        (0..720).all(|half| Loop::of(a, b, c, d, f64::from(half) * PI / 360.0).is_some())
    }

    /// The classes by which links turn against the next one, in whole centimetres.
    #[test]
    fn classes_are_what_turns() {
        for links in 0..9_u32.pow(4) {
            let [a, b, c, d] = [1, 9, 81, 729].map(|by| f64::from(1 + links / by % 9));
            let expected = match class(a, b, c, d) {
                None | Some("change-point") => continue,
                Some(class) => class,
            };
            let input = turns([a, b, c, d]);
            let output = turns([c, b, a, d]);
            // The coupler against the input link, which stands for the ground.
            let coupler = turns([b, c, d, a]);
            let found = match (input, output, coupler) {
                (true, false, true) => "crank-rocker",
                (false, true, false) => "rocker-crank",
                (true, true, false) => "double-crank",
                (false, false, true) => "Grashof double-rocker",
                (false, false, false) => "triple-rocker",
                other => panic!("{a} {b} {c} {d}: {other:?}"),
            };
            assert_eq!(expected, found, "{a} {b} {c} {d}");
        }
    }

    /// The loop closes with the two angles, and the pin stands on its side of the line.
    #[test]
    fn both_angles_close_the_loop() {
        let [a, b, c, d] = [40.0, 120.0, 80.0, 100.0];
        for half in 0..720 {
            let angle = f64::from(half) * PI / 360.0;
            let linkage = Loop::of(a, b, c, d, angle).unwrap();
            for circuit in ["open", "crossed"] {
                let (three, four) =
                    (linkage.coupler(circuit).unwrap(), linkage.output(circuit).unwrap());
                let x = a * angle.cos() + b * three.cos() - d - c * four.cos();
                let y = a * angle.sin() + b * three.sin() - c * four.sin();
                assert!(x.hypot(y) < 1e-12, "{half} {circuit}: {x} {y}");
                let (to_ground, to_pin) =
                    ((d - a * angle.cos(), -a * angle.sin()), (b * three.cos(), b * three.sin()));
                let left = to_ground.0 * to_pin.1 - to_ground.1 * to_pin.0;
                assert_eq!(left > 0.0, circuit == "open", "{half}");
            }
        }
    }

    #[test]
    fn a_dead_centre_of_whole_numbers_is_one() {
        let stretched = Loop::of(0.03, 0.04, 0.03, 0.1, 0.0).unwrap();
        assert_eq!(stretched.coupler("open"), stretched.coupler("crossed"));
        assert!(stretched.transmission("open").unwrap() > PI - 1e-15);
        assert!(slider(0.03, 0.03, 0.0, FRAC_PI_2, "open").unwrap().abs() < 1e-17);
    }

    #[test]
    fn what_is_no_linkage_or_circuit() {
        assert!(Loop::of(0.06, 0.03, 0.055, 0.07, 95_f64.to_radians()).is_none());
        assert!(Loop::of(0.0, 1.0, 1.0, 1.0, 0.0).is_none());
        assert!(Loop::of(1.0, 1.0, 1.0, 1.0, 0.0).is_none(), "the pins meet");
        assert!(slider(0.04, 0.03, 0.0, FRAC_PI_2, "open").is_none());
        assert!(slider(0.04, 0.0, 0.0, 0.0, "open").is_none());
        assert!(slider(0.04, 0.1, 0.0, 0.0, "Open").is_none());
        assert_eq!(class(10.0, 10.0, 10.0, 40.0), None);
    }
}
