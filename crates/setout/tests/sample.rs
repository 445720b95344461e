//! What the sample design has to show: checks that move, and chains of tolerances.

use std::path::Path;

use setout::{Asked, Design, Evaluation, Folder, Mechanisms, Stack, Work, stack};

fn sample() -> Evaluation {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let evaluation = Design::read(&Folder::find(&root).unwrap()).evaluate();
    assert_eq!(evaluation.faults(), []);
    evaluation
}

#[test]
fn checks_move_over_several_axes() {
    let sample = sample();
    let all = Mechanisms::of(&sample);
    let axes = |check: usize| all.of_check(check, false).map_or(0, |of| of.variables().len());
    let moving: Vec<usize> =
        (0..sample.checks().len()).map(axes).filter(|axes| *axes > 0).collect();
    assert!(moving.len() >= 6, "{moving:?}");
    assert!(moving.iter().filter(|axes| **axes >= 3).count() >= 2, "{moving:?}");
}

fn stacked(sample: &Evaluation, name: &str) -> Stack {
    let asked = Asked { samples: 2000, ..Asked::default() };
    stack(sample, name, &asked, &Work::default()).unwrap()
}

#[test]
fn tolerances_add_up() {
    let sample = sample();
    for (name, errors) in [
        ("board.board_screws_reach_and_end", 3),
        ("jaw.jaw_clears_the_base", 5),
        ("jaw.jaw_clears_the_muzzle", 2),
        ("tongue.tongue_clears_palate", 8),
    ] {
        let found = stacked(&sample, name);
        assert_eq!(found.contributors.len(), errors, "{name}");
        // It holds, and for every set of parts that the tolerances allow.
        assert!(found.worst.unwrap().low >= 0.0, "{name}");
    }
    // How far a screw engages comes from its own length, the board's and the hole's.
    let names: Vec<String> = stacked(&sample, "board.board_screws_reach_and_end")
        .contributors
        .into_iter()
        .map(|own| own.name)
        .collect();
    assert_eq!(
        names,
        ["fasteners.board_screw_length", "fasteners.insert_runout", "board.thickness"]
    );
}
