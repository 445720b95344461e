//! The keys that a design may have: what the reader takes, and what the schemas say.

/// Those of `design.yaml`.
pub(crate) const DESIGN: [&str; 7] =
    ["setout", "name", "about", "currency", "rates", "processes", "exports"];
/// Those of a process.
pub(crate) const PROCESS: [&str; 6] =
    ["tolerance", "spread", "mean", "deviation", "shares", "note"];
/// Those of an export.
pub(crate) const EXPORT: [&str; 2] = ["format", "file"];
/// Those of a table.
pub(crate) const TABLE: [&str; 5] = ["about", "dimensions", "schedules", "checks", "parts"];
/// Those of a dimension in its long form.
pub(crate) const DIMENSION: [&str; 11] = [
    "value",
    "text",
    "unit",
    "min",
    "max",
    "travel",
    "tolerance",
    "spread",
    "shares",
    "note",
    "one_of",
];
/// Those of a schedule.
pub(crate) const SCHEDULE: [&str; 3] = ["about", "columns", "rows"];
/// Those of a check.
pub(crate) const CHECK: [&str; 3] = ["require", "tight", "why"];
/// Those of a part.
pub(crate) const PART: [&str; 8] =
    ["made", "material", "quantity", "cost", "mass", "cad", "uses", "note"];
