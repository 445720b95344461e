//! Random edits of a table with all that a table may hold, comments behind fields among it, merged
//! both ways round: what either side wrote is there, and every choice at the marks is a table.

use std::collections::BTreeMap;

use proptest::prelude::*;
use setout_design::merge::{Labels, MergedTable, ThreeWay, merge_table};
use setout_design::yaml::{Node, read};

const HEAD: &str = "\
# The head.

about: the head
dimensions:
  # over all
  width: 62 mm
  wall: 2.4 mm      # as printed
  arm:
    value: width * 0.35   # lever
    # below that it slips
    min: 18 mm
    note: long enough

  # --- where it turns ---

  pivot: { value: 3 mm, max: 4 mm }   # bought
  swing:
    value: 0 deg
    travel: [0 deg, 28 deg]
schedules:
  servo:
    columns: { channel: count, neutral: deg }   # two
    rows:
      # the left one
      left: [0, 90 deg]    # trimmed
      right: [1, 90 deg]
checks:
  fits: { require: width <= 70 mm, why: the socket }
  # as bought
  turns:
    require: pivot >= 2 mm
    tight: 0.5 mm
parts:
  shell: { made: bought, cost: 2 GBP, uses: [width, wall] }
  rim:
    made: printed
    uses:
      - arm   # inner
      - pivot
";

/// An edit of a line: which, what is done to it, and a number that makes it its own.
type Change = (prop::sample::Index, usize, u32);

fn change() -> impl Strategy<Value = Change> {
    (any::<prop::sample::Index>(), 0..8_usize, 0..1000_u32)
}

/// The span of the first number in a line, behind its key.
fn number(line: &str) -> Option<std::ops::Range<usize>> {
    let from = line.find(": ")? + 2;
    let start = from + line[from..].find(|c: char| c.is_ascii_digit())?;
    let end = line[start..].find(|c: char| !c.is_ascii_digit() && c != '.');
    Some(start..end.map_or(line.len(), |end| start + end))
}

/// The lines that stand for one after an edit. `who` keeps the comments of both sides apart.
fn edited(line: &str, how: usize, new: u32, who: &str) -> Option<Vec<String>> {
    let indent = " ".repeat(line.len() - line.trim_start().len());
    let line = line.to_owned();
    match how {
        0 | 1 => {
            let span = number(&line)?;
            Some(vec![format!("{}{}{}", &line[..span.start], 5 + new % 90, &line[span.end..])])
        }
        2 => (!line.contains('#')).then(|| vec![format!("{line} # {who}{new}")]),
        3 => Some(vec![format!("{indent}# {who}{new}"), line]),
        4 => Some(vec![]),
        5 => Some(vec![format!("{indent}n{}: {} mm", new % 5, new % 4), line]),
        6 => {
            let (key, value) = line.strip_suffix(" mm")?.split_once(": ")?;
            (!value.contains('{'))
                .then(|| vec![format!("{key}: {{ value: {value} mm, min: {} mm }}", new % 3)])
        }
        _ => {
            let (before, _) = line.split_once("# ")?;
            Some(vec![format!("{before}# {who}{new}")])
        }
    }
}

/// The table after those edits that leave it one.
fn side(changes: &[Change], who: &str) -> String {
    changes.iter().fold(HEAD.to_owned(), |text, (which, how, new)| {
        let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
        let at = which.index(lines.len());
        let Some(instead) = edited(&lines[at], *how, *new, who) else { return text };
        lines.splice(at..=at, instead);
        let next = lines.join("\n") + "\n";
        if read(&next).1.is_empty() { next } else { text }
    })
}

fn comments(text: &str) -> Vec<&str> {
    text.lines().filter_map(|line| Some(line[line.find('#')?..].trim())).collect()
}

/// The text with one alternative at each mark: `pick` says whether it is the first.
fn picked(text: &str, pick: impl Fn(usize) -> bool) -> String {
    let (mut found, mut place, mut mark) = (String::new(), 0, 0);
    for line in text.split_inclusive('\n') {
        match line.split_whitespace().next() {
            Some("<<<<<<<") => place = 1,
            Some("|||||||") => place = 2,
            Some("=======") => place = 3,
            Some(">>>>>>>") => (place, mark) = (0, mark + 1),
            _ if place == 0 || place == if pick(mark) { 1 } else { 3 } => found.push_str(line),
            _ => {}
        }
    }
    found
}

