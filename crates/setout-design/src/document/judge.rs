//! Scalars that YAML readers disagree about, and names.

use crate::limits::LONGEST_NAME;

/// The longest of the words below.
const LONGEST_WORD: usize = 5;

/// Why a plain scalar is not taken as it stands, and what would mend it.
pub(crate) fn scalar_trap(text: &str) -> Option<(String, String)> {
    let digits = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
    let unsigned = text.strip_prefix(['+', '-']).unwrap_or(text);
    let short = text.len() <= LONGEST_WORD;
    let lower = if short { text.to_ascii_lowercase() } else { String::new() };
    match lower.as_str() {
        "~" | "null" => return trap(text, "nothing", "write a value, or leave the key out"),
        "yes" | "on" => return trap(text, "true", &for_text("write `true`", text)),
        "no" | "off" => return trap(text, "false", &for_text("write `false`", text)),
        "true" | "false" if text != lower => {
            return trap(text, &lower, &format!("write `{lower}`"));
        }
        ".inf" | "-.inf" | "+.inf" | ".nan" => {
            return trap(text, "infinity or not-a-number", "write a number");
        }
        _ => {}
    }
    // All else that is taken for something is a kind of number.
    if !unsigned.starts_with(|c: char| c.is_ascii_digit() || c == '.') {
        return None;
    }
    if unsigned.len() > 1 && unsigned.starts_with('0') && digits(&unsigned[1..]) {
        let plain = unsigned.trim_start_matches('0');
        let plain = if plain.is_empty() { "0" } else { plain };
        return trap(text, "an octal number", &format!("write `{plain}`"));
    }
    for (prefix, base, name) in [("0x", 16, "a hexadecimal number"), ("0o", 8, "an octal number")] {
        let digits = unsigned.strip_prefix(prefix);
        if let Some(number) = digits.and_then(|digits| u64::from_str_radix(digits, base).ok()) {
            return trap(text, name, &format!("write it in decimal: `{number}`"));
        }
    }
    if unsigned.contains('_')
        && unsigned.starts_with(|c: char| c.is_ascii_digit())
        && unsigned.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'_' | b'.'))
    {
        let plain = text.replace('_', "");
        return trap(text, "a grouped number", &format!("write `{plain}`"));
    }
    if unsigned.contains(':') && unsigned.split(':').all(digits) {
        return trap(text, "a time or a number to base 60", "write it in one unit, such as `90 s`");
    }
    if is_date(text) {
        return trap(text, "a date", &for_text("write an amount with its unit", text));
    }
    exponent_trap(text, unsigned)
}

fn for_text(otherwise: &str, text: &str) -> String {
    format!("{otherwise}; a text is written `{{ text: \"{text}\" }}`")
}

fn trap(text: &str, taken: &str, help: &str) -> Option<(String, String)> {
    Some((format!("some programs read `{text}` as {taken}"), help.to_owned()))
}

fn is_date(text: &str) -> bool {
    let day = text.split(['T', 't', ' ']).next().unwrap_or("");
    let parts: Vec<&str> = day.split('-').collect();
    let sizes = [4..=4, 1..=2, 1..=2];
    parts.len() == 3
        && parts.iter().zip(sizes).all(|(part, size)| {
            size.contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit())
        })
}

/// `1e3` is a number to some YAML readers and a text to others; `1.5e-3` is a number to all.
fn exponent_trap(text: &str, unsigned: &str) -> Option<(String, String)> {
    let (digits, exponent) = unsigned.split_once(['e', 'E'])?;
    let signed = exponent.starts_with(['+', '-']);
    let exponent = exponent.strip_prefix(['+', '-']).unwrap_or(exponent);
    let numeric = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    let number =
        numeric(digits) && !exponent.is_empty() && exponent.bytes().all(|b| b.is_ascii_digit());
    if !number || (signed && digits.contains('.')) {
        return None;
    }
    let plain = text.parse().map(setout_quantity::shortest);
    let help = match plain {
        Ok(plain) if !plain.contains('e') => format!("write `{plain}`"),
        _ => "write it with a point and a signed exponent: `1.0e+3`".to_owned(),
    };
    Some((format!("some programs read `{text}` as a number, some as a text"), help))
}

/// Whether a YAML reader could take this plain text for something other than text.
pub(crate) fn is_no_text(text: &str) -> bool {
    matches!(text, "true" | "false")
        || text.parse::<f64>().is_ok_and(f64::is_finite)
        || text.is_empty()
}

/// Why a name is none, and what would mend it.
pub(crate) fn name_fault(name: &str) -> Option<(String, String)> {
    if matches!(name, "true" | "false" | "pi") {
        let reason = format!("`{name}` is a word of the formulas, not a free name");
        return Some((reason, format!("write for example `{name}_value`")));
    }
    if name.len() > LONGEST_NAME {
        let reason =
            format!("this name has {} letters; a name may have {LONGEST_NAME}", name.len());
        return Some((reason, "shorten it".into()));
    }
    let first = name.starts_with(|c: char| c.is_ascii_lowercase());
    let rest = name.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_');
    if first && rest {
        return None;
    }
    let reason = format!("`{}` is no name", name.escape_debug());
    let plain = plain_name(name);
    let help = "names are lower-case letters, digits and _, beginning with a letter";
    if plain.is_empty() || plain == name {
        return Some((reason, help.into()));
    }
    Some((reason, format!("{help}: `{plain}`")))
}

/// The nearest thing to a name that is one.
pub(crate) fn plain_name(name: &str) -> String {
    let mut plain = String::with_capacity(name.len());
    let mut before = '_';
    for c in name.chars() {
        let new_word = before.is_ascii_lowercase() && c.is_ascii_uppercase();
        if (new_word || !c.is_alphanumeric()) && !plain.ends_with('_') {
            plain.push('_');
        }
        match c.to_lowercase().next().unwrap_or(c) {
            'ä' => plain.push_str("ae"),
            'ö' => plain.push_str("oe"),
            'ü' => plain.push_str("ue"),
            'ß' => plain.push_str("ss"),
            lower if lower.is_ascii_alphanumeric() => plain.push(lower),
            _ => {}
        }
        before = c;
    }
    plain.trim_start_matches(|c: char| !c.is_ascii_lowercase()).trim_end_matches('_').to_owned()
}

/// Whether this text has to be quoted to be text to every YAML reader.
pub(crate) fn is_literal_trap(text: &str) -> bool {
    scalar_trap(text).is_some() || is_no_text(text)
}
