//! Any design at all, however torn or hostile: read and evaluated without panic or delay, and
//! every fault has its place and its words.

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use proptest::prelude::*;
use setout_design::{Design, Evaluation, Memory, Slug};

/// A good design that uses every part of the format, to be torn.
const GOOD: [(&str, &str); 4] = [
    (
        "params/design.yaml",
        "setout: 1\nname: a lid\ncurrency: GBP\nrates: { EUR: 0.85 GBP }\nprocesses:\n  \
         printed: { tolerance: ±0.20 mm, spread: normal }\n  cut: { tolerance: +0.1 -0.3 mm }\n\
         exports:\n  - { format: csv, file: ../out/lid.csv }\n",
    ),
    (
        "params/lid.yaml",
        "\u{feff}about: \"the lid, größer\"\r\ndimensions:\r\n  width: 62 mm\r\n  half: width / 2\r\n  \
         arm:\r\n    value: >-\r\n      width * 0.35\r\n      + 2 µm\r\n    unit: mm\r\n    \
         min: 18 mm\r\n    max: 'frame.depth / 2'\r\n    tolerance: printed\r\n    note: |\r\n      \
         long\r\n      enough\r\n  opening: { value: 0 deg, travel: [0 deg, 28 deg] }\r\n  \
         pin: { text: M4, one_of: [M3, M4] }\r\n  hole: if(pin == \"M4\", 4.5 mm, 3.4 mm)\r\n",
    ),
    (
        "params/frame.yaml",
        "dimensions:\n  depth: 80 mm  # all round\n  room: 20 °C\n  load: sum(servo.stall * 2)\n  \
         price: design.cost + plate.cost * 2\nschedules:\n  servo:\n    about: one row a servo\n    \
         columns: { channel: count, neutral: deg, stall: A, label: text }\n    rows:\n      \
         left: [0, 90 deg, 2.5 A, left]\n      right: [1, 90 deg, \"max(1 A, 2 A)\", \"7\"]\n\
         checks:\n  fits:\n    require: lid.half >= 3 mm && lid.arm < depth\n    tight: 0.5 mm\n    \
         why: it must not rub\nparts:\n  plate:\n    made: printed\n    quantity: 2\n    \
         cost: 1.20 GBP\n    mass: 38 g\n    cad: ../cad/plate.scad\n    uses: [lid.width, depth]\n",
    ),
    ("cad/plate.scad", "include <other.scad>\ncube(lid_width);\n"),
];

/// No design of some kilobytes takes anywhere near as long on any machine.
const LONG: Duration = Duration::from_secs(120);

/// Evaluates, and looks at every fault.
fn looked_at(files: &BTreeMap<String, Vec<u8>>) -> Evaluation {
    let start = Instant::now();
    let texts = Memory::new(files.clone());
    let evaluation = Design::read(&texts).evaluate();
    assert!(start.elapsed() < LONG, "this took {:?}", start.elapsed());
    for pair in evaluation.faults().windows(2) {
        assert!(pair[0] < pair[1], "not in order, or twice: {pair:?}");
    }
    for fault in evaluation.faults() {
        assert!(!fault.message.trim().is_empty() && !fault.help.trim().is_empty(), "{fault}");
        assert!(!fault.message.contains(['\n', '\r']), "more than a line: {fault:?}");
        // A path that was cut off may end in one.
        let is_path = fault.message.rsplit(' ').next().is_some_and(|word| word.contains('/'));
        assert!(is_path || !fault.message.ends_with('.'), "a clause, not a sentence: {fault}");
        assert!(lies_inside(fault, files), "{fault} lies outside of its file");
    }
    evaluation
}

fn lies_inside(fault: &setout_design::Fault, files: &BTreeMap<String, Vec<u8>>) -> bool {
    let place = &fault.place;
    let Some(bytes) = files.get(&*place.file) else {
        // A file that is missing is named all the same.
        return fault.slug == Slug::NotFound && (place.line, place.column) == (1, 1);
    };
    let text = String::from_utf8_lossy(bytes).replace("\r\n", "\n").replace('\r', "\n");
    let line = text.split('\n').nth(place.line - 1);
    line.is_some_and(|line| (1..=line.chars().count() + 1).contains(&place.column))
}

fn good() -> BTreeMap<String, Vec<u8>> {
    GOOD.iter().map(|(path, text)| ((*path).to_owned(), text.as_bytes().to_vec())).collect()
}

#[test]
fn the_good_design_is_good() {
    let evaluation = looked_at(&good());
    assert_eq!(evaluation.faults(), []);
    assert!(evaluation.dimensions().iter().all(|dimension| dimension.value.is_some()));
}

/// One way to tear a text.
#[derive(Clone, Debug)]
enum Tear {
    Flip(usize, u8),
    Cut(usize),
    Swap(usize, usize),
    Repeat(usize),
    Drop(usize),
    Insert(usize, &'static str),
}

/// What is often left behind by hands and programs.
const PIECES: [&str; 26] = [
    "\t",
    " ",
    ":",
    "#",
    "# 2",
    "\"",
    "'",
    "[",
    "]",
    "{",
    "}",
    "&a ",
    "*a",
    "!x ",
    "---\n",
    "<<: ",
    "\u{a0}",
    "\u{2212}",
    "±",
    "1e3",
    "no",
    "- ",
    "? ",
    "|",
    "<<<<<<< ours\n",
    "\n",
];

fn tear() -> impl Strategy<Value = Tear> {
    let at = 0..4096usize;
    prop_oneof![
        (at.clone(), any::<u8>()).prop_map(|(at, byte)| Tear::Flip(at, byte)),
        at.clone().prop_map(Tear::Cut),
        (at.clone(), at.clone()).prop_map(|(a, b)| Tear::Swap(a, b)),
        at.clone().prop_map(Tear::Repeat),
        at.clone().prop_map(Tear::Drop),
        (at, prop::sample::select(&PIECES[..])).prop_map(|(at, piece)| Tear::Insert(at, piece)),
    ]
}

impl Tear {
    fn apply(&self, text: &mut Vec<u8>) {
        let place = |at: usize| at % (text.len() + 1);
        match *self {
            Self::Flip(at, byte) if !text.is_empty() => {
                let at = at % text.len();
                text[at] = byte;
            }
            Self::Flip(..) => {}
            Self::Cut(at) => text.truncate(place(at)),
            Self::Insert(at, piece) => drop(text.splice(place(at)..place(at), piece.bytes())),
            Self::Swap(..) | Self::Repeat(_) | Self::Drop(_) => self.to_lines(text),
        }
    }

