//! Any text as a formula.

use setout::{HARDWARE, Kind, Units};
use setout_formula::{Bounds, Code, Formula, FormulaFault, Line, Machine, Meaning, Texts, Type};

/// Any text is a formula or has its faults; a formula gives a finite value or says why it gives
/// none; and written again, with a bracket round everything, it is the same formula.
pub fn formula(bytes: &[u8]) {
    let Ok(text) = str::from_utf8(bytes) else { return };
    let units = Units::standard().with_currency("GBP");
    let (formula, faults) = read(text, &units);
    assert!(formula.is_some() || !faults.is_empty(), "neither a formula nor a fault");
    faults.iter().for_each(|fault| well_told(fault, text));
    let Some(formula) = formula else { return };
    reads_as_it_stands(&formula, text);
    let mut texts = Texts::default();
    let meanings = meanings(&formula);
    runs(&formula, &meanings, &units, &mut texts);
    is_required(&formula, &meanings, &units, &mut texts);
    if faults.is_empty() {
        is_the_same_when_printed(&formula, &units);
    }
}

fn read(text: &str, units: &Units) -> (Option<Formula>, Vec<FormulaFault>) {
    Formula::read_with(text, units, HARDWARE)
}

/// A name means what its first letter says, so that a formula means the same however it is laid
/// out.
fn meanings(formula: &Formula) -> Vec<Meaning<'static>> {
    let value = |slot, of| Meaning::Value { slot, of };
    let meaning = |name: &str| match name.as_bytes().first().unwrap_or(&b'_') {
        b'a'..=b'c' => value(1, Type::Quantity(Kind::ANGLE)),
        b'd'..=b'f' => {
            Meaning::Column { schedule: 0, slots: &[0, 3, 0], of: Type::Quantity(Kind::LENGTH) }
        }
        b'g' => Meaning::Column { schedule: 1, slots: &[], of: Type::NUMBER },
        b'm'..=b'p' => value(2, Type::NUMBER),
        b'r' => value(2, Type::Reading),
        b's' | b't' => value(4, Type::Text),
        b'u' => Meaning::Unknown,
        b'v' => value(5, Type::Truth),
        _ => value(0, Type::Quantity(Kind::LENGTH)),
    };
    formula.names().iter().map(|used| meaning(&used.name)).collect()
}

/// Values for the slots: of every day, and at the ends of what numbers can be.
const VALUES: [[f64; 6]; 4] = [
    [62.0, 28.0, 2.5, 3.0, 0.0, 1.0],
    [0.0, 0.0, 0.0, 0.0, 0.0, 0.0],
    [f64::MAX, -f64::MAX, f64::MAX, f64::MIN_POSITIVE, 0.0, 1.0],
    [-5e-324, 90.0, -1.0, 1e-300, 0.0, 0.0],
];

/// Where the values of a slot lie.
fn between(slot: usize) -> Bounds {
    let of = |values: &[f64; 6]| values[slot];
    let low = VALUES.iter().map(of).fold(f64::INFINITY, f64::min);
    Bounds { low, high: VALUES.iter().map(of).fold(f64::NEG_INFINITY, f64::max) }
}

fn reads_as_it_stands(formula: &Formula, text: &str) {
    assert_eq!(formula.text(), text);
    formula.names().iter().for_each(|used| assert_eq!(used.at.of(text), &*used.name));
    assert_eq!(formula.filled_in(|_| None), text);
    assert_eq!(formula.filled_in(|index| Some(formula.names()[index].name.to_string())), text);
}

fn runs(formula: &Formula, names: &[Meaning<'_>], units: &Units, texts: &mut Texts) {
    let text = formula.text();
    texts.number("M4");
    let compiled = match formula.compile(names, units, texts) {
        Ok(compiled) => compiled,
        Err(faults) => return faults.iter().for_each(|fault| well_told(fault, text)),
    };
    if compiled.of == Type::Unknown || compiled.code == Code::default() {
        return;
    }
    let slots = |slot: u32| Line::of(between(slot as usize));
    let bounds = compiled.code.line(Bounds::ANY, slots).bounds(Bounds::ANY);
    for values in VALUES {
        match Machine::default().run(&compiled.code, &values) {
            Ok(value) => {
                let within = bounds.low <= value && value <= bounds.high;
                assert!(within, "{value} with {values:?} is outside of {bounds:?}");
                assert!(value.is_finite(), "{value} with {values:?}");
                assert!(value != 0.0 || value.is_sign_positive(), "-0 with {values:?}");
            }
            Err(stop) => {
                let fault = formula.explain(&stop, names, units, texts);
                assert!(matches!(fault.slug(), "domain" | "too-large"), "{fault:?}");
                well_told(&fault, text);
            }
        }
    }
}

fn is_required(formula: &Formula, names: &[Meaning<'_>], units: &Units, texts: &mut Texts) {
    let text = formula.text();
    let requirement = match formula.requirement(names, units, texts) {
        Ok(requirement) => requirement,
        Err(faults) => return faults.iter().for_each(|fault| well_told(fault, text)),
    };
    for values in VALUES {
        match requirement.outcome(&mut Machine::default(), &values, 1e-9) {
            Ok(outcome) => assert!(outcome.margin.is_none_or(f64::is_finite), "{outcome:?}"),
            Err(stop) => well_told(&formula.explain(&stop, names, units, texts), text),
        }
    }
}

fn printed(formula: &Formula) -> String {
    formula.canonical(|index| formula.names()[index].name.to_string())
}

fn is_the_same_when_printed(formula: &Formula, units: &Units) {
    let text = printed(formula);
    let (again, faults) = read(&text, units);
    if !faults.is_empty() {
        // Brackets round everything may be more than a formula can hold, and nothing else.
        assert!(faults.iter().all(|fault| fault.slug() == "too-large"), "{text}: {faults:?}");
        return;
    }
    let again = again.expect("a formula without faults");
    let code = |formula: &Formula| {
        let compiled = formula.compile(&meanings(formula), units, &mut Texts::default());
        compiled.ok().map(|compiled| compiled.code)
    };
    assert_eq!(code(formula), code(&again), "{text}");
    assert_eq!(printed(&again), text);
}

fn well_told(fault: &FormulaFault, text: &str) {
    assert!(text.get(fault.at.range()).is_some(), "{fault:?} lies outside or cuts a character");
    let message = fault.message();
    assert!(!message.trim().is_empty() && !fault.help().trim().is_empty(), "{fault:?}");
    assert!(!message.ends_with('.'), "a clause, not a sentence: {fault:?}");
}
