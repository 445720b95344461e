//! Random formulas of plain numbers against evalexpr 11, another engine.
//!
//! Only what means the same there is used: literals are floats, powers are bracketed, and angles
//! are radians. See `judge` for what can be told.

use evalexpr::{ContextWithMutableVariables, HashMapContext, Value};
use setout_quantity::Kind;

use crate::evaluated;
use crate::grow::{Grower, NAMES, Numbers, spellings};
use crate::judge::{Judged, Unjudged, judged};
use crate::random::Random;
use crate::tree::{Language, Tree};
use crate::units::NUMBER;

/// The largest whole number of evalexpr, to which its `min` and `max` turn what is beyond.
const LARGEST_WHOLE: f64 = 9e18;

fn evalexpr(tree: &Tree, values: &[f64]) -> Option<f64> {
    let mut context = HashMapContext::new();
    for ((name, _), value) in NAMES.iter().zip(values).filter(|((name, _), _)| !name.contains('.'))
    {
        context.set_value((*name).to_owned(), Value::Float(*value)).expect("a fresh name");
    }
    match evalexpr::eval_with_context(&tree.written(Language::Evalexpr, &spellings()), &context) {
        Ok(Value::Float(value)) => Some(value),
        Ok(Value::Int(value)) => Some(value as f64),
        Ok(Value::Boolean(truth)) => Some(f64::from(u8::from(truth))),
        _ => None,
    }
}

/// What became of a random formula.
#[derive(Debug, PartialEq)]
enum Met {
    Agreed,
    NoValue,
    LeftOut,
}

fn compared(tree: &Tree, values: &[f64]) -> Result<Met, String> {
    let judged = judged(tree, values);
    let names: Vec<_> =
        NAMES.iter().zip(values).map(|((name, _), value)| (*name, Kind::NUMBER, *value)).collect();
    let ours = evaluated(&tree.written(Language::Ours, &spellings()), &names);
    match (judged, ours) {
        (Err(Unjudged::Unsure), _) => Ok(Met::LeftOut),
        (Ok(judged), _) if !judged.tells() || judged.largest > LARGEST_WHOLE => Ok(Met::LeftOut),
        (Ok(judged), Ok(ours)) => agreement(judged, ours, evalexpr(tree, values)),
        (Err(Unjudged::NoValue), Err(fault)) if fault.slug() == "domain" => {
            let without = |part: &&Tree| !evalexpr(part, values).is_some_and(f64::is_finite);
            let found = tree.parts().iter().any(without);
            if found { Ok(Met::NoValue) } else { Err(format!("only ours has {fault:?}")) }
        }
        (judged, ours) => Err(format!("expected {judged:?}, got {ours:?}")),
    }
}

fn agreement(judged: Judged, ours: f64, theirs: Option<f64>) -> Result<Met, String> {
    let theirs = theirs.ok_or("evalexpr has no value")?;
    let apart = (ours - theirs).abs();
    if apart <= judged.tolerance() {
        return Ok(Met::Agreed);
    }
    Err(format!("{ours:e} here and {theirs:e} there, with {judged:?}"))
}

#[test]
fn a_thousand_random_formulas_agree_with_evalexpr() {
    let (mut random, seed) = Random::seeded();
    let (mut agreed, mut without, mut left_out) = (0, 0, 0);
    while agreed < 1000 {
        let mut grower = Grower { random: &mut random, numbers: Numbers::Usual, plain: true };
        let depth = 1 + agreed % 5;
        let tree = if agreed % 4 == 3 {
            grower.formula(|grower| grower.condition(None, depth))
        } else {
            grower.formula(|grower| grower.quantity(NUMBER, depth))
        };
        let values = grower.values();
        match compared(&tree, &values) {
            Ok(Met::Agreed) => agreed += 1,
            Ok(Met::NoValue) => without += 1,
            Ok(Met::LeftOut) => left_out += 1,
            Err(why) => panic!(
                "seed {seed}: {}\n{why}\nevalexpr: {}",
                tree.written(Language::Ours, &spellings()),
                tree.written(Language::Evalexpr, &spellings())
            ),
        }
    }
    println!("seed {seed}: 1000 agreed, {without} had no value in either, {left_out} left out");
    assert!(without > 50, "only {without} formulas met the end of a domain");
    assert!(left_out < 500, "{left_out} formulas hung on their last bits");
}
