//! Text to tokens and comments. Nothing is refused here: what is no token is a sign.

/// A word of the language with its place.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Token<'a> {
    pub(super) what: What<'a>,
    pub(super) start: usize,
    pub(super) end: usize,
    pub(super) line: usize,
}

#[derive(Clone, Debug, PartialEq)]
pub(super) enum What<'a> {
    Name(&'a str),
    Number(f64),
    Text(String),
    /// An operator, a bracket, or whatever else stands there.
    Sign(&'a str),
    /// A comment with its marks.
    Comment(&'a str),
}

const PAIRS: [&str; 6] = ["<=", ">=", "==", "!=", "&&", "||"];

pub(super) fn tokens(text: &str) -> Vec<Token<'_>> {
    let mut lexer = Lexer { text, at: 0, unclosed: false };
    let mut tokens = Vec::new();
    let (mut line, mut counted) = (1, 0);
    while let Some((start, what)) = lexer.next() {
        line += text[counted..start].matches('\n').count();
        counted = start;
        tokens.push(Token { what, start, end: lexer.at, line });
    }
    tokens
}

struct Lexer<'a> {
    text: &'a str,
    at: usize,
    /// Whether a quote has been met that nothing closes: then none behind it is closed either,
    /// and looking again would take quadratic time.
    unclosed: bool,
}

impl<'a> Lexer<'a> {
    fn next(&mut self) -> Option<(usize, What<'a>)> {
        let rest = &self.text[self.at..];
        let blank = rest.len() - rest.trim_start().len();
        let (start, rest) = (self.at + blank, &rest[blank..]);
        let first = rest.chars().next()?;
        let (length, what) = if rest.starts_with("//") {
            let length = rest.find('\n').unwrap_or(rest.len());
            (length, What::Comment(&rest[..length]))
        } else if let Some(inside) = rest.strip_prefix("/*") {
            let length = inside.find("*/").map_or(rest.len(), |end| end + 4);
            (length, What::Comment(&rest[..length]))
        } else if first == '"' {
            self.string(rest)
        } else if first.is_ascii_alphanumeric() || matches!(first, '_' | '$' | '.') {
            word(rest)
        } else {
            let pair = PAIRS.iter().any(|pair| rest.starts_with(pair));
            let length = if pair { 2 } else { first.len_utf8() };
            (length, What::Sign(&rest[..length]))
        };
        self.at = start + length;
        Some((start, what))
    }

    fn string(&mut self, rest: &'a str) -> (usize, What<'a>) {
        if !self.unclosed {
            if let Some((length, text)) = string(rest) {
                return (length, What::Text(text));
            }
            self.unclosed = true;
        }
        (1, What::Sign(&rest[..1]))
    }
}

/// A name or a number, whichever is longer: names may begin with a digit.
fn word(rest: &str) -> (usize, What<'_>) {
    let number = number_length(rest);
    let begins = usize::from(rest.starts_with('$'));
    let in_name = |b: u8| b.is_ascii_alphanumeric() || b == b'_';
    let name = begins + rest.bytes().skip(begins).take_while(|&b| in_name(b)).count();
    if number > 0
        && number >= name
        && let Ok(value) = rest[..number].parse()
    {
        return (number, What::Number(value));
    }
    if name > begins {
        return (name, What::Name(&rest[..name]));
    }
    (1, What::Sign(&rest[..1]))
}

/// How long the number is that a text begins with; 0 if it begins with none.
fn number_length(rest: &str) -> usize {
    let digits = |at: usize| rest.bytes().skip(at).take_while(u8::is_ascii_digit).count();
    let whole = digits(0);
    let mut length = whole;
    if rest[whole..].starts_with('.') {
        let fraction = digits(whole + 1);
        if whole + fraction == 0 {
            return 0;
        }
        length = whole + 1 + fraction;
    }
    if length > 0 && rest[length..].starts_with(['e', 'E']) {
        let signed = usize::from(rest[length + 1..].starts_with(['+', '-']));
        let exponent = digits(length + 1 + signed);
        if exponent > 0 {
            length += 1 + signed + exponent;
        }
    }
    length
}

/// A string and its length with both quotes. As in the program, a bare line end in it is dropped.
fn string(rest: &str) -> Option<(usize, String)> {
    let mut text = String::new();
    let mut chars = rest.char_indices().skip(1);
    while let Some((at, c)) = chars.next() {
        match c {
            '"' => return Some((at + 1, text)),
            '\\' => match chars.next()?.1 {
                'n' => text.push('\n'),
                't' => text.push('\t'),
                'r' => text.push('\r'),
                'x' => text.push(code(&mut chars, 2)?),
                'u' => text.push(code(&mut chars, 4)?),
                'U' => text.push(code(&mut chars, 6)?),
                other => text.push(other),
            },
            '\n' => {}
            c => text.push(c),
        }
    }
    None
}

fn code(chars: &mut impl Iterator<Item = (usize, char)>, digits: usize) -> Option<char> {
    let mut number = 0;
    for _ in 0..digits {
        number = number * 16 + chars.next()?.1.to_digit(16)?;
    }
    char::from_u32(number)
}
