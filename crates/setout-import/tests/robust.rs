//! Whatever stands in a file, importing it ends, and what it gives reads without a fault.

use proptest::prelude::*;
use setout_design::{Design, Memory};
use setout_import::{Form, import};

const PIECES: [&str; 40] = [
    "a",
    "b_1",
    "wideMouth",
    "=",
    ";",
    "(",
    ")",
    "[",
    "]",
    "{",
    "}",
    "?",
    ":",
    "1",
    ".5",
    "1e9",
    "\"",
    "\\",
    "//",
    "/*",
    "*/",
    "\n",
    " ",
    "module",
    "function",
    "include <x>",
    "$fn",
    "é",
    "\0",
    "-",
    "!",
    "^",
    "%",
    ",",
    "true",
    "sin",
    "max",
    "PI",
    "// deg\n",
    "// [0:5]\n",
];

fn holds(bytes: &[u8], form: Form) {
    let imported = import(bytes, form, "t", None).expect("small, and the name is good");
    if imported.taken.is_empty() {
        return;
    }
    let files =
        [("design.yaml", "setout: 1\nname: import\n".to_owned()), ("t.yaml", imported.text)];
    let evaluation = Design::read(&Memory::new(files)).evaluate();
    assert_eq!(evaluation.faults(), [], "{}", String::from_utf8_lossy(bytes));
}

/// Statements of small pieces, among which whole ones are not rare.
fn statements() -> impl Strategy<Value = String> {
    let atom = prop::sample::select(vec![
        "a",
        "b",
        "c_angle",
        "n_x",
        "2",
        "0.5",
        "-3",
        "PI",
        "true",
        "\"t\"",
        "sin(a)",
        "(a + 2)",
        "max(a, b)",
        "sqrt(a)",
        "a[0]",
        "round(b)",
        "[1, 2]",
        "1e300",
    ]);
    let op =
        prop::sample::select(vec!["+", "-", "*", "/", "^", "<", "==", "&&", "? a :", "||", "%"]);
    let name = prop::sample::select(vec!["a", "b", "c_angle", "n_x", "d", "Dd", "_d", "e", "f"]);
    let tail =
        prop::sample::select(vec![";\n", "; // deg\n", "; // [1:9]\n", "; ", "; // mm, x: #y\n"]);
    let one = (name, atom.clone(), prop::collection::vec((op, atom), 0..3), tail);
    let text = |(name, first, rest, tail): (&str, &str, Vec<(&str, &str)>, &str)| {
        let rest: String = rest.iter().map(|(op, atom)| format!(" {op} {atom}")).collect();
        format!("{name} = {first}{rest}{tail}")
    };
    prop::collection::vec(one.prop_map(text), 1..12).prop_map(|all| all.concat())
}

proptest! {
    #[test]
    fn any_bytes(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        holds(&bytes, Form::OpenScad);
        holds(&bytes, Form::Csv);
    }

    #[test]
    fn any_pieces(pieces in prop::collection::vec(prop::sample::select(&PIECES[..]), 0..80)) {
        holds(pieces.concat().as_bytes(), Form::OpenScad);
    }

    #[test]
    fn any_statements(text in statements()) {
        holds(text.as_bytes(), Form::OpenScad);
    }

    #[test]
    fn any_records(rows in prop::collection::vec("[a-cA-C_.]{0,6},[-+0-9.,e'=\"a]{0,6},(mm|deg||%|count|x),.{0,8}", 0..9)) {
        holds(format!("name,value,unit,note\n{}", rows.join("\n")).as_bytes(), Form::Csv);
    }
}
