//! A list of a text with other items. Those that stay keep their lines and comments.

use super::insert::{Patch, eol, key_end, node_at, patched};
use super::row::Row;
use super::take::same_faults;
use super::words::column;
use super::{Edit, List, New, Node, SpliceError, Word, read, same_except, splice_all};
use crate::common::common;

/// More items than these are not compared one with another; they are changed in their order.
const MOST_COMPARED: usize = 500;

/// The text with these items in a list that has others.
pub(crate) fn relist(text: &str, path: &[&str], new: &[Word]) -> Result<String, SpliceError> {
    let (before, problems) = read(text);
    let stale = || SpliceError::Stale { at: 0 };
    let before = before.ok_or_else(stale)?;
    let list = node_at(&before, path).and_then(Node::as_list).ok_or_else(stale)?;
    let fault = || SpliceError::Unwritable {
        at: list.span.start,
        new: New::List(new.to_vec()).written(true),
    };
    let is_good = |result: &String| {
        let (Some(mut after), new_problems) = read(result) else { return false };
        let Some(node) = super::insert::node_at_mut(&mut after, path) else { return false };
        let found = New::List(new.to_vec()).is(node);
        *node = Node::List(list.clone());
        found
            && same_except(Some(&before), Some(&after), &[])
            && same_faults(&problems, &new_problems)
    };
    let by_items = by_items(text, path, new).filter(is_good);
    by_items.or_else(|| anew(text, list, new).filter(is_good)).ok_or_else(fault)
}

/// In brackets, where no comment is lost by that.
fn anew(text: &str, list: &List, new: &[Word]) -> Option<String> {
    let bare = list.flow && !text[list.span.clone()].contains('#');
    bare.then(|| patched(text, &[(list.span.clone(), New::List(new.to_vec()).written(true))]))?
}

/// Item by item: first as many as there are to be, then each as it is to be.
fn by_items(text: &str, path: &[&str], new: &[Word]) -> Option<String> {
    let tree = read(text).0?;
    let old: Vec<String> = values(node_at(&tree, path)?.as_list()?)?;
    let old: Vec<&str> = old.iter().map(String::as_str).collect();
    let steps = steps(&old, new);
    let mut text = text.to_owned();
    let mut at = 0;
    for step in steps {
        match step {
            Step::Stays => at += 1,
            Step::Goes => text = changed(&text, path, |row| removal(row, at))?,
            Step::Comes(index) => {
                let word = &new[index];
                text = changed(&text, path, |row| addition(row, at, word))?;
                at += 1;
            }
        }
    }
    let tree = read(&text).0?;
    let list = node_at(&tree, path)?.as_list()?;
    let scalars: Option<Vec<_>> = list.items.iter().map(Node::as_scalar).collect();
    let pairs = scalars?.into_iter().zip(new).filter(|(scalar, word)| scalar.value != word.text);
    let quoted: Vec<_> = pairs.map(|(scalar, word)| (word.over(scalar), word)).collect();
    let edits: Vec<Edit<'_>> = quoted
        .iter()
        .map(|(scalar, word)| Edit { scalar, new: &word.text, in_flow: list.flow })
        .collect();
    splice_all(&text, &edits).ok()
}

fn values(list: &List) -> Option<Vec<String>> {
    list.items.iter().map(|item| Some(item.as_scalar()?.value.to_string())).collect()
}

