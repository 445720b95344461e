//! A table merged as a table, and the proof that the text says what was settled.

use std::collections::BTreeSet;

use super::ThreeWay;
use super::follow::Unsettled;
use super::meaning::Meaning;
use super::output::{ConflictKind, Output};
use super::renamed::Renamed;
use super::settle::{Side, settle};
use super::write::{Writer, by_lines};
use crate::yaml::{Node, pieces, read};

/// One of the three texts: its lines ended by LF, without a byte-order mark.
pub(super) struct State {
    pub(super) text: String,
    pub(super) tree: Option<Node>,
    mark: bool,
    /// Whether every line ends with CRLF; `None` where some do and some do not.
    crlf: Option<bool>,
    open: bool,
}

impl State {
    fn of(text: &str) -> Result<Self, String> {
        let bare = text.strip_prefix('\u{feff}').unwrap_or(text);
        let (pairs, feeds) = (bare.matches("\r\n").count(), bare.matches('\n').count());
        if bare.replace("\r\n", "\n").contains('\r') || (pairs != feeds && pairs != 0) {
            return Err("its lines do not all end in the same way".into());
        }
        let mut lines = bare.replace("\r\n", "\n");
        let open = !lines.is_empty() && !lines.ends_with('\n');
        if open {
            lines.push('\n');
        }
        let (tree, problems) = read(&lines);
        if !problems.is_empty() {
            return Err("it cannot be read as a table".into());
        }
        let crlf = (feeds > 0).then_some(pairs > 0);
        Ok(Self { text: lines, tree, mark: bare.len() < text.len(), crlf, open })
    }
}

/// What a field of three states comes to where it is one of two.
fn either<T: PartialEq + Copy>([base, ours, theirs]: [T; 3]) -> T {
    if ours == base { theirs } else { ours }
}

/// Merges the table; the error says why that is not possible, as a clause. The names in `asked` are
/// marked wherever they stand.
pub(super) fn merged(texts: ThreeWay<'_>, asked: &Unsettled) -> Result<Output, String> {
    let state = |text: &str, which: &str| {
        State::of(text).map_err(|reason| format!("{which} is no plain table: {reason}"))
    };
    let states = [
        state(texts.base, "the base")?,
        state(texts.ours, "ours")?,
        state(texts.theirs, "theirs")?,
    ];
    let [base, ours, theirs] = &states;
    let mut output = match both_ways([base, ours, theirs], asked) {
        Ok(output) => output,
        Err(reason) if asked.is_empty() => safe(texts, &states, reason)?,
        Err(reason) => return Err(reason),
    };
    let of = |get: fn(&State) -> bool| either(states.each_ref().map(get));
    output.mark = of(|state| state.mark);
    output.open = of(|state| state.open);
    let breaks = states.each_ref().map(|state| state.crlf);
    output.crlf = either(breaks).or(breaks[1]).or(breaks[2]).unwrap_or(false);
    Ok(output)
}

/// What no side's place has a part in: the other way round there have to be the same conflicts.
fn both_ways([base, ours, theirs]: [&State; 3], asked: &Unsettled) -> Result<Output, String> {
    let output = written([base, ours, theirs], asked)?;
    let is_same = written([base, theirs, ours], asked)?.names() == output.names();
    if is_same { Ok(output) } else { Err("its two sides do not fit together".into()) }
}

/// Readable tables whose entries could not be put together. Lines that merge without a mark are
/// only taken where they say what was settled.
fn safe(texts: ThreeWay<'_>, states: &[State; 3], reason: String) -> Result<Output, String> {
    if by_lines(texts).has_conflicts() {
        return Err(reason);
    }
    let [base, ours, theirs] = states;
    let lines = ThreeWay { base: &base.text, ours: &ours.text, theirs: &theirs.text };
    let output = by_lines(lines);
    let is_proved = !output.has_conflicts()
        && proved([base, ours, theirs], &Renamed::default(), &output, &BTreeSet::new()).is_ok();
    if is_proved {
        return Ok(output);
    }
    let lines = states.each_ref().map(|state| Some(state.text.as_str()));
    Ok(Output::of_file(lines, ConflictKind::Lines, &Unsettled::new()))
}

fn written(states: [&State; 3], asked: &Unsettled) -> Result<Output, String> {
    let [base, ours, theirs] = states;
    match () {
        () if !asked.is_empty() => {}
        () if theirs.text == base.text || ours.text == theirs.text => {
            return Ok(Output::of_text(&ours.text));
        }
        () if ours.text == base.text => return Ok(Output::of_text(&theirs.text)),
        () => {}
    }
    let renamed = Renamed::between(states.map(|state| state.tree.as_ref()), asked);
    let blocks = states.map(|state| state.tree.as_ref().and_then(|tree| pieces(&state.text, tree)));
    let [_, Some(of_ours), Some(of_theirs)] = &blocks else {
        return Err("a side has several entries on a line, or none at all".into());
    };
    if blocks[0].is_none() && base.tree.is_some() {
        return Err("the base has several entries on a line".into());
    }
    let of = |state: &State| renamed.applied(Meaning::of_table(state.tree.as_ref()));
    let meanings = states.map(of);
    let mut writer = Writer::new(states, &renamed, &meanings);
    writer.root([blocks[0].as_ref(), Some(of_ours), Some(of_theirs)]);
    let (output, marked) = writer.finish();
    proved(states, &renamed, &output, &marked)?;
    let is_marked = |name: &String| marked.iter().any(|path| path.get(1) == Some(name));
    match asked.keys().map(|name| renamed.now(name)).all(|name| is_marked(&name)) {
        true => Ok(output),
        // A mark of a section, or of nothing smaller than the table, is not put by hand.
        false => Err("a name in it has to be settled".into()),
    }
}

/// With either side's lines at every conflict, the text is a table, and says what was settled.
fn proved(
    states: [&State; 3],
    renamed: &Renamed,
    output: &Output,
    marked: &BTreeSet<Vec<String>>,
) -> Result<(), String> {
    let of = |tree: Option<&Node>| renamed.applied(Meaning::of_table(tree));
    let meanings = states.map(|state| of(state.tree.as_ref()));
    let three = meanings.each_ref().map(Some);
    for side in [Side::Ours, Side::Theirs] {
        let mut open = Vec::new();
        let wanted = settle(&mut Vec::new(), three, side, marked, &mut open);
        let (tree, problems) = read(&output.side(side));
        let found = of(tree.as_ref());
        let is_settled = open.is_empty() && problems.is_empty();
        if !is_settled || wanted.map(tidied) != Some(tidied(found)) {
            return Err("its entries could not be put together safely".into());
        }
    }
    Ok(())
}

/// Without sections that have nothing in them: those come and go with their last entry.
fn tidied(meaning: Meaning) -> Meaning {
    let kept = meaning
        .entries()
        .iter()
        .filter(|(_, value)| !matches!(value, Meaning::Map(_)) || !value.entries().is_empty());
    Meaning::Map(kept.cloned().collect())
}
