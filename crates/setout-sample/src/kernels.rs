//! Random words made into numbers, as plain arithmetic without branches.
//!
//! Every step is an operation that IEEE 754 rounds in one way only, and none is contracted to a
//! fused one; so a compiler may lay them out over any width and they come to the same bits.
//! The coefficients come from `tests/data/kernels.py`, which states what is lost with them: no more
//! than 5 · 10^-12 of each value. A figure of ten million samples is uncertain by 3 · 10^-4.

const LOGARITHM: [f64; 5] = [
    4.000000000016727,
    1.3333333049382161,
    0.8000076958022958,
    0.5707008712626472,
    0.47233008639437746,
];
const SINE: [f64; 5] = [
    0.7853981633940482,
    -0.0807455120182816,
    0.0024903932097691886,
    -3.657239187155453e-05,
    3.089962529343607e-07,
];
const COSINE: [f64; 6] = [
    0.9999999999999444,
    -0.3084251375300378,
    0.01585434419708788,
    -0.0003259916874754359,
    3.5904754583135296e-06,
    -2.426848483664674e-08,
];

const ONE: u64 = 0x3FF0_0000_0000_0000;
const MANTISSA: u64 = 0x000F_FFFF_FFFF_FFFF;
const SIGN: u64 = 1 << 63;
/// Says which of sine and cosine comes first.
const SWAPPED: u64 = 1 << 62;

/// Horner's rule.
#[inline(always)]
fn polynomial<const N: usize>(coefficients: &[f64; N], x: f64) -> f64 {
    let [rest @ .., last] = coefficients.as_slice() else { return 0.0 };
    rest.iter().rev().fold(*last, |sum, coefficient| coefficient + x * sum)
}

/// The lower 52 bits of a word as the middle of one of 2^52 equal parts of the way from 0 to 1. It
/// is an odd multiple of 2^-53, exactly; and so is one less it.
#[inline(always)]
pub(crate) fn unit(word: u64) -> f64 {
    const HALF_A_PART: f64 = f64::EPSILON / 2.0;
    f64::from_bits((word & MANTISSA) | ONE) - (1.0 - HALF_A_PART)
}

/// A number on its way to its logarithm.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Halved {
    /// How often 2 goes into it, with the sign turned.
    pub(crate) halvings: f64,
    /// What is left of it is `(1 + s) / (1 - s)`, and lies between √½ and √2.
    pub(crate) s: f64,
}

/// Takes a number from 2^-53 up to 1 apart.
#[inline(always)]
pub(crate) fn halved(x: f64) -> Halved {
    /// The upper half of the bits of √½.
    const ROOT_HALF: u64 = 0x3FE6_A09E_0000_0000;
    /// 2^52, and the exponent's bias.
    const MAGIC: u64 = 0x4330_0000_0000_0000;
    const MAGIC_BIASED: f64 = 4_503_599_627_370_496.0 + 1023.0;
    let shifted = x.to_bits() + (ONE - ROOT_HALF);
    let halvings = MAGIC_BIASED - f64::from_bits((shifted >> 52) | MAGIC);
    let left = f64::from_bits((shifted & MANTISSA) + ROOT_HALF);
    Halved { halvings, s: (left - 1.0) / (left + 1.0) }
}

/// The radius of two independent standard normal numbers, taken as a point in the plane: √(-2 ln x)
/// for an evenly spread x.
///
/// This and [`placed`] are the way of G. E. P. Box and M. E. Muller, "A note on the generation of
/// random normal deviates", Ann. Math. Statist. 29 (1958). The largest radius is
/// √(2·53·ln 2) = 8.57.
#[inline(always)]
pub(crate) fn radius(x: Halved) -> f64 {
    let logarithm = x.s * polynomial(&LOGARITHM, x.s * x.s);
    (x.halvings * (2.0 * std::f64::consts::LN_2) - logarithm).sqrt()
}

/// The lower 52 bits of a word as one of 2^52 equal steps of the way from -1 to 1, the first end among
/// them.
#[inline(always)]
fn signed_unit(word: u64) -> f64 {
    const TWO: u64 = 0x4000_0000_0000_0000;
    f64::from_bits((word & MANTISSA) | TWO) - 3.0
}

/// The place of a point in the plane, of its radius and a direction. The direction's highest two
/// bits choose a quarter of the turn, its lower 52 the place in it.
#[inline(always)]
pub(crate) fn placed(radius: f64, direction: u64) -> (f64, f64) {
    let eighths = signed_unit(direction);
    let square = eighths * eighths;
    let (sine, cosine) = (eighths * polynomial(&SINE, square), polynomial(&COSINE, square));
    // A cosine within an eighth of a turn has no other sign.
    let cosine = f64::from_bits(cosine.to_bits() | (direction & SIGN));
    let swapped = direction & SWAPPED != 0;
    let first = if swapped { sine } else { cosine };
    let second = if swapped { cosine } else { sine };
    (radius * first, radius * second)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative, to the reference.
    const CLOSE: f64 = 5e-12;

    /// Words of every sort: patterns at both ends, and many in between.
    fn words() -> impl Iterator<Item = u64> {
        let ends = (0..64).flat_map(|bit| {
            let one = 1_u64 << bit;
            [one, one - 1, !one, !(one - 1), MANTISSA ^ one, 0, u64::MAX]
        });
        let step = 0x9E37_79B9_7F4A_7C15_u64;
        ends.chain((0..200_000).map(move |index: u64| index.wrapping_mul(step)))
    }

    #[test]
    fn units_are_odd_multiples() {
        for word in words() {
            let parts = unit(word) * 2.0_f64.powi(53);
            assert_eq!(parts, ((word & MANTISSA) * 2 + 1) as f64);
            assert_eq!(1.0 - (1.0 - unit(word)), unit(word));
        }
        assert_eq!(unit(0), 2.0_f64.powi(-53));
        assert_eq!(unit(u64::MAX), 1.0 - 2.0_f64.powi(-53));
    }

    #[test]
    fn radii_are_close() {
        for word in words() {
            let wanted = (-2.0 * libm::log(unit(word))).sqrt();
            let found = radius(halved(unit(word)));
            assert!((found / wanted - 1.0).abs() < CLOSE, "{word:x}: {found} for {wanted}");
        }
        assert!((radius(halved(unit(0))) - (106.0 * std::f64::consts::LN_2).sqrt()).abs() < 1e-14);
    }

    #[test]
    fn signed_units_are_even_steps() {
        for word in words() {
            let steps = signed_unit(word) * 2.0_f64.powi(51);
            assert_eq!(steps, (word & MANTISSA) as f64 - 2.0_f64.powi(51));
        }
        assert_eq!(signed_unit(0), -1.0);
        assert_eq!(signed_unit(u64::MAX), 1.0 - 2.0_f64.powi(-51));
    }

    #[test]
    fn places_are_close() {
        for word in words() {
            let angle = signed_unit(word) * std::f64::consts::FRAC_PI_4;
            let (mut first, mut second) = (libm::cos(angle), libm::sin(angle));
            first = if word >> 63 == 1 { -first } else { first };
            if word & SWAPPED != 0 {
                std::mem::swap(&mut first, &mut second);
            }
            let (x, y) = placed(3.0, word);
            for (found, wanted) in [(x, first), (y, second)] {
                assert!((found - 3.0 * wanted).abs() <= CLOSE * wanted.abs() * 3.0, "{word:x}");
            }
        }
    }
}
