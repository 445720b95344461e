//! setout-design
mod source;
pub use source::{LARGEST_FILE, Memory, Source, SourceError};
