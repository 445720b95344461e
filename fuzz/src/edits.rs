//! Edits in an input: its first lines, as long as they are `! WHAT NAME = NEW`; without ` = NEW`
//! something is taken out.

/// One edit: what is to change, of what, and to what.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Wanted {
    pub(super) what: String,
    pub(super) name: String,
    pub(super) new: Option<String>,
}

/// More are refused or done like fewer.
const MOST_EDITS: usize = 6;

/// The edits, and what stands behind them. `\n` in a new value is a line end.
pub(super) fn edits(input: &[u8]) -> (Vec<Wanted>, &[u8]) {
    let mut edits = Vec::new();
    let mut rest = input;
    while let Some(behind) = rest.strip_prefix(b"! ") {
        let end = behind.iter().position(|byte| *byte == b'\n').unwrap_or(behind.len());
        let line = String::from_utf8_lossy(&behind[..end]);
        if let Some(edit) = wanted(&line).filter(|_| edits.len() < MOST_EDITS) {
            edits.push(edit);
        }
        rest = behind.get(end + 1..).unwrap_or_default();
    }
    (edits, rest)
}

fn wanted(line: &str) -> Option<Wanted> {
    let (what, rest) = line.split_once(' ')?;
    let (name, new) = rest.split_once(" = ").map_or((rest, None), |(name, new)| (name, Some(new)));
    let new = new.map(|new| new.replace("\\n", "\n"));
    Some(Wanted { what: what.into(), name: name.trim().into(), new })
}

/// The name asked for if it is one of these, or else one that it picks, so that an edit that was
/// torn still edits something.
pub(super) fn name_of(names: &[String], asked: &str) -> String {
    let is_named = |name: &&String| {
        name.as_str() == asked || name.split_once('.').is_some_and(|(_, bare)| bare == asked)
    };
    let sum: usize = asked.bytes().map(usize::from).sum();
    let picked = || names.get(sum % names.len().max(1));
    names.iter().find(is_named).or_else(picked).map_or_else(|| asked.to_owned(), String::clone)
}
