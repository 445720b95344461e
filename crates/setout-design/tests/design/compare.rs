//! Two evaluations side by side.

use std::collections::BTreeMap;
use std::sync::Mutex;

use proptest::prelude::*;
use setout_design::{Comparison, Design, Evaluation, Memory, Source, SourceError};

use crate::drawn::{TABLES, designs};
use crate::{good, story};

const FRAME: &str = "dimensions:\n  depth: 100 mm\n  wall: 2 mm\n";
const JAW: &str = "dimensions:\n  width: 62 mm\n  inner: width - 2 * frame.wall\n  half: inner / 2\n  steps: floor(width, 10 mm)\n  apart: 9 mm\n\
                   checks:\n  room: { require: inner >= 56 mm, why: the tongue needs it }\n\
                   parts:\n  body: { made: printed, uses: [inner], cost: inner * 0.1 GBP / 1 mm, mass: 10 g }\n  pin: { made: bought, uses: [apart], cost: 1 GBP }\n";

fn base() -> Evaluation {
    good(&[("frame", FRAME), ("jaw", JAW)])
}

fn with(edits: &[(&str, &str)]) -> Comparison {
    let before = base();
    let after = before.design().with(edits).unwrap().evaluate();
    Comparison::of(&before, &after)
}

fn edited(frame: &str, jaw: &str) -> Comparison {
    Comparison::of(&base(), &good(&[("frame", frame), ("jaw", jaw)]))
}

/// ```text
///   frame.wall ──┐
///   jaw.width ───┴─▶ inner ──▶ half
///        └─────────▶ steps
/// ```
#[test]
fn an_impact_is_the_exact_set_of_what_changed() {
    assert_eq!(
        story(&with(&[("jaw.width", "64mm")])),
        "edit jaw.width value: 62 mm > 64mm\n\
         then jaw.inner: 58 mm > 60 mm because jaw.width\n\
         then jaw.half: 29 mm > 30 mm because jaw.width\n\
         same jaw.steps\n\
         part jaw.body remake because jaw.width"
    );
}

#[test]
fn several_edits_are_each_blamed_for_what_they_did() {
    assert_eq!(
        story(&with(&[("jaw.width", "70 mm"), ("frame.wall", "8 mm")])),
        "edit frame.wall value: 2 mm > 8 mm\n\
         edit jaw.width value: 62 mm > 70 mm\n\
         then jaw.inner: 58 mm > 54 mm because frame.wall jaw.width\n\
         then jaw.steps: 60 mm > 70 mm because jaw.width\n\
         then jaw.half: 29 mm > 27 mm because frame.wall jaw.width\n\
         part jaw.body remake because frame.wall jaw.width\n\
         check jaw.room: holds > fails because frame.wall jaw.width"
    );
}

#[test]
fn an_edit_that_changes_nothing_reaches_but_does_not_change() {
    assert_eq!(
        story(&with(&[("jaw.width", "6.2 cm")])),
        "edit jaw.width value: 62 mm > 6.2 cm\nsame jaw.inner jaw.steps jaw.half"
    );
    assert_eq!(story(&with(&[("jaw.width", "62mm")])), "");
}

#[test]
fn edits_that_cancel_leave_the_value_unchanged() {
    let comparison = with(&[("jaw.width", "64 mm"), ("frame.wall", "3 mm")]);
    assert!(comparison.unchanged.contains(&"jaw.inner".to_owned()), "{}", story(&comparison));
}

/// Either edit alone would do: undoing one changes nothing, so both are named as 'any of'.
#[test]
fn where_no_edit_alone_is_to_blame_all_that_reach_are_named() {
    let before = good(&[("t", "dimensions:\n  a: 1 mm\n  b: 1 mm\n  m: max(a, b)\n")]);
    let after = before.design().with(&[("t.a", "5 mm"), ("t.b", "5 mm")]).unwrap().evaluate();
    let comparison = Comparison::of(&before, &after);
    let m = &comparison.changed[0];
    assert_eq!(
        (m.because.as_slice(), m.any_of),
        (["t.a".to_owned(), "t.b".to_owned()].as_slice(), true)
    );
}

