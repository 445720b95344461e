//! The ten dimensions of a group, as formulas.

use super::{GROUP, Size, Term};

/// A dimension: what it is called in its table, and its formula.
#[derive(Clone, Debug)]
pub struct Dimension {
    /// The name in the table.
    pub name: String,
    /// What it is worth.
    pub value: Term,
    /// Whether a hand chose it.
    pub is_chosen: bool,
}

/// What the dimensions of a group are called, in their order.
pub(super) const WORDS: [&str; GROUP] =
    ["bore", "wall", "swing", "boss", "pitch", "reach", "mid", "rise", "along", "clear"];

/// The indices of [`WORDS`].
pub(super) const BOSS: usize = 3;
pub(super) const PITCH: usize = 4;
pub(super) const REACH: usize = 5;
pub(super) const MID: usize = 6;
pub(super) const RISE: usize = 7;
pub(super) const ALONG: usize = 8;
pub(super) const CLEAR: usize = 9;

/// Plates on one bar: their pitches add up along it.
pub(super) const BAR: usize = 20;

/// The table of what all plates have in common; it holds [`PLAY`] alone.
pub const COMMON: usize = usize::MAX;
/// What the dimension is called that every derived one depends on.
pub const PLAY: &str = "play";

pub(super) fn table_name(table: usize) -> String {
    if table == COMMON { "common".to_owned() } else { format!("t{table:03}") }
}

/// What the dimension of a table is called there.
pub fn name(table: usize, index: usize) -> String {
    match table {
        COMMON => PLAY.to_owned(),
        _ => format!("{}_{}", WORDS[index % GROUP], index / GROUP),
    }
}

/// All dimensions of a table, group by group.
pub fn dimensions(size: Size, table: usize) -> impl Iterator<Item = Dimension> {
    (0..size.groups).flat_map(move |group| {
        let terms = group_terms(size, table, group);
        terms.into_iter().enumerate().map(move |(index, value)| Dimension {
            name: name(table, group * GROUP + index),
            value,
            is_chosen: index < BOSS,
        })
    })
}

/// A number that looks like chance, and is the same for the same place.
pub(super) fn mixed(table: usize, group: usize, what: u64) -> usize {
    let mut x = (table as u64) << 40 ^ (group as u64) << 8 ^ what;
    for (shift, by) in [(30, 0xbf58_476d_1ce4_e5b9), (27, 0x94d0_49bb_1331_11eb)] {
        x = (x ^ (x >> shift)).wrapping_mul(by);
    }
    (x ^ (x >> 31)) as usize
}

fn group_terms(size: Size, table: usize, group: usize) -> [Term; GROUP] {
    let own = |index: usize| Term::Named(table, group * GROUP + index);
    let mm = |amount: f64| Term::Amount(amount, "mm");
    let number = |amount: f64| Term::Amount(amount, "");
    let tenths = |least: usize, span: usize, what: u64| {
        mm((least + mixed(table, group, what) % span) as f64 / 10.0)
    };
    let [bore, wall, swing, boss] = [0, 1, 2, BOSS].map(own);
    let [pitch, reach, rise] = [PITCH, REACH, RISE].map(own);
    let along = match group % BAR {
        0 => pitch.clone(),
        _ => Term::Named(table, (group - 1) * GROUP + ALONG) + pitch.clone(),
    };
    let closest = Box::new([rise.clone(), mm(8.0), reach.clone() - rise, reach.clone() + mm(1.0)]);
    [
        tenths(60, 120, 0),
        tenths(12, 24, 1),
        Term::Amount((10 + mixed(table, group, 2) % 40) as f64, "deg"),
        bore + number(2.0) * wall + Term::Named(COMMON, 0),
        Term::Larger(Box::new(boss.clone()), Box::new(neighbour(size, table, group))) + mm(1.5),
        Term::Root(Box::new(
            Term::Squared(Box::new(pitch.clone())) + Term::Squared(Box::new(boss.clone())),
        )) / number(2.0),
        (boss + pitch) / number(2.0),
        reach * Term::Sine(Box::new(swing)),
        along,
        Term::Choice(closest),
    ]
}

/// The middle of a plate that stands beside this one: on a table before it, or before it on the same.
fn neighbour(size: Size, table: usize, group: usize) -> Term {
    let mid = |table: usize, group: usize| Term::Named(table, group * GROUP + MID);
    match (table, group) {
        (0, group) if group % BAR == 0 => Term::Amount(9.0, "mm"),
        (0, group) => mid(0, group - 1),
        _ => mid(mixed(table, group, 3) % table, mixed(table, group, 4) % size.groups),
    }
}