/// The text after a change that the items of the list suggest, the first that can be read.
fn changed(
    text: &str,
    path: &[&str],
    ways: impl Fn(&Row<'_>) -> Vec<Vec<Patch>>,
) -> Option<String> {
    let (tree, problems) = read(text);
    let tree = tree?;
    let list = node_at(&tree, path)?;
    let row = Row::of(text, list, key_end(&tree, path))?;
    let results = ways(&row).into_iter().filter_map(|patches| patched(text, &patches));
    let mut good = results.filter(|result| {
        let (Some(after), new_problems) = read(result) else { return false };
        let lists = node_at(&after, path).and_then(Node::as_list).is_some();
        lists && same_faults(&problems, &new_problems)
    });
    good.next()
}

fn removal(row: &Row<'_>, at: usize) -> Vec<Vec<Patch>> {
    row.removals(at).into_iter().map(|way| vec![(way, String::new())]).collect()
}

/// One more item, before the one that is the `at`th now.
fn addition(row: &Row<'_>, at: usize, word: &Word) -> Vec<Vec<Patch>> {
    let Some(last) = at.checked_sub(1) else { return as_first(row, word) };
    let end = row.span(last).end;
    let mut ways = Vec::new();
    if row.is_flow() {
        let piece = word.written(true);
        if at == row.len() {
            ways.extend(row.new_lines(std::slice::from_ref(&piece)));
        }
        ways.push(vec![(end..end, format!(", {piece}"))]);
    } else if let Some(lines) = row.lines(last) {
        let indent = " ".repeat(column(row.text(), row.span(last).start));
        let line = format!("{}{indent}- {}", eol(row.text()), word.written(false));
        ways.push(vec![(lines.end..lines.end, line)]);
    }
    ways
}

fn as_first(row: &Row<'_>, word: &Word) -> Vec<Vec<Patch>> {
    if row.len() == 0 {
        return Vec::new();
    }
    let start = row.span(0).start;
    let piece = match row.is_flow() {
        true => format!("{}, ", word.written(true)),
        false => {
            let indent = " ".repeat(column(row.text(), start));
            format!("- {}{}{indent}", word.written(false), eol(row.text()))
        }
    };
    vec![vec![(start..start, piece)]]
}

/// What becomes of the items, in their order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Step {
    /// An item stays where it is, with its text or with another.
    Stays,
    /// An item goes.
    Goes,
    /// The new item of this number comes.
    Comes(usize),
}

/// The fewest steps: equal items stay, and between them as many as there are on both sides.
fn steps(old: &[&str], new: &[Word]) -> Vec<Step> {
    let (mut steps, mut i, mut j) = (Vec::new(), 0, 0);
    let long = old.len().max(new.len()) > MOST_COMPARED;
    let texts: Vec<&str> = new.iter().map(|word| &*word.text).collect();
    let kept = if long { Vec::new() } else { common(old, &texts) };
    for (a, b) in kept.into_iter().chain([(old.len(), new.len())]) {
        while i < a && j < b {
            steps.push(Step::Stays);
            (i, j) = (i + 1, j + 1);
        }
        steps.extend((i..a).map(|_| Step::Goes));
        steps.extend((j..b).map(Step::Comes));
        if a < old.len() {
            steps.push(Step::Stays);
        }
        (i, j) = (a + 1, b + 1);
    }
    steps
}

