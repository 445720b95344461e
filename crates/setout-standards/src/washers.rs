//! Plain washers.

use crate::StandardFault;
use crate::sizes::number;

/// The nominal outer diameter of a plain washer in mm, by ISO 7089: the largest it can be.
///
/// # Errors
/// When the table does not hold the thread.
///
/// ```
/// assert_eq!(setout_standards::washer_outer("M3")?, 7.0);
/// # Ok::<(), setout_standards::StandardFault>(())
/// ```
pub fn washer_outer(thread: &str) -> Result<f64, StandardFault> {
    number("washers", thread, "outer")
}

/// The nominal inner diameter of a plain washer in mm, by ISO 7089: the smallest it can be.
///
/// # Errors
/// When the table does not hold the thread.
///
/// ```
/// assert_eq!(setout_standards::washer_inner("M10")?, 10.5);
/// # Ok::<(), setout_standards::StandardFault>(())
/// ```
pub fn washer_inner(thread: &str) -> Result<f64, StandardFault> {
    number("washers", thread, "inner")
}

/// The nominal thickness of a plain washer in mm, by ISO 7089. It can be more and less.
///
/// # Errors
/// When the table does not hold the thread.
///
/// ```
/// assert_eq!(setout_standards::washer_thickness("M3")?, 0.5);
/// # Ok::<(), setout_standards::StandardFault>(())
/// ```
pub fn washer_thickness(thread: &str) -> Result<f64, StandardFault> {
    number("washers", thread, "thickness")
}