/// What a table says, value by value; what a part uses in the order of the names.
fn values(text: &str) -> BTreeMap<String, String> {
    fn walk(node: &Node, path: &str, found: &mut BTreeMap<String, String>) {
        match node {
            Node::Map(map) => {
                for entry in &map.entries {
                    walk(&entry.value, &format!("{path}/{}", entry.key.value), found);
                }
            }
            Node::List(list) => {
                let items = list.items.iter().filter_map(Node::as_scalar);
                let mut items: Vec<&str> = items.map(|item| item.value.trim()).collect();
                if path.ends_with("/uses") {
                    items.sort_unstable();
                }
                found.insert(path.to_owned(), items.join(", "));
            }
            Node::Scalar(scalar) => {
                let short = path.starts_with("/dimensions/") && path.matches('/').count() == 2;
                let path = if short { format!("{path}/value") } else { path.to_owned() };
                found.insert(path, scalar.value.trim().to_owned());
            }
            Node::Empty(_) => {}
        }
    }
    let mut found = BTreeMap::new();
    if let (Some(tree), _) = read(text) {
        walk(&tree, "", &mut found);
    }
    found
}

fn names(of: &MergedTable) -> Vec<String> {
    let name = |of: &setout_design::merge::MergeConflict| format!("{} {:?}", of.name, of.what);
    let mut names: Vec<_> = of.conflicts.iter().map(name).collect();
    names.sort();
    names
}

fn holds(ours: &str, theirs: &str) -> Result<(), TestCaseError> {
    let merge =
        |ours, theirs| merge_table(ThreeWay { base: HEAD, ours, theirs }, &Labels::default());
    let (one, other) = (merge(ours, theirs), merge(theirs, ours));
    let told = format!("--- ours\n{ours}--- theirs\n{theirs}--- merged\n{}", one.text);
    prop_assert_eq!(names(&one), names(&other), "{}\n--- the other way\n{}", told, other.text);
    prop_assert_eq!(&one.by_lines, &other.by_lines, "{}", told);
    for comment in comments(ours).into_iter().chain(comments(theirs)) {
        let was_there = HEAD.contains(comment);
        prop_assert!(was_there || one.text.contains(comment), "{comment} is lost: {told}");
    }
    if one.by_lines.is_some() {
        return Ok(());
    }
    let ways: [&dyn Fn(usize) -> bool; 4] =
        [&|_| true, &|_| false, &|mark| mark % 2 == 0, &|mark| mark % 2 == 1];
    for pick in ways {
        let (mine, yours) = (picked(&one.text, pick), picked(&other.text, |mark| !pick(mark)));
        prop_assert!(read(&mine).1.is_empty(), "no table: {mine}\n{told}");
        // Marks may stand in another order the other way round, if there are several.
        if one.conflicts.len() < 2 {
            prop_assert_eq!(values(&mine), values(&yours), "{}", told);
        }
    }
    let (was, own, their) = (values(HEAD), values(ours), values(theirs));
    let (mine, yours) =
        (values(&picked(&one.text, |_| true)), values(&picked(&one.text, |_| false)));
    for place in was.keys().chain(own.keys()).chain(their.keys()) {
        let [b, o, t, m, y] = [&was, &own, &their, &mine, &yours].map(|of| of.get(place));
        // Rows and sets are merged item by item.
        let is_list =
            [o, t].iter().flatten().any(|text| text.contains(", ")) || place.ends_with("/uses");
        let settled = if o == b { t } else { o };
        let is_right =
            if m == y { m == settled && (o == b || t == b || o == t) } else { m == o && y == t };
        prop_assert!(is_list || is_right, "{place}: {told}");
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn nothing_is_lost_and_every_choice_is_a_table(
        own in prop::collection::vec(change(), 1..6),
        other in prop::collection::vec(change(), 1..6),
    ) {
        holds(&side(&own, "o"), &side(&other, "t"))?;
    }
}
