//! Another name for something: all that names it follows, and no other byte changes.

use proptest::prelude::*;
use setout_design::{Design, EditFault, Evaluation, Memory, Rename, Source};

use crate::texts;

const FRAME: &str = "\u{feff}# the frame, and its width\r\ndimensions:\r\n  \"width\":   62 mm # width\r\n  half: width / 2\r\n  own: 'frame.width * 1 + jaw.width'\r\n  note_it: { value: width, note: width of the frame, min: width / 3 , max: \"width * 2\" }\r\n  folded: >-\r\n    width\r\n      + 2 mm -\r\n\r\n    width / 3\r\n  swing: { value: 0 mm, travel: [0 mm, width] }\r\n";
const JAW: &str = "about: width
dimensions:
  width: frame.width - 2 mm   # frame.width
  named: { text: width, one_of: [width, depth] }
  is_width: named == \"width\"
  neutral: sum(servo.neutral) + servo.left.neutral * 2
schedules:
  servo:
    columns: { neutral: mm, label: text }
    rows:
      left: [frame.width, width]
      right: [\"max(width, frame.width)\", x]
checks:
  room: { require: width < frame.width && jaw.servo.left.neutral > 0 mm, tight: width / 1000, why: width }
parts:
  lid: { made: bought, quantity: 2, cost: width * 0.1 GBP / 1 mm, mass: 2 g, uses: [frame.width, 'width', servo.neutral, jaw.servo.right.neutral], cad: ../cad/lid.scad }
  pin: { made: bought, cost: lid.cost / 2, mass: jaw.lid.mass }
";
const LID: &str = "include <../out/all.scad>\r\ninclude <lib.scad>\r\n// frame_width\r\ncube([frame_width, \"frame_width\" , my_frame_width]);\r\n/* frame_width\r\n */ x = jaw_servo_neutral[0]; frame_width = 3;\r\n";
const LIB: &str = "y = jaw_servo_left_neutral + frame_width;\n";

fn memory() -> Memory {
    let mut memory = texts(&[("frame", FRAME), ("jaw", JAW)]);
    memory.insert("cad/lid.scad", LID);
    memory.insert("cad/lib.scad", LIB);
    memory
}

pub(crate) fn rename(memory: &Memory, old: &str, new: &str) -> Result<Rename, EditFault> {
    Design::read(memory).rename(memory, old, new)
}

/// The texts with a rename written.
pub(crate) fn written(memory: &Memory, rename: &Rename) -> Memory {
    let mut memory = memory.clone();
    for file in &rename.files {
        let old = file.path_before.as_ref().unwrap_or(&file.path);
        assert_eq!(memory.read(old).unwrap(), file.before.as_bytes());
        memory.remove(old);
        memory.insert(&file.path, file.after.as_str());
    }
    memory
}

pub(crate) fn text(memory: &Memory, name: &str) -> String {
    String::from_utf8(memory.read(&format!("params/{name}.yaml")).unwrap()).unwrap()
}

#[track_caller]
fn good(memory: &Memory) -> Evaluation {
    let evaluation = Design::read(memory).evaluate();
    assert_eq!(evaluation.faults(), []);
    evaluation
}

#[test]
fn all_that_names_a_dimension_follows() {
    let memory = memory();
    good(&memory);
    let rename = rename(&memory, "frame.width", "span").unwrap();
    assert_eq!((rename.from.as_str(), rename.to.as_str()), ("frame.width", "frame.span"));
    let after = written(&memory, &rename);
    let frame = FRAME
        .replace("\"width\":", "\"span\":")
        .replace("half: width", "half: span")
        .replace("'frame.width", "'frame.span")
        .replace("{ value: width,", "{ value: span,")
        .replace("min: width", "min: span")
        .replace("\"width * 2\"", "\"span * 2\"")
        .replace("    width", "    span")
        .replace("[0 mm, width]", "[0 mm, span]");
    assert_eq!(text(&after, "frame"), frame);
    let jaw = JAW.replace("frame.width", "frame.span").replace("# frame.span", "# frame.width");
    assert_eq!(text(&after, "jaw"), jaw);
    let lines: Vec<_> = rename.files.iter().map(|file| (&*file.path, file.lines.clone())).collect();
    assert_eq!(
        lines,
        [
            ("params/frame.yaml", vec![3, 4, 5, 6, 6, 6, 8, 11, 12]),
            ("params/jaw.yaml", vec![3, 11, 12, 14, 16])
        ]
    );
}

#[test]
fn lines_of_models_are_listed() {
    let models = |old: &str, new: &str| -> Vec<String> {
        let models = rename(&memory(), old, new).unwrap().models;
        let line =
            |of: &setout_design::ModelUse| format!("{}:{} {} {}", of.file, of.line, of.old, of.new);
        models.iter().map(line).collect()
    };
    assert_eq!(
        models("frame.width", "span"),
        [
            "cad/lib.scad:1 frame_width frame_span",
            "cad/lid.scad:4 frame_width frame_span",
            "cad/lid.scad:6 frame_width frame_span"
        ]
    );
    assert_eq!(
        models("jaw.servo.neutral", "rest"),
        [
            "cad/lib.scad:1 jaw_servo_left_neutral jaw_servo_left_rest",
            "cad/lid.scad:6 jaw_servo_neutral jaw_servo_rest"
        ]
    );
    assert_eq!(
        models("jaw.servo.left", "port"),
        ["cad/lib.scad:1 jaw_servo_left_neutral jaw_servo_port_neutral"]
    );
    assert_eq!(models("jaw.servo", "motor").len(), 2);
    assert_eq!(models("jaw.room", "space"), [""; 0]);
}

#[test]
fn everything_with_a_name_can_be_renamed_and_renamed_back() {
    let memory = memory();
    for (old, new, back) in [
        ("frame.width", "span", "frame.span"),
        ("frame.width", "w", "frame.w"),
        ("jaw.width", "mm", "jaw.mm"),
        ("half", "sum", "frame.sum"),
        ("folded", "no", "no"),
        ("jaw.servo", "motor_of_the_jaw", "motor_of_the_jaw"),
        ("jaw.servo.left", "port", "servo.port"),
        ("servo.neutral", "at_rest", "jaw.servo.at_rest"),
        ("jaw.neutral", "x", "jaw.x"),
        ("jaw.room", "space", "space"),
        ("jaw.lid", "cover", "cover"),
        ("jaw.pin", "jaw.frame", "jaw.frame"),
    ] {
        let there = rename(&memory, old, new).unwrap_or_else(|fault| panic!("{old}: {fault}"));
        let after = written(&memory, &there);
        let last = |name: &str| name.rsplit('.').next().unwrap().to_owned();
        let again = rename(&after, back, &last(&there.from)).unwrap();
        assert_eq!((&again.from, &again.to), (&there.to, &there.from));
        assert_eq!(written(&after, &again), memory, "{old} > {new}");
    }
}

#[test]
fn schedules_rows_and_columns_take_their_cells_along() {
    let memory = memory();
    let value = |memory: &Memory, name: &str| good(memory).value(name).unwrap().to_string();
    for (old, new, cell) in [
        ("jaw.servo", "motor", "jaw.motor.left.neutral"),
        ("jaw.servo.left", "port", "jaw.servo.port.neutral"),
        ("jaw.servo.neutral", "rest", "jaw.servo.left.rest"),
    ] {
        let after = written(&memory, &rename(&memory, old, new).unwrap());
        assert_eq!(value(&after, cell), value(&memory, "jaw.servo.left.neutral"));
    }
    let after = written(&memory, &rename(&memory, "jaw.servo.neutral", "rest").unwrap());
    let jaw = JAW
        .replace("{ neutral: mm", "{ rest: mm")
        .replace("sum(servo.neutral) + servo.left.neutral", "sum(servo.rest) + servo.left.rest")
        .replace("jaw.servo.left.neutral", "jaw.servo.left.rest")
        .replace("servo.neutral,", "servo.rest,")
        .replace("jaw.servo.right.neutral", "jaw.servo.right.rest");
    assert_eq!(text(&after, "jaw"), jaw);
}

/// The faults as `place: message (slug)` with their help.
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
fn names_that_cannot_be_had_are_refused() {
    let memory = memory();
    for (old, new, why) in [
        (
            "frame.width",
            "Span",
            "params/frame.yaml:3:3: `Span` is no name (bad-name)\n  help: names are lower-case letters, digits and _, beginning with a letter: `span`",
        ),
        (
            "frame.width",
            "jaw.width",
            "params/jaw.yaml:3:3: there is a dimension `width` in `jaw` already (duplicate-name)\n  help: give `frame.width` another name, or rename that first",
        ),
        ("frame.width", "jaw", "`jaw` could be frame.jaw or jaw.width"),
        (
            "frame.width",
            "jaw.servo.left",
            "params/frame.yaml:3:3: `jaw.servo.left` is more than a table and a name (bad-name)\n  help: write `frame.left`",
        ),
        ("frame.width", "jwa.width", "there is no table `jwa`; did you mean `jaw.width`?"),
        (
            "frame.width",
            "mouth.width",
            "there is no table `mouth`; the tables are frame, jaw; to have another, make its file first",
        ),
        (
            "jaw.servo.left",
            "frame.servo.left",
            "params/jaw.yaml:11:7: `jaw.servo.left` stays in its schedule (bad-name)\n  help: write the new name alone, such as `left`",
        ),
        (
            "frame.width",
            "half",
            "params/frame.yaml:4:3: there is a dimension `half` beside it already (duplicate-name)\n  help: give `frame.width` another name, or rename that first",
        ),
        (
            "jaw.room",
            "lid",
            "params/jaw.yaml:16:3: there is a part `lid` beside it already (duplicate-name)\n  help: give `jaw.room` another name, or rename that first",
        ),
        (
            "servo.left",
            "label",
            "params/jaw.yaml:9:29: there is a column `label` beside it already (duplicate-name)\n  help: give `jaw.servo.left` another name, or rename that first",
        ),
        (
            "jaw.width",
            "width",
            "params/jaw.yaml:3:3: `jaw.width` has this name already (duplicate-name)\n  help: give it another one",
        ),
        (
            "jaw.is_width",
            "servo_left_neutral",
            "params/jaw.yaml:11:14: `jaw.servo.left.neutral` and `jaw.servo_left_neutral` would both be exported as `jaw_servo_left_neutral` (duplicate-name)\n  help: `jaw.servo_left_neutral` stands at params/jaw.yaml:5:3; name one of them otherwise",
        ),
        ("width", "span", "`width` could be frame.width or jaw.width"),
        (
            "frame.depth",
            "span",
            "there is no `frame.depth`; correct it, or add `depth` to the table `frame`",
        ),
        ("jwa", "chin", "there is no `jwa`; did you mean `jaw`?"),
        ("jaw.rooom", "space", "there is no `jaw.rooom`; did you mean `jaw.room`?"),
        ("jaw.lid.cost", "price", "`jaw.lid.cost` belongs to the part `jaw.lid`; name `jaw.lid`"),
        ("design.cost", "price", "`design.cost` has a fixed name; it is the sum of all parts"),
        (
            "jaw.servo.left.neutral",
            "x",
            "`jaw.servo.left.neutral` is a cell, named after its row and column; name the row, `table.schedule.row`, or the column, `table.schedule.column`",
        ),
    ] {
        assert_eq!(refused(&memory, old, new), why, "{old} > {new}");
    }
}

#[test]
fn a_name_that_would_mean_two_things_is_refused() {
    let a = "dimensions: { x: lid.cost * 2, y: b.cost }\nparts: { lid: { cost: 1 GBP } }\n";
    let memory = texts(&[("a", a), ("b", "dimensions: { cost: 2 GBP }\n")]);
    good(&memory);
    let why = refused(&memory, "a.lid", "a.b");
    assert!(why.contains("ambiguous-name"), "{why}");
    assert!(refused(&memory, "b.cost", "true").contains("bad-name"));
}

#[test]
fn nothing_is_renamed_beside_a_fault() {
    let memory = texts(&[("a", "dimensions: { x: 1 mm, y: x + 1 deg }\n")]);
    assert!(refused(&memory, "a.x", "z").contains("unit-mismatch"));
}

/// A name in escapes is not searched for with all its spellings.
#[test]
fn a_name_in_escapes_is_left_to_a_hand() {
    let memory = texts(&[("a", "dimensions: { x: 1 mm, y: \"\\x78 * 2\" }\n")]);
    good(&memory);
    let why = refused(&memory, "a.x", "z");
    assert!(why.contains("a.yaml:1:27") && why.contains("letter by letter"), "{why}");
}

/// Designs of two tables, whose formulas name dimensions above them in many layouts.
fn tables() -> impl Strategy<Value = Memory> {
    let entry = (0..8_usize, 0..3_usize, any::<u16>(), any::<u16>(), any::<bool>());
    let entries = prop::collection::vec(entry, 2..14);
    (entries, any::<bool>(), any::<bool>()).prop_map(|(entries, crlf, bom)| {
        let mut tables = [String::new(), String::new()];
        for (index, (form, remark, a, b, second)) in entries.into_iter().enumerate() {
            let table = usize::from(second);
            let name = |which: u16, bare: bool, lines: &[String; 2]| -> Option<String> {
                let which = usize::from(which) % (index.max(1));
                let of = (0..2).find(|of| lines[*of].contains(&format!("# = d{which}\n")))?;
                let own = of == table && bare;
                Some(if own { format!("d{which}") } else { format!("{}.d{which}", ["a", "b"][of]) })
            };
            let (one, two) = (name(a, true, &tables), name(b, b % 2 == 0, &tables));
            let formula = match (one, two) {
                (Some(one), Some(two)) => format!("{one} * 2 + max({two}  ,1 mm)-  {one}"),
                _ => format!("{} mm", a % 100),
            };
            let note = ["d1", "µ a.d2, b.d0", "# d3"][remark];
            let entry = match form {
                0 | 1 if !formula.contains(',') => format!("d{index}:  {formula}  # {note}"),
                0..=2 => format!("'d{index}':   '{formula}' #"),
                3 => format!("\"d{index}\": \"{formula}\""),
                4 => format!("d{index}: {{ note: '{note}', value: \"{formula}\", min: -9999 m }}"),
                5 => format!("d{index}:\n    note: \"{note}\"\n    value: {formula}"),
                6 => format!("d{index}: >+\n    {}\n", formula.replace(" + ", "\n    + ")),
                _ => format!("d{index}:\n    {}", formula.replace(" + ", "\n      + ")),
            };
            tables[table].push_str(&format!("  {entry}\n  # = d{index}\n"));
        }
        let dressed = tables.map(|table| {
            let mut text = format!("# d0 d1 d2\ndimensions:\n{table}");
            if crlf {
                text = text.replace('\n', "\r\n");
            }
            if bom { format!("\u{feff}{text}") } else { text }
        });
        texts(&[("a", &dressed[0]), ("b", &dressed[1])])
    })
}

proptest! {
    #[test]
    fn there_and_back_is_the_same_bytes_and_no_value_changes(memory in tables(), which in any::<u16>(), new in "[a-z][a-z_]{0,11}") {
        let before = Design::read(&memory).evaluate();
        prop_assert!(before.faults().is_empty(), "{:?}\n{}{}", before.faults(), text(&memory, "a"), text(&memory, "b"));
        let of = &before.dimensions()[usize::from(which) % before.dimensions().len()];
        let table = of.name.split('.').next().unwrap();
        let there = rename(&memory, &of.name, &format!("{table}.{new}"));
        prop_assume!(!matches!(&there, Err(EditFault::Faults(_) | EditFault::Brings { .. })));
        let there = there.unwrap();
        let after = written(&memory, &there);
        let shown = |of: &Evaluation| -> Vec<String> {
            of.dimensions().iter().map(|of| of.value.as_ref().unwrap().to_string()).collect()
        };
        let now = good(&after);
        prop_assert_eq!(shown(&now), shown(&before));
        let (table, old) = of.name.split_once('.').unwrap();
        prop_assert!(now.value(&of.name).is_none());
        let back = rename(&after, &format!("{table}.{new}"), old).unwrap();
        prop_assert_eq!(written(&after, &back), memory);
    }
}
