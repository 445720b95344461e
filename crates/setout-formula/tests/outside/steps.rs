//! Rounding to a step: what lies on a step stays there.

use proptest::prelude::*;
use setout_quantity::Kind;

use crate::evaluated;

/// The steps that people write.
const STEPS: [f64; 10] = [0.01, 0.02, 0.05, 0.1, 0.2, 0.25, 0.3, 0.5, 1.0, 2.5];

fn rounded(function: &str, x: f64, step: f64) -> f64 {
    let names = [("x", Kind::LENGTH, x), ("step", Kind::LENGTH, step)];
    evaluated(&format!("{function}(x, step)"), &names).unwrap()
}

/// A decimal that is a whole number of decimal steps is one, though neither is exact in binary.
#[test]
fn decimals_on_a_step_stay_there() {
    for hundredths in -3000..3000 {
        let x = f64::from(hundredths) / 100.0;
        for function in ["round", "floor", "ceil"] {
            assert_eq!(rounded(function, x, 0.01), x, "{function}({x} mm, 0.01 mm)");
        }
    }
}

proptest! {
    #[test]
    fn rounding_twice_is_rounding_once(x in -1e4..1e4, step in 0..STEPS.len()) {
        for function in ["round", "floor", "ceil"] {
            let once = rounded(function, x, STEPS[step]);
            prop_assert_eq!(rounded(function, once, STEPS[step]), once, "{}", function);
        }
    }

    #[test]
    fn floor_and_ceil_hold_the_value_between_them(x in -1e4..1e4, step in 0..STEPS.len()) {
        let step = STEPS[step];
        let (down, up) = (rounded("floor", x, step), rounded("ceil", x, step));
        prop_assert!(down <= x && x <= up, "{down} {x} {up}");
        prop_assert!(up - down <= step * (1.0 + 1e-9));
    }
}
