//! Numbers as text.

/// The shortest decimal that reads back as exactly this number, with an exponent only where the
/// digits would run to more than 16 places.
///
/// ```
/// use setout_quantity::shortest;
/// assert_eq!(shortest(62.0), "62");
/// assert_eq!(shortest(0.1 + 0.2), "0.30000000000000004");
/// assert_eq!(shortest(1.5e300), "1.5e300");
/// ```
pub fn shortest(number: f64) -> String {
    let size = number.abs();
    if size == 0.0 {
        return "0".into();
    }
    if (1e-5..1e16).contains(&size) { format!("{number}") } else { format!("{number:e}") }
}

/// A number for people: six significant digits, no trailing zeros.
///
/// ```
/// use setout_quantity::rounded;
/// assert_eq!(rounded(21.700000000000003), "21.7");
/// assert_eq!(rounded(130.0 / 3.0), "43.3333");
/// assert_eq!(rounded(-0.0000001), "-1e-7");
/// ```
pub fn rounded(number: f64) -> String {
    let short: f64 = format!("{number:.5e}").parse().unwrap_or(number);
    shortest(short)
}