    fn to_lines(&self, text: &mut Vec<u8>) {
        let mut lines: Vec<Vec<u8>> =
            text.split_inclusive(|byte| *byte == b'\n').map(<[u8]>::to_vec).collect();
        if lines.is_empty() {
            return;
        }
        let count = lines.len();
        match *self {
            Self::Swap(a, b) => lines.swap(a % count, b % count),
            Self::Repeat(at) => lines.insert(at % count, lines[at % count].clone()),
            Self::Drop(at) => drop(lines.remove(at % count)),
            _ => {}
        }
        *text = lines.concat();
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn torn_designs_are_told_of(tears in prop::collection::vec((0..GOOD.len(), tear()), 1..8)) {
        let mut files = good();
        for (file, tear) in tears {
            tear.apply(files.get_mut(GOOD[file].0).unwrap());
        }
        looked_at(&files);
    }

    #[test]
    fn any_bytes_are_told_of(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        looked_at(&[("design.yaml".to_owned(), bytes.clone()), ("lid.yaml".to_owned(), bytes)].into());
    }

    #[test]
    fn any_signs_are_told_of(
        pieces in prop::collection::vec(prop::sample::select(&PIECES[..]), 0..40),
        words in prop::collection::vec("[a-z]{1,3}|[0-9.]{1,4}|\\+|\\*|/|\\(|\\)|mm|: |\n  ", 40),
    ) {
        let joined: String = pieces.iter().zip(&words).flat_map(|(a, b)| [*a, b]).collect();
        let table = format!("dimensions:\n  a: {joined}\n  b: a\n");
        let files = [("design.yaml", "setout: 1\n".to_owned()), ("lid.yaml", table)];
        looked_at(&files.map(|(path, text)| (path.to_owned(), text.into_bytes())).into());
    }

    #[test]
    fn any_file_name_is_told_of(name in "[^/]{0,20}(\\.yaml|\\.yml|\\.YAML|)") {
        let files = [("design.yaml", "setout: 1\n"), (&*name, "dimensions: { a: 1 mm }\n")];
        let files = files.map(|(path, text)| (path.to_owned(), text.as_bytes().to_vec()));
        looked_at(&files.into());
    }
}

/// What would take minutes if the cost grew with the square of what stands there.
#[test]
fn many_faults_are_told_of_in_passing() {
    let many = |line: &dyn Fn(usize) -> String| (0..MANY).map(line).collect::<String>();
    let long = |line: &dyn Fn(usize) -> String| format!("dimensions:\n{}", many(line));
    let flow =
        |entry: &dyn Fn(usize) -> String| format!("dimensions: {{ ä: 1 mm, {} }}\n", many(entry));
    let hostile = [
        ("unknown names", long(&|i| format!("  name_{i}: other_{i} * 2\n"))),
        ("unknown names of a table", long(&|i| format!("  name_{i}: lid.other_{i} * 2\n"))),
        ("unknown tables", long(&|i| format!("  name_{i}: table_{i}.width\n"))),
        ("unknown units", long(&|i| format!("  name_{i}: 2 foo\n"))),
        ("mismatches", long(&|i| format!("  name_{i}: 2 mm + 3 deg\n"))),
        ("divisions by zero", long(&|i| format!("  name_{i}: 2 mm / 0\n"))),
        ("bad names", long(&|i| format!("  Name{i}: Name{}\n", i + 1))),
        ("doubles", long(&|i| format!("  name_{}: 2 mm\n", i % 3))),
        ("circles", long(&|i| format!("  name_{i}: name_{}\n", i ^ 1))),
        ("one long circle", long(&|i| format!("  name_{i}: name_{}\n", (i + 1) % MANY))),
        ("limits", long(&|i| format!("  name_{i}: {{ value: 2 mm, min: 3 mm, max: 1 mm }}\n"))),
        (
            "travels",
            long(&|i| format!("  name_{i}: {{ value: 0 deg, travel: [0 deg, name_{}] }}\n", i / 2)),
        ),
        ("processes", long(&|i| format!("  name_{i}: {{ value: 2 mm, tolerance: pross_{i} }}\n"))),
        ("values on one line", flow(&|i| format!("name_{i}: 2 mm, "))),
        ("faults on one line", flow(&|i| format!("name_{i}: 2 mm / 0, "))),
    ];
    let processes = many(&|i| format!("  process_{i}: {{ tolerance: ±0.2 mm }}\n"));
    let design = format!("setout: 1\nprocesses:\n{processes}");
    for (name, table) in hostile {
        let texts = Memory::new([("design.yaml", design.clone()), ("lid.yaml", table)]);
        let start = Instant::now();
        let evaluation = Design::read(&texts).evaluate();
        assert!(!evaluation.faults().is_empty(), "{name}");
        assert!(start.elapsed() < LONG, "{name} took {:?}", start.elapsed());
    }
}

/// How many entries the hostile tables have.
const MANY: usize = 20_000;
