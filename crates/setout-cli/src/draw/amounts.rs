//! Numbers and counts in words.

use setout::{Amount, Kind, rounded};

/// A number with its unit, for people.
pub(crate) fn measure(number: f64, unit: &str) -> String {
    let number = rounded(number);
    if unit.is_empty() { number } else { format!("{number} {unit}") }
}

/// A value for people: money to the penny, counts without a unit.
pub(crate) fn amount(amount: Option<&Amount>) -> String {
    match amount {
        None => "not computed".to_owned(),
        // What costs less than a tenth keeps its digits: screws are bought by the thousand.
        Some(Amount::Number { number, unit }) if unit.kind() == Kind::MONEY && *number >= 0.1 => {
            format!("{number:.2} {}", unit.symbol())
        }
        Some(Amount::Number { number, unit }) if unit.is_whole() => rounded(*number),
        Some(amount) => amount.to_string(),
    }
}

/// Limits in words.
pub(crate) fn limits(min: Option<f64>, max: Option<f64>, unit: &str) -> Option<String> {
    Some(match (min, max) {
        (Some(min), Some(max)) => format!("{} to {}", rounded(min), measure(max, unit)),
        (Some(min), None) => format!("at least {}", measure(min, unit)),
        (None, Some(max)) => format!("at most {}", measure(max, unit)),
        (None, None) => return None,
    })
}

/// So many things: `1 check`, `3 checks`.
pub(crate) fn count(number: usize, thing: &str) -> String {
    if number == 1 { format!("1 {thing}") } else { format!("{number} {thing}s") }
}

/// So many things that do something: `1 check fails`, `3 checks fail`.
pub(crate) fn verbed(number: usize, thing: &str, one: &str, many: &str) -> String {
    format!("{} {}", count(number, thing), if number == 1 { one } else { many })
}

/// `a`, `a and b`, `a, b and c`.
pub(crate) fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn in_words() {
        assert_eq!(limits(Some(55.0), Some(70.0), "mm").unwrap(), "55 to 70 mm");
        assert_eq!(limits(None, Some(3.0), "").unwrap(), "at most 3");
        assert_eq!(verbed(1, "check", "fails", "fail"), "1 check fails");
        assert_eq!(verbed(0, "check", "fails", "fail"), "0 checks fail");
        assert_eq!(list(&["a".into(), "b".into(), "c".into()]), "a, b and c");
    }
}
