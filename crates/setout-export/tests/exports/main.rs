//! What is written, read back by the programs it is written for.

mod csv;
mod fingerprint;
mod inert;
mod openscad;
mod standing;
mod support;
mod target;
