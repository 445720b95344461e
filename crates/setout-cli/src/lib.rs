//! setout-cli