#[test]
fn a_formula_that_is_overridden_says_so() {
    let comparison = with(&[("jaw.inner", "50 mm")]);
    assert!(comparison.edits[0].overridden);
    assert_eq!(comparison.edits[0].before.as_deref(), Some("width - 2 * frame.wall"));
    assert!(!with(&[("jaw.width", "64 mm")]).edits[0].overridden);
}

#[test]
fn the_path_is_a_shortest_way_from_an_edit() {
    let comparison = with(&[("frame.wall", "3 mm")]);
    assert_eq!(comparison.changed[1].path, ["frame.wall", "jaw.inner", "jaw.half"]);
}

#[test]
fn cost_and_mass_are_set_side_by_side() {
    let comparison = with(&[("jaw.width", "72 mm")]);
    assert_eq!(comparison.cost.before.unwrap().to_string(), "6.8 GBP");
    assert_eq!(comparison.cost.after.unwrap().to_string(), "7.8 GBP");
    assert_eq!(comparison.mass.after.unwrap().to_string(), "10 g");
}

#[test]
fn layout_comments_and_order_are_no_difference() {
    let jaw = "# a remark\nparts:\n  pin: { uses: [apart], made: bought, cost: 1 GBP }\n  body: { made: printed, uses: [inner], cost: inner*0.1 GBP / 1 mm, mass: 10 g }\n\
               checks:\n  room: { why: the tongue needs it, require: inner >= 56 mm }\n\
               dimensions:\n  apart: '9 mm'\n  half: inner/2\n  width: 62 mm   # wide\n  inner: width-2*frame.wall\n  steps: floor(width,10 mm)\n";
    let comparison = edited(FRAME, jaw);
    assert_eq!(story(&comparison), "");
    assert!(comparison.is_empty());
}

#[test]
fn every_field_of_a_dimension_is_an_edit_of_its_own() {
    let before = good(&[(
        "t",
        "dimensions:\n  a: { value: 5 mm, min: 1 mm, tolerance: printed, note: old words, unit: mm }\n",
    )]);
    let after = good(&[(
        "t",
        "dimensions:\n  a: { value: 5 mm, min: 2 mm, max: 9 mm, tolerance: ±0.1 mm, note: new words, unit: cm }\n",
    )]);
    assert_eq!(
        story(&Comparison::of(&before, &after)),
        "edit t.a limits: min 1 mm > min 2 mm, max 9 mm\n\
         edit t.a tolerance: printed > ±0.1 mm\n\
         edit t.a unit: mm > cm\n\
         edit t.a note: old words > new words"
    );
}

#[test]
fn a_shared_error_is_an_edit_of_a_tolerance() {
    let of = |shares: &str| {
        good(&[(
            "t",
            &format!("dimensions:\n  a: {{ value: 5 mm, tolerance: ±0.1 mm{shares} }}\n"),
        )])
    };
    assert_eq!(
        story(&Comparison::of(&of(""), &of(", spread: uniform, shares: -nozzle"))),
        "edit t.a tolerance: ±0.1 mm > ±0.1 mm, uniform, shares -nozzle"
    );
    assert_eq!(
        story(&Comparison::of(&of(", shares: heat"), &of(", shares: none"))),
        "edit t.a tolerance: ±0.1 mm, shares heat > ±0.1 mm, shares none"
    );
}

#[test]
fn what_is_added_and_removed_is_told() {
    let jaw = JAW
        .replace("  apart: 9 mm\n", "  gap: 3 mm\n  far: gap * 2\n")
        .replace(", uses: [apart]", "");
    assert_eq!(
        story(&edited(FRAME, &jaw)),
        "edit jaw.gap added: - > 3 mm\n\
         edit jaw.far added: - > gap * 2\n\
         edit jaw.pin uses: apart > -\n\
         edit jaw.apart removed: 9 mm > -\n\
         part jaw.pin remake because jaw.pin"
    );
}

