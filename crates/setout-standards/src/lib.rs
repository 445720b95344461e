//! Published hardware and fit tables: threads, holes, heads, washers, inserts, limits and fits.
//!
//! Sizes go in and come out in mm, as plain numbers. The values are data: a file a table in `data`,
//! which names at its head the standard, its edition, where the values come from, and every doubt.
//! [`tables`] gives them as they stand there. Nothing is interpolated and nothing is guessed: a size
//! that a table does not hold is a [`StandardFault`], which says what the table does hold.
//!
//! ```
//! use setout_standards::{clearance_hole, fit, head_diameter};
//! assert_eq!(clearance_hole("M3", "medium")?, 3.4);
//! assert_eq!(fit("H7/g6", 5.0)?.min_clearance, 0.004);
//! let fault = head_diameter("M2.5", "button").unwrap_err();
//! assert_eq!(fault.to_string(), "ISO 7380-1 has no `M2.5`");
//! assert_eq!(fault.help(), "next to it is M3; it has M3, M4, M5, M6, M8, M10");
//! # Ok::<(), setout_standards::StandardFault>(())
//! ```

mod fault;
mod heads;
mod holes;
mod inserts;
mod limits;
mod ranges;
mod shoulders;
mod sizes;
mod table;
mod threads;
mod washers;

pub use fault::StandardFault;
pub use heads::{head_diameter, head_height};
pub use holes::{clearance_hole, tap_drill};
pub use inserts::{insert_boss, insert_hole, insert_length};
pub use limits::{Fit, fit, it_grade, limit_lower, limit_upper};
pub use ranges::range_ends;
pub use shoulders::{
    shoulder_diameter, shoulder_head_diameter, shoulder_head_height, shoulder_thread,
    shoulder_thread_length,
};
pub use table::{TableInfo, tables};
pub use threads::{
    ThreadLimits, thread_limits, thread_major, thread_minor, thread_pitch, thread_pitch_diameter,
};
pub use washers::{washer_inner, washer_outer, washer_thickness};
