//! The usual caution, where a result bears on the safety of people.

pub(crate) use setout::{CAUTION, bears_on_safety, speaks_of_danger};
