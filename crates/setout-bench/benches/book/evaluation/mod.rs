//! A hundred thousand formulas evaluated, all of them read already, by Setout and by others.

mod dialects;
mod formulas;

use std::cell::RefCell;

use setout_bench::made::{COMMON, DERIVED, Dialect, GROUP, PLAY, Size, dimensions, name};
use setout_bench::{Figure, Times, by_turns, worked};
use setout_design::Design;

use crate::Book;
use crate::peer::Peer;
use dialects::{Evalexpr, Fasteval, Pint, Python};
pub(crate) use formulas::bare;
use formulas::{Slot, slots};

const ROUNDS: usize = 9;
/// So many formulas; what is chosen comes on top and is known to the peers beforehand.
const FORMULAS: usize = 100_000;
/// Quantities of pint take long.
const FEW: usize = 1_000;

pub(crate) fn figures(book: &Book) -> Vec<Figure> {
    let mut figures = against_floats(book);
    figures.push(against_pint(book));
    figures
}

/// A size with so many derived dimensions, or a few more.
fn size(formulas: usize, tables: usize) -> Size {
    Size::new(formulas.div_ceil(DERIVED * tables) * tables * GROUP, tables)
}

fn against_floats(book: &Book) -> Vec<Figure> {
    let size = size(FORMULAS, 50);
    let slots = slots(size);
    let expected = values(size);
    let design = bare(size, "");
    let mut evalexpr = Evalexpr::new(&slots);
    let mut fasteval = Fasteval::new(&slots);
    let python = Peer::of_formulas(book, &slots, &Python, "floats");
    let ways = python.ways.clone();
    let [names, list, locals] = &ways[..] else { panic!("{ways:?}") };
    let python = RefCell::new(python);
    let times = by_turns(
        ROUNDS,
        &mut [
            &mut || each(10, || drop(design.evaluate())),
            &mut || each(1, || evalexpr.evaluate()),
            &mut || each(4, || fasteval.evaluate()),
            &mut || python.borrow_mut().turn(names)[0],
            &mut || python.borrow_mut().turn(list)[0],
            &mut || python.borrow_mut().turn(locals)[0],
        ],
    );
    is_same("evalexpr", &evalexpr.values(), &expected);
    is_same("fasteval", &fasteval.values(), &expected);
    is_same("Python", &python.borrow_mut().turn("values")[1..], &expected);
    let [ours, evalexpr, fasteval, theirs @ ..] = &times[..] else { unreachable!("six ran") };
    let what = "evaluating 100,000 formulas";
    let python = ways.iter().zip(theirs).map(|(way, time)| {
        let figure = Figure::speed(what, ours, format!("Python's floats, compiled: {way}"), time);
        // The fastest way that keeps the values where others can use them.
        if way == list { figure.at_least(20.0) } else { figure }
    });
    let mut figures = vec![
        Figure::speed(what, ours, "evalexpr, read already", evalexpr).at_least(70.0),
        Figure::speed(what, ours, "fasteval, compiled", fasteval).at_least(2.0),
    ];
    figures.extend(python);
    figures
}

/// The time of one of so many turns: what is soon done is done as often as takes some ten milliseconds, for
/// what was done in between took its numbers out of the processor's reach.
fn each(turns: usize, mut run: impl FnMut()) -> f64 {
    worked(|| (0..turns).for_each(|_| run())) / turns as f64
}

fn against_pint(book: &Book) -> Figure {
    let size = size(FEW, 5);
    let slots = slots(size);
    let expected = values(size);
    let design = bare(size, "");
    let mut pint = Peer::of_formulas(book, &slots, &Pint, "pint");
    let ours = || each(100, || drop(design.evaluate()));
    let times: Vec<Times> = by_turns(ROUNDS, &mut [&mut { ours }, &mut || pint.turn("pint")[0]]);
    is_same("pint", &pint.turn("values")[1..], &expected);
    Figure::speed("evaluating 1,000 formulas", &times[0], "pint, compiled quantities", &times[1])
}

/// What Setout comes to, slot by slot.
fn values(size: Size) -> Vec<f64> {
    let evaluation = bare(size, "").evaluate();
    assert_eq!(evaluation.faults(), []);
    let of = |name: String| evaluation.value(&name).expect("a value").number().expect("a number");
    let mut values = vec![of(format!("common.{PLAY}"))];
    for table in 0..size.tables {
        let all = (0..size.groups * GROUP).map(|index| name(table, index));
        values.extend(all.map(|name| of(format!("t{table:03}.{name}"))));
    }
    values
}

/// A peer that computes something else is none.
fn is_same(peer: &str, theirs: &[f64], ours: &[f64]) {
    assert_eq!(theirs.len(), ours.len(), "{peer}");
    for (slot, (theirs, ours)) in theirs.iter().zip(ours).enumerate() {
        assert!(
            (theirs - ours).abs() <= 1e-9 * ours.abs(),
            "{peer}, {slot}: {theirs}, ours {ours}"
        );
    }
}

impl Peer {
    /// The Python that computes formulas, which it gets as a file.
    fn of_formulas(book: &Book, slots: &[Slot], dialect: &dyn Dialect, what: &str) -> Self {
        let path = book.folder.path().join(format!("{what}.txt"));
        let lines = slots.iter().map(|slot| {
            let sort = if slot.is_chosen { "chosen" } else { "derived" };
            format!("{sort}\t{}\n", slot.value.written(dialect))
        });
        std::fs::write(&path, lines.collect::<String>()).expect("it is written");
        Self::start(&book.python, "formulas.py", &[what.as_ref(), &path])
    }
}
