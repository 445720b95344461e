//! Any text at all: read without panic or delay, and every fault has its place and its words.

use std::time::{Duration, Instant};

use proptest::prelude::*;
use setout_formula::{Formula, FormulaFault, Machine, Meaning, Texts, Type};
use setout_quantity::Kind;

use crate::known_units;

/// What stands for the names of a text, by their number: some values, a column, a text, nothing.
fn meaning(index: usize, turn: usize) -> Meaning<'static> {
    match (index + turn) % 9 {
        0 | 1 => Meaning::Value { slot: 0, of: Type::Quantity(Kind::LENGTH) },
        2 | 3 => Meaning::Value { slot: 1, of: Type::NUMBER },
        4 => Meaning::Value { slot: 2, of: Type::Quantity(Kind::ANGLE) },
        5 => Meaning::Column { schedule: 0, slots: &[0, 1, 2], of: Type::Quantity(Kind::LENGTH) },
        6 => Meaning::Value { slot: 3, of: Type::Text },
        7 => Meaning::Value { slot: 1, of: Type::Reading },
        _ => Meaning::Unknown,
    }
}

const SLOTS: [f64; 4] = [62.0, 2.5, 28.0, 0.0];

/// Reads a text, compiles and runs what can be, and looks at every fault on the way.
fn looked_at(text: &str, turn: usize) {
    let units = known_units();
    let (formula, faults) = Formula::read(text, &units);
    assert!(formula.is_some() || !faults.is_empty(), "neither a formula nor a fault");
    faults.iter().for_each(|fault| well_told(fault, text));
    let Some(formula) = formula else { return };
    assert_eq!(formula.text(), text);
    formula.names().iter().for_each(|used| assert_eq!(used.at.of(text), &*used.name));
    assert_eq!(formula.filled_in(|index| Some(formula.names()[index].name.to_string())), text);
    assert_eq!(formula.filled_in(|_| None), text);

    let names: Vec<_> = (0..formula.names().len()).map(|index| meaning(index, turn)).collect();
    let mut texts = Texts::default();
    match formula.compile(&names, &units, &mut texts) {
        Err(faults) => faults.iter().for_each(|fault| well_told(fault, text)),
        Ok(compiled) => match Machine::default().run(&compiled.code, &SLOTS) {
            Ok(value) => assert!(value.is_finite(), "{value}"),
            Err(stop) => {
                well_told(&formula.explain(&stop, &names, &units, &Texts::default()), text)
            }
        },
    }
    match formula.requirement(&names, &units, &mut texts) {
        Err(faults) => faults.iter().for_each(|fault| well_told(fault, text)),
        Ok(requirement) => match requirement.outcome(&mut Machine::default(), &SLOTS, 1e-9) {
            Ok(outcome) => assert!(outcome.margin.is_none_or(f64::is_finite)),
            Err(stop) => {
                well_told(&formula.explain(&stop, &names, &units, &Texts::default()), text)
            }
        },
    }
}

fn well_told(fault: &FormulaFault, text: &str) {
    assert!(text.get(fault.at.range()).is_some(), "{fault:?} lies outside or cuts a character");
    assert!(!fault.message().trim().is_empty() && !fault.help().trim().is_empty(), "{fault:?}");
    assert!(!fault.message().ends_with('.'), "a clause, not a sentence: {fault:?}");
}

/// Long enough for a busy machine, far too short for anything that grows with the square.
fn soon(what: &str, work: impl FnOnce()) {
    let start = Instant::now();
    work();
    let took = start.elapsed();
    // Not a measure of speed: far above what a busy machine needs, far below a hang.
    assert!(took < Duration::from_secs(60), "{took:?} for {what:.60}");
}

/// Words that formulas are made of, and some that look like them.
const SOUP: [&str; 64] = [
    "1", "2.5", "1e3", "010", "1e999", ".5", "5.", "1_0", "0", "0.1", "+", "-", "*", "/", "^", "<",
    "<=", "==", "!=", "&&", "||", "!", "(", ")", "(", ")", ",", " ", " ", "\t", "mm", "deg", "N·m",
    "/s", "^2", "²", "°", "%", "°C", " mm", " deg", "5 mm", "30 deg", "2 count", "width", "a.b",
    "jaw.", "pi", "true", "and", "if(", "max(", "sin(", "sqrt(", "round(", "sum(", "count(",
    "nothing(", "\"M4\"", "\"", "×", "−", "\u{a0}", "//",
];

