//! setout-quantity
