//! setout-store
