//! What the store promises, tried on real folders and on repositories made by the real git.

mod bench;
mod changed;
mod finding;
mod installed;
mod killed;
mod pairs;
mod reading;
mod refusals;
mod revisions;
mod shallow;
mod walk;
mod writing;

/// How the real git is to store what it makes here: as usual. The tests beside this folder run
/// the same tests of revisions in repositories that the git library cannot read.
const STORAGE: [(&str, &str); 0] = [];