/// Words that fit together more often than not.
const GRAMMAR: [&str; 20] = [
    "width", "2.5", "5 mm", "30 deg", "\"M4\"", "true", " + ", " - ", " * ", " / ", "^2", " < ",
    " >= ", " && ", " || ", "!", "(", ")", "max(", ", ",
];

proptest! {
    #[test]
    fn any_text_is_read_or_has_its_fault(text in any::<String>(), turn in 0..9_usize) {
        soon(&text, || looked_at(&text, turn));
    }

    #[test]
    fn any_line_of_printed_letters_is_read_or_has_its_fault(text in "\\PC{0,80}", turn in 0..9_usize) {
        soon(&text, || looked_at(&text, turn));
    }

    #[test]
    fn a_soup_of_words_is_read_or_has_its_fault(
        words in prop::collection::vec(prop::sample::select(&SOUP[..]), 0..40),
        turn in 0..9_usize,
    ) {
        let text = words.concat();
        soon(&text, || looked_at(&text, turn));
    }

    #[test]
    fn words_that_fit_are_read_or_have_their_fault(
        words in prop::collection::vec(prop::sample::select(&GRAMMAR[..]), 0..12),
        turn in 0..9_usize,
    ) {
        let text = words.concat();
        soon(&text, || looked_at(&text, turn));
    }
}

/// Texts that other readers took quadratic time or all their stack for.
#[test]
fn texts_of_the_greatest_length_take_no_time() {
    for part in [
        "1+",
        "-",
        "!",
        "(",
        ")",
        "((",
        "1^",
        "2^(",
        "max(",
        "if(",
        "sum(",
        "1 q ",
        "1 mm*",
        "mm*",
        "a.",
        "a",
        "\"",
        "\"\"",
        "1 ",
        "1,",
        "1<",
        "true&&",
        "!(",
        "-(",
        "1+(",
        "1*(",
        "nothing(",
        "é",
        "²",
        "°",
        "1 °",
        "1 mm+",
        "1<2&&",
        "a*",
        "a+",
        "if(true,1,",
        "1 mm/s*",
        "0",
        "9",
        "9.",
        "a(",
        "1e",
        "1e9",
        "\u{a0}",
        "max(1,",
    ] {
        for length in [4095, 4096, 5000, 100_000] {
            let text: String = part.chars().cycle().take(length).collect();
            for end in ["", "1", ")"] {
                let text = format!("{text}{end}");
                soon(&text, || looked_at(&text, 2));
            }
        }
    }
}

/// A column of many rows inside another, inside another: refused, not written out.
#[test]
fn columns_in_columns_are_refused_before_they_fill_the_memory() {
    let units = known_units();
    let text = "sum(c * sum(c * sum(c * sum(c * sum(c)))))";
    let formula = Formula::read(text, &units).0.expect("a formula");
    let slots = [0; 1000];
    let column = Meaning::Column { schedule: 0, slots: &slots, of: Type::NUMBER };
    soon(text, || {
        let faults = formula.compile(&[column; 5], &units, &mut Texts::default()).unwrap_err();
        assert_eq!(faults[0].slug(), "too-large");
        well_told(&faults[0], text);
    });
}

/// Sixty-four levels of brackets, calls and powers, on a small stack.
#[test]
fn the_deepest_formulas_need_little_stack() {
    let nests =
        [("(", ")"), ("-", ""), ("!", ""), ("max(1 < 2 && ", ")"), ("2^", ""), ("1 + (", ")")];
    let work = move || {
        for (open, close) in nests {
            for depth in [60, 63, 64, 65, 500] {
                looked_at(&format!("{}1{}", open.repeat(depth), close.repeat(depth)), 2);
            }
        }
    };
    std::thread::Builder::new().stack_size(1 << 19).spawn(work).unwrap().join().unwrap();
}

/// The limit is one of brackets, calls, signs and powers; what stands between them is no level.
#[test]
fn operators_between_brackets_are_no_levels() {
    for (open, close) in [("(", ")"), ("1 + (", ")"), ("1 + 2 * (", ")"), ("max(1, 2 * ", ")")] {
        let nested = |depth: usize| format!("{}1{}", open.repeat(depth), close.repeat(depth));
        assert!(Formula::read(&nested(64), &known_units()).1.is_empty(), "{open}");
        let faults = Formula::read(&nested(65), &known_units()).1;
        assert_eq!(faults[0].slug(), "too-large", "{open}");
    }
}
