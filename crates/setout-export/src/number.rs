//! Numbers as text.

/// The shortest decimal text that reads back as the same double: `62`, `0.1`, `1e-300`.
///
/// The sign of zero is not kept: minus zero is what is left of a small negative number after
/// rounding, and a lone `-0` in a file only raises questions. Numbers far from 1 get an
/// exponent, since 300 zeros are nobody's idea of short. `None` if the number is not finite.
pub(crate) fn shortest(number: f64) -> Option<String> {
    /// From 10¹⁵ on not every digit before the point is known; below 10⁻⁵ the zeros are
    /// longer than an exponent.
    const WITHOUT_EXPONENT: std::ops::Range<f64> = 1e-5..1e15;

    if number == 0.0 {
        Some("0".to_owned())
    } else if !number.is_finite() {
        None
    } else if WITHOUT_EXPONENT.contains(&number.abs()) {
        Some(format!("{number}"))
    } else {
        Some(format!("{number:e}"))
    }
}

#[cfg(test)]
mod tests {
    use super::shortest;

    #[test]
    fn numbers_are_short_and_read_back() {
        let cases = [
            (62.0, "62"),
            (-5.0, "-5"),
            (-0.0, "0"),
            (0.1 + 0.2, "0.30000000000000004"),
            (1e15, "1e15"),
            (999_999_999_999_999.0, "999999999999999"),
            (1e-5, "0.00001"),
            (9.5e-6, "9.5e-6"),
            (f64::MAX, "1.7976931348623157e308"),
            (5e-324, "5e-324"),
        ];
        for (number, text) in cases {
            assert_eq!(shortest(number).as_deref(), Some(text));
            assert_eq!(text.parse(), Ok(number));
        }
        assert_eq!(shortest(f64::INFINITY), None);
        assert_eq!(shortest(f64::NAN), None);
    }
}
