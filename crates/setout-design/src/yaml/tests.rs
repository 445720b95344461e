//! Every fault with its place and mend, and what is read in spite of it.

use super::{DEEPEST, Lines, Node, Scalar, Slug, SpliceError, Style, read, splice, utf8};

/// The faults of a text as a maker sees them, without the file's name.
fn faults(text: &str) -> Vec<String> {
    let lines = Lines::new(text);
    let shown = |problem: &super::Problem| {
        let (line, column) = lines.place(problem.span.start);
        format!("{line}:{column}: {} | {}", problem.message, problem.help)
    };
    read(text).1.iter().map(shown).collect()
}

fn fault(text: &str) -> String {
    let faults = faults(text);
    assert_eq!(faults.len(), 1, "{text:?} has {faults:#?}");
    faults.into_iter().next().unwrap()
}

/// A tree in one line: `{a: 1, b: [x, ~]}`, with `?` for a value that could not be read.
fn tree(text: &str) -> String {
    read(text).0.map_or_else(String::new, |node| shown(&node))
}

fn shown(node: &Node) -> String {
    match node {
        Node::Scalar(scalar) => scalar.value.to_string(),
        Node::Empty(span) if span.is_empty() => "~".to_owned(),
        Node::Empty(_) => "?".to_owned(),
        Node::List(list) => {
            format!("[{}]", list.items.iter().map(shown).collect::<Vec<_>>().join(", "))
        }
        Node::Map(map) => {
            let entry =
                |entry: &super::Entry| format!("{}: {}", entry.key.value, shown(&entry.value));
            format!("{{{}}}", map.entries.iter().map(entry).collect::<Vec<_>>().join(", "))
        }
    }
}

fn value<'n>(node: &'n Node, path: &[&str]) -> &'n Scalar {
    let mut node = node;
    for name in path {
        node = match node {
            Node::Map(map) => map.get(name).unwrap(),
            Node::List(list) => &list.items[name.parse::<usize>().unwrap()],
            _ => panic!("no {name}"),
        };
    }
    node.as_scalar().unwrap()
}

