//! How much of a repository is looked at.

pub use crate::blob::MOST_LINKS;
pub use crate::tree::MOST_FOLDERS;
pub use crate::walk::MOST_REVISIONS;
