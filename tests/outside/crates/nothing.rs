//! Nothing: the crates of the manifest are read, not used.
