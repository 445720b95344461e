//! Text to tokens. Units are read here, since one binds to the number before it.

use setout_quantity::{Unit, UnitFault, Units, is_unit_char, shortest};
use smallvec::SmallVec;

use crate::{FormulaFault, Span, Wrong};

/// One word of a formula.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Token<'t> {
    /// A number in base units, with its unit if it has one. `plain` is the number as written.
    Number { base: f64, plain: f64, unit: Option<Unit> },
    /// A number whose unit is not known; its fault is kept already.
    Broken,
    /// Literal text between double quotes.
    Text(&'t str),
    /// A name, dotted or not, of a value or a function.
    Name(&'t str),
    /// An operator, bracket or comma.
    Sign(&'static str),
}

/// A token, its place, and whether blanks stand before it.
#[derive(Clone, Debug)]
pub(crate) struct Placed<'t> {
    pub(crate) token: Token<'t>,
    pub(crate) at: Span,
    pub(crate) spaced: bool,
}

/// The tokens of a formula, which mostly are few.
pub(crate) type Tokens<'t> = SmallVec<[Placed<'t>; 16]>;

/// Gathers the tokens of a text, and gives the faults that did not keep it from being read on.
pub(crate) fn tokens<'t>(
    text: &'t str,
    units: &'t Units,
    found: &mut Tokens<'t>,
) -> Result<Vec<FormulaFault>, FormulaFault> {
    let mut reader = Reader { text, at: 0, units, faults: Vec::new() };
    loop {
        let before = reader.at;
        reader.skip_blanks();
        if reader.at == text.len() {
            return Ok(reader.faults);
        }
        let (start, spaced) = (reader.at, reader.at > before);
        let token = reader.token()?;
        found.push(Placed { token, at: Span::new(start, reader.at), spaced });
    }
}

struct Reader<'a> {
    text: &'a str,
    at: usize,
    units: &'a Units,
    faults: Vec<FormulaFault>,
}

/// What is often typed or pasted instead of what formulas use.
const LOOKALIKES: [(&str, &str, &str); 31] = [
    ("\u{2212}", "the sign − (U+2212) is no minus", "type the minus of the keyboard, `-`"),
    ("\u{2013}", "the dash – is no minus", "type the minus of the keyboard, `-`"),
    ("\u{00d7}", "× is not the sign of multiplication here", "write `*`"),
    ("\u{00b7}", "· joins units only", "write `*`"),
    ("\u{00f7}", "÷ is not the sign of division here", "write `/`"),
    ("\u{2264}", "≤ is not read here", "write `<=`"),
    ("\u{2265}", "≥ is not read here", "write `>=`"),
    ("\u{2260}", "≠ is not read here", "write `!=`"),
    ("\u{201c}", "curly quotes are not read", "use straight ones: \"M4\""),
    ("\u{201d}", "curly quotes are not read", "use straight ones: \"M4\""),
    ("\u{2019}", "curly quotes are not read", "use straight ones: \"M4\""),
    ("±", "± belongs to a tolerance, not to a formula", "write it under `tolerance:`"),
    ("'", "text stands between double quotes", "write \"M4\""),
    ("//", "// is not read here", "put remarks behind a YAML `#`, or under `note:`"),
    ("=", "one = would be an assignment, and formulas have none", "to compare, write `==`"),
    ("&", "one & is no operator", "for 'and', write `&&`"),
    ("|", "one | is no operator", "for 'or', write `||`"),
    (";", "a formula is one expression", "make a dimension of each part"),
    ("[", "formulas have no lists", "write the values out, or use a schedule's column"),
    ("?", "a choice is not written with ?", "write `if(condition, then, otherwise)`"),
    ("√", "√ is not read here", "write `sqrt(…)`"),
    ("²", "a raised 2 is read in units only", "write `^2`"),
    ("³", "a raised 3 is read in units only", "write `^3`"),
    ("⌀", "the sign of a diameter is no part of its value", DIAMETER),
    ("∅", "the sign of a diameter is no part of its value", DIAMETER),
    ("Ø", "the sign of a diameter is no part of its value", DIAMETER),
    ("ø", "the sign of a diameter is no part of its value", DIAMETER),
    ("$", "money is written with the letters of its currency", MONEY),
    ("£", "money is written with the letters of its currency", MONEY),
    ("€", "money is written with the letters of its currency", MONEY),
    ("¥", "money is written with the letters of its currency", MONEY),
];

const DIAMETER: &str = "leave it out; the dimension's name or its `note` can say it";
const MONEY: &str = "write for example `3.50 GBP`";

