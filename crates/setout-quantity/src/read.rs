//! Reading unit expressions: symbols with whole powers, joined by `*`, `·` or `/`.

use crate::limits::LARGEST_POWER;
use crate::{Kind, Unit, Units};

/// Why a unit could not be read. Places are bytes of the text that was given.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum UnitFault {
    /// A symbol that no unit has.
    Unknown {
        /// The symbol as written.
        symbol: String,
        /// Where it stands.
        at: std::ops::Range<usize>,
        /// What was probably meant.
        nearest: Option<String>,
        /// Whether it stands behind a `/` or `*` and so may have been meant as a name.
        joined: bool,
    },
    /// A power that is missing, not whole, or too large.
    Power {
        /// Where it stands.
        at: std::ops::Range<usize>,
    },
    /// A reading such as °C, or a count, inside a compound or a power.
    NotCompound {
        /// The symbol as written.
        symbol: String,
        /// Where it stands.
        at: std::ops::Range<usize>,
    },
    /// Something behind the unit that does not belong to it.
    Trailing {
        /// Where it stands.
        at: std::ops::Range<usize>,
    },
}

/// Whether a unit's symbol can hold this character.
pub fn is_unit_char(c: char) -> bool {
    c.is_ascii_alphabetic()
        || matches!(c, '\u{b5}' | '\u{3bc}' | '\u{3a9}' | '\u{2126}' | '°' | '%')
}

impl Units {
    /// Reads a whole text as a unit.
    ///
    /// # Errors
    /// When it is not one; an empty text is the unit of plain numbers.
    pub fn read(&self, text: &str) -> Result<Unit, UnitFault> {
        if text.is_empty() {
            return Ok(Unit::number());
        }
        let (unit, length) = self.read_prefix(text)?;
        if length < text.len() {
            return Err(UnitFault::Trailing { at: length..text.len() });
        }
        Ok(unit)
    }

    /// Reads the unit that a text begins with, and says how many bytes it takes. A `/` or `*`
    /// belongs to it only while a symbol follows directly: of `mm/2` only `mm` is read.
    ///
    /// # Errors
    /// When the text begins with no unit, or goes on with a symbol that no unit has.
    pub fn read_prefix(&self, text: &str) -> Result<(Unit, usize), UnitFault> {
        let (first, mut at) = self.read_factor(text, 0, false)?;
        if first.power == 1 && joint(text, at).is_none() {
            return Ok((first.unit, at));
        }
        let mut parts = vec![(first, false)];
        while let Some((divides, start)) = joint(text, at) {
            let (part, end) = self.read_factor(text, start, true)?;
            parts.push((part, divides));
            at = end;
        }
        Ok((compound(parts, &normal(&text[..at]))?, at))
    }

    fn read_factor(
        &self,
        text: &str,
        start: usize,
        joined: bool,
    ) -> Result<(Factor, usize), UnitFault> {
        let rest = &text[start..];
        let length = rest.find(|c| !is_unit_char(c)).unwrap_or(rest.len());
        let end = start + length;
        let symbol = &rest[..length];
        let Some(unit) = self.of_symbol(symbol) else {
            let nearest = self.nearest(symbol);
            let symbol = symbol.to_owned();
            return Err(UnitFault::Unknown { symbol, at: start..end, nearest, joined });
        };
        let (power, after) = read_power(text, end)?;
        Ok((Factor { unit, power, at: start..end }, after))
    }
}

struct Factor {
    unit: Unit,
    power: i16,
    at: std::ops::Range<usize>,
}

/// Whether the text goes on at `at` with a joint that a symbol follows directly: whether it
/// divides, and where the symbol starts.
fn joint(text: &str, at: usize) -> Option<(bool, usize)> {
    let mut rest = text[at..].chars();
    let sign = rest.next().filter(|c| matches!(c, '*' | '·' | '⋅' | '/'))?;
    let follows = rest.next().is_some_and(is_unit_char);
    follows.then_some((sign == '/', at + sign.len_utf8()))
}

fn read_power(text: &str, at: usize) -> Result<(i16, usize), UnitFault> {
    let rest = &text[at..];
    for (mark, power) in [('²', 2), ('³', 3)] {
        if rest.starts_with(mark) {
            return Ok((power, at + mark.len_utf8()));
        }
    }
    let Some(digits) = rest.strip_prefix('^') else { return Ok((1, at)) };
    let sign = usize::from(digits.starts_with('-'));
    let length = sign + digits[sign..].bytes().take_while(u8::is_ascii_digit).count();
    let end = at + 1 + length;
    if text[end..].starts_with('.') {
        return Err(UnitFault::Power { at: at..end });
    }
    let in_range = |power: &i16| (1..=LARGEST_POWER).contains(&power.abs());
    let power = digits[..length].parse().ok().filter(in_range);
    power.map(|power| (power, end)).ok_or(UnitFault::Power { at: at..end })
}

fn compound(parts: Vec<(Factor, bool)>, symbol: &str) -> Result<Unit, UnitFault> {
    let mut whole = Unit::number();
    for (part, divides) in parts {
        if part.unit.is_reading() || part.unit.is_whole() {
            let symbol = part.unit.symbol().to_owned();
            return Err(UnitFault::NotCompound { symbol, at: part.at });
        }
        let power = if divides { -part.power } else { part.power };
        whole = whole.joined(&part.unit, power).ok_or(UnitFault::Power { at: part.at })?;
    }
    Ok(whole.renamed(symbol))
}

/// The spelling in which a compound is shown: `·` between factors, `^2` for powers.
fn normal(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '*' | '⋅' => "·".to_owned(),
            '²' => "^2".to_owned(),
            '³' => "^3".to_owned(),
            '\u{3bc}' => "\u{b5}".to_owned(),
            '\u{2126}' => "\u{3a9}".to_owned(),
            other => other.to_string(),
        })
        .collect()
}

/// The symbol of a kind that has no customary unit: base symbols with their powers.
pub(crate) fn composed_symbol(kind: Kind, base: [&str; 7]) -> String {
    let powers =
        || kind.exponents().into_iter().zip(base).filter(|(p, _)| *p != crate::Ratio::ZERO);
    let power = |p: crate::Ratio, symbol: &str| match p.as_whole() {
        Some(1) => symbol.to_owned(),
        Some(whole) => format!("{symbol}^{whole}"),
        None => format!("{symbol}^({p})"),
    };
    let above: Vec<_> = powers().filter(|(p, _)| !p.is_negative()).collect();
    if above.is_empty() {
        return powers().map(|(p, s)| power(p, s)).collect::<Vec<_>>().join("·");
    }
    let mut text = above.into_iter().map(|(p, s)| power(p, s)).collect::<Vec<_>>().join("·");
    for (p, symbol) in powers().filter(|(p, _)| p.is_negative()) {
        text.push('/');
        text.push_str(&power(p.negated().unwrap_or(crate::Ratio::ONE), symbol));
    }
    text
}
