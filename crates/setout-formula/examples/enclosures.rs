//! Enclosures for `tests/outside/intervals.py`, which judges them.
//!
//! Each line of the input is a formula, or `:` and the name of a method of intervals, and after a
//! tab each one or two operands: the bits of the lower end, of the upper end, and the decoration
//! from 0 to 2. In a formula `x` and `y` are plain numbers and `a` is an angle in degrees; the first
//! operand is `x` or `a`. Each line of the output is a result in the same form, or a number's bits,
//! or `true` or `false`.

use std::collections::HashMap;
use std::io::{BufRead, BufWriter, Write};

use setout_formula::{Closes, Code, Decoration, Enclosure, Formula, Interval, Meaning};
use setout_formula::{Texts, Type};
use setout_quantity::{Kind, Units};

const DECORATIONS: [Decoration; 3] =
    [Decoration::Partly, Decoration::Defined, Decoration::Continuous];

fn main() {
    let mut formulas = HashMap::new();
    let mut out = BufWriter::new(std::io::stdout().lock());
    for line in std::io::stdin().lock().lines() {
        let line = line.expect("a line");
        let mut parts = line.split('\t');
        let operation = parts.next().expect("an operation");
        let operands: Vec<Enclosure> = parts.map(operand).collect();
        let answer = match operation.strip_prefix(':') {
            Some(method) => asked(method, operands[0].interval, operands.get(1)),
            None => {
                let (code, texts) =
                    formulas.entry(operation.to_owned()).or_insert_with(|| compiled(operation));
                written(code.enclose(texts, &|slot| operands[slot as usize]))
            }
        };
        writeln!(out, "{answer}").expect("somebody who reads");
    }
}

fn operand(text: &str) -> Enclosure {
    let words: Vec<&str> = text.split(' ').collect();
    let [low, high, decoration] = words[..] else { panic!("two ends and a decoration: {text}") };
    let end = |bits| f64::from_bits(u64::from_str_radix(bits, 16).expect("the bits of a float"));
    let place: usize = decoration.parse().expect("a decoration");
    let interval = Interval::new(end(low), end(high));
    Enclosure { interval, decoration: DECORATIONS[place], closes: Closes::Everywhere }
}

fn compiled(text: &str) -> (Code, Texts) {
    let units = Units::standard();
    let formula = Formula::read(text, &units).0.expect("a formula");
    let meaning = |name: &str| Meaning::Value {
        slot: u32::from(name == "y"),
        of: Type::Quantity(if name == "a" { Kind::ANGLE } else { Kind::NUMBER }),
    };
    let names: Vec<_> = formula.names().iter().map(|used| meaning(&used.name)).collect();
    let mut texts = Texts::default();
    let code = formula.compile(&names, &units, &mut texts).expect("kinds that fit").code;
    (code, texts)
}

fn asked(method: &str, x: Interval, other: Option<&Enclosure>) -> String {
    let y = || other.expect("a second operand").interval;
    match method {
        "square" => ends(x.square()),
        "hull" => ends(x.hull(y())),
        "and" => ends(x.and(y())),
        "halves" => x.halves().map(ends).join(" "),
        "middle" => bits(x.middle()),
        "width" => bits(x.width()),
        "magnitude" => bits(x.magnitude()),
        "low" => bits(x.low()),
        "high" => bits(x.high()),
        "is_in" => x.is_in(y()).to_string(),
        "contains" => x.contains(y().low()).to_string(),
        "is_empty" => x.is_empty().to_string(),
        "is_one" => x.only().is_some().to_string(),
        "is_bounded" => (x.is_bounded() && !x.is_empty()).to_string(),
        "is_entire" => (x == Interval::ENTIRE).to_string(),
        _ => panic!("no method {method}"),
    }
}

fn bits(number: f64) -> String {
    format!("{:016x}", number.to_bits())
}

fn ends(found: Interval) -> String {
    format!("{} {}", bits(found.low()), bits(found.high()))
}

fn written(found: Enclosure) -> String {
    format!("{} {}", ends(found.interval), found.decoration as u8)
}
