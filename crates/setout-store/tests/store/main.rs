//! What the store promises, tried on real folders and on repositories made by the real git.

mod bench;
mod finding;
mod killed;
mod pairs;
mod reading;
mod refusals;
mod revisions;
mod shallow;
mod writing;
