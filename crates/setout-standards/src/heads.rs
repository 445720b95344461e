//! Heads of screws.

use crate::StandardFault;
use crate::sizes::{number, unknown_word};

/// The sorts of heads, each with its table and the column of its greatest diameter.
const HEADS: [(&str, &str, &str); 4] = [
    ("socket", "socket_heads", "diameter_plain_max"),
    ("knurled", "socket_heads", "diameter_max"),
    ("button", "button_heads", "diameter_max"),
    ("countersunk", "countersunk_heads", "diameter_max"),
];

/// The largest diameter of a screw's head in mm. The heads are `socket` (ISO 4762 with a plain
/// head, the diameter by which it is known), `knurled` (ISO 4762 with a knurled head, which is a
/// little larger, and which most are), `button` (ISO 7380-1) and `countersunk` (ISO 10642; the
/// theoretical diameter at the sharp edge, which a countersink needs to take every head flush).
///
/// # Errors
/// When the standard has no such thread, or the head is none of the four.
///
/// ```
/// use setout_standards::head_diameter;
/// assert_eq!(head_diameter("M3", "socket")?, 5.5);
/// assert_eq!(head_diameter("M3", "knurled")?, 5.68);
/// assert_eq!(head_diameter("M3", "countersunk")?, 6.72);
/// # Ok::<(), setout_standards::StandardFault>(())
/// ```
pub fn head_diameter(thread: &str, head: &str) -> Result<f64, StandardFault> {
    let (table, column) = table_of(head)?;
    number(table, thread, column)
}

/// The largest height of a screw's head in mm; of a countersunk one, the depth of its cone. Heads
/// and standards are those of [`head_diameter`].
///
/// # Errors
/// When the standard has no such thread, or the head is none of the four.
///
/// ```
/// assert_eq!(setout_standards::head_height("M3", "button")?, 1.65);
/// # Ok::<(), setout_standards::StandardFault>(())
/// ```
pub fn head_height(thread: &str, head: &str) -> Result<f64, StandardFault> {
    number(table_of(head)?.0, thread, "height_max")
}

fn table_of(head: &str) -> Result<(&'static str, &'static str), StandardFault> {
    let found = HEADS.iter().find(|(name, ..)| *name == head);
    let names = HEADS.map(|(name, ..)| name);
    let unknown = || unknown_word("head", "ISO 4762, ISO 7380-1, ISO 10642", head, &names);
    found.map(|(_, table, column)| (*table, *column)).ok_or_else(unknown)
}
