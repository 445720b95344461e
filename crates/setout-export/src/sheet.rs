//! The values of an evaluated design, in the plain form that every format draws from.

/// What one file is written from.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sheet {
    /// The design's name, shown where a format has room for it.
    pub design: String,
    /// The dimensions, cells and columns, in the order in which they are written.
    pub items: Vec<Item>,
}

/// One named value.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// The dotted name: `jaw.width`, `drive.servo.jaw_left.neutral`, or for a column
    /// `drive.servo.neutral`.
    pub name: String,
    /// What kind of entry in the design it is.
    pub role: Role,
    /// The value in [`unit`](Self::unit).
    pub value: Value,
    /// The declared unit, such as `in` or `N·m`; empty for plain numbers, texts and truths.
    pub unit: String,
    /// The same value in mm or deg, for lengths and angles and columns of them. Exact: it is
    /// the number that was computed, not one converted back from the declared unit.
    pub base: Option<Measure>,
    /// The lower limit, in [`unit`](Self::unit).
    pub min: Option<f64>,
    /// The upper limit, in [`unit`](Self::unit).
    pub max: Option<f64>,
    /// The tolerance as it stands in the design.
    pub tolerance: Option<String>,
    /// The reason for the value.
    pub note: Option<String>,
}

impl Item {
    /// An item with no base value, limits, tolerance or note.
    pub fn new(name: impl Into<String>, role: Role, value: Value, unit: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            role,
            value,
            unit: unit.into(),
            base: None,
            min: None,
            max: None,
            tolerance: None,
            note: None,
        }
    }
}

/// A value with the unit it is counted in.
#[derive(Clone, Debug, PartialEq)]
pub struct Measure {
    /// The value.
    pub value: Value,
    /// Its unit.
    pub unit: String,
}

/// What kind of entry in the design an item is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Role {
    /// A dimension whose value names no other.
    Chosen,
    /// A dimension that follows from others.
    Derived,
    /// A cell of a schedule.
    Cell,
    /// A whole column of a schedule; its value is a list.
    Column,
}

impl Role {
    /// The word for it in files.
    pub fn word(self) -> &'static str {
        match self {
            Self::Chosen => "chosen",
            Self::Derived => "derived",
            Self::Cell => "cell",
            Self::Column => "column",
        }
    }
}

/// A value as it is written.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Value {
    /// A finite number; anything else is a fault when it is written.
    Number(f64),
    /// A text.
    Text(String),
    /// A truth.
    Truth(bool),
    /// The cells of a column.
    List(Vec<Value>),
}

/// Whether a dotted name is one that a design can give: at least two parts, each
/// `[a-z][a-z0-9_]*`. Names are written bare, so this is also what keeps them inert.
pub(crate) fn is_dotted_name(name: &str) -> bool {
    name.contains('.') && name.split('.').all(is_name_part)
}

fn is_name_part(part: &str) -> bool {
    part.starts_with(|c: char| c.is_ascii_lowercase())
        && part.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_')
}
