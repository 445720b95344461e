//! What differs between two states of a design, drawn for people.

mod consequences;
mod edits;
mod ending;
mod figures;
mod judged;
mod parts;
mod rows;
mod tried;
mod words;

pub(crate) use consequences::{consequences, unchanged};
pub(crate) use edits::edits;
pub(crate) use ending::{
    Tense, around, caution, clauses, is_dangerous, sentence, total_text, totals, totals_text,
};
pub(crate) use figures::pair;
pub(crate) use judged::{
    check as check_turned, limits as limits_turned, limits_that_turned, margin_text, margins,
    moved, turned,
};
pub(crate) use parts::parts;
pub(crate) use rows::{Remark, Row, draw as draw_rows};
pub(crate) use tried::{is_plain, tried};
pub(crate) use words::was_and_is;

/// Between what was and what is.
pub(crate) const TO: &str = "→";