impl<'a> Reader<'a> {
    fn rest(&self) -> &'a str {
        &self.text[self.at..]
    }

    fn skip_blanks(&mut self) {
        let blank = |byte: &u8| matches!(byte, b' ' | b'\n' | b'\r' | b'\t');
        self.at += self.rest().bytes().take_while(blank).count();
    }

    fn token(&mut self) -> Result<Token<'a>, FormulaFault> {
        let first = self.rest().chars().next().unwrap_or('\0');
        match first {
            '0'..='9' => self.number(),
            '.' => Err(self.leading_point()),
            '"' => self.literal(),
            'a'..='z' | 'A'..='Z' | '_' => self.name(),
            _ => self.sign(first),
        }
    }

    fn sign(&mut self, first: char) -> Result<Token<'a>, FormulaFault> {
        let sign = match (first, self.rest().as_bytes().get(1)) {
            ('*', Some(b'*')) | ('/', Some(b'/')) => return Err(self.not_a_sign(first)),
            ('<', Some(b'=')) => "<=",
            ('>', Some(b'=')) => ">=",
            ('=', Some(b'=')) => "==",
            ('!', Some(b'=')) => "!=",
            ('&', Some(b'&')) => "&&",
            ('|', Some(b'|')) => "||",
            ('+', _) => "+",
            ('-', _) => "-",
            ('*', _) => "*",
            ('/', _) => "/",
            ('^', _) => "^",
            ('<', _) => "<",
            ('>', _) => ">",
            ('!', _) => "!",
            ('(', _) => "(",
            (')', _) => ")",
            (',', _) => ",",
            _ => return Err(self.not_a_sign(first)),
        };
        self.at += sign.len();
        Ok(Token::Sign(sign))
    }

    fn not_a_sign(&self, first: char) -> FormulaFault {
        let at = Span::new(self.at, self.at + first.len_utf8());
        if self.rest().starts_with("**") {
            return FormulaFault::malformed(at, "** is no operator", "for a power, write `^`");
        }
        if first == '\'' && self.is_behind_digit() {
            let help = "for feet, write `ft` behind the number";
            return FormulaFault::malformed(at, "' is no unit", help);
        }
        if matches!(first, '\u{a0}' | '\u{202f}' | '\u{2007}' | '\u{2009}') {
            let reason = "a blank that is not an ordinary one stands here (a no-break or thin one)";
            return FormulaFault::malformed(at, reason, "type an ordinary blank");
        }
        if is_unit_char(first) {
            let behind = &self.rest()[first.len_utf8()..];
            let letters = behind.bytes().take_while(|b| first != '%' && b.is_ascii_alphabetic());
            let at = Span::new(self.at, self.at + first.len_utf8() + letters.count());
            let unit = at.of(self.text);
            let reason = format!("the unit `{unit}` has no number before it");
            return FormulaFault::malformed(
                at,
                reason,
                format!("write the number too: `1 {unit}`"),
            );
        }
        let known = LOOKALIKES.iter().find(|(sign, _, _)| self.rest().starts_with(sign));
        match known {
            Some((_, reason, help)) => FormulaFault::malformed(at, *reason, *help),
            None => FormulaFault::malformed(
                at,
                format!("`{}` has no meaning in a formula", first.escape_debug()),
                "formulas hold numbers with units, names, + - * / ^, comparisons and calls",
            ),
        }
    }

    fn leading_point(&self) -> FormulaFault {
        let digits = self.rest()[1..].bytes().take_while(u8::is_ascii_digit).count();
        let at = Span::new(self.at, self.at + 1 + digits);
        if digits == 0 {
            let help = "a number is written `0.5`, a table's dimension `table.name`";
            return FormulaFault::malformed(at, "a point stands alone here", help);
        }
        let help = format!("write `0{}`", at.of(self.text));
        FormulaFault::malformed(at, "a number does not begin with its point", help)
    }

    /// Whether a digit stands directly before: `5"` is meant as inches, `5'` as feet.
    fn is_behind_digit(&self) -> bool {
        self.text[..self.at].ends_with(|c: char| c.is_ascii_digit())
    }

    fn literal(&mut self) -> Result<Token<'a>, FormulaFault> {
        let start = self.at;
        if self.is_behind_digit() {
            let at = Span::new(start, start + 1);
            let help = "for inches, write `in` behind the number";
            return Err(FormulaFault::malformed(at, "\" is no unit", help));
        }
        let Some(length) = self.rest()[1..].find('"') else {
            let at = Span::new(start, self.text.len());
            return Err(FormulaFault::malformed(at, "this text has no end", "close it with a \""));
        };
        self.at += length + 2;
        Ok(Token::Text(&self.text[start + 1..self.at - 1]))
    }

    fn name(&mut self) -> Result<Token<'a>, FormulaFault> {
        let word = |c: char| c.is_ascii_alphanumeric() || c == '_' || c == '.';
        let length = self.rest().find(|c| !word(c)).unwrap_or(self.rest().len());
        let text = &self.rest()[..length];
        let at = Span::new(self.at, self.at + length);
        if text.ends_with('.') || text.contains("..") {
            let help = "a table's dimension is written `table.name`, without blanks";
            return Err(FormulaFault::malformed(at, format!("`{text}` is no name"), help));
        }
        self.at += length;
        Ok(Token::Name(text))
    }

    fn number(&mut self) -> Result<Token<'a>, FormulaFault> {
        let start = self.at;
        let length = number_length(self.rest());
        let digits = &self.rest()[..length];
        let span = Span::new(start, start + length);
        if let Some(fault) = misspelt_number(digits, &self.rest()[length..], span) {
            return Err(fault);
        }
        let plain: f64 = digits.parse().unwrap_or(f64::INFINITY);
        if !plain.is_finite() {
            let help = "write a number below 1.8e308";
            return Err(FormulaFault::too_large(span, format!("{digits} is too large"), help));
        }
        self.at += length;
        let known_so_far = self.faults.len();
        let unit = self.unit(digits, start)?;
        if self.faults.len() > known_so_far {
            return Ok(Token::Broken);
        }
        let base = unit.as_ref().map_or(plain, |unit| unit.to_base(plain));
        if !base.is_finite() {
            let at = Span::new(start, self.at);
            let help = "write a smaller number, or a smaller unit";
            return Err(FormulaFault::too_large(at, "this quantity is too large to keep", help));
        }
        Ok(Token::Number { base, plain, unit })
    }

    /// The unit behind a number, past any blanks, if one follows.
    fn unit(&mut self, digits: &str, number_start: usize) -> Result<Option<Unit>, FormulaFault> {
        let after_number = self.at;
        self.skip_blanks();
        let start = self.at;
        if !self.rest().starts_with(is_unit_char) {
            self.at = after_number;
            return Ok(None);
        }
        match self.units.read_prefix(self.rest()) {
            Ok((unit, length)) if !continues(&self.rest()[length..]) => {
                self.at += length;
                Ok(Some(unit))
            }
            Ok((unit, length)) => self.not_a_unit(digits, &unit, length).map_or(Ok(None), Err),
            Err(UnitFault::Unknown { at, nearest, joined, .. }) => {
                if joined {
                    return Err(self.joined_name(start, at.start, digits));
                }
                self.unknown_unit(digits, word_at(self.rest()).len(), nearest);
                Ok(None)
            }
            Err(fault) => Err(self.bad_unit(fault, number_start)),
        }
    }

    /// A known unit that runs on into digits or `_`: `2 m2`, `9.81 m/s2`, `2 mm/s_max`.
    fn not_a_unit(&mut self, digits: &str, unit: &Unit, length: usize) -> Option<FormulaFault> {
        let tail = word_at(&self.rest()[length..]);
        let power = tail.parse::<u8>().ok().filter(|power| (2..=4).contains(power));
        let mut joints = self.rest()[..length].rmatch_indices(['/', '*', '·', '⋅']);
        if let (None, Some((at, joint))) = (power, joints.next()) {
            return Some(self.joined_name(self.at, at + joint.len(), digits));
        }
        let meant = power.map(|power| format!("{}^{power}", unit.symbol()));
        self.unknown_unit(digits, length + tail.len(), meant);
        None
    }

    /// A word of so many bytes that stands for no unit.
    fn unknown_unit(&mut self, digits: &str, length: usize, nearest: Option<String>) {
        let symbol = self.rest()[..length].to_owned();
        let at = Span::new(self.at, self.at + symbol.len());
        let behind = self.rest()[length..].trim_start();
        let goes_on = behind.starts_with(|c: char| c.is_ascii_alphanumeric() || c == '(');
        let help = match nearest {
            Some(unit) => format!("did you mean `{digits} {unit}`?"),
            None if symbol == "x" && goes_on => format!("to multiply, write `{digits} * …`"),
            None if symbol.eq_ignore_ascii_case("o") && self.is_behind_digit() => {
                format!("if the letter {symbol} should be a zero, write `{digits}0`")
            }
            None if symbol.len() == 3 && symbol.bytes().all(|b| b.is_ascii_uppercase()) => {
                format!("if `{symbol}` is money, add `currency: {symbol}` or a rate to design.yaml")
            }
            None => {
                format!("if `{symbol}` is a name, put an operator before it: `{digits} * {symbol}`")
            }
        };
        self.at += symbol.len();
        self.faults.push(FormulaFault { at, what: Wrong::UnknownUnit { symbol, help } });
    }

    /// `2 mm/width`: a unit runs on into something that is none.
    fn joined_name(&self, start: usize, at: usize, digits: &str) -> FormulaFault {
        let symbol = word_at(&self.rest()[at..]).to_owned();
        let sign = self.rest()[..at].chars().next_back().unwrap_or('/');
        let help = format!(
            "put blanks round {sign} to compute with a name: `{digits} {} {sign} {symbol}`",
            &self.rest()[..at - sign.len_utf8()],
        );
        let span = Span::new(start + at, start + at + symbol.len());
        FormulaFault { at: span, what: Wrong::UnknownUnit { symbol, help } }
    }

    fn bad_unit(&self, fault: UnitFault, number_start: usize) -> FormulaFault {
        let place = |at: std::ops::Range<usize>| Span::new(self.at + at.start, self.at + at.end);
        match fault {
            UnitFault::NotCompound { symbol, at } => FormulaFault::mismatch(
                place(at),
                format!("`{symbol}` cannot be part of a compound unit"),
                if symbol == "count" {
                    "leave it out: a count is a plain number"
                } else {
                    "for a temperature difference, write `K`"
                },
            ),
            UnitFault::Power { at } => FormulaFault::malformed(
                place(at),
                "a unit's power is a whole number from 1 to 12, or its negative",
                "write for example `mm^2`",
            ),
            _ => FormulaFault::malformed(
                Span::new(number_start, self.at),
                "the unit behind this number cannot be read",
                "write for example `2.5 mm`",
            ),
        }
    }
}

