//! Answers as text and as JSON. What is drawn comes from the library as it is.

mod amounts;
mod caution;
pub(crate) mod changes;
mod columns;
mod details;
mod faults;
mod grid;
mod ink;
pub(crate) mod json;
mod listing;
pub(crate) mod markdown;
mod page;
mod reached;
pub(crate) mod review;
mod safe;
mod steps;
mod totals;
mod verdicts;

pub(crate) use amounts::{amount, count, limits, list, measure, verbed};
pub(crate) use caution::{CAUTION, bears_on_safety, speaks_of_danger};
pub(crate) use columns::{Cell, Columns};
pub(crate) use details::{dimension, part};
pub(crate) use faults::{faults, help, warning};
pub(crate) use grid::schedule;
pub(crate) use ink::Ink;
pub(crate) use json::{Nothing, document as json_document};
pub(crate) use listing::{
    checks as list_checks, dimensions as list_dimensions, parts as list_parts,
    schedule as list_schedule,
};
pub(crate) use page::{Line, Page};
pub(crate) use reached::Reached;
pub(crate) use safe::shortened;
pub(crate) use steps::steps;
pub(crate) use totals::{title, totals};
pub(crate) use verdicts::{check, limit, state_of_sweep};

/// What a command has to say.
pub(crate) trait Answer {
    /// Draws it for people.
    fn text(&self, page: &mut Page);

    /// Its keys in a document for programs.
    fn json(&self) -> impl serde::Serialize;

    /// The same for a review; only asked of commands that have it.
    fn markdown(&self) -> String {
        String::new()
    }

    /// What was judged, for services that show findings; only asked of commands that have it.
    /// What keeps the answer from being whole is added to it.
    fn report(&self) -> setout::Report {
        setout::Report::default()
    }
}