#[test]
fn a_renamed_dimension_is_one_edit() {
    let jaw = JAW.replace("apart", "spread_apart");
    assert_eq!(
        story(&edited(FRAME, &jaw)),
        "edit jaw.spread_apart renamed: jaw.apart > jaw.spread_apart"
    );
    let jaw = JAW.replace("width", "widths");
    assert_eq!(story(&edited(FRAME, &jaw)), "edit jaw.widths renamed: jaw.width > jaw.widths");
}

#[test]
fn a_renamed_table_is_one_edit() {
    let after = good(&[("frame", FRAME), ("mandible", &JAW.replace("62 mm", "64 mm"))]);
    assert_eq!(
        story(&Comparison::of(&base(), &after)),
        "edit mandible renamed: jaw > mandible\n\
         edit mandible.width value: 62 mm > 64 mm\n\
         then mandible.inner: 58 mm > 60 mm because mandible.width\n\
         then mandible.half: 29 mm > 30 mm because mandible.width\n\
         same mandible.steps\n\
         part mandible.body remake because mandible.width"
    );
}

/// The new dimension cannot be taken out alone, since the edited one names it; taking the edit
/// back is enough.
#[test]
fn a_value_that_now_names_something_new_is_blamed_itself() {
    let frame = "dimensions:\n  depth: 100 mm\n  skin: 1 mm\n  wall: 2 mm + skin\n";
    let comparison = edited(frame, JAW);
    let inner = comparison.changed.iter().find(|change| change.name == "jaw.inner").unwrap();
    assert!(inner.because.contains(&"frame.wall".to_owned()), "{:?}", inner.because);
    assert!(!inner.any_of);
}

#[test]
fn schedules_are_compared_cell_by_cell_and_row_by_row() {
    let table = |rows: &str| {
        format!(
            "schedules:\n  servo:\n    columns: {{ at: deg, draw: A }}\n    rows:\n{rows}\ndimensions:\n  all: sum(servo.draw)\n"
        )
    };
    let before = good(&[("d", &table("      a: [1 deg, 1 A]\n      b: [2 deg, 1 A]\n"))]);
    let after = good(&[(
        "d",
        &table("      a: [1 deg, 2 A]\n      b: [2 deg, 1 A]\n      c: [3 deg, 4 A]\n"),
    )]);
    assert_eq!(
        story(&Comparison::of(&before, &after)),
        "edit d.servo.a.draw value: 1 A > 2 A\n\
         edit d.servo.c added: - > [3 deg, 4 A]\n\
         then d.all: 2 A > 7 A because d.servo.a.draw d.servo.c"
    );
}

#[test]
fn checks_and_parts_are_edited_too() {
    let jaw = JAW
        .replace(
            "require: inner >= 56 mm, why: the tongue needs it",
            "require: inner >= 59 mm, why: it rubs",
        )
        .replace("mass: 10 g", "mass: 12 g")
        .replace("made: bought", "made: cut");
    assert_eq!(
        story(&edited(FRAME, &jaw)),
        "edit jaw.body.mass value: 10 g > 12 g\n\
         edit jaw.room requirement: inner >= 56 mm > inner >= 59 mm\n\
         edit jaw.room reason: the tongue needs it > it rubs\n\
         edit jaw.pin made: bought > cut\n\
         part jaw.body keep because jaw.body.mass\n\
         part jaw.pin remake because jaw.pin\n\
         check jaw.room: holds > fails because jaw.room"
    );
}

#[test]
fn a_tolerance_makes_its_parts_anew() {
    let jaw = JAW.replace(
        "  inner: width - 2 * frame.wall\n",
        "  inner: { value: width - 2 * frame.wall, tolerance: ±0.1 mm }\n",
    );
    let comparison = edited(FRAME, &jaw);
    assert_eq!(
        story(&comparison),
        "edit jaw.inner tolerance: - > ±0.1 mm\npart jaw.body remake because jaw.inner"
    );
}

