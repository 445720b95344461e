//! A design kept open: after every change it says what a design says that was read anew.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use proptest::prelude::*;
use setout_design::{Design, EditFault, Evaluation, Live, Memory};

fn evaluated(table: &str) -> Evaluation {
    let texts = [("design.yaml", "setout: 1\nname: live\n"), ("t.yaml", table)];
    let design = Design::read(&Memory::new(texts));
    assert!(design.faults().is_empty(), "{:?}", design.faults());
    design.evaluate()
}

/// What moved, by name.
fn moved(live: &mut Live, name: &str, value: f64) -> Vec<String> {
    let handle = live.handle(name).expect("a name of the design");
    let moved = live.set(handle, value).expect("a chosen number").to_vec();
    moved.into_iter().map(|of| live.name(of).to_owned()).collect()
}

const FACE: &str = "
dimensions:
  width: 62 mm
  half: width / 2
  step: \"round(width / 1 mm)\"
  teeth: step * 2
  gap: { value: 3 mm, min: 1 mm, max: half }
  far: 9 mm
checks:
  room: { require: half >= 30 mm, why: the tongue is as wide }
  even: { require: teeth > 100, why: it is cut that way }
  apart: { require: far > gap, why: they touch }
";

#[test]
fn a_change_moves_what_follows_and_nothing_else() {
    let mut live = Live::of(&evaluated(FACE));
    // Rounded, it is as it was: what is computed from that is not looked at.
    let reached = moved(&mut live, "t.width", 62.2);
    assert_eq!(reached, ["t.width", "t.half", "t.gap", "t.room"]);
    assert_eq!(moved(&mut live, "t.far", 2.0), ["t.far", "t.apart"]);
    let apart = live.handle("t.apart").expect("a check");
    assert_eq!(live.margin(apart), Some((false, Some(-1.0))));
    assert_eq!(moved(&mut live, "t.far", 2.0), [""; 0], "it has that value already");
}

#[test]
fn what_has_no_value_now_has_one_again() {
    let table = "dimensions: { a: 4 mm, b: \"sqrt(a * 1 mm)\", c: b + 1 mm }
checks: { long: { require: c > 2 mm, why: it is pulled } }";
    let mut live = Live::of(&evaluated(table));
    let [a, c, long] = ["a", "c", "long"].map(|name| live.handle(name).expect("a name"));
    live.set(a, -4.0).expect("a number");
    assert_eq!((live.value(c), live.base(c), live.margin(long)), (None, None, None));
    live.set(a, 9.0).expect("a number");
    assert_eq!((live.base(c), live.margin(long)), (Some(4.0), Some((true, Some(2.0)))));
}

#[test]
fn what_is_not_chosen_is_not_set() {
    let table = "dimensions: { a: 4 mm, b: a + 1 mm, n: 3 count, size: { text: M4 } }
checks: { long: { require: b > 2 mm, why: it is pulled } }";
    let mut live = Live::of(&evaluated(table));
    let formula = live.handle("b").expect("a name");
    assert!(matches!(
        live.set(formula, 1.0),
        Err(EditFault::IsFormula { formula, .. }) if formula == "a + 1 mm"
    ));
    for (name, value) in [("size", 1.0), ("long", 1.0), ("n", 2.5), ("a", f64::NAN)] {
        let of = live.handle(name).expect("a name");
        assert!(matches!(live.set(of, value), Err(EditFault::NotFound { .. })), "{name}");
    }
    let before: Vec<_> = ["a", "b", "n"].map(|name| live.handle(name).expect("a name")).to_vec();
    assert_eq!(
        before.iter().map(|of| live.base(*of)).collect::<Vec<_>>(),
        [Some(4.0), Some(5.0), Some(3.0)]
    );
    assert!(live.handle("nothing").is_err());
}

/// A table of `d0`, `d1`, … of which the first ones are chosen and each of the others is computed
/// from two before it.
fn grown(chosen: usize, formulas: &[(usize, usize, u8)]) -> String {
    let mut table = String::from("dimensions:\n");
    (0..chosen).for_each(|at| writeln!(table, "  d{at}: {} mm", at + 1).expect("a string"));
    for (index, (a, b, how)) in formulas.iter().enumerate() {
        let own = chosen + index;
        let (a, b) = (a % own, b % own);
        let formula = match how {
            0 => format!("d{a} + d{b}"),
            1 => format!("\"min(d{a}, d{b})\""),
            2 => format!("\"if(d{a} > d{b}, d{a} - d{b}, d{b})\""),
            3 => format!("\"round(d{a} / 4 mm) * 4 mm\""),
            4 => format!("\"sqrt(d{a} * d{b})\""),
            _ => format!("\"min(d{a} * d{b} / 1 mm, 1000 mm)\""),
        };
        writeln!(table, "  d{own}: {formula}").expect("a string");
    }
    table.push_str("checks:\n");
    for (index, (a, b, _)) in formulas.iter().enumerate().step_by(3) {
        let own = chosen + index;
        let (a, b) = (a % own, b % own);
        writeln!(table, "  c{index}: {{ require: d{a} >= d{b}, why: so it is }}")
            .expect("a string");
    }
    table
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 128, ..ProptestConfig::default() })]

    #[test]
    fn any_changes_give_what_reading_anew_gives(
        chosen in 1_usize..6,
        formulas in prop::collection::vec((0_usize..1000, 0_usize..1000, 0_u8..6), 0..60),
        edits in prop::collection::vec((0_usize..6, -40_i32..40), 1..8),
    ) {
        let table = grown(chosen, &formulas);
        let start = evaluated(&table);
        let mut live = Live::of(&start);
        let count = chosen + formulas.len();
        let names: Vec<String> = (0..count).map(|at| format!("t.d{at}")).collect();
        let handles: Vec<_> = names.iter().map(|name| live.handle(name).unwrap()).collect();
        let mut values: Vec<(String, String)> = Vec::new();
        for (which, number) in edits {
            let name = &names[which % chosen];
            let before: Vec<_> = handles.iter().map(|of| live.base(*of).map(f64::to_bits)).collect();
            let moved: BTreeSet<String> =
                moved(&mut live, name, f64::from(number) / 2.0).into_iter().collect();
            values.retain(|(other, _)| other != name);
            values.push((name.clone(), format!("{} mm", f64::from(number) / 2.0)));
            let edits: Vec<(&str, &str)> =
                values.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
            let anew = start.design().tried(&edits).unwrap().design.evaluate();
            let mut wanted = BTreeSet::new();
            for ((name, of), before) in names.iter().zip(&handles).zip(before) {
                prop_assert_eq!(live.value(*of), anew.value(name), "{} of\n{}", name, table);
                if live.base(*of).map(f64::to_bits) != before {
                    wanted.insert(name.clone());
                }
            }
            for check in anew.checks() {
                let of = live.handle(&check.name).unwrap();
                let margin = live.margin(of);
                let holds = margin.map(|(holds, _)| holds);
                let known = (check.verdict != setout_design::Verdict::Unknown)
                    .then_some(check.verdict != setout_design::Verdict::Fails);
                prop_assert_eq!(holds, known, "{} of\n{}", check.name, table);
                let needs = anew.derivation(&check.name).unwrap();
                let needs = &needs.last().unwrap().needs;
                if needs.iter().any(|needed| wanted.contains(needed)) {
                    wanted.insert(check.name.clone());
                }
            }
            prop_assert_eq!(&moved, &wanted, "{} of\n{}", name, table);
        }
    }
}
