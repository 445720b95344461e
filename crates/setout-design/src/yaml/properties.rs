//! Tables with every kind of spacing: what is read is what was written, at its place, and a splice
//! changes nothing but its scalar.

use proptest::prelude::*;

use super::{Lines, Node, Scalar, Span, Style, quote, read, splice, torn};

/// A scalar as it is to be written.
#[derive(Clone, Debug)]
struct Text {
    value: String,
    style: Style,
}

#[derive(Clone, Debug)]
enum Value {
    One(Text),
    Row(Vec<Text>),
    Braces(Vec<Text>),
    Below(Vec<Text>),
    Dashes(Vec<Text>),
    Nothing,
}

#[derive(Clone, Debug)]
struct Item {
    value: Value,
    blanks: usize,
    comment: bool,
    empty_line: bool,
}

#[derive(Clone, Debug)]
struct Layout {
    mark: bool,
    line_break: &'static str,
    last_break: bool,
}

fn texts() -> impl Strategy<Value = Text> {
    let signs = [
        "a", "b", "62 mm", "±0.2", "µ", "😀", " ", "'", "\"", "\\", "#", ": ", ":", ",", "(", ")",
        "[", "]", "{", "}", "-", "!", "&", "*", "%", "0", ".", ">", "?", "@", "`", "=", "\u{a0}",
    ];
    let value = prop::collection::vec(prop::sample::select(signs.to_vec()), 0..8);
    let value = value.prop_map(|signs| signs.concat());
    (value, 0..5usize).prop_map(|(value, style)| Text { value, style: styles()[style] })
}

fn styles() -> [Style; 5] {
    [Style::Plain, Style::Single, Style::Double, Style::Literal, Style::Folded]
}

fn items() -> impl Strategy<Value = Vec<Item>> {
    let some = || prop::collection::vec(texts(), 1..4);
    let value = prop_oneof![
        4 => texts().prop_map(Value::One),
        1 => some().prop_map(Value::Row),
        1 => some().prop_map(Value::Braces),
        1 => some().prop_map(Value::Below),
        1 => some().prop_map(Value::Dashes),
        1 => Just(Value::Nothing),
    ];
    let item = (value, 1..4usize, any::<bool>(), any::<bool>()).prop_map(
        |(value, blanks, comment, empty_line)| Item { value, blanks, comment, empty_line },
    );
    prop::collection::vec(item, 1..8)
}

fn layouts() -> impl Strategy<Value = Layout> {
    let line_break = prop_oneof![Just("\n"), Just("\r\n"), Just("\r")];
    (any::<bool>(), line_break, any::<bool>()).prop_map(|(mark, line_break, last_break)| Layout {
        mark,
        line_break,
        last_break,
    })
}

/// A text and what is to be found in it, in the order of the text.
#[derive(Default)]
struct Written {
    text: String,
    scalars: Vec<(Span, String, Style)>,
}

impl Written {
    /// Writes a scalar in its style, or in double quotes where it cannot stand otherwise.
    fn scalar(&mut self, text: &Text, layout: &Layout, indent: Option<usize>) {
        let Text { value, style } = text;
        let in_flow = indent.is_none();
        let balanced = !in_flow || torn::open_parentheses(value) == 0;
        let block = !value.is_empty() && !value.starts_with(' ');
        let (source, value, style) = match (style, indent) {
            (Style::Plain, _) if quote::is_plain(value, in_flow) && balanced => {
                (value.clone(), value.clone(), Style::Plain)
            }
            (Style::Single, _) => (quote::single(value), value.clone(), Style::Single),
            (Style::Literal, Some(indent)) if block => {
                let inside = " ".repeat(indent);
                let source = format!("|{0}{inside}{value}{0}{0}{inside} x", layout.line_break);
                (source, format!("{value}\n\n x\n"), Style::Literal)
            }
            (Style::Folded, Some(indent)) if block => {
                let inside = " ".repeat(indent);
                let source = format!(">-{0}{inside}{value}{0}{inside}x", layout.line_break);
                (source, format!("{value} x"), Style::Folded)
            }
            _ => (quote::double(value), value.clone(), Style::Double),
        };
        let start = self.text.len();
        self.text += &source;
        self.scalars.push((start..self.text.len(), value, style));
    }

