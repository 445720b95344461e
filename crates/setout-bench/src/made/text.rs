//! The tables as texts.

use std::fmt::Write as _;

use super::group::{ALONG, BAR, CLEAR, MID, RISE, dimensions, mixed, name, table_name};
use super::{Dialect, Dimension, GROUP, Size};

pub(super) const DESIGN: &str = "\
# A large design, made to measure with.
setout: 1
name: plates on bars
currency: GBP
processes:
  printed: { tolerance: ±0.20 mm, spread: normal, note: 0.4 mm nozzle with 0.2 mm layers }
  laser_cut: { tolerance: ±0.10 mm, spread: uniform }
";

pub(super) const COMMON_TABLE: &str = "\
about: What all plates have in common
dimensions:
  play: { value: 0.05 mm, min: 0 mm, max: 1 mm, note: what a brush of paint takes on both sides }
";

/// Groups to a part.
const PART: usize = 10;
/// One group in so many turns.
const TURNING: usize = 50;

const NOTES: [&str; 12] = [
    "as on the first sheet that was drawn by hand; nobody has found a reason to change it",
    "measured on the bench at the first fitting, with the caliper's long jaws",
    "the insert goes in from above, and a long screw still ends in it",
    "stiff enough that nothing shows when the plate is pressed by a thumb",
    "thinner walls split when the post is tapped",
    "what the printer still holds without support when its nozzle has worn a little",
    "room for the finger of whoever fits it",
    "keeps the lead clear of the edge, wherever the arm stands",
    "stock size of the tube, so that nothing has to be turned down",
    "half a turn of the screw either way, for whoever fits it with cold hands",
    "the horn swings past here with the cover on",
    "common practice; the first two heads were made so",
];

/// Setout's language in a table, by its number: names of the same table stand bare.
#[derive(Clone, Copy, Debug)]
pub struct Own(pub usize);

impl Dialect for Own {
    fn amount(&self, amount: f64, unit: &str) -> String {
        if unit.is_empty() { format!("{amount}") } else { format!("{amount} {unit}") }
    }
    fn name(&self, table: usize, index: usize) -> String {
        let name = name(table, index);
        if table == self.0 { name } else { format!("{}.{name}", table_name(table)) }
    }
    fn squared(&self, of: &str) -> String {
        format!("{of}^2")
    }
    fn root(&self, of: &str) -> String {
        format!("sqrt({of})")
    }
    fn sine(&self, of: &str) -> String {
        format!("sin({of})")
    }
    fn larger(&self, a: &str, b: &str) -> String {
        format!("max({a}, {b})")
    }
    fn choice(&self, a: &str, b: &str, yes: &str, no: &str) -> String {
        format!("if({a} > {b}, {yes}, {no})")
    }
}

/// The text of a table.
pub(super) fn table(size: Size, table: usize) -> String {
    let mut text = format!("about: Plates of bar {table}, from its left end on\ndimensions:\n");
    for (index, dimension) in dimensions(size, table).enumerate() {
        if index % (GROUP * BAR) == 0 {
            let _ = writeln!(text, "\n  # A bar, from its end.");
        }
        entry(&mut text, table, index, &dimension);
    }
    text.push_str("\nchecks:\n");
    (0..size.groups).for_each(|group| checks(&mut text, group));
    text.push_str("\nparts:\n");
    (0..size.groups).step_by(PART).for_each(|first| part(&mut text, size, first));
    text
}

fn entry(text: &mut String, table: usize, index: usize, dimension: &Dimension) {
    let (group, word) = (index / GROUP, index % GROUP);
    let Dimension { name, .. } = dimension;
    let value = dimension.value.written(&Own(table));
    let note = NOTES[mixed(table, group, 10 + word as u64) % NOTES.len()];
    let _ = match word {
        0 => writeln!(
            text,
            "  {name}:\n    value: {value}\n    min: 5 mm\n    max: 24 mm\n    tolerance: ±0.1 mm\n    note: {note}"
        ),
        1 => writeln!(
            text,
            "  {name}: {{ value: {value}, min: 1.2 mm, tolerance: printed, note: \"{note}\" }}"
        ),
        2 if group % TURNING == 7 => {
            writeln!(
                text,
                "  {name}:\n    value: {value}\n    travel: [0 deg, 60 deg]\n    note: {note}"
            )
        }
        2 => writeln!(text, "  {name}: {{ value: {value}, max: 60 deg, note: \"{note}\" }}"),
        3 => writeln!(
            text,
            "  {name}:\n    value: {value}\n    max: 40 mm\n    tolerance: printed\n    note: {note}"
        ),
        4 => writeln!(
            text,
            "  {name}:\n    value: {value}\n    tolerance: laser_cut\n    note: {note}"
        ),
        5 => writeln!(
            text,
            "  {name}:\n    value: {value}\n    min: 1 mm\n    max: 500 mm\n    note: {note}"
        ),
        6 => writeln!(text, "  {name}:\n    value: {value}\n    unit: cm\n    note: {note}"),
        9 => writeln!(text, "  {name}:\n    value: {value}\n    note: {note}"),
        _ => writeln!(text, "  {name}: {{ value: {value}, note: \"{note}\" }}"),
    };
}

/// A check for every second group, and one for each bar.
fn checks(text: &mut String, group: usize) {
    if group % 2 == 1 {
        let _ = writeln!(
            text,
            "  bosses_apart_{group}:\n    require: pitch_{group} - boss_{group} >= 0.5 mm\n    \
             tight: 0.3 mm\n    why: two bosses that touch cannot be printed apart"
        );
    }
    if group % BAR == BAR - 1 {
        let _ = writeln!(
            text,
            "  bar_{}_is_long_enough: {{ require: along_{group} <= 1500 mm, why: the tube comes in one length }}",
            group / BAR
        );
    }
    if group % TURNING == 7 {
        let _ = writeln!(
            text,
            "  turns_free_{group}: {{ require: clear_{group} >= 0.5 mm, why: the plate strikes the bar }}"
        );
    }
}

/// What nothing else names is used by a part.
fn part(text: &mut String, size: Size, first: usize) {
    let groups = first..(first + PART).min(size.groups);
    let used = groups
        .flat_map(|group| [MID, RISE, ALONG, CLEAR].map(|word| name(0, group * GROUP + word)));
    let used: Vec<String> = used.collect();
    let _ = writeln!(
        text,
        "  plate_{}:\n    made: printed\n    material: PETG\n    cost: 1.20 GBP\n    mass: 38 g\n    uses: [{}]",
        first / PART,
        used.join(", ")
    );
}