/// What is taken out cannot be put back by undoing one edit of the design after; the whole group of
/// such edits is.
#[test]
fn what_is_gone_is_blamed_too() {
    let table = |rows: &str| {
        format!(
            "schedules:\n  servo:\n    columns: {{ draw: A }}\n    rows: {{ {rows} }}\n\
             dimensions:\n  all: sum(servo.draw)\nchecks:\n  room: {{ require: all <= 4 A }}\n"
        )
    };
    let before = good(&[("d", &table("a: [1 A], b: [2 A], c: [2 A]"))]);
    let after = good(&[("d", &table("a: [1 A], b: [2 A]"))]);
    assert_eq!(
        story(&Comparison::of(&before, &after)),
        "edit d.servo.c removed: [2 A] > -\n\
         then d.all: 5 A > 3 A because d.servo.c\n\
         check d.room: fails > holds because d.servo.c"
    );
}

#[test]
fn a_rate_is_an_edit_that_reaches_prices() {
    let design = |rate: &str| {
        let mut memory = crate::texts(&[(
            "t",
            "parts:\n  screw: { made: bought, cost: 2 EUR }\ndimensions:\n  price: 4 EUR\n  twice: price * 2\n\
             checks:\n  budget: { require: design.cost <= 1.1 GBP }\n",
        )]);
        let common = format!("setout: 1\ncurrency: GBP\nrates: {{ EUR: {rate} GBP }}\n");
        memory.insert("params/design.yaml", common);
        setout_design::Design::read(&memory).evaluate()
    };
    assert_eq!(
        story(&Comparison::of(&design("0.5"), &design("0.6"))),
        "edit design.rates.EUR value: 0.5 GBP > 0.6 GBP\n\
         then t.twice: 4 GBP > 4.8 GBP because design.rates.EUR\n\
         part t.screw keep because design.rates.EUR\n\
         check t.budget: holds > fails because design.rates.EUR"
    );
}

/// Undoing an edit runs a formula that stands in no table any more, and may stop in it.
#[test]
fn a_value_that_could_not_be_computed_is_compared() {
    let design = |a: &str| {
        let table = format!("dimensions:\n  z: 0\n  a: {a}\n  b: a * 2\n");
        setout_design::Design::read(&crate::texts(&[("t", &table)])).evaluate()
    };
    let (bad, fine) = (design("1 mm + 1 mm / z"), design("1 mm"));
    assert_eq!((bad.faults().len(), fine.faults().len()), (1, 0));
    assert_eq!(
        story(&Comparison::of(&bad, &fine)),
        "edit t.a value: 1 mm + 1 mm / z > 1 mm\nthen t.b: ? > 2 mm because t.a"
    );
    assert_eq!(
        story(&Comparison::of(&fine, &bad)),
        "edit t.a value: 1 mm > 1 mm + 1 mm / z\nthen t.b: 2 mm > ? because t.a"
    );
}

/// What is gone reaches nothing of the design after; it did reach something before.
#[test]
fn what_is_gone_is_blamed_where_nothing_can_be_undone() {
    let design = |quantity: &str, cost: &str| {
        let table = format!(
            "parts:\n  a: {{ made: bought, quantity: {quantity}, mass: 1 g{cost} }}\n\
             dimensions:\n  all: design.cost * 2\n"
        );
        let texts = crate::texts(&[("t", &table)]);
        setout_design::Design::read(&texts).evaluate()
    };
    let found = Comparison::of(&design("2", ", cost: 1 GBP"), &design("nothing", ""));
    let all = found.changed.iter().find(|changed| changed.name == "t.all").unwrap();
    assert_eq!((&all.because[..], all.any_of), (&["t.a.cost".to_owned()][..], true));
}

#[test]
fn a_part_whose_model_alone_changed_is_a_difference() {
    let state = |model: &str| {
        let mut texts = Memory::new([
            ("params/design.yaml", "setout: 1\nprocesses: { printed: {} }\n"),
            (
                "params/jaw.yaml",
                "dimensions:\n  width: 62 mm\nparts:\n  body: { made: printed, cad: ../body.scad, uses: [width] }\n",
            ),
        ]);
        texts.insert("body.scad", model);
        Design::read(&texts).evaluate()
    };
    let (before, after) = (state("cube(1);\n"), state("cube(2);\n"));
    assert!(before.faults().is_empty(), "{:?}", before.faults());
    let found = Comparison::of(&before, &after);
    assert!(found.edits.is_empty() && found.changed.is_empty());
    assert!(found.parts.iter().any(|part| part.remake) && !found.is_empty());
    assert!(Comparison::of(&before, &state("cube(1);\n")).is_empty());
}