    fn key(&mut self, name: &str) {
        let start = self.text.len();
        self.text += name;
        self.scalars.push((start..self.text.len(), name.to_owned(), Style::Plain));
        self.text.push(':');
    }

    fn item(&mut self, number: usize, item: &Item, layout: &Layout) {
        let blanks = " ".repeat(item.blanks);
        self.key(&format!("name_{number}"));
        match &item.value {
            Value::Nothing => {}
            Value::One(text) => {
                self.text += &blanks;
                self.scalar(text, layout, Some(2));
            }
            Value::Row(texts) => self.row(texts, &blanks, layout, "[]"),
            Value::Braces(texts) => self.row(texts, &blanks, layout, "{}"),
            Value::Below(texts) | Value::Dashes(texts) => {
                for (i, text) in texts.iter().enumerate() {
                    self.text += layout.line_break;
                    self.text += &blanks;
                    if matches!(item.value, Value::Below(_)) {
                        self.key(&format!("inner_{i}"));
                    } else {
                        self.text.push('-');
                    }
                    self.text += &blanks;
                    self.scalar(text, layout, Some(item.blanks + 1));
                }
            }
        }
        let in_block = self.scalars.last().is_some_and(|(span, _, style)| {
            span.end == self.text.len() && matches!(style, Style::Literal | Style::Folded)
        });
        if item.comment && !in_block {
            self.text += &format!("{blanks}# ± as measured: {{ [ 'x");
        }
        if item.empty_line {
            self.text += layout.line_break;
        }
    }

    fn row(&mut self, texts: &[Text], blanks: &str, layout: &Layout, brackets: &str) {
        self.text += blanks;
        self.text += &brackets[..1];
        for (i, text) in texts.iter().enumerate() {
            if i > 0 {
                self.text += &format!(",{blanks}");
            }
            if brackets == "{}" {
                self.key(&format!("column_{i}"));
                self.text.push(' ');
            }
            self.scalar(text, layout, None);
            if i % 2 == 1 {
                self.text += blanks;
            }
        }
        self.text += &brackets[1..];
    }
}

fn written(items: &[Item], layout: &Layout) -> Written {
    let mut written = Written::default();
    if layout.mark {
        written.text.push('\u{feff}');
    }
    for (i, item) in items.iter().enumerate() {
        if i > 0 {
            written.text += layout.line_break;
        }
        written.item(i, item, layout);
    }
    if layout.last_break {
        written.text += layout.line_break;
    }
    written
}

/// All scalars in the order of the text, with whether they stand inside brackets.
fn scalars(node: &Node, in_flow: bool, found: &mut Vec<(Scalar, bool)>) {
    match node {
        Node::Scalar(scalar) => found.push((scalar.clone(), in_flow)),
        Node::Empty(_) => {}
        Node::List(list) => {
            list.items.iter().for_each(|item| scalars(item, list.flow, found));
        }
        Node::Map(map) => {
            for entry in &map.entries {
                found.push((entry.key.clone(), map.flow));
                scalars(&entry.value, map.flow, found);
            }
        }
    }
}

fn all_scalars(node: &Node) -> Vec<(Scalar, bool)> {
    let mut found = Vec::new();
    scalars(node, false, &mut found);
    found
}

/// Whether each character of the value stands where it is said to stand.
fn places_are_right(text: &str, scalar: &Scalar) -> bool {
    let right = |(i, c): (usize, char)| {
        let source = &text[scalar.source_offset(i)..];
        source.starts_with(c)
            || source.starts_with('\\')
            || matches!(c, ' ' | '\n') && (source.is_empty() || source.starts_with(['\r', '\n']))
    };
    scalar.value.char_indices().all(right)
}