const TABLE: &str = "\u{feff}about: Lower jaw\r
dimensions:\r
  width: 62 mm      # ±0.1\r
  arm: { value: \"width * 0.35\", min: 18 mm }\r
  opening:\r
    travel: [0 deg, '28 deg']   # µ\r
    note: >-\r
      long enough\r
      to clear\r
  empty:\r
parts:\r
- a\r
- b";

#[test]
fn a_table_is_read_with_its_places() {
    let (node, problems) = read(TABLE);
    assert_eq!(problems, []);
    let node = node.unwrap();
    assert_eq!(
        shown(&node),
        "{about: Lower jaw, dimensions: {width: 62 mm, arm: {value: width * 0.35, min: 18 mm}, \
         opening: {travel: [0 deg, 28 deg], note: long enough to clear}, empty: ~}, parts: [a, b]}"
    );
    let source = |path: &[&str]| &TABLE[value(&node, path).span.clone()];
    assert_eq!(source(&["dimensions", "width"]), "62 mm");
    assert_eq!(source(&["dimensions", "arm", "value"]), "\"width * 0.35\"");
    assert_eq!(source(&["dimensions", "opening", "travel", "1"]), "'28 deg'");
    let note = value(&node, &["dimensions", "opening", "note"]);
    assert_eq!(&TABLE[note.span.clone()], ">-\r\n      long enough\r\n      to clear");
    assert_eq!(&TABLE[note.source_offset(12)..note.span.end], "to clear");
    assert_eq!(note.source_offset(note.value.len()), note.span.end);
    let Some(Node::Empty(empty)) =
        node.as_map().and_then(|map| map.get("dimensions")?.as_map()?.get("empty"))
    else {
        panic!("not empty")
    };
    assert_eq!(Lines::new(TABLE).place(empty.start), (10, 9));
    assert_eq!(empty.len(), 0);
}

#[test]
fn lines_end_in_every_way() {
    let text = "\u{feff}a\r\nb±c\rd\n\ne";
    let lines = Lines::new(text);
    let place = |what: &str| lines.place(text.find(what).unwrap());
    assert_eq!(place("a"), (1, 1));
    assert_eq!(place("b"), (2, 1));
    assert_eq!(place("c"), (2, 3));
    assert_eq!(place("d"), (3, 1));
    assert_eq!(place("e"), (5, 1));
    assert_eq!(lines.place(usize::MAX), (5, 2));
    // Both bytes of a CRLF stand in one place.
    assert_eq!((place("\r\n"), place("\n")), ((1, 2), (1, 2)));
    assert_eq!(lines.place(text.find('±').unwrap() + 1), (2, 2));
}

#[test]
fn offsets_go_through_escapes_and_folds() {
    let text = "a: 'it''s'\nb: \"\\u00b1 1\\tx\"\nc: one\n  two\n\n  three\nd: |2\n   x\n  y\n";
    let node = read(text).0.unwrap();
    let at = |name: &str, byte: usize| &text[value(&node, &[name]).source_offset(byte)..][..1];
    assert_eq!(value(&node, &["a"]).value, "it's");
    assert_eq!((at("a", 2), at("a", 3), at("a", 4)), ("'", "s", "'"));
    assert_eq!(value(&node, &["b"]).value, "± 1\tx");
    assert_eq!((at("b", 0), at("b", 3), at("b", 4), at("b", 5)), ("\\", "1", "\\", "x"));
    assert_eq!(value(&node, &["c"]).value, "one two\nthree");
    assert_eq!((at("c", 4), at("c", 8), at("c", 13)), ("t", "t", "\n"));
    assert_eq!(value(&node, &["d"]).value, " x\ny\n");
    assert_eq!((at("d", 1), at("d", 3)), ("x", "y"));
}

#[test]
fn formulas_torn_apart_by_commas_are_put_together() {
    let text = "a: [0, max(a, b)]\nb: { x: f(a, b), y: 1 }\n";
    assert_eq!(
        faults(text),
        [
            "1:8: the comma in `max(a, b)` ends this item, as commas do inside brackets \
             | quote the whole value: 'max(a, b)'",
            "2:9: the comma in `f(a, b)` ends this item, as commas do inside brackets \
             | quote the whole value: 'f(a, b)'",
        ]
    );
    assert_eq!(tree(text), "{a: [0, max(a, b)], b: {x: f(a, b), y: 1}}");
    assert_eq!(
        fault("a: [0, hole(screw, \"medium\")]\nb: 1"),
        "1:8: the comma in `hole(screw, \"medium\")` ends this item, as commas do inside brackets \
         | quote the whole value: 'hole(screw, \"medium\")'"
    );
    assert_eq!(tree("a: [0, hole(screw, \"medium\")]\nb: 1"), "{a: ?, b: 1}");
}

#[test]
fn unbalanced_brackets() {
    assert_eq!(
        fault("a: { x: f(a, b }\n"),
        "1:9: `f(a, b` has an opening parenthesis and no closing one \
         | close it and quote the whole value: 'f(a, b)'"
    );
    assert_eq!(
        fault("a: [b), 2]"),
        "1:5: `b)` has a closing parenthesis and no opening one \
         | write the opening one, or delete the closing one"
    );
    let never = " | put a ] at the end, or quote the whole value if it is a text";
    assert_eq!(fault("a:\n  b: [0, 5\n  c: 3\n"), format!("2:6: the [ is never closed{never}"));
    assert_eq!(tree("a:\n  b: [0, 5\n  c: 3\n"), "{a: {b: ?, c: 3}}");
    assert_eq!(
        fault("a: {b: [1, 2}"),
        format!("1:8: the [ is closed by a bracket of another kind{never}")
    );
    assert!(fault("a: [1]]\nb: 2").starts_with("1:7: ] closes a bracket that was never opened"));
    assert!(fault("a: [1,,2]").starts_with("1:7: there is nothing before this comma"));
    assert!(fault("a: [\n1, 2\n]\nb: 3").starts_with("2:1: this line stands inside the brackets"));
    assert!(fault("a: {x: y: z}").starts_with("1:9: this colon with a blank behind it"));
    assert!(fault("a: [1]# x").starts_with("1:7: there is no blank before this #"));
    assert!(fault("a: [b -]").starts_with("1:7: a dash stands before"));
    assert!(fault("a: {x:1}").ends_with("| write x: 1"));
    assert!(fault("a: [-]").starts_with("1:5: a dash stands before"));
}

#[test]
fn brackets_over_several_lines() {
    assert_eq!(
        fault("a: {\n  x: 1\n  y: 2 }\nb: 3"),
        "3:3: there is no comma before `y: 2 }` \
         | put a comma between the two, or quote them if they are one value"
    );
    assert!(fault("a: [ x\n  # why\n  y ]\n").starts_with("3:3: there is no comma before `y ]`"));
    assert!(fault("a: [ x\n  , , y ]\n").starts_with("2:5: there is nothing before this comma"));
    assert!(fault("a: {\nx\n:\n1\n}\n").starts_with("2:1: this line stands inside the brackets"));
    let colon = "2:3: this colon stands on another line than its name";
    assert!(fault("[ x\n  : 1 ]\n").starts_with(colon), "{}", fault("[ x\n  : 1 ]\n"));
    assert!(fault("[\n--- ,\n...\n]\n").starts_with("2:1: `--- ,` cannot stand inside brackets"));
    // The parser stops at the blank, and what is meant begins behind it.
    let found = faults("a: { b---\n, c:1! d:\n% )'é\n\ne: f }\n");
    assert_eq!(found.len(), 2);
    assert!(found[1].starts_with("3:3: `)'é` cannot stand inside brackets"), "{found:#?}");
}

#[test]
fn colons() {
    assert_eq!(
        fault("note: that is: all\nb: 1"),
        "1:7: the value `that is: all` holds a colon and a blank \
         | quote the whole value: 'that is: all'"
    );
    assert_eq!(
        fault("d:\n  a: 1\n  width 62 mm\n  b: 2\n"),
        "3:3: there is no colon in `width 62 mm` | write width: 62 mm"
    );
    assert_eq!(
        fault("d:\n  width:62 mm\n  b: 2\n"),
        "2:3: there is no blank behind the colon of `width` | write width: 62 mm"
    );
    assert_eq!(tree("d:\n  a: 1\n  width 62 mm\n  b: 2\n"), "{d: {a: 1, b: 2}}");
    assert!(fault("a: 1\nb\n c: 2\n").starts_with("3:2: what stands before this colon is no name"));
    assert!(fault(": 1\na: 2").starts_with("1:1: there is no name before this colon"));
    assert!(fault("\"\": 1\na: 2").starts_with("1:1: there is no name before this colon"));
}

#[test]
fn indentation() {
    let help = "line it up with the other names of its group";
    for text in ["a: 1\n  b: 2\nc: 3\n", "a:\n   x: 1\n  y: 2\nc: 3\n", "a:\n  x: 1\n y: 2\nc: 3\n"]
    {
        let fault = fault(text);
        assert!(fault.contains("the blanks before this line fit no line above it"), "{fault}");
        assert!(fault.ends_with(help), "{fault}");
        assert!(tree(text).ends_with("c: 3}"), "{}", tree(text));
    }
    assert!(fault("a: 1\n- b\n").contains("this item of a list stands where a name is wanted"));
}

#[test]
fn quotes() {
    assert_eq!(
        fault("a: \"62 mm\nb: 3\n"),
        "1:4: the quote that begins `\"62 mm` is never closed \
         | put a \" behind the value, on the same line"
    );
    assert_eq!(tree("a: \"62 mm\nb: 3\n"), "{a: ?, b: 3}");
    assert_eq!(
        fault("a: 'don't'\nb: 3\n"),
        "1:9: `t'` stands behind a closing quote \
         | quote the whole value: \"don't\""
    );
    assert!(fault("a: \"C:\\dir\"").contains("a backslash begins an escape"));
    assert!(fault("a: \"\\e[31m\"").contains("invisible control character"));
    for line_end in ["\n", "\r\n", "\r"] {
        let folded = format!("a: \"\\0 b{line_end}  c\"{line_end}");
        assert!(fault(&folded).contains("invisible control character"), "{folded:?}");
    }
}

#[test]
fn tabs() {
    let line = "this line is indented with a tab | indent with blanks, two for each step";
    let word = "there is a tab here | put a blank in its place";
    assert_eq!(fault("a:\tb"), format!("1:3: {word}"));
    assert_eq!(fault("a: b\t# c"), format!("1:5: {word}"));
    assert_eq!(fault("a: 62\tmm"), format!("1:6: {word}"));
    assert_eq!(faults("a:\n\tb: 1\n\tc: 2\n"), [format!("2:1: {line}"), format!("3:1: {line}")]);
    assert_eq!(fault("a:\n  b: 1\n\tc: 2\n  d: 3\n"), format!("3:1: {line}"));
    assert_eq!(tree("a:\n  b: 1\n\tc: 2\n  d: 3\n"), "{a: {b: 1, d: 3}}");
    assert_eq!(fault("a: |\n\tx\n"), format!("2:1: {line}"));
    // A tab decides how deep a block is, and would be lost from its value.
    assert_eq!(fault("a: |-\n \tx\n"), format!("2:2: {line}"));
    assert_eq!(fault("a: |\n  x\n \ty\n"), format!("3:2: {line}"));
    assert_eq!(fault("a: |2\n \tx\n"), format!("2:2: {line}"));
    assert_eq!(fault("a: >\n \t\n x\nb: 1\n"), format!("2:2: {line}"));
    assert_eq!(fault("\u{feff}a: >\r\n \t\r\n\r\n x\r\n"), format!("2:2: {line}"));
    assert!(fault("a: >\n   \n x\n").starts_with("3:2: this line is indented less"));
    assert_eq!(fault("a: |\t# why\tnot\n  x\n"), format!("1:5: {word}"));
    // YAML takes one within quotes for indentation that is not deep enough.
    assert_eq!(fault("a: \"x\n\ty\"\n"), format!("2:1: {line}"));
    assert_eq!(fault("a: 'x\n\n  \ty'\n"), format!("3:3: {line}"));
    let fine = "a: \"x\ty\"  #\tz\nb: 'x\ty'\n#\t\nc: |\n  x\ty\n  \tz\n";
    assert_eq!(faults(fine), [""; 0]);
    assert_eq!(tree(fine), "{a: x\ty, b: x\ty, c: x\ty\n\tz\n}");
    let many = "a:\n".to_owned() + &"- a\t# x\n".repeat(30);
    assert_eq!(faults(&many).len(), 10);
    assert!(faults(&many)[9].contains("there is a tab here; 20 more follow"));
}

#[test]
fn names_that_stand_twice() {
    let text = "a: 1\nb: 2\na: 3\n'a': 4\n";
    let help = "give one of the two another name, or delete it";
    assert_eq!(
        faults(text),
        [
            format!("3:1: `a` already stands in line 1 | {help}"),
            format!("4:1: `a` already stands in line 1 | {help}")
        ]
    );
    assert!(read(text).1.iter().all(|problem| problem.slug == Slug::DuplicateName));
    assert_eq!(tree(text), "{a: 1, b: 2}");
    assert_eq!(tree("x: {a: 1, a: 2}"), "{x: {a: 1}}");
}

#[test]
fn parts_of_yaml_that_a_table_has_no_use_for() {
    let quoted = |text: &str, what: &str, help: &str| {
        let fault = fault(text);
        assert!(fault.contains(what) && fault.ends_with(help), "{fault}");
    };
    quoted("a: !!str x", "`!!str x` begins with !, which YAML takes for a tag", ": '!!str x'");
    quoted("a: !(x > 2)\nb: 1", "which YAML takes for a tag", "value: '!(x > 2)'");
    quoted("a: [!x, 2]", "`!x` begins with !", "value: '!x'");
    quoted("a: &b 3", "which YAML takes for an anchor", "value: '&b 3'");
    quoted("a: *b", "which YAML takes for a reference to an anchor", "value: '*b'");
    quoted("a: * 2\nb: 1", "a reference to an anchor", "value: '* 2'");
    quoted("a: @x", "a value that begins with @ must be quoted", "value: '@x'");
    quoted("a: >= 3", "a value that begins with > must be quoted", "value: '>= 3'");
    quoted("a: - 3", "a dash and a blank", "take out the blank, or quote the whole value: '- 3'");
    quoted("<<: {b: 1}\na: 2", "<< would merge", "write the entries out");
    quoted("%YAML 1.2\n---\na: 1", "is a directive", "delete the line");
    quoted("a: 1\n---\nb: 2", "2:1: a second --- begins another document", "file of its own");
    quoted("a: 1\n...\nb: 2", "3:1: this stands behind the line ...", "three dots");
    quoted("a: 1\n... b", "2:5: this stands on the line of three dots", "delete the line");
    quoted("a: 1\n%YAML 1.2\n", "2:1: a line that begins with %", "delete the line");
    quoted("--- a: 1\n", "1:5: a name stands on the line of ---", "put it on the line below");
    quoted("a: !e!b 1\n", "which YAML takes for a tag", "value: '!e!b 1'");
    quoted("- !a, b\n", "which YAML takes for a tag", "value: '!a, b'");
    quoted("a:\n- b\n&c\n- d\n", "3:1: `&c` begins with &", "value: '&c'");
    quoted("&a b: 1\n", "which YAML takes for an anchor", "value: '&a b: 1'");
    quoted("- >= 3\n", "a value that begins with > must be quoted", "value: '>= 3'");
    quoted("a: x # y\n  z\n", "1:6: a comment stands between the lines", "on one line");
    quoted(
        "? |\n  a\n: 1",
        "a question mark and a blank",
        "write name: value, without the question mark",
    );
    quoted("? a\n: 1", "a question mark and a blank", "without the question mark");
    quoted("[a]: 1", "a name is one word", "write name: value");
    quoted("{a: 1}: 1", "a name is one word", "write name: value");
    assert_eq!(faults("---\na: 1\n...\n# end\n"), [""; 0]);
    assert_eq!(tree("a: &x 1\nb: *x\nc: !t\n"), "{a: 1, b: ?, c: ?}");
}

#[test]
fn comments_before_digits() {
    assert_eq!(
        fault("width: 62 mm #2 screw\nb: x # 2\n#2\nc: 'x' #2\n"),
        "1:14: a blank and # begin a comment, so `#2 screw` does not belong to the value \
         | put a blank behind the # if it is a comment; if not, quote the whole value: \
         '62 mm #2 screw'"
    );
    assert!(fault("a: #4\n").ends_with("quote the whole value: '#4'"));
    assert!(fault("a: [1 #4\n ]").starts_with("1:7: a blank and #"));
}

#[test]
fn unreadable_characters() {
    assert!(fault("a: \0b").starts_with("1:4: there is a NUL character here"));
    assert!(fault("a: '\u{7}'").contains("(U+0007)"));
    assert!(fault("a: 1\n\u{feff}b: 2").starts_with("2:1: a byte-order mark"));
    assert_eq!(faults(&"\u{1}".repeat(30)).len(), 10);
    assert_eq!(utf8(b"a: \xff").unwrap_err().span, 3..4);
    assert!(utf8(b"\xff\xfea\0").unwrap_err().message.contains("UTF-16"));
    assert_eq!(utf8("±".as_bytes()), Ok("±"));
}

#[test]
fn every_syntax_error_is_named_and_the_rest_is_read() {
    let text = "a: @\nb: 1\nc: [2\nd: \"x\ne: {y: 2}\nf 3\ng: 4\n";
    let places: Vec<_> = faults(text).iter().map(|fault| fault[..3].to_owned()).collect();
    assert_eq!(places, ["1:4", "3:4", "4:4", "6:1"]);
    assert_eq!(tree(text), "{a: ?, b: 1, c: ?, d: ?, e: {y: 2}, g: 4}");
}

#[test]
fn depth_has_an_end() {
    let nested = |n: usize| "[".repeat(n) + &"]".repeat(n);
    assert_eq!(faults(&nested(DEEPEST)), [""; 0]);
    assert_eq!(read(&nested(DEEPEST + 1)).1[0].slug, Slug::TooLarge);
    let deep = [nested(20_000), "- ".repeat(20_000), "{a: ".repeat(20_000), "? ".repeat(20_000)];
    for text in deep {
        let problems = read(&text).1;
        assert!(problems.iter().any(|problem| problem.slug == Slug::TooLarge), "{problems:?}");
    }
}

/// Each of these would take minutes if the cost grew with the square of the length.
#[test]
fn long_hostile_texts_are_read_in_passing() {
    let long = |unit: &str| unit.repeat(200_000 / unit.len());
    let rows = ["(, ", "f(a, b), ", "!x, ", "a:1, ", "\"\\e\", ", "1, ", "b: 2, "];
    let blocks =
        ["a: 1\n", "a: @\n", "a: [\n", "a: \"\n", "\ta: 1\n", "- {a: 1, a: 2}\n", "± #2\n"];
    let texts = rows
        .iter()
        .flat_map(|row| [format!("a: [{}1]\n", long(row)), format!("a: {{{}b: 1}}", long(row))]);
    for text in texts.chain(blocks.map(long)).chain([long("\t"), long("\0"), long("a: |\n  ±\t\n")])
    {
        assert!(read(&text).1.len() <= 1021);
    }
}

#[test]
fn nothing_is_no_tree() {
    for text in ["", "\u{feff}", "# only a comment\n", "---\n", "---\n...\n"] {
        assert_eq!(read(text), (None, vec![]), "{text:?}");
    }
}

fn spliced(text: &str, path: &[&str], new: &str, in_flow: bool) -> String {
    let node = read(text).0.unwrap();
    splice(text, value(&node, path), new, in_flow).unwrap()
}

#[test]
fn a_splice_keeps_everything_else() {
    let changed = spliced(TABLE, &["dimensions", "width"], "64.5 mm", false);
    assert_eq!(changed, TABLE.replace("62 mm", "64.5 mm"));
    let changed = spliced(TABLE, &["dimensions", "arm", "value"], "f(\"x\", 2)", true);
    assert_eq!(changed, TABLE.replace("\"width * 0.35\"", "\"f(\\\"x\\\", 2)\""));
    let changed = spliced(TABLE, &["dimensions", "opening", "travel", "1"], "it's", true);
    assert_eq!(changed, TABLE.replace("'28 deg'", "'it''s'"));
    let changed = spliced(TABLE, &["dimensions", "opening", "travel", "0"], "max(1, 2)", true);
    assert_eq!(changed, TABLE.replace("0 deg,", "\"max(1, 2)\","));
    let changed = spliced(TABLE, &["parts", "1"], "x # y", false);
    assert_eq!(changed, TABLE.replace("- b", "- \"x # y\""));
}

#[test]
fn a_splice_keeps_a_block_where_it_can() {
    let text = "a: | # why\n  x\n  y\n\nb: 1\n";
    assert_eq!(spliced(text, &["a"], "64 mm", false), "a: |- # why\n  64 mm\n\nb: 1\n");
    assert_eq!(spliced(text, &["a"], "64 mm\n", false), "a: | # why\n  64 mm\n\nb: 1\n");
    assert_eq!(spliced(text, &["a"], "", false), "a: \"\" # why\n\nb: 1\n");
    assert_eq!(spliced(text, &["a"], " x", false), "a: \" x\" # why\n\nb: 1\n");
    assert_eq!(spliced("a: >+2\n   x\n\n\n", &["a"], "y", false), "a: >2-\n  y\n\n\n");
    assert_eq!(spliced("a: |\nb: 1\n", &["a"], "y", false), "a: \"y\"\nb: 1\n");
    assert_eq!(spliced("a: |\r\n  x", &["a"], "y\n", false), "a: |\r\n  y");
}

#[test]
fn a_splice_sets_no_traps() {
    for new in
        ["", " x", "a: b", "x #2", "#2", "- 3", "!x", "*x", "x:", "[", "'", "\"", "a\nb", "\t"]
    {
        let text = "a: 1 # c\nb: [1, 2]\n";
        let changed = spliced(text, &["a"], new, false);
        assert!(changed.ends_with(" # c\nb: [1, 2]\n"), "{changed}");
        let changed = spliced(text, &["b", "0"], new, true);
        assert!(changed.starts_with("a: 1 # c\nb: [") && changed.ends_with(", 2]\n"), "{changed}");
    }
    assert_eq!(spliced("a: 1\n", &["a"], "-3 mm", false), "a: -3 mm\n");
    assert_eq!(spliced("a: [1]\n", &["a", "0"], "(x", true), "a: [\"(x\"]\n");
}

#[test]
fn a_splice_that_would_change_more_is_refused() {
    let text = "a: 1\nb: 2\n";
    let node = read(text).0.unwrap();
    let entries = &node.as_map().unwrap().entries;
    let twice = splice(text, &entries[1].key, "a", false);
    assert!(matches!(twice, Err(SpliceError::Unwritable { at: 5, .. })), "{twice:?}");
    assert_eq!(splice(text, &entries[1].key, "c", false), Ok("a: 1\nc: 2\n".to_owned()));
    let stale = splice("a: 12\nb: 2\n", value(&node, &["a"]), "3", false);
    assert_eq!(stale, Err(SpliceError::Stale { at: 3 }));
    let control = splice(text, value(&node, &["a"]), "\u{1b}", false);
    assert!(matches!(control, Err(SpliceError::Unwritable { .. })), "{control:?}");
    assert_eq!(value(&node, &["a"]).style, Style::Plain);
}

#[test]
fn several_splices_at_once() {
    let text = "a: 1 # x\nb: [\"2\", 3]\n";
    let node = read(text).0.unwrap();
    let edit = |path: &[&str], new, in_flow| {
        let scalar = value(&node, path).clone();
        (scalar, new, in_flow)
    };
    let wanted = [edit(&["b", "1"], "x, y", true), edit(&["a"], "10", false)];
    let edits =
        wanted.iter().map(|(scalar, new, in_flow)| super::Edit { scalar, new, in_flow: *in_flow });
    let edits: Vec<_> = edits.collect();
    assert_eq!(super::splice_all(text, &edits).unwrap(), "a: 10 # x\nb: [\"2\", \"x, y\"]\n");
}
