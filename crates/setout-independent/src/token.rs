//! A formula's words, as the second engine reads them.

use crate::factors::{Factors, Scale, usual};
use crate::refusal::Refusal;

/// A word of a formula.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Token {
    /// A number with its unit, in base units.
    Number(f64),
    /// A reading on a scale with a zero of its own, such as 25 °C.
    Reading(f64, Scale),
    /// Text between quotes.
    Text(String),
    /// A name of a value or a function.
    Name(String),
    /// An operator, a bracket or a comma.
    Sign(&'static str),
}

const SIGNS: [&str; 17] =
    ["<=", ">=", "==", "!=", "&&", "||", "+", "-", "*", "/", "^", "<", ">", "!", "(", ")", ","];

pub(crate) fn tokens(text: &str, factors: &Factors) -> Result<Vec<Token>, Refusal> {
    let text = usual(text);
    let mut rest = text.trim_start();
    let mut found = Vec::new();
    while let Some(first) = rest.chars().next() {
        let (token, length) = match first {
            '0'..='9' => number(rest, factors)?,
            '"' => {
                let end = rest[1..].find('"').ok_or(Refusal::Unreadable)?;
                (Token::Text(rest[1..=end].to_owned()), end + 2)
            }
            'a'..='z' | 'A'..='Z' | '_' => {
                let inner = |c: char| c.is_ascii_alphanumeric() || matches!(c, '_' | '.');
                let end = rest.find(|c| !inner(c)).unwrap_or(rest.len());
                (Token::Name(rest[..end].to_owned()), end)
            }
            _ => {
                let sign = SIGNS.into_iter().find(|sign| rest.starts_with(sign));
                let sign = sign.ok_or(Refusal::Unreadable)?;
                (Token::Sign(sign), sign.len())
            }
        };
        found.push(token);
        rest = rest[length..].trim_start();
    }
    Ok(found)
}

fn number(text: &str, factors: &Factors) -> Result<(Token, usize), Refusal> {
    let length = digits(text);
    let number: f64 = text[..length].parse().map_err(|_| Refusal::Unreadable)?;
    let behind = text[length..].trim_start();
    let start = text.len() - behind.len();
    if !behind.starts_with(|c: char| c.is_alphabetic() || matches!(c, '°' | '%')) {
        return Ok((Token::Number(number), length));
    }
    let Some((scale, taken)) = factors.prefix(behind) else {
        let word = behind.split_whitespace().next().unwrap_or_default();
        return Err(Refusal::NoUnit { symbol: word.to_owned() });
    };
    let token = match scale.zero == 0.0 {
        true => Token::Number(scale.to_base(number)),
        false => Token::Reading(number, scale),
    };
    Ok((token, start + taken))
}

/// The bytes of a number: digits, a point with digits, an exponent with digits.
fn digits(text: &str) -> usize {
    let run = |from: usize| from + text[from..].bytes().take_while(u8::is_ascii_digit).count();
    let mut end = run(0);
    if text[end..].starts_with('.') {
        end = run(end + 1);
    }
    if text[end..].starts_with(['e', 'E']) {
        let start = end + 1 + usize::from(text[end + 1..].starts_with(['+', '-']));
        end = if run(start) > start { run(start) } else { end };
    }
    end
}