/// Whether a unit's symbol runs on into something that belongs to a word.
fn continues(rest: &str) -> bool {
    rest.starts_with(|c: char| c.is_ascii_alphanumeric() || c == '_')
}

/// The word that a text begins with, in the widest sense.
fn word_at(text: &str) -> &str {
    let word = |c: char| is_unit_char(c) || c.is_ascii_alphanumeric() || c == '_' || c == '.';
    &text[..text.find(|c| !word(c)).unwrap_or(text.len())]
}

/// How many bytes the number takes that a text begins with: digits, fraction, exponent.
fn number_length(text: &str) -> usize {
    let digits = |at: usize| at + text[at..].bytes().take_while(u8::is_ascii_digit).count();
    let mut end = digits(0);
    if text[end..].starts_with('.') {
        end = digits(end + 1);
    }
    if text[end..].starts_with(['e', 'E']) {
        let sign = usize::from(text[end + 1..].starts_with(['+', '-']));
        let after = digits(end + 1 + sign);
        if after > end + 1 + sign {
            end = after;
        }
    }
    end
}

fn misspelt_number(digits: &str, rest: &str, at: Span) -> Option<FormulaFault> {
    let whole = digits.split(['.', 'e', 'E']).next().unwrap_or("");
    if digits.ends_with('.') || digits.contains(".e") || digits.contains(".E") {
        let help = format!("write `{whole}` or `{whole}.0`");
        return Some(FormulaFault::malformed(at, "a number does not end with its point", help));
    }
    if whole.len() > 1 && whole.starts_with('0') {
        let plain = digits.trim_start_matches('0');
        let plain = if plain.starts_with(|c: char| c.is_ascii_digit()) {
            plain.to_owned()
        } else {
            format!("0{plain}")
        };
        let reason = "a number has no leading zeros (some programs read them as octal)";
        return Some(FormulaFault::malformed(at, reason, format!("write `{plain}`")));
    }
    if rest.starts_with('_') {
        let reason = "digits are not grouped by `_`";
        return Some(FormulaFault::malformed(at, reason, "write the digits without it"));
    }
    if rest.starts_with('.') {
        return Some(FormulaFault::malformed(
            at,
            "a number has one point",
            "write for example `1.25`",
        ));
    }
    None
}

/// How a literal is shown again: digits, blank, unit.
pub(crate) fn literal(plain: f64, unit: Option<&Unit>) -> String {
    match unit {
        Some(unit) if !unit.symbol().is_empty() => format!("{} {}", shortest(plain), unit.symbol()),
        _ => shortest(plain),
    }
}
