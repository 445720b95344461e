//! How true a dimension comes out.

use std::fmt;

use setout_quantity::{Kind, Units};

/// A tolerance as written, and what is known of it without the dimension's value.
#[derive(Clone, Debug, PartialEq)]
pub struct Tolerance {
    /// As written: `±0.2 mm`, `+0.1 -0.3 mm`, `H7`, `printed`.
    pub text: String,
    /// What it says.
    pub zone: Zone,
}

/// What a tolerance says.
#[derive(Clone, Debug, PartialEq)]
pub enum Zone {
    /// The value lies between nominal + `lower` and nominal + `upper`, in base units of `kind`.
    Between {
        /// The lower deviation.
        lower: f64,
        /// The upper deviation.
        upper: f64,
        /// What the deviations measure.
        kind: Kind,
    },
    /// A tolerance class of ISO 286, such as `H7`: an upper-case letter for a hole, a lower-case
    /// one for a shaft.
    Class(String),
    /// The tolerance of a process of this name.
    Process(String),
}

impl Zone {
    /// Whether it is `0 mm`: nothing deviates.
    pub fn is_exact(&self) -> bool {
        matches!(self, Self::Between { lower: 0.0, upper: 0.0, .. })
    }
}

/// How errors spread within a tolerance.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Spread {
    /// Normally, with the tolerance at three standard deviations.
    #[default]
    Normal,
    /// Evenly over the whole tolerance.
    Uniform,
    /// In a triangle over the whole tolerance.
    Triangular,
}

impl Spread {
    /// The spread of a name.
    pub fn of_name(name: &str) -> Option<Self> {
        match name {
            "normal" => Some(Self::Normal),
            "uniform" => Some(Self::Uniform),
            "triangular" => Some(Self::Triangular),
            _ => None,
        }
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Normal => "normal",
            Self::Uniform => "uniform",
            Self::Triangular => "triangular",
        }
    }
}

/// What was measured of a process: how far its dimensions come out from their nominal values. The
/// errors are taken to be normal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured {
    /// The mean error, in base units of `kind`.
    pub mean: f64,
    /// The standard deviation, in the same units.
    pub deviation: f64,
    /// What both measure.
    pub kind: Kind,
}

/// An error that several dimensions share: all of them are off together, each by the same part of its
/// own tolerance.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Shares {
    /// What the error is called.
    pub name: String,
    /// Whether the dimension is small where others are large, as a hole beside a shaft.
    pub is_opposite: bool,
}

/// What `shares` says where a dimension's error is its own, whatever its process does.
const ALONE: &str = "none";

impl Shares {
    /// What is written behind `shares:`; nothing for `none`.
    pub(crate) fn read(text: &str) -> Result<Option<Self>, String> {
        let text = text.trim();
        if text == ALONE {
            return Ok(None);
        }
        let (name, is_opposite) = match text.strip_prefix('-') {
            Some(name) => (name.trim_start(), true),
            None => (text, false),
        };
        match super::name_fault(name) {
            None if name != ALONE => Ok(Some(Self { name: name.to_owned(), is_opposite })),
            _ => Err(format!("`{}` is no name of an error", text.escape_debug())),
        }
    }
}

impl fmt::Display for Spread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}

impl fmt::Display for Shares {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.is_opposite { "-" } else { "" };
        write!(f, "{sign}{}", self.name)
    }
}

impl fmt::Display for Tolerance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

/// The forms in which a tolerance is written, for help.
pub(crate) const FORMS: &str =
    "write a process, `±0.2 mm`, `+0.1 -0.3 mm`, or a class of ISO 286 such as `H7`";

/// Why a tolerance could not be read, and what would mend it.
pub(crate) type Refusal = (crate::Slug, String, String);

/// Reads a tolerance. The text of a process is any name; whether there is one is asked later.
pub(crate) fn read(text: &str, units: &Units) -> Result<Tolerance, Refusal> {
    let trimmed = text.trim();
    let zone = zone(trimmed, units)?;
    Ok(Tolerance { text: trimmed.to_owned(), zone })
}

fn bad(message: impl Into<String>) -> Refusal {
    (crate::Slug::BadValue, message.into(), FORMS.into())
}

fn zone(text: &str, units: &Units) -> Result<Zone, Refusal> {
    if let Some(half) = text.strip_prefix('±').or(text.strip_prefix("+/-")) {
        let (number, unit) = deviation(half.trim_start(), units)?;
        if number < 0.0 {
            let help = format!("write `±{}`", half.trim_start().trim_start_matches('-'));
            return refuse(text, help);
        }
        return between(-number, number, unit);
    }
    if text.starts_with(['+', '-']) {
        return unequal(text, units);
    }
    if is_class(text) {
        return Ok(Zone::Class(text.to_owned()));
    }
    if super::name_fault(text).is_none() {
        return Ok(Zone::Process(text.to_owned()));
    }
    if let Ok((0.0, unit)) = deviation(text, units) {
        return between(0.0, 0.0, unit);
    }
    if let Some((hole, shaft)) = text.split_once('/')
        && is_class(hole.trim())
        && is_class(shaft.trim())
    {
        let help = format!(
            "a fit is the classes of two dimensions: give `{}` to the one and `{}` to the other",
            hole.trim(),
            shaft.trim()
        );
        return refuse(text, help);
    }
    match deviation(text, units) {
        Ok(_) => refuse(text, format!("write `±{text}` if it goes both ways")),
        Err(_) => refuse(text, FORMS.into()),
    }
}