#[cfg(test)]
#[expect(clippy::unwrap_used, reason = "a test stops where it fails")]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn words(texts: &[&str]) -> Vec<Word> {
        texts.iter().map(|text| Word { text: (*text).to_owned(), quoted: false }).collect()
    }

    #[test]
    fn items_that_stay_keep_their_lines() {
        let lines = "uses:   # these\r\n  - a   # of a\r\n  # above b\r\n  - 'b'\r\n  - c # of c\r\nnote: x\r\n";
        let braces = "{ uses: [ a,b , \"c\" ], note: x }";
        let spread = "uses: [\n  # above a\n  a, # of a\n  b,\n  c # of c\n]\n";
        for (text, new, after) in [
            (lines, &["b", "c"][..], lines.replace("  - a   # of a\r\n", "")),
            (lines, &["a", "c"], lines.replace("  # above b\r\n  - 'b'\r\n", "")),
            (lines, &["a", "b", "d", "c"], lines.replace("  - c", "  - d\r\n  - c")),
            (
                lines,
                &["a", "b", "c", "d: e"],
                lines.replace("# of c\r\n", "# of c\r\n  - \"d: e\"\r\n"),
            ),
            (lines, &["z", "a", "b", "c"], lines.replace("  - a", "  - z\r\n  - a")),
            (lines, &["a", "z", "c"], lines.replace("'b'", "'z'")),
            (braces, &["b", "c"], braces.replace("a,b", "b")),
            (braces, &["a", "b"], braces.replace(" , \"c\"", "")),
            (braces, &["a", "x, y", "b", "c"], braces.replace("a,b", "a, \"x, y\",b")),
            (braces, &["q"], braces.replace("a,b , \"c\"", "q")),
            (spread, &["b", "c"], spread.replace("  # above a\n  a, # of a\n", "")),
            (spread, &["a", "b", "c", "d"], spread.replace("c # of c\n", "c, # of c\n  d\n")),
            (spread, &["a", "b"], spread.replace("  c # of c\n", "")),
            ("uses: []\n", &["a"], "uses: [a]\n".to_owned()),
            ("uses:\n- a\n- b", &["a"], "uses:\n- a\n".to_owned()),
        ] {
            assert_eq!(relist(text, &["uses"], &words(new)).as_deref(), Ok(&*after), "{new:?}");
        }
    }

    fn texts() -> impl Strategy<Value = Vec<&'static str>> {
        let word = prop::sample::select(vec!["a", "b", "c", "d", "x, y", "µ # 1", "- z", "it's"]);
        prop::collection::vec(word, 1..7)
    }

    /// A list in one of many layouts, with comments numbered from 1.
    fn written(items: &[&str], form: usize, commented: bool) -> String {
        let comment = |i: usize| if commented { format!("   #@{i} µ [") } else { String::new() };
        let words = words(items);
        let item = |i: usize, in_flow: bool| words[i].written(in_flow);
        let each = |line: &dyn Fn(usize) -> String| (0..items.len()).map(line).collect::<String>();
        match form {
            0 => {
                let items: Vec<String> = (0..items.len()).map(|i| item(i, true)).collect();
                format!("k: [{}]\nnote: x", items.join(" ,"))
            }
            1 => {
                let lines = each(&|i| format!("  {},{}\n", item(i, true), comment(i)));
                format!("k: [\n{lines}  ]\nnote: x\n")
            }
            2 => format!(
                "k:\n{}note: x\n",
                each(&|i| format!("- {}{}\n", item(i, false), comment(i)))
            ),
            _ => format!(
                "k:{}\n{}\n\nnote: x",
                comment(99),
                each(&|i| format!("\n  #@2{i} above\n  -   {}{}", item(i, false), comment(i)))
            ),
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn a_list_becomes_any_other(old in texts(), new in texts(), form in 0..4_usize, commented in any::<bool>(), crlf in any::<bool>()) {
            let text = written(&old, form, commented);
            let text = if crlf { text.replace('\n', "\r\n") } else { text };
            let result = relist(&text, &["k"], &words(&new));
            prop_assert!(result.is_ok(), "{new:?} for\n{text}");
            let result = result.unwrap();
            let (tree, problems) = read(&result);
            prop_assert!(problems.is_empty(), "{result}");
            let list = values(node_at(&tree.unwrap(), &["k"]).unwrap().as_list().unwrap()).unwrap();
            prop_assert_eq!(list, new.clone(), "{}", result);
            prop_assert!(!crlf || !result.replace("\r\n", "").contains('\n'));
            // Comments of items that stay in their order are there.
            let kept = common(&old, &new);
            if commented && form > 0 {
                for (i, _) in kept {
                    let own = format!("#@{i} ");
                    prop_assert!(result.contains(&own), "{own} in\n{result}\nfor\n{text}");
                }
            }
            prop_assert_eq!(relist(&result, &["k"], &words(&new)), Ok(result.clone()));
        }
    }
}
