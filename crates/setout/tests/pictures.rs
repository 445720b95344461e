//! The pictures of linkages in `docs/pictures`: pins, links and numbers stand where the functions
//! say.
//!
//! A picture's `desc` tells the links and the angle it was drawn for, and its scale. Pins and links
//! are found by their ids, such as `open-B` and `open-a`.

use std::fs;
use std::path::Path;

use setout::{Design, Memory};

/// Coordinates are written to a hundredth.
const LAST_DIGIT: f64 = 0.0101;

struct Picture {
    text: String,
}

impl Picture {
    fn read(name: &str) -> Self {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/pictures").join(name);
        Self { text: fs::read_to_string(path).expect("the picture is there") }
    }

    /// The number behind some words of the description.
    fn told(&self, words: &str) -> f64 {
        let (_, rest) = self.text.split_once("<desc id=\"desc\">").expect("a description");
        let (description, _) = rest.split_once("</desc>").expect("its end");
        let (_, number) = description.split_once(&format!(" {words} ")).expect(words);
        number.split(' ').next().expect("a word").parse().expect(words)
    }

    /// The numbers that the element of an id has under some keys.
    fn numbers<const N: usize>(&self, id: &str, keys: [&str; N]) -> [f64; N] {
        let wanted = format!(" id=\"{id}\"");
        let lines: Vec<&str> = self.text.lines().filter(|line| line.contains(&wanted)).collect();
        let [line] = lines[..] else { panic!("one element {id}: {lines:?}") };
        keys.map(|key| {
            let (_, number) = line.split_once(&format!(" {key}=\"")).expect(key);
            number.split('"').next().expect("a value").parse().expect(key)
        })
    }

    fn pin(&self, id: &str) -> [f64; 2] {
        self.numbers(id, ["cx", "cy"])
    }

    /// That a link is drawn from one pin to another.
    #[track_caller]
    fn joins(&self, link: &str, from: &str, to: &str) {
        let [x1, y1, x2, y2] = self.numbers(link, ["x1", "y1", "x2", "y2"]);
        assert_eq!([[x1, y1], [x2, y2]], [self.pin(from), self.pin(to)], "{link}");
    }

    /// That a pin is drawn so far to the right of another and above it, in mm.
    #[track_caller]
    fn stands(&self, pin: &str, from: &str, [right, up]: [f64; 2]) {
        let scale = self.told("drawn at");
        let ([x, y], [from_x, from_y]) = (self.pin(pin), self.pin(from));
        let wanted = [from_x + scale * right, from_y - scale * up];
        let off = (x - wanted[0]).abs().max((y - wanted[1]).abs());
        assert!(off <= LAST_DIGIT, "{pin} is drawn at {:?} and belongs to {wanted:?}", [x, y]);
    }

    #[track_caller]
    fn says(&self, text: &str) {
        assert!(self.text.contains(&format!(">{text}</text>")), "{text}");
    }
}

/// So far out in a direction in degrees.
fn along(length: f64, degrees: f64) -> [f64; 2] {
    let radians = degrees.to_radians();
    [length * radians.cos(), length * radians.sin()]
}

/// What a formula comes to, in mm or degrees.
fn computed(formula: &str) -> f64 {
    let table = format!("dimensions:\n  value: '{formula}'\n");
    let texts = Memory::new([("params/design.yaml", "setout: 1\n"), ("params/t.yaml", &table)]);
    let evaluation = Design::read(&texts).evaluate();
    assert_eq!(evaluation.faults(), []);
    evaluation.value("t.value").and_then(|value| value.number()).expect("a number")
}

/// An angle as the pictures write it.
fn degrees(angle: f64) -> String {
    format!("{angle:.1}°").replace('-', "−")
}

#[test]
fn the_four_bar_linkage_is_drawn_as_it_is_computed() {
    let picture = Picture::read("four-bar.svg");
    let [a, b, c, d, input] = ["links a", "b", "c", "d", "at θ2"].map(|words| picture.told(words));
    for circuit in ["open", "crossed"] {
        let call = |function: &str| {
            computed(&format!(
                "four_bar_{function}({a} mm, {b} mm, {c} mm, {d} mm, {input} deg, \"{circuit}\")"
            ))
        };
        let [coupler, output, transmission] = ["coupler", "output", "transmission"].map(call);
        let id = |name: &str| format!("{circuit}-{name}");
        picture.stands(&id("P"), &id("O"), along(a, input));
        picture.stands(&id("B"), &id("P"), along(b, coupler));
        picture.stands(&id("D"), &id("O"), [d, 0.0]);
        picture.stands(&id("B"), &id("D"), along(c, output));
        for (link, from, to) in [("a", "O", "P"), ("b", "P", "B"), ("c", "D", "B"), ("d", "O", "D")]
        {
            picture.joins(&id(link), &id(from), &id(to));
        }
        let [coupler, output, transmission] = [coupler, output, transmission].map(degrees);
        picture.says(&format!("θ2 = {input}°, θ3 = {coupler}, θ4 = {output}, μ = {transmission}"));
    }
}

/// The side of the line from P to D that the coupler pin is drawn on is what names the pose.
#[test]
fn the_poses_bear_their_names() {
    let picture = Picture::read("four-bar.svg");
    for (circuit, side) in [("open", "left"), ("crossed", "right")] {
        let [p, d, b] = ["P", "D", "B"].map(|name| picture.pin(&format!("{circuit}-{name}")));
        // The y of a picture runs downwards.
        let turn = (d[0] - p[0]) * (p[1] - b[1]) - (p[1] - d[1]) * (b[0] - p[0]);
        assert_eq!(if turn > 0.0 { "left" } else { "right" }, side);
        picture.says(&format!("{circuit}: B is {side} of the line P → D"));
    }
}

#[test]
fn the_slider_crank_is_drawn_as_it_is_computed() {
    let picture = Picture::read("slider-crank.svg");
    let [a, b, offset, input] =
        ["links are a", "b", "offset", "θ2 is"].map(|words| picture.told(words));
    picture.stands("open-P", "open-O", along(a, input));
    picture.joins("open-a", "open-O", "open-P");
    for circuit in ["open", "crossed"] {
        let at = computed(&format!(
            "slider_crank({a} mm, {b} mm, {offset} mm, {input} deg, \"{circuit}\")"
        ));
        let slider = format!("{circuit}-S");
        picture.stands(&slider, "open-O", [at, offset]);
        picture.joins(&format!("{circuit}-b"), "open-P", &slider);
        picture.says(&format!("{circuit}: {at:.2} mm").replace('-', "−"));
    }
    let [open, crossed] = ["open-S", "crossed-S"].map(|pin| picture.pin(pin)[0]);
    assert!(open > crossed, "open is farther along x");
}

/// A picture is shown on light pages and on dark ones, so it has a ground of its own.
#[test]
fn every_picture_has_its_own_ground() {
    for name in ["four-bar.svg", "slider-crank.svg"] {
        let picture = Picture::read(name);
        let size = picture.text.split('"').nth(3).expect("a view box").replace("0 0 ", "");
        let (width, height) = size.split_once(' ').expect("two sizes");
        let ground =
            format!("<rect width=\"{width}\" height=\"{height}\" rx=\"6\" fill=\"#fcfcfa\"");
        assert!(picture.text.contains(&ground), "{name}: {ground}");
    }
}
