//! Metric coarse threads.

use crate::StandardFault;
use crate::sizes::number;

macro_rules! thread_functions {
    ($($(#[$doc:meta])* $name:ident = $column:literal, $m3:literal;)*) => {$(
        $(#[$doc])*
        ///
        /// # Errors
        /// When the table does not hold the thread.
        ///
        /// ```
        #[doc = concat!("assert_eq!(setout_standards::", stringify!($name), "(\"M3\")?, ", $m3, ");")]
        /// # Ok::<(), setout_standards::StandardFault>(())
        /// ```
        pub fn $name(thread: &str) -> Result<f64, StandardFault> {
            number("threads", thread, $column)
        }
    )*};
}

thread_functions! {
    /// The basic major diameter of a coarse thread in mm, by ISO 724: what it is named by.
    thread_major = "major", "3.0";
    /// The pitch of a coarse thread in mm, by ISO 261.
    thread_pitch = "pitch", "0.5";
    /// The basic pitch diameter (d2, D2) of a coarse thread in mm, by ISO 724.
    thread_pitch_diameter = "pitch_diameter", "2.675";
    /// The basic minor diameter of a coarse internal thread (D1) in mm, by ISO 724: the bore of the
    /// nut. The root of the bolt is smaller.
    thread_minor = "minor", "2.459";
}

/// Limits of a coarse thread in mm: the bolt by 6g, the nut by 6H. From memory.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct ThreadLimits {
    /// The bolt's largest major diameter.
    pub bolt_major_max: f64,
    /// The bolt's smallest major diameter.
    pub bolt_major_min: f64,
    /// The bolt's largest pitch diameter.
    pub bolt_pitch_max: f64,
    /// The bolt's smallest pitch diameter.
    pub bolt_pitch_min: f64,
    /// The nut's smallest minor diameter.
    pub nut_minor_min: f64,
    /// The nut's largest minor diameter.
    pub nut_minor_max: f64,
    /// The nut's smallest pitch diameter.
    pub nut_pitch_min: f64,
    /// The nut's largest pitch diameter.
    pub nut_pitch_max: f64,
}

/// The limits of a coarse thread, bolt 6g and nut 6H, by ISO 965. From memory: see the table.
///
/// # Errors
/// When the table does not hold the thread.
///
/// ```
/// assert_eq!(setout_standards::thread_limits("M3")?.bolt_major_max, 2.98);
/// # Ok::<(), setout_standards::StandardFault>(())
/// ```
pub fn thread_limits(thread: &str) -> Result<ThreadLimits, StandardFault> {
    let of = |column| number("thread_limits", thread, column);
    Ok(ThreadLimits {
        bolt_major_max: of("bolt_major_max")?,
        bolt_major_min: of("bolt_major_min")?,
        bolt_pitch_max: of("bolt_pitch_max")?,
        bolt_pitch_min: of("bolt_pitch_min")?,
        nut_minor_min: of("nut_minor_min")?,
        nut_minor_max: of("nut_minor_max")?,
        nut_pitch_min: of("nut_pitch_min")?,
        nut_pitch_max: of("nut_pitch_max")?,
    })
}
