//! Holes for screws.

use crate::StandardFault;
use crate::sizes::{number, unknown_word};

/// The diameter of a clearance hole in mm, by ISO 273. The series are `fine`, `medium` and
/// `coarse`.
///
/// # Errors
/// When the table does not hold the thread, or there is no such series.
///
/// ```
/// use setout_standards::clearance_hole;
/// assert_eq!(clearance_hole("M3", "medium")?, 3.4);
/// let fault = clearance_hole("M3", "meduim").unwrap_err();
/// assert_eq!(fault.to_string(), "`meduim` is no series of ISO 273 that is held here");
/// assert_eq!(fault.help(), "did you mean medium? It can be fine, medium, coarse");
/// # Ok::<(), setout_standards::StandardFault>(())
/// ```
pub fn clearance_hole(thread: &str, series: &str) -> Result<f64, StandardFault> {
    const SERIES: [&str; 3] = ["fine", "medium", "coarse"];
    if !SERIES.contains(&series) {
        return Err(unknown_word("series", "ISO 273", series, &SERIES));
    }
    number("clearance", thread, series)
}

/// The diameter of the drill for cutting a coarse thread, in mm: major diameter less pitch, taken
/// to a drill that is sold. Common practice, for soft material.
///
/// # Errors
/// When the table does not hold the thread.
///
/// ```
/// assert_eq!(setout_standards::tap_drill("M4")?, 3.3);
/// # Ok::<(), setout_standards::StandardFault>(())
/// ```
pub fn tap_drill(thread: &str) -> Result<f64, StandardFault> {
    number("tap_drills", thread, "drill")
}
