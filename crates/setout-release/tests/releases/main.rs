//! Releases of small designs: their letters, their change lists, their bundles, and what is found
//! out about bundles that others have changed.

mod bundles;
mod changes;
mod forged;
mod letters;
mod support;
