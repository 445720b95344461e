//! Inserts that are set into printed parts by heat. Common practice, no standard: measure yours.

use crate::StandardFault;
use crate::sizes::number;

/// The diameter of the hole for an insert in mm, as drawn for a printed part. Common practice.
///
/// # Errors
/// When the table does not hold the thread.
///
/// ```
/// assert_eq!(setout_standards::insert_hole("M3")?, 4.0);
/// # Ok::<(), setout_standards::StandardFault>(())
/// ```
pub fn insert_hole(thread: &str) -> Result<f64, StandardFault> {
    number("inserts", thread, "hole")
}

/// The length of an insert in mm. Where there is a short one as well, it is that of the standard
/// one. Common practice.
///
/// # Errors
/// When the table does not hold the thread.
///
/// ```
/// assert_eq!(setout_standards::insert_length("M3")?, 5.8);
/// # Ok::<(), setout_standards::StandardFault>(())
/// ```
pub fn insert_length(thread: &str) -> Result<f64, StandardFault> {
    number("inserts", thread, "length")
}

/// The outer diameter of the boss that should surround an insert, in mm: twice that of the insert.
/// Common practice.
///
/// # Errors
/// When the table does not hold the thread.
///
/// ```
/// assert_eq!(setout_standards::insert_boss("M3")?, 9.2);
/// # Ok::<(), setout_standards::StandardFault>(())
/// ```
pub fn insert_boss(thread: &str) -> Result<f64, StandardFault> {
    number("inserts", thread, "boss")
}
