//! The sample design, as it stands in `params`.

use std::path::Path;

use setout_design::{Design, Role};
use setout_independent::repeat;
use setout_store::Folder;

use crate::{number_of, said};

#[test]
fn the_sample_comes_out_the_same() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let evaluation = Design::read(&Folder::find(&root).expect("the sample")).evaluate();
    let repeat = repeat(&evaluation);
    println!("{} compared, {} by last digits", repeat.compared, repeat.by_last_digits);
    assert_eq!(said(&repeat), [""; 0], "nothing differs, and nothing is left out");
    let all = evaluation.formulas();
    assert_eq!((repeat.compared, repeat.followed), (all.len(), 0));
    assert!(all.len() > 500, "{}", all.len());
    for call in ["four_bar_output(", "clearance_hole(", "insert_hole(", "shoulder_thread("] {
        assert!(all.iter().any(|formula| formula.written.contains(call)), "{call}");
    }
    for role in [Role::Dimension, Role::Cell, Role::Cost, Role::Mass, Role::Quantity, Role::Min] {
        assert!(number_of(&evaluation, role) > 10, "{role:?}");
    }
    for role in [Role::Max, Role::TravelFrom, Role::TravelTo, Role::Check, Role::Tight] {
        assert!(number_of(&evaluation, role) > 5, "{role:?}");
    }
    for role in [Role::LowerDeviation, Role::UpperDeviation] {
        assert!(number_of(&evaluation, role) > 50, "{role:?}");
    }
    for role in [Role::TotalCost, Role::TotalMass] {
        assert_eq!(number_of(&evaluation, role), 1, "{role:?}");
    }
}
