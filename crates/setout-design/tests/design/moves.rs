//! Things that go to another table with their lines, and tables that get another name.

use setout_design::{Comparison, Design, EditFault, Evaluation, Memory, Rename, Source, What};

use crate::rename::{rename, text, written};
use crate::texts;

/// Two tables, `s` and `d`, after something of the one went to the other.
#[track_caller]
fn moved(s: &str, d: &str, old: &str, new: &str) -> [String; 2] {
    let memory = texts(&[("s", s), ("d", d)]);
    let rename = rename(&memory, old, new).unwrap_or_else(|fault| panic!("{fault}"));
    let after = written(&memory, &rename);
    same_values(&memory, &after, &rename);
    let back =
        self::rename(&after, &rename.to, &rename.from).unwrap_or_else(|fault| panic!("{fault}"));
    same_values(&after, &written(&after, &back), &back);
    [text(&after, "s"), text(&after, "d")]
}

/// Every value, margin and limit by its new name, as far as it is shown.
#[track_caller]
pub(crate) fn same_values(before: &Memory, after: &Memory, rename: &Rename) {
    let renamed = |name: &str| match name.strip_prefix(&rename.from) {
        Some(rest) if rest.is_empty() || rest.starts_with('.') => format!("{}{rest}", rename.to),
        _ => name.to_owned(),
    };
    let shown = |of: &Evaluation, name: &dyn Fn(&str) -> String| {
        let value = |value: &Option<setout_design::Amount>| {
            value.as_ref().map_or_else(String::new, ToString::to_string)
        };
        let mut all: Vec<String> = of
            .dimensions()
            .iter()
            .map(|of| format!("{} {}", name(&of.name), value(&of.value)))
            .collect();
        all.extend(
            of.checks()
                .iter()
                .map(|of| format!("{} {:?} {:?}", name(&of.name), of.verdict, of.margin)),
        );
        all.extend(of.limits().iter().map(|of| format!("{} {:?}", name(&of.name), of.verdict)));
        all.extend(
            of.parts()
                .iter()
                .map(|of| format!("{} {} {}", name(&of.name), value(&of.cost), value(&of.mass))),
        );
        all.sort();
        all.push(format!("{} {}", value(&of.cost()), value(&of.mass())));
        all
    };
    let evaluated = |memory: &Memory| {
        let evaluation = Design::read(memory).evaluate();
        assert_eq!(evaluation.faults(), []);
        evaluation
    };
    let (before, after) = (evaluated(before), evaluated(after));
    assert_eq!(shown(&after, &str::to_owned), shown(&before, &renamed));
}

#[test]
fn a_dimension_takes_its_lines_and_comments_along() {
    let s = "about: s
dimensions:
  # Not of this one.

  # Of the width,
  # in two lines.
  width:   # here
      value: 62 mm
      note: |
        a # text

        of the width
      # below
  # Of the half.
  half: width / 2 + s.width   # width
  own: d.top

checks:
  room: { require: width > own }
";
    let d = "dimensions:\r\n    top: s.width\r\n    # above\r\n    low: s.half + max(s.width, top)   # s.width\r\n    # the end\r\n\r\n# after\r\nparts: {}\r\n";
    let [s, d] = moved(s, d, "s.width", "d.span");
    assert_eq!(
        s,
        "about: s
dimensions:
  # Not of this one.

  # Of the half.
  half: d.span / 2 + d.span   # width
  own: d.top

checks:
  room: { require: d.span > own }
"
    );
    assert_eq!(
        d,
        "dimensions:\r\n    top: span\r\n    # above\r\n    low: s.half + max(span, top)   # s.width\r\n    # Of the width,\r\n    # in two lines.\r\n    span:   # here\r\n        value: 62 mm\r\n        note: |\r\n          a # text\r\n\r\n          of the width\r\n        # below\r\n    # the end\r\n\r\n# after\r\nparts: {}\r\n"
    );
}

#[test]
fn names_in_what_moves_get_their_table_or_lose_it() {
    let s = "dimensions:
  a: { value: b + s.b + d.c, min: -b, max: 'max(b , d.c)', travel: [-b, d.c * 2] }
  b: 2 mm
";
    let own = "dimensions: { k: s.a + s.b }\nschedules: { lid: { columns: { x: mm, y: mm }, rows: { lid: [2 mm, s.a] } } }\n";
    let d = "dimensions: { c: 3 mm }\n";
    let memory = texts(&[("s", s), ("d", d), ("own", own)]);
    let after = written(&memory, &rename(&memory, "s.a", "d.a").unwrap());
    assert_eq!(text(&after, "s"), "dimensions:\n  b: 2 mm\n");
    assert_eq!(
        text(&after, "d"),
        "dimensions: { c: 3 mm, a: { value: s.b + s.b + c, min: -s.b, max: 'max(s.b , c)', travel: [-s.b, c * 2] } }\n"
    );
    assert_eq!(text(&after, "own"), own.replace("s.a", "d.a"));
}