/// Texts that count how often each is read.
struct Counted(Memory, Mutex<BTreeMap<String, usize>>);

impl Source for Counted {
    fn list(&self) -> Result<Vec<String>, SourceError> {
        self.0.list()
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SourceError> {
        *self.1.lock().unwrap().entry(path.to_owned()).or_default() += 1;
        self.0.read(path)
    }
}

#[test]
fn models_of_both_states_are_read_once_and_told_apart() {
    const TABLE: &str = "dimensions: { width: 62 mm, depth: 9 mm }\nparts:\n  \
        one: { made: printed, cad: ../one.scad }\n  two: { made: printed, cad: ../two.scad }\n";
    let state = |edits: &[(&str, Option<&str>)]| {
        let mut texts = Memory::new([
            ("params/design.yaml", "setout: 1\nprocesses: { printed: {} }\n"),
            ("params/jaw.yaml", TABLE),
            ("one.scad", "use <lib/shapes.scad>\ncube(jaw_width);\n"),
            ("two.scad", "use <lib/shapes.scad>\ncube(2);\n"),
            ("lib/shapes.scad", "include <more.scad>\n"),
        ]);
        for (path, text) in edits {
            match text {
                Some(text) => texts.insert(*path, *text),
                None => texts.remove(path),
            }
        }
        Counted(texts, Mutex::default())
    };
    for (edits, again) in [
        (&[][..], &[][..]),
        (&[("one.scad", Some("cube(jaw_depth);\n"))], &["jaw.one"]),
        (&[("two.scad", Some("use <lib/shapes.scad>\r\ncube(2);\r\n"))], &[]),
        (&[("lib/shapes.scad", Some("// jaw_depth\n"))], &["jaw.one", "jaw.two"]),
        (&[("lib/shapes.scad", None)], &["jaw.one", "jaw.two"]),
        (&[("lib/more.scad", Some("x = jaw_depth;\n"))], &["jaw.one", "jaw.two"]),
    ] {
        for turned in [false, true] {
            let (mut before, mut after) = (state(&[]), state(edits));
            if turned {
                (before, after) = (after, before);
            }
            let (old, new) = Evaluation::read_both(&before, &after);
            for (source, read) in [(&before, &old), (&after, &new)] {
                let alone = Design::read(&source.0).evaluate();
                assert!(read.faults().is_empty(), "{:?}", read.faults());
                assert_eq!(read.parts(), alone.parts(), "{edits:?}");
                assert_eq!(read.models(), alone.models(), "{edits:?}");
                let counts = source.1.lock().unwrap();
                let there = counts.iter().filter(|(path, _)| source.0.read(path).is_ok());
                there.for_each(|(path, times)| assert_eq!(*times, 1, "{path}"));
            }
            let found = Comparison::of(&old, &new);
            let remade = found.parts.iter().filter(|part| part.remake);
            let remade: Vec<&str> = remade.map(|part| part.name.as_str()).collect();
            assert_eq!(remade, again, "{edits:?}");
        }
    }
}

/// Texts that are known by their hashes, as those of a revision are.
struct Known(Counted);

impl Source for Known {
    fn list(&self) -> Result<Vec<String>, SourceError> {
        self.0.list()
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SourceError> {
        self.0.read(path)
    }

    fn holds(&self, path: &str, bytes: &[u8]) -> bool {
        self.0.0.read(path).is_ok_and(|own| own == bytes)
    }
}

#[test]
fn of_the_earlier_state_only_what_is_not_known_to_be_the_same_is_read() {
    let files = |jaw: &str, shapes: &str, file: &str| {
        let mut texts = Memory::new([
            ("params/design.yaml", "setout: 1\nprocesses: { printed: {} }\n"),
            ("params/frame.yaml", "dimensions: { depth: 9 mm, deep: jaw.width + depth }\n"),
            ("shapes.scad", shapes),
        ]);
        let jaw = format!(
            "dimensions: {{ width: {jaw} }}\nparts:\n  body: {{ made: printed, cad: ../body.scad }}\n"
        );
        texts.insert(format!("params/{file}.yaml"), jaw);
        texts.insert("body.scad", "use <shapes.scad>\ncube(jaw_width);\n");
        texts
    };
    let one = || files("62 mm", "// none\n", "jaw");
    for (before, read) in [
        (one(), &[][..]),
        (files("60 mm", "// none\n", "jaw"), &["params/jaw.yaml"]),
        (files("62 mm", "// jaw_width\n", "jaw"), &["shapes.scad"]),
        // The table has another place among the files, and another name.
        (files("62 mm", "// none\n", "chin"), &["params/chin.yaml"]),
        // What cannot be read is no reason to look no more.
        (files("62", "// none\n", "jaw"), &["params/jaw.yaml"]),
    ] {
        let counted = |texts: &Memory| Counted(texts.clone(), Mutex::default());
        let (earlier, later) = (Known(counted(&before)), counted(&one()));
        let (old, new) = Evaluation::read_both(&earlier, &later);
        let counts = earlier.0.1.lock().unwrap();
        assert_eq!(counts.keys().collect::<Vec<_>>(), read);
        for (texts, found) in [(before, old), (one(), new)] {
            let alone = Design::read(&texts).evaluate();
            assert_eq!(found.faults(), alone.faults());
            assert_eq!(found.dimensions(), alone.dimensions());
            assert_eq!(found.parts(), alone.parts());
            assert_eq!(found.fingerprint(), alone.fingerprint());
        }
    }
}

#[test]
fn what_was_failing_does_not_fail_anew() {
    let worse = with(&[("jaw.width", "58 mm")]);
    assert!(worse.checks[0].newly_fails() && worse.checks[0].got_worse());
    let failing = base().design().with(&[("jaw.width", "58 mm")]).unwrap().evaluate();
    let still = failing.design().with(&[("jaw.width", "57 mm")]).unwrap().evaluate();
    let found = Comparison::of(&failing, &still);
    assert!(found.checks[0].differs() && !found.checks[0].newly_fails());
    assert!(!found.checks[0].got_worse() && !found.makes_something_fail());
}

/// The text of a table with one number or name in it changed, if it has so many.
fn changed(text: &str, which: usize, to: &str) -> String {
    let is_word = |char: char| char.is_ascii_alphanumeric() || char == '_';
    let starts = text.char_indices().filter(|(at, char)| {
        is_word(*char) && !text[..*at].ends_with(is_word) && !text[..*at].ends_with('#')
    });
    let Some((start, _)) = starts.clone().nth(which % starts.count().max(1)) else {
        return text.to_owned();
    };
    let end = text[start..].find(|char| !is_word(char)).map_or(text.len(), |end| start + end);
    format!("{}{to}{}", &text[..start], &text[end..])
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]
    #[test]
    fn reading_both_states_at_once_is_reading_each(
        written in designs(),
        table in 0..TABLES.len(),
        which in 0..200_usize,
        to in prop::sample::select(vec!["7", "12.5", "other", "a", "b"]),
        everywhere in any::<bool>(),
    ) {
        let before = &written.memory;
        let mut after = before.clone();
        for (index, table_of) in TABLES.iter().enumerate() {
            let path = format!("{table_of}.yaml");
            let path = before.list().unwrap().into_iter().find(|own| own.ends_with(&path));
            if let (Some(path), true) = (path, everywhere || index == table) {
                let text = String::from_utf8(before.read(&path).unwrap()).unwrap();
                after.insert(path, changed(&text, which, to));
            }
        }
        let (old, new) = Design::read_both(before, &after);
        let alone = [Design::read(before), Design::read(&after)];
        prop_assert_eq!(old.faults(), alone[0].faults());
        prop_assert_eq!(new.faults(), alone[1].faults());
        let found = |old: &Design, new: &Design| {
            format!("{:#?}", Comparison::of(&old.evaluate(), &new.evaluate()))
        };
        prop_assert_eq!(found(&old, &new), found(&alone[0], &alone[1]));
    }
}
