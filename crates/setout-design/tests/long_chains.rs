//! Sizes at which a recursive search overflows the stack, or a list of paths fills the memory.
//!
//! Everything runs in a thread with a stack of 512 KiB, a quarter of what tests have otherwise.

use setout_design::graph::Graph;
use setout_design::{Comparison, Design, Memory, Slug, What};

/// Runs something on a small stack.
fn on_a_small_stack(what: &str, work: impl FnOnce() + Send + 'static) {
    let thread = std::thread::Builder::new().name(what.to_owned()).stack_size(512 * 1024);
    thread.spawn(work).expect("a thread").join().expect("no panic");
}

const LONG: u32 = 100_000;

#[test]
fn a_chain_of_a_hundred_thousand_nodes() {
    on_a_small_stack("graph, chain", || {
        let graph = Graph::new(LONG as usize, (1..LONG).map(|node| (node - 1, node)));
        assert!(graph.cycles().is_empty());
        assert!(graph.order().iter().copied().eq(0..LONG));
        assert!(graph.reach([0]).into_iter().eq(1..LONG));
        assert!(graph.needs([LONG - 1]).into_iter().eq(0..LONG - 1));
        let ways = graph.ways(&[0], |_| true);
        assert!(ways.to(LONG - 1, LONG as usize).into_iter().flatten().eq(0..LONG));
        assert_eq!(ways.to(LONG - 1, 3), [Some(0), None, Some(LONG - 1)]);
    });
}

#[test]
fn a_circle_of_fifty_thousand_nodes() {
    on_a_small_stack("graph, circle", || {
        const NODES: u32 = 50_000;
        let graph = Graph::new(NODES as usize, (0..NODES).map(|node| (node, (node + 1) % NODES)));
        assert_eq!(graph.cycles().len(), 1);
        assert_eq!(graph.reach([7]).len(), NODES as usize);
        assert!(graph.shortest_cycle(&graph.cycles()[0]).into_iter().eq(0..NODES));
    });
}

/// `count` dimensions `d0`, `d1`, … spread over fifty tables, the value of each from `value`.
fn tables(count: u32, value: impl Fn(u32) -> String) -> Memory {
    let mut texts = Memory::new([("design.yaml", "setout: 1\nname: a chain\n")]);
    let size = count.div_ceil(TABLES);
    for table in 0..TABLES {
        let members = (table * size)..((table + 1) * size).min(count);
        let mut text = String::from("dimensions:\n");
        members.for_each(|index| text.push_str(&format!("  d{index}: {}\n", value(index))));
        texts.insert(format!("t{table}.yaml"), text);
    }
    texts
}

const TABLES: u32 = 50;

/// The full name of a dimension of [`tables`].
fn name(count: u32, index: u32) -> String {
    format!("t{}.d{index}", index / count.div_ceil(TABLES))
}

/// A design in which every dimension is its neighbour and one millimetre.
fn chain(count: u32) -> Design {
    let texts = tables(count, |index| match index {
        0 => "1 mm".into(),
        _ => format!("{} + 1 mm", name(count, index - 1)),
    });
    Design::read(&texts)
}

#[test]
fn a_design_of_a_hundred_thousand_dimensions_in_a_row() {
    on_a_small_stack("design, chain", || {
        let last = name(LONG, LONG - 1);
        let design = chain(LONG);
        let before = design.evaluate();
        assert_eq!(before.faults(), []);
        assert_eq!(before.value(&last).unwrap().to_string(), "100000 mm");
        let after = design.with(&[("t0.d0", "3 mm")]).expect("an edit").evaluate();
        assert_eq!(after.value(&last).unwrap().to_string(), "100002 mm");
    });
}

#[test]
fn a_change_to_the_first_of_a_hundred_thousand_in_a_row() {
    on_a_small_stack("comparison, chain", || {
        let design = chain(LONG);
        let before = design.evaluate();
        let after = design.with(&[("t0.d0", "3 mm")]).expect("an edit").evaluate();
        let comparison = Comparison::of(&before, &after);
        let [edit] = &comparison.edits[..] else { panic!("{:?}", comparison.edits) };
        assert_eq!((&*edit.name, edit.what), ("t0.d0", What::Value));
        let names = comparison.changed.iter().map(|changed| changed.name.clone());
        assert!(names.eq((1..LONG).map(|index| name(LONG, index))), "in order of dependency");
        assert!(comparison.changed.iter().all(|changed| changed.because == ["t0.d0"]));
        // No list of names grows with the chain, or all of them would with its square.
        assert!(comparison.changed.iter().all(|changed| changed.path.len() <= 100));
        let reach = before.reach(&["t0.d0"]).expect("a reach");
        assert_eq!(reach.values.len(), LONG as usize - 1);
        assert!(reach.values.iter().all(|reached| reached.path.len() <= 100));
    });
}

#[test]
fn a_design_in_a_circle_of_fifty_thousand() {
    on_a_small_stack("design, circle", || {
        const COUNT: u32 = 50_000;
        let texts = tables(COUNT, |index| name(COUNT, (index + 1) % COUNT));
        let evaluation = Design::read(&texts).evaluate();
        let [fault] = evaluation.faults() else { panic!("{} faults", evaluation.faults().len()) };
        assert_eq!(fault.slug, Slug::Cycle);
        // A circle is shown, but not all fifty thousand names of it.
        assert!(fault.message.len() < 2_000, "{} bytes", fault.message.len());
    });
}

/// Two ways at each of eighteen places make 262,144 paths from the first to the last.
///
/// ```text
///  n0 ──▶ a0 ──▶ n1 ──▶ a1 ──▶ n2 …
///  └────▶ b0 ────┘└───▶ b1 ────┘
/// ```
#[test]
fn eighteen_diamonds_in_a_row() {
    on_a_small_stack("design, diamonds", || {
        const DIAMONDS: usize = 18;
        let mut text = String::from("dimensions:\n  n0: 1 mm\n");
        for at in 0..DIAMONDS {
            let next = at + 1;
            text.push_str(&format!("  a{at}: n{at} + 1 mm\n  b{at}: n{at} + 2 mm\n"));
            text.push_str(&format!("  n{next}: max(a{at}, b{at})\n"));
        }
        let design =
            Design::read(&Memory::new([("design.yaml", "setout: 1\n"), ("t.yaml", &text)]));
        let before = design.evaluate();
        assert_eq!(before.faults(), []);
        let after = design.with(&[("t.n0", "5 mm")]).expect("an edit").evaluate();
        let comparison = Comparison::of(&before, &after);
        assert_eq!(comparison.changed.len(), 3 * DIAMONDS);
        let end = comparison.changed.last().expect("the last");
        let ends = (end.path.first().map(String::as_str), end.path.last().map(String::as_str));
        assert_eq!((&*end.name, ends), ("t.n18", (Some("t.n0"), Some("t.n18"))));
        assert!(comparison.changed.iter().all(|changed| changed.path.len() <= 2 * DIAMONDS + 1));
        let reach = before.reach(&["t.n0"]).expect("a reach");
        assert!(reach.values.iter().all(|reached| reached.path.len() <= 2 * DIAMONDS + 1));
        assert_eq!(before.derivation("t.n18").expect("a derivation").len(), 3 * DIAMONDS + 1);
    });
}
