//! Of many states of one design, only what one name needs.

use std::path::PathBuf;
use std::sync::Arc;

use setout_design::{
    Design, Excerpts, Held, Memory, Source, SourceError, Stamp, Stamped, Stamps, Told, What,
    name_after, name_before,
};

use crate::texts;

/// Texts that tell themselves apart by their bytes, padded: those of these tests are short.
struct Marked(Memory);

impl Source for Marked {
    fn list(&self) -> Result<Vec<String>, SourceError> {
        self.0.list()
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SourceError> {
        self.0.read(path)
    }
}

impl Stamped for Marked {
    fn stamps(&self) -> Result<Arc<Stamps>, SourceError> {
        let stamp = |path: String| {
            // A checksum that no two texts of a test share; git's names do this in earnest.
            let bytes = self.0.read(&path)?;
            let mut stamp = [0_u8; 32];
            for (index, byte) in bytes.iter().enumerate() {
                let at = index % 32;
                stamp[at] =
                    stamp[at].wrapping_mul(31).wrapping_add(*byte).wrapping_add(index as u8);
            }
            Ok((path.into(), Stamp(stamp)))
        };
        Ok(Arc::new(self.0.list()?.into_iter().map(stamp).collect::<Result<_, _>>()?))
    }
}

fn marked(tables: &[(&str, &str)]) -> Marked {
    Marked(texts(tables))
}

fn held(tables: &[(&str, &str)], name: &str) -> Held {
    Excerpts::new().of(&marked(tables), name).held().clone()
}

#[track_caller]
fn value(tables: &[(&str, &str)], name: &str) -> String {
    match held(tables, name) {
        Held::Value(value) => value.to_string(),
        other => panic!("{name} should have a value: {other:?}"),
    }
}

#[track_caller]
fn fault(tables: &[(&str, &str)], name: &str) -> String {
    match held(tables, name) {
        Held::Faulty(faults) => faults.first().map_or(String::new(), |fault| fault.message.clone()),
        other => panic!("{name} should have a fault: {other:?}"),
    }
}

fn told(before: &[(&str, &str)], after: &[(&str, &str)], old: &str, new: &str) -> Told {
    let (before, after) = (marked(before), marked(after));
    Excerpts::new().told((&before, old), (&after, new)).expect("both can be read")
}

/// Everything in the sample is what it is when all of the design is evaluated.
#[test]
fn an_excerpt_gives_what_the_whole_design_gives() {
    let root: PathBuf = [env!("CARGO_MANIFEST_DIR"), "../../params"].iter().collect();
    let files = std::fs::read_dir(root).expect("the sample");
    let texts = files.map(|file| {
        let path = file.expect("a file").path();
        let name = path.file_name().expect("a name").to_string_lossy().into_owned();
        (format!("params/{name}"), std::fs::read(&path).expect("a text"))
    });
    let sample = Marked(Memory::new(texts.filter(|(path, _)| path.ends_with(".yaml"))));
    let whole = Design::read(&sample).evaluate();
    let mut excerpts = Excerpts::new();
    let cells = whole.schedules().into_iter().flat_map(|schedule| schedule.rows);
    let cells = cells.flat_map(|(_, cells)| cells);
    let mut compared = 0;
    for dimension in whole.dimensions().into_iter().chain(cells) {
        let excerpt = excerpts.of(&sample, &dimension.name);
        let value = dimension.value.expect("the sample has no faults in its values");
        assert!(
            matches!(excerpt.held(), Held::Value(found) if *found == value),
            "{}: {:?} and {value:?}",
            dimension.name,
            excerpt.held()
        );
        let limits: Vec<_> =
            whole.limits().iter().filter(|limit| limit.name == dimension.name).collect();
        assert_eq!(excerpt.limits(&dimension.name), limits);
        compared += 1;
    }
    for check in whole.checks() {
        let excerpt = excerpts.of(&sample, &check.name);
        let Held::Check(found) = excerpt.held() else { panic!("{}", check.name) };
        assert_eq!(
            (found.verdict, found.margin, &found.unit),
            (check.verdict, check.margin, &check.unit)
        );
        assert_eq!((&found.travel, &found.worst), (&check.travel, &check.worst), "{}", check.name);
        compared += 1;
    }
    for name in ["design.cost", "design.mass"] {
        let excerpt = excerpts.of(&sample, name);
        let value = whole.value(name).expect("a total");
        assert!(matches!(excerpt.held(), Held::Value(found) if *found == value), "{name}");
    }
    assert!(compared > 500);
}

#[test]
fn a_fault_elsewhere_does_not_matter() {
    let jaw = "dimensions:\n  width: 62 mm\n  half: width / 2\n  bad: widht / 2\n  worse: 1 mm + 2 deg\n\
               checks:\n  odd: { requires: half > 1 mm }\n";
    let tables = [("jaw", jaw), ("lip", "dimensions: {\n"), ("eye", "dimension: { x: 1 mm }\n")];
    assert_eq!(value(&tables, "jaw.half"), "31 mm");
    assert_eq!(fault(&tables, "jaw.bad"), "there is no `widht`");
    assert!(fault(&tables, "lip.thin").len() > 5, "a table that is no YAML may have held it");
    assert!(fault(&tables, "eye.x").contains("no section"), "so may one with a slip");
    assert!(matches!(held(&tables, "jaw.gone"), Held::Absent));
    assert!(matches!(held(&tables, "brow.gone"), Held::Absent));
}

#[test]
fn a_fault_in_what_it_needs_is_given_instead_of_a_value() {
    for (jaw, says) in [
        ("dimensions:\n  width: 62 mm\n  width: 64 mm\n", "width"),
        ("dimensions: { width: gap, gap: width }\n", "circle"),
        (
            "dimensions: { width: 62 mm, half: widht / 2 }\nchecks: { half: { require: width > 1 mm } }\n",
            "two things",
        ),
        ("dimensions: { width: lip.thin * 2 }\n", "lip.thin"),
        ("dimensions: { width: Lid.thin * 2 }\n", ""),
        ("dimensions:\n  width: 62 mm\n  a: [1, 2\n", ""),
    ] {
        let name = if jaw.contains("half:") { "jaw.half" } else { "jaw.width" };
        let said = fault(&[("jaw", jaw)], name);
        assert!(said.contains(says), "{jaw}: {said}");
    }
}

#[test]
fn limits_and_totals_count_where_they_are_asked_for() {
    let tables = [
        (
            "jaw",
            "dimensions: { width: { value: 62 mm, max: frame.depth / 2 }, half: width / 2 }\n\
                 parts: { lid: { made: bought, cost: 2 GBP, mass: 3 g } }\n",
        ),
        ("frame", "dimensions: { depth: 100 mm }\nparts: { rod: { made: bought, cost: 1 GBP } }\n"),
    ];
    let excerpt = Excerpts::new().of(&marked(&tables), "jaw.width");
    assert_eq!(excerpt.entries(), ["frame.depth", "jaw.width"]);
    assert_eq!(excerpt.limits("jaw.width")[0].margin, Some(-12.0));
    let half = Excerpts::new().of(&marked(&tables), "jaw.half");
    assert_eq!(half.entries(), ["jaw.half", "jaw.width"]);
    assert_eq!(value(&tables, "design.cost"), "3 GBP");
    assert_eq!(value(&tables, "jaw.lid.mass"), "3 g");
}

#[test]
fn the_same_texts_are_not_evaluated_again() {
    let mut excerpts = Excerpts::new();
    let frame = ("frame", "dimensions: { depth: 100 mm, wall: 3 mm }\n");
    let jaw = |more: &str| format!("dimensions:\n  width: frame.depth / 2\n{more}");
    let first = excerpts.of(&marked(&[("jaw", &jaw("")), frame]), "jaw.width");
    let noted = jaw("  other: 3 mm   # a remark\n");
    let second = excerpts.of(&marked(&[("jaw", &noted), frame]), "jaw.width");
    assert!(Arc::ptr_eq(&first, &second), "the table is new, what the name needs is not");
    let wall = ("frame", "dimensions: { depth: 100 mm, wall: 4 mm }\n");
    let third = excerpts.of(&marked(&[("jaw", &noted), wall]), "jaw.width");
    assert!(Arc::ptr_eq(&first, &third));
    let depth = ("frame", "dimensions: { depth: 102 mm, wall: 4 mm }\n");
    let fourth = excerpts.of(&marked(&[("jaw", &noted), depth]), "jaw.width");
    assert!(!fourth.is_same(&first));
}

#[test]
fn a_cause_is_the_edit_without_which_it_would_not_have_changed() {
    let before =
        [("jaw", "dimensions: { width: 62 mm, wall: 2 mm, in: width - 2 * wall, far: 1 mm }\n")];
    let after =
        [("jaw", "dimensions: { width: 64 mm, wall: 2 mm, in: width - 2 * wall, far: 2 mm }\n")];
    let inner = told(&before, &after, "jaw.in", "jaw.in");
    assert_eq!((inner.own, inner.because), (vec![], vec!["jaw.width".to_owned()]));
    let width = told(&before, &after, "jaw.width", "jaw.width");
    assert_eq!((width.own, width.because), (vec![What::Value], vec![]));
}

#[test]
fn a_cause_is_told_through_renames() {
    let before = [("jaw", "dimensions: { width: 62 mm, wall: 2 mm, in: width - 2 * wall }\n")];
    let after = [("jaw", "dimensions: { breadth: 62 mm, wall: 3 mm, in: breadth - 2 * wall }\n")];
    let inner = told(&before, &after, "jaw.in", "jaw.in");
    assert_eq!((inner.own, inner.because), (vec![], vec!["jaw.wall".to_owned()]));
    let (a, b) = (marked(&before), marked(&after));
    assert_eq!(name_before(&a, &b, "jaw.breadth").as_deref(), Some("jaw.width"));
    assert_eq!(name_after(&a, &b, "jaw.width").as_deref(), Some("jaw.breadth"));
    assert_eq!(name_before(&a, &b, "jaw.wall"), None);
}

#[test]
fn two_that_swap_names_are_both_edited() {
    let before = [("jaw", "dimensions: { a: 1 mm, b: 2 mm }\n")];
    let after = [("jaw", "dimensions: { a: 2 mm, b: 1 mm }\n")];
    for name in ["jaw.a", "jaw.b"] {
        let told = told(&before, &after, name, name);
        assert_eq!((told.own, told.renamed_from), (vec![What::Value], None));
    }
}

#[test]
fn a_name_that_came_to_mean_two_things_has_no_value() {
    // Once there is a table `servo`, `servo.gap` in `drive` could be its dimension.
    let drive = "schedules:\n  servo:\n    columns: { gap: mm }\n    rows: { left: [2 mm] }\n\
                 dimensions: { all: sum(servo.gap) }\n";
    assert_eq!(value(&[("drive", drive)], "drive.all"), "2 mm");
    let both = [("drive", drive), ("servo", "dimensions: { gap: 1 mm }\n")];
    assert!(fault(&both, "drive.all").contains("servo"));
}
