//! Any design, evaluated twice.

use setout::{Design, independent};

use super::texts::{files, source};

/// Where a design has no fault, two engines come to the same values.
pub fn independent(bytes: &[u8]) {
    let evaluation = Design::read(&source(&files(bytes))).evaluate();
    let repeat = independent::repeat(&evaluation);
    assert!(repeat.agrees(), "{:?}", repeat.differences);
    let no_refusal = repeat.not_repeated.iter().find(|of| of.why.to_string().trim().is_empty());
    assert!(no_refusal.is_none(), "{no_refusal:?}");
}
