//! setout-export