/// What YAML is made of, in no order.
fn scraps() -> impl Strategy<Value = String> {
    let scraps = [
        "a", "b: ", ": ", "- ", "\n", "\n  ", "\n    ", "\r\n", "[", "]", "{", "}", ", ", "\"",
        "'", "|", ">", "#", "# ", " #2", "!x ", "&y ", "*z", "? ", "%", "---", "...", "\t", "±",
        "\u{feff}", "\0", "\\", "(", ")", "<<: ", "x: 1\n",
    ];
    prop::collection::vec(prop::sample::select(scraps.to_vec()), 0..24)
        .prop_map(|scraps| scraps.concat())
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 400,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn what_was_written_is_read(items in items(), layout in layouts()) {
        let written = written(&items, &layout);
        let (node, problems) = read(&written.text);
        prop_assert_eq!(&problems, &[], "{}", written.text);
        let found = all_scalars(&node.unwrap());
        let plain: Vec<_> =
            found.iter().map(|(s, _)| (s.span.clone(), s.value.to_string(), s.style)).collect();
        prop_assert_eq!(&plain, &written.scalars, "{}", written.text);
        for (scalar, _) in &found {
            prop_assert!(places_are_right(&written.text, scalar), "{scalar:?} in {}", written.text);
            let end = scalar.source_offset(scalar.value.len());
            let quotes = usize::from(matches!(scalar.style, Style::Single | Style::Double));
            prop_assert_eq!(end, scalar.span.end - quotes);
        }
    }

    #[test]
    fn a_splice_changes_its_scalar_alone(
        items in items(),
        layout in layouts(),
        new in texts(),
        which in any::<prop::sample::Index>(),
    ) {
        let text = written(&items, &layout).text;
        let before = all_scalars(&read(&text).0.unwrap());
        let which = which.index(before.len());
        let (scalar, in_flow) = &before[which];
        // A name may be refused, as in `? `; a value may not.
        let is_key = scalar.value.contains("name_") || scalar.value.contains("_");
        let Ok(changed) = splice(&text, scalar, &new.value, *in_flow) else {
            prop_assert!(is_key, "{:?} for {scalar:?} in {text:?}", new.value);
            return Ok(());
        };
        prop_assert!(changed.starts_with(&text[..scalar.span.start]));
        prop_assert!(changed.ends_with(&text[scalar.span.end..]));
        let after = all_scalars(&read(&changed).0.unwrap());
        prop_assert_eq!(after.len(), before.len());
        for (i, ((before, _), (after, _))) in before.iter().zip(&after).enumerate() {
            let wanted = if i == which { new.value.as_str() } else { &before.value };
            prop_assert_eq!(&after.value, wanted, "{}", changed);
        }
        let back = splice(&changed, &after[which].0, &scalar.value, *in_flow).unwrap();
        prop_assert_eq!(all_scalars(&read(&back).0.unwrap()).len(), before.len());
    }

    #[test]
    fn anything_is_read_without_panic(text in scraps()) {
        let (node, problems) = read(&text);
        let lines = Lines::new(&text);
        for problem in &problems {
            prop_assert!(text.get(problem.span.clone()).is_some(), "{problem:?} in {text:?}");
            prop_assert!(!problem.help.is_empty() && lines.place(problem.span.start).0 > 0);
        }
        for (scalar, _) in node.iter().flat_map(all_scalars) {
            prop_assert!(text.get(scalar.span.clone()).is_some(), "{scalar:?} in {text:?}");
            let offsets = || (0..=scalar.value.len()).map(|i| scalar.source_offset(i));
            prop_assert!(offsets().is_sorted() && offsets().all(|at| at <= text.len()));
            let right = !problems.is_empty() || places_are_right(&text, &scalar);
            prop_assert!(right, "{scalar:?} in {text:?}");
        }
        prop_assert!(node.is_some() || !problems.is_empty() || text.lines().all(|line| {
            let line = line.trim_matches(['\u{feff}', ' ', '\r']);
            line.is_empty() || line.starts_with(['#', '-', '.'])
        }), "{text:?}");
    }
}
