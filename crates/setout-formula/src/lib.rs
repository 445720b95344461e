//! setout-formula