fn refuse<T>(text: &str, help: String) -> Result<T, Refusal> {
    Err((crate::Slug::BadValue, format!("`{text}` is no tolerance"), help))
}

fn between(lower: f64, upper: f64, unit: setout_quantity::Unit) -> Result<Zone, Refusal> {
    if unit.is_reading() {
        let help = "write the difference in K";
        return Err((
            crate::Slug::UnitMismatch,
            "a tolerance is a difference, not a reading".into(),
            help.into(),
        ));
    }
    // -0 would be exported as such.
    let lower = 0.0 + unit.to_base(lower);
    Ok(Zone::Between { lower, upper: unit.to_base(upper), kind: unit.kind() })
}

/// `+0.1 -0.3 mm`, or with the unit behind both numbers.
fn unequal(text: &str, units: &Units) -> Result<Zone, Refusal> {
    let sign = text[1..].find(['+', '-']).map(|at| at + 1);
    let Some(sign) = sign else {
        let (_, unit) = deviation(text, units)?;
        let zero = format!("0 {}", unit.symbol());
        let both = match text.strip_prefix('+') {
            Some(_) => format!("{text} -{}", zero.trim_end()),
            None => format!("+{} {text}", zero.trim_end()),
        };
        let message = format!("`{text}` says how far in one direction only");
        return Err((crate::Slug::BadValue, message, format!("write both: `{both}`")));
    };
    let (first, second) = (text[..sign].trim(), text[sign..].trim());
    if matches!(first, "+" | "-") {
        let half = second.trim_start_matches(['+', '-']).trim_start();
        return refuse(text, format!("write `±{half}`"));
    }
    if let Some(upper) = first.strip_suffix(['/', ',', ';']) {
        return refuse(text, format!("put a blank between the two: `{} {second}`", upper.trim()));
    }
    let (b, unit) = deviation(second, units)?;
    let a = match first.parse::<f64>() {
        Ok(number) => number,
        Err(_) => {
            let (a, other) = deviation(first, units)?;
            if other.symbol() != unit.symbol() {
                return Err(bad("both deviations are written in one unit"));
            }
            a
        }
    };
    between(a.min(b), a.max(b), unit)
}

/// Reads a difference such as `0.05 mm`.
pub(crate) fn deviation(
    text: &str,
    units: &Units,
) -> Result<(f64, setout_quantity::Unit), Refusal> {
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '+' | '-')))
        .unwrap_or(text.len());
    let written = text[..end].trim();
    let plain = written.trim_start_matches(['+', '-']);
    let well_formed = plain.starts_with(|c: char| c.is_ascii_digit()) && !plain.ends_with('.');
    let number = written.parse::<f64>().ok().filter(|_| well_formed);
    let refusal = || match misspelt(text) {
        Some(decimal) => {
            let message = format!("`{text}` is no deviation");
            (crate::Slug::BadValue, message, format!("write the number as `{decimal}`"))
        }
        None => bad(format!("`{text}` is no deviation")),
    };
    let number = number.ok_or_else(refusal)?;
    if misspelt(text).is_some() {
        return Err(refusal());
    }
    let symbol = text[end..].trim();
    let unit = units.read(symbol).map_err(|_| {
        let help = format!("write for example `±{plain} mm`");
        (crate::Slug::UnknownUnit, format!("there is no unit `{symbol}`"), help)
    })?;
    Ok((number, unit))
}

/// The number that a text begins with as it should be written, if it has a decimal comma, an
/// exponent, or nothing before its point.
fn misspelt(text: &str) -> Option<String> {
    let end = text.find(char::is_whitespace).unwrap_or(text.len());
    let number: f64 = text[..end].replace(',', ".").parse().ok().filter(|n: &f64| n.is_finite())?;
    let plain = text[..end].bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b'+' | b'-'));
    let pointed = text.starts_with('.') || text[..end].ends_with('.');
    (!plain || pointed).then(|| setout_quantity::shortest(number))
}

/// Whether a text has the form of a tolerance class: one or two letters and a grade.
pub(crate) fn is_class(text: &str) -> bool {
    let letters = text.bytes().take_while(u8::is_ascii_alphabetic).count();
    let digits = text.len() - letters;
    (1..=2).contains(&letters)
        && (1..=2).contains(&digits)
        && text[letters..].bytes().all(|b| b.is_ascii_digit())
}
