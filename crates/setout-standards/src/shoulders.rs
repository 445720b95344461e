//! Shoulder screws. They are named by the shoulder: `"6.5"`, `"8"` and `"10"` by ISO 7379, `"4"`,
//! `"5"` and `"6"` by the trade.

use crate::StandardFault;
use crate::sizes;
use crate::table::table;

/// The largest diameter of the shoulder in mm: f9 at the size, by ISO 7379 and, for trade sizes, by
/// common practice.
///
/// # Errors
/// When the table does not hold the size.
///
/// ```
/// use setout_standards::shoulder_diameter;
/// assert_eq!(shoulder_diameter("6.5")?, 6.487);
/// let fault = shoulder_diameter("M5").unwrap_err();
/// assert_eq!(fault.help(), "shoulders with the thread M5: 6, 6.5");
/// # Ok::<(), setout_standards::StandardFault>(())
/// ```
pub fn shoulder_diameter(size: &str) -> Result<f64, StandardFault> {
    number(size, "diameter_max")
}

/// The thread of a shoulder screw, such as `M5`; by ISO 7379 or the trade.
///
/// # Errors
/// When the table does not hold the size.
///
/// ```
/// assert_eq!(setout_standards::shoulder_thread("6.5")?, "M5");
/// # Ok::<(), setout_standards::StandardFault>(())
/// ```
pub fn shoulder_thread(size: &str) -> Result<&'static str, StandardFault> {
    cell(size, "thread")
}

/// The length of a shoulder screw's thread in mm, by ISO 7379 or the trade.
///
/// # Errors
/// When the table does not hold the size.
///
/// ```
/// assert_eq!(setout_standards::shoulder_thread_length("6.5")?, 9.5);
/// # Ok::<(), setout_standards::StandardFault>(())
/// ```
pub fn shoulder_thread_length(size: &str) -> Result<f64, StandardFault> {
    number(size, "thread_length")
}

/// The diameter of a shoulder screw's head in mm, by ISO 7379 or the trade.
///
/// # Errors
/// When the table does not hold the size.
///
/// ```
/// assert_eq!(setout_standards::shoulder_head_diameter("6.5")?, 10.0);
/// # Ok::<(), setout_standards::StandardFault>(())
/// ```
pub fn shoulder_head_diameter(size: &str) -> Result<f64, StandardFault> {
    number(size, "head_diameter")
}

/// The height of a shoulder screw's head in mm, by ISO 7379 or the trade.
///
/// # Errors
/// When the table does not hold the size, or no height for it: the trade has no settled one below 6.
///
/// ```
/// use setout_standards::shoulder_head_height;
/// assert_eq!(shoulder_head_height("6.5")?, 4.5);
/// assert_eq!(shoulder_head_height("4").unwrap_err().to_string(), "ISO 7379 has no head height for `4`");
/// # Ok::<(), setout_standards::StandardFault>(())
/// ```
pub fn shoulder_head_height(size: &str) -> Result<f64, StandardFault> {
    number(size, "head_height")
}

fn number(size: &str, column: &str) -> Result<f64, StandardFault> {
    no_thread(size)?;
    sizes::number("shoulders", size, column)
}

fn cell(size: &str, column: &str) -> Result<&'static str, StandardFault> {
    no_thread(size)?;
    sizes::cell(table("shoulders"), size, column)
}

/// `M5` is not the shoulder of 5 mm: that one has M4. So a thread is never taken for a size.
fn no_thread(size: &str) -> Result<(), StandardFault> {
    let thread = size.trim().to_uppercase();
    if !thread.starts_with('M') {
        return Ok(());
    }
    let table = table("shoulders");
    let has_it = |shoulder: &&str| sizes::cell(table, shoulder, "thread").as_deref() == Ok(&thread);
    let known = table.keys();
    let with_it = known.iter().copied().filter(has_it).collect();
    Err(StandardFault::ThreadForShoulder { thread, with_it, known })
}