#[test]
fn schedules_checks_and_parts_go_too() {
    let s = "dimensions: { w: 2 mm }
schedules:
  servo: # a
    columns: { neutral: mm, label: text }
    rows:
      left: [w, x]   # of the left
      right: [servo.left.neutral + s.servo.left.neutral * d.k, \"x, y\"]
checks:
  room: { require: servo.right.neutral > w && lid.quantity * w > w, why: servo }
parts:
  # the lid
  lid: { made: bought, quantity: 2, cost: w * 1 GBP / 1 mm, mass: lid.quantity * 1 g, uses: [w, servo.neutral, d.k] }
  pin: { made: bought, cost: lid.cost / 2 }
";
    let d = "dimensions:\n  k: 2\n  sum_of: sum(s.servo.neutral) + s.lid.cost * 1 mm / 1 GBP";
    let [after_s, after_d] = moved(s, d, "s.servo", "d.motor");
    assert!(!after_s.contains("schedules:") && after_s.contains("d.motor.right.neutral > w"));
    assert_eq!(
        after_d,
        "dimensions:
  k: 2
  sum_of: sum(motor.neutral) + s.lid.cost * 1 mm / 1 GBP
schedules:
  motor: # a
    columns: { neutral: mm, label: text }
    rows:
      left: [s.w, x]   # of the left
      right: [motor.left.neutral + motor.left.neutral * k, \"x, y\"]"
    );
    let [after_s, after_d] = moved(s, d, "s.room", "d.room");
    assert!(!after_s.contains("checks:"), "{after_s}");
    assert!(after_d.ends_with(
        "\nchecks:\n  room: { require: s.servo.right.neutral > s.w && s.lid.quantity * s.w > s.w, why: servo }"
    ));
    let [after_s, after_d] = moved(s, d, "s.lid", "d.cap");
    assert!(
        after_s.ends_with("parts:\n  pin: { made: bought, cost: d.cap.cost / 2 }\n"),
        "{after_s}"
    );
    assert!(after_d.ends_with(
        "1 GBP\nparts:\n  # the lid\n  cap: { made: bought, quantity: 2, cost: s.w * 1 GBP / 1 mm, mass: cap.quantity * 1 g, uses: [s.w, s.servo.neutral, k] }"
    ), "{after_d}");
}

#[test]
fn a_name_that_both_tables_have_is_changed_on_the_way() {
    let s = "dimensions:\n  # of b\n  'b': a * 2\n  a: { value: 1 mm, note: a }\n  c: b - a\n";
    let d = "dimensions: { b: s.a + s.b }\n";
    let [s, d] = moved(s, d, "s.b", "d.a");
    assert_eq!(s, "dimensions:\n  a: { value: 1 mm, note: a }\n  c: d.a - a\n");
    assert_eq!(d, "dimensions: { b: s.a + a,\n  # of b\n  'a': s.a * 2 }\n");
    let escaped = texts(&[("s", "dimensions: { \"\\x62\": 1 mm }\n"), ("d", "{}\n")]);
    let why = rename(&escaped, "s.b", "d.b").unwrap_err().to_string();
    assert_eq!(why, "`s.b` is not written: its name is not written letter by letter");
}

#[test]
fn a_section_that_is_empty_goes_and_its_comments_stay() {
    for (s, d, after_s, after_d) in [
        (
            "# yaml-language-server: $schema=schema/table.json\ndimensions:   # sizes\n  # of a\n  a: 1 mm\n  # the end\n",
            "",
            "# yaml-language-server: $schema=schema/table.json\n# sizes\n  # the end\n",
            "dimensions:\n  # of a\n  a: 1 mm\n",
        ),
        ("dimensions: { a: 1 mm }\n", "# d", "", "# d\ndimensions:\n  a: 1 mm\n"),
        (
            "about: x\n\ndimensions:\n  a: 1 mm\n\nchecks:\n  c: { require: 2 > 1 }\n",
            "about: y\n\nparts:\n  p: {}",
            "about: x\n\nchecks:\n  c: { require: 2 > 1 }\n",
            "about: y\n\ndimensions:\n  a: 1 mm\n\nparts:\n  p: {}",
        ),
        (
            "\u{feff}dimensions:\r\n  a: 1 mm",
            "\u{feff}checks: # none\r\nparts: {}\r\n",
            "\u{feff}",
            "\u{feff}checks: # none\r\nparts: {}\r\ndimensions:\r\n  a: 1 mm\r\n",
        ),
        (
            "{ about: x, dimensions: { 'a' : 1 mm } }",
            "{ dimensions: {} }\n",
            "{ about: x }",
            "{ dimensions: { 'a' : 1 mm } }\n",
        ),
        (
            "dimensions: {\n  # of a\n  a: 1 mm, # a\n  # of b\n  b: 2 mm,\n}\n",
            "dimensions:\n",
            "dimensions: {\n  # of b\n  b: 2 mm,\n}\n",
            "dimensions:\n  # of a\n  a: 1 mm # a\n",
        ),
        (
            "dimensions: { b: 2 mm, a: { value: 1 mm,\n  note: x }, c: b }\n",
            "dimensions:\n      z: 1 mm\n",
            "dimensions: { b: 2 mm, c: b }\n",
            "dimensions:\n      z: 1 mm\n      a: { value: 1 mm,\n        note: x }\n",
        ),
        (
            "dimensions:\n  # of a\n  a:   # here\n    value: max(1 mm, 2 mm)\n    note: >\n      folded,\n      text\n  b: 2 mm\n",
            "dimensions: { z: 1 mm }\n",
            "dimensions:\n  b: 2 mm\n",
            "dimensions: { z: 1 mm,\n  # of a\n  # here\n  a: { value: \"max(1 mm, 2 mm)\", note: \"folded, text\" } }\n",
        ),
    ] {
        let [found_s, found_d] = moved(s, d, "s.a", "d.a");
        assert_eq!((found_s.as_str(), found_d.as_str()), (after_s, after_d), "{s}");
    }
}

#[test]
fn a_table_is_renamed_with_its_file() {
    let s = "dimensions:\r\n  w: 2 mm\r\n  x: s.w + w\r\nparts: { s2: { uses: [s.w, w] } }";
    let d = "dimensions: { y: s.w * 2, z: 's.x' }\nparts: { p: { uses: [s.x] } }\n";
    let memory = texts(&[("s", s), ("d", d)]);
    for (old, new) in [("s", "t"), ("s.yaml", "t.yaml"), ("params/s.yaml", "params/t.yaml")] {
        let there = rename(&memory, old, new).unwrap();
        assert_eq!((there.from.as_str(), there.to.as_str()), ("s", "t"));
        let after = written(&memory, &there);
        same_values(&memory, &after, &there);
        assert!(after.read("params/s.yaml").is_err());
        assert_eq!(text(&after, "t"), s.replace("s.w", "t.w"));
        assert_eq!(text(&after, "d"), d.replace("s.w", "t.w").replace("s.x", "t.x"));
        let places: Vec<_> =
            there.files.iter().map(|file| (&*file.path, file.lines.clone())).collect();
        assert_eq!(places, [("params/d.yaml", vec![1, 1, 2]), ("params/t.yaml", vec![3, 4])]);
        assert_eq!(written(&after, &rename(&after, "t", "s").unwrap()), memory);
    }
}

/// The faults, one a line, with their help.
fn refused(memory: &Memory, old: &str, new: &str) -> String {
    match rename(memory, old, new).unwrap_err() {
        EditFault::Faults(faults) | EditFault::Brings { faults, .. } => {
            faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
        }
        EditFault::NotFound { message, help, .. } => format!("{message}; {help}"),
        other => other.to_string(),
    }
}

#[test]
fn names_of_tables_that_cannot_be_had_are_refused() {
    let s = "dimensions: { w: 2 mm }\nschedules: { pose: { columns: { x: mm } } }\nparts: { s: { cost: w * 1 GBP/mm } }\n";
    let memory = texts(&[
        ("s", s),
        ("d", "dimensions: { y: s.w, c: s.s.cost }\nparts: { t: { cost: 1 GBP } }\n"),
    ]);
    for (old, new, why) in [
        ("s", "t", "`s` could be s.s or params/s.yaml"),
        (
            "s.yaml",
            "d",
            "params/d.yaml:1:1: there is a table `d` already (duplicate-name)\n  help: give `s` another name, or rename that one first",
        ),
        (
            "s.yaml",
            "s",
            "params/s.yaml:1:1: the table `s` has this name already (duplicate-name)\n  help: give it another one",
        ),
        (
            "s.yaml",
            "design",
            "params/s.yaml:1:1: `design` is no table's name: design.yaml makes the folder a design (bad-name)\n  help: give the table another name",
        ),
        (
            "s.yaml",
            "T",
            "params/s.yaml:1:1: `T` is no name (bad-name)\n  help: names are lower-case letters, digits and _, beginning with a letter: `t`",
        ),
        (
            "s.yaml",
            "d.t",
            "params/s.yaml:1:1: `s` is a table, and `d.t` is not the name of one (bad-name)\n  help: write the table's new name alone",
        ),
        (
            "s.yaml",
            "pose",
            "params/pose.yaml:2:14: the schedule `pose` bears the name of a table (bad-name)\n  help: name the schedule otherwise",
        ),
    ] {
        assert_eq!(refused(&memory, old, new), why, "{old} > {new}");
    }
    // `t.s.cost` would be of the part `t` beside it as well, were there such a thing.
    assert!(rename(&memory, "s.yaml", "t").is_ok());
}

#[test]
fn what_would_mean_two_things_in_the_other_table_is_refused() {
    // In d, `lid.cost` is of the table lid; with the part lid beside it, of that as well.
    let s = "parts: { lid: { cost: 1 GBP } }\n";
    let d = "dimensions: { x: lid.cost }\n";
    let memory = texts(&[("s", s), ("d", d), ("lid", "dimensions: { cost: 2 GBP }\n")]);
    let why = refused(&memory, "s.lid", "d.lid");
    assert!(why.contains("d.yaml:1:18: `lid.cost` could be of the table `lid`"), "{why}");
    // And what goes along must not be caught by what is there.
    let s = "dimensions: { x: cost, cost: 1 GBP }\n";
    let d = "parts: { s: { cost: 3 GBP } }\n";
    let why = refused(&texts(&[("s", s), ("d", d)]), "s.x", "d.x");
    assert!(why.contains("ambiguous-name"), "{why}");
    // A bare `no` would be a truth to some, so it keeps its table.
    let s = "dimensions: { no: 1 mm }\n";
    let d = "dimensions: { y: s.no, z: s.no * 2 }\n";
    let [_, d] = moved(s, d, "s.no", "d.no");
    assert_eq!(d, "dimensions: { y: d.no, z: no * 2, no: 1 mm }\n");
}

#[test]
fn a_comparison_tells_of_moves_and_nothing_else() {
    let s = "dimensions:
  a: 1 mm
  a2: 1 mm
  b: a * 2
  c: b + a2
  rest: c
parts:
  lid: { made: bought, cost: c * 1 GBP/mm, mass: lid.cost * 1 g/GBP, uses: [c] }
checks:
  room: { require: lid.cost < 9 GBP }
schedules:
  servo: { columns: { x: mm }, rows: { left: [c] } }
";
    let mut memory = texts(&[("s", s), ("d", "dimensions: { top: s.c + s.servo.left.x }\n")]);
    let before = Design::read(&memory).evaluate();
    let moves = ["a", "a2", "b", "c", "lid", "room", "servo"];
    for name in moves {
        let rename = rename(&memory, &format!("s.{name}"), &format!("d.{name}")).unwrap();
        memory = written(&memory, &rename);
    }
    let found = Comparison::of(&before, &Design::read(&memory).evaluate());
    assert_eq!(edits(&found), moves.map(|name| (What::Renamed, format!("d.{name}"))));
    assert!(found.changed.is_empty() && found.parts.iter().all(|part| !part.remake));
    // A table that mostly holds what it held, and one thing that went away from it.
    let memory = texts(&[("s", s), ("d", "dimensions: { top: s.c + s.servo.left.x }\n")]);
    let memory = written(&memory, &rename(&memory, "s.lid", "d.cap_lid").unwrap());
    let memory = written(&memory, &rename(&memory, "s", "t").unwrap());
    let found = Comparison::of(&before, &Design::read(&memory).evaluate());
    assert_eq!(edits(&found), [(What::Renamed, "d.cap_lid".into()), (What::Renamed, "t".into())]);
}

fn edits(found: &Comparison) -> Vec<(What, String)> {
    let mut told: Vec<_> = found.edits.iter().map(|edit| (edit.what, edit.name.clone())).collect();
    told.sort_unstable();
    told
}
