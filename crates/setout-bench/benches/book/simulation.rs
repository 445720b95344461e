//! A million samples of a stack of 20 normal inputs, by turns with numpy and numexpr, all on one core.
//!
//! numpy and numexpr have several ways to choose from: each has its turn in every round, and the one with
//! the least median is the peer.

use std::cell::RefCell;

use setout_bench::{Figure, by_turns, worked};
use setout_formula::{BlockMachine, Code, Formula, Meaning, Samples, Texts, Type};
use setout_quantity::{Kind, Units};
use setout_sample::{Spread, Stream, Width};

use crate::Book;
use crate::peer::Peer;

const SAMPLES: usize = 1_000_000;
const INPUTS: usize = 20;
const BLOCK: usize = 1024;
/// Rows that are whole pages long lie at the same place of each: a processor then takes a number that
/// is read for one that was just written, and waits.
const APART: usize = 40;
const ROUNDS: usize = 7;

pub(crate) fn figures(book: &Book) -> Vec<Figure> {
    let mut peer = Peer::start(&book.python, "stack.py", &[]);
    let inputs: Vec<(Stream, Spread)> = (0..INPUTS).map(input).collect();
    let widest = if is_avx512() { Goal { with: "AVX-512", times: 7.0 } } else { AVX2 };
    let mut figures = Vec::new();
    for (name, text) in [("sum", sum()), ("root", root())] {
        for (width, goal) in [(Width::Widest, widest), (Width::Avx2, AVX2)] {
            figures.push(compare(&mut peer, name, &code(&text), &inputs, width, goal));
        }
    }
    figures
}

/// How many times as fast it is to be, with what vectors.
#[derive(Clone, Copy)]
struct Goal {
    with: &'static str,
    times: f64,
}

const AVX2: Goal = Goal { with: "AVX2", times: 3.5 };

fn is_avx512() -> bool {
    setout_bench::machine::vectors().contains("AVX-512")
}

/// The input of an index, as `stack.py` has it.
fn input(index: usize) -> (Stream, Spread) {
    let spread = Spread::normal(10.0 + index as f64, 0.01 * (1 + index % 5) as f64);
    (Stream::new(1, &format!("x{index}")), spread.expect("a spread"))
}

fn sum() -> String {
    let names: Vec<String> = (0..INPUTS).map(|index| format!("x{index}")).collect();
    names.join(" + ")
}

fn root() -> String {
    let pair = |index| format!("x{index} * x{}", index + 1);
    let pairs: Vec<String> = (0..INPUTS).step_by(2).map(pair).collect();
    format!("sqrt({})", pairs.join(" + "))
}

fn code(text: &str) -> Code {
    let units = Units::standard();
    let formula = Formula::read(text, &units).0.expect("a formula");
    let of = Type::Quantity(Kind::LENGTH);
    let slot = |name: &str| name.trim_start_matches('x').parse().expect("an index");
    let names = formula.names().iter();
    let names: Vec<Meaning<'_>> =
        names.map(|name| Meaning::Value { slot: slot(&name.name), of }).collect();
    formula.compile(&names, &units, &mut Texts::default()).expect("code").code
}

/// A million samples, block by block.
fn ours(code: &Code, inputs: &[(Stream, Spread)], width: Width, values: &mut [f64]) {
    let mut machine = BlockMachine::default();
    let mut drawn = vec![[0.0; BLOCK + APART]; INPUTS];
    for (index, values) in values.chunks_mut(BLOCK).enumerate() {
        for ((stream, spread), drawn) in inputs.iter().zip(&mut drawn) {
            let start = (index * BLOCK) as u64;
            stream.with_width(width).fill(*spread, start, &mut drawn[..values.len()]);
        }
        let slots: Vec<Samples<'_>> =
            drawn.iter().map(|drawn| Samples::Each(&drawn[..values.len()])).collect();
        machine.run(code, &slots, values);
    }
}

fn compare(
    peer: &mut Peer,
    name: &str,
    code: &Code,
    inputs: &[(Stream, Spread)],
    width: Width,
    goal: Goal,
) -> Figure {
    let mut values = vec![0.0; SAMPLES];
    let ways = peer.ways.clone();
    let peer = RefCell::new(peer);
    let mut run = || worked(|| ours(code, inputs, width, &mut values));
    let mut others: Vec<_> = ways
        .iter()
        .map(|way| {
            let peer = &peer;
            move || peer.borrow_mut().turn(&format!("{way}\t{name}"))[0]
        })
        .collect();
    let mut runs: Vec<&mut dyn FnMut() -> f64> = vec![&mut run];
    runs.extend(others.iter_mut().map(|other| other as &mut dyn FnMut() -> f64));
    let times = by_turns(ROUNDS, &mut runs);
    let fastest = times[1..].iter().zip(&ways);
    let (other, way) =
        fastest.min_by(|a, b| a.0.median().total_cmp(&b.0.median())).expect("it has a way");
    for way in &ways {
        is_same_stack(&values, &peer.borrow_mut().turn(&format!("{way}\t{name}")));
    }
    let what =
        format!("a million samples of a {name} of {INPUTS} normal inputs with {}", goal.with);
    Figure::speed(what, &times[0], format!("{way}, the fastest way"), other).at_least(goal.times)
}

/// Both sides have to come to the same mean and deviation, within some standard errors.
fn is_same_stack(values: &[f64], other: &[f64]) {
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    let deviation = (values.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / count).sqrt();
    let room = 9.0 * deviation / count.sqrt();
    for (ours, theirs) in [(mean, other[1]), (deviation, other[2])] {
        assert!((ours - theirs).abs() < room, "ours came to {ours}, the other to {theirs}");
    }
}
