//! The sample design, as it stands in `params`.

use std::path::Path;

use setout_design::{Design, Role};
use setout_independent::{Refusal, repeat};
use setout_store::Folder;

use crate::{number_of, said};

#[test]
fn the_sample_comes_out_the_same() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let evaluation = Design::read(&Folder::find(&root).expect("the sample")).evaluate();
    let repeat = repeat(&evaluation);
    println!("{} compared, {} by last digits", repeat.compared, repeat.by_last_digits);
    assert_eq!(repeat.differences.len() + repeat.followed, 0, "{:#?}", said(&repeat));
    let lookup = |why: &Refusal| matches!(why, Refusal::NoFunction { .. });
    let passed_over: Vec<_> = repeat.not_repeated.iter().filter(|not| !lookup(&not.why)).collect();
    assert!(passed_over.is_empty(), "{:#?}", said(&repeat));
    let all = evaluation.formulas().len();
    assert_eq!(repeat.compared + repeat.not_repeated.len(), all);
    assert!(all > 500 && repeat.compared * 10 > all * 9, "{} of {all}", repeat.compared);
    for role in [Role::Dimension, Role::Cell, Role::Cost, Role::Mass, Role::Quantity, Role::Min] {
        assert!(number_of(&evaluation, role) > 10, "{role:?}");
    }
    for role in [Role::Max, Role::TravelFrom, Role::TravelTo, Role::Check, Role::Tight] {
        assert!(number_of(&evaluation, role) > 5, "{role:?}");
    }
    for role in [Role::TotalCost, Role::TotalMass] {
        assert_eq!(number_of(&evaluation, role), 1, "{role:?}");
    }
}
