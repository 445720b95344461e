//! Which names an OpenSCAD source text uses, so that a part's dimensions can be read off its
//! model.
//!
//! This is a scanner, not a parser. It never fails: an unterminated comment, string or path
//! reaches to the end of the text, as it does for the program itself. It takes time linear in
//! the length of the text.

use std::collections::BTreeSet;

/// What stands in a source text.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Scan {
    /// The names whose value is used.
    ///
    /// Not among them, since they use nobody's value: words of the language; names that only
    /// stand left of `=`, be it an assignment, a named argument or a parameter with a default;
    /// other parameters in the head of a `module` or `function`; names that are called or
    /// defined with `(` behind them, for modules and functions have names apart from variables;
    /// special variables such as `$fn`.
    ///
    /// Scopes are not followed: where a parameter or a local variable has the name of a
    /// dimension, its use counts. That errs on the side of saying that a part is affected.
    pub identifiers: BTreeSet<String>,
    /// The other files it reads, in the order in which they stand.
    pub includes: Vec<Include>,
}

/// An `include <…>` or `use <…>`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Include {
    /// What stands between the angle brackets, just as it stands there.
    pub path: String,
    /// Whether it is a `use`, which brings modules and functions but no variables.
    pub use_only: bool,
}

/// Reads a source text.
pub fn scan(text: &str) -> Scan {
    let mut scanner = Scanner::default();
    let mut rest = text;
    while let Some((token, behind)) = next_token(rest) {
        scanner.take(token);
        rest = behind;
    }
    scanner.settle(None);
    scanner.scan
}

/// The names in a source text, each with the byte at which it begins: all words outside of
/// comments, strings and paths that are not the language's own, whatever is done with them.
pub fn words(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let mut rest = text;
    let tokens = std::iter::from_fn(move || {
        let at = text.len() - rest.len();
        let (token, behind) = next_token(rest)?;
        rest = behind;
        Some((at, token))
    });
    tokens.filter_map(|(at, token)| match token {
        Token::Name(name) => Some((at, name)),
        _ => None,
    })
}

/// What the scanner must tell apart; comments, blanks, strings and numbers are told apart from
/// these and from nothing else.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Token<'a> {
    /// Blanks or a comment.
    Nothing,
    /// A word that is no name: a keyword, a number, a special variable, a string.
    Other,
    /// `module` or `function`.
    Definition,
    Name(&'a str),
    Include {
        path: &'a str,
        use_only: bool,
    },
    /// `=`, not followed by another.
    Equals,
    /// Any other sign; `==` is one, given as its first byte.
    Sign(u8),
}

#[derive(Default)]
struct Scanner<'a> {
    scan: Scan,
    /// A name whose next token will tell whether it is a use.
    pending: Option<&'a str>,
    /// Between `module` or `function` and the bracket that opens its parameters.
    defining: bool,
    /// Of each open bracket, whether it holds the parameters of a definition.
    open: Vec<bool>,
    /// Whether the last token was `(` or `,`: a name here, in such a bracket, is a parameter.
    at_start: bool,
}

impl<'a> Scanner<'a> {
    fn take(&mut self, token: Token<'a>) {
        if token == Token::Nothing {
            return;
        }
        self.settle(Some(token));
        let at_start = std::mem::take(&mut self.at_start);
        let defining = std::mem::take(&mut self.defining);
        match token {
            Token::Definition => self.defining = true,
            Token::Name(_) if at_start && self.open.last() == Some(&true) => {}
            Token::Name(name) => {
                self.pending = Some(name);
                self.defining = defining;
            }
            Token::Include { path, use_only } => {
                self.scan.includes.push(Include { path: path.to_owned(), use_only });
            }
            Token::Sign(sign) => self.take_sign(sign, defining),
            Token::Nothing | Token::Other | Token::Equals => {}
        }
    }

    fn take_sign(&mut self, sign: u8, defining: bool) {
        self.at_start = matches!(sign, b'(' | b',');
        match sign {
            b'(' | b'[' | b'{' => self.open.push(sign == b'(' && defining),
            b')' | b']' | b'}' => drop(self.open.pop()),
            _ => {}
        }
    }

    /// Decides about the pending name, now that what follows it is known.
    fn settle(&mut self, next: Option<Token<'_>>) {
        let Some(name) = self.pending.take() else {
            return;
        };
        let is_use = !matches!(next, Some(Token::Equals | Token::Sign(b'(')));
        if is_use && !self.scan.identifiers.contains(name) {
            self.scan.identifiers.insert(name.to_owned());
        }
    }
}

/// The first token and the text behind it; none at the end of the text.
fn next_token(text: &str) -> Option<(Token<'_>, &str)> {
    let bytes = text.as_bytes();
    let (token, length) = match (*bytes.first()?, bytes.get(1)) {
        (b'/', Some(b'/')) => (Token::Nothing, text.find('\n').unwrap_or(text.len())),
        (b'/', Some(b'*')) => (Token::Nothing, behind(text, 2, "*/")),
        (b'"', _) => (Token::Other, string_length(bytes)),
        (b'=', Some(b'=')) => (Token::Sign(b'='), 2),
        (b'=', _) => (Token::Equals, 1),
        (b'0'..=b'9', _) | (b'.', Some(b'0'..=b'9')) => (Token::Other, number_length(bytes)),
        (b'$', _) => (Token::Other, 1 + count(&bytes[1..], is_word)),
        (first, _) if is_word(first) => return Some(word(text)),
        (first, _) if first.is_ascii_whitespace() => (Token::Nothing, 1),
        (first, _) if first.is_ascii() => (Token::Sign(first), 1),
        _ => (Token::Other, text.chars().next().map_or(1, char::len_utf8)),
    };
    Some((token, text.get(length..).unwrap_or_default()))
}

fn word(text: &str) -> (Token<'_>, &str) {
    let (word, rest) = text.split_at(count(text.as_bytes(), is_word));
    let token = match word {
        "include" | "use" => {
            return path(rest, word == "use").unwrap_or((Token::Other, rest));
        }
        "module" | "function" => Token::Definition,
        "assert" | "each" | "echo" | "else" | "false" | "for" | "if" | "let" | "true" | "undef" => {
            Token::Other
        }
        name => Token::Name(name),
    };
    (token, rest)
}

/// The path behind `include` or `use`: blanks, but no comment, may stand before its `<`.
fn path(rest: &str, use_only: bool) -> Option<(Token<'_>, &str)> {
    let open = rest.trim_start_matches([' ', '\t', '\r', '\n']).strip_prefix('<')?;
    let (path, rest) = open.split_once('>').unwrap_or(("", ""));
    let token = if path.is_empty() { Token::Other } else { Token::Include { path, use_only } };
    Some((token, rest))
}

/// Where the text behind the first `end` begins, looked for from `from` on.
fn behind(text: &str, from: usize, end: &str) -> usize {
    let found = text.get(from..).and_then(|inner| inner.find(end));
    found.map_or(text.len(), |at| from + at + end.len())
}

fn string_length(bytes: &[u8]) -> usize {
    let mut escaped = false;
    let inner = count(&bytes[1..], |byte| {
        let goes_on = escaped || byte != b'"';
        escaped = byte == b'\\' && !escaped;
        goes_on
    });
    (inner + 2).min(bytes.len())
}

/// A number such as `12`, `.5`, `5.` or `1.5e-3`; or a word such as `3_x`, if that is longer.
fn number_length(bytes: &[u8]) -> usize {
    let digits = |from: usize| count(&bytes[from..], |byte| byte.is_ascii_digit());
    let mut length = digits(0);
    if bytes.get(length) == Some(&b'.') {
        length += 1 + digits(length + 1);
    }
    if let Some(b'e' | b'E') = bytes.get(length) {
        let sign = usize::from(matches!(bytes.get(length + 1), Some(b'+' | b'-')));
        let exponent = digits(length + 1 + sign);
        length += if exponent > 0 { 1 + sign + exponent } else { 0 };
    }
    length.max(count(bytes, is_word))
}

fn count(bytes: &[u8], mut takes: impl FnMut(u8) -> bool) -> usize {
    bytes.iter().position(|&byte| !takes(byte)).unwrap_or(bytes.len())
}

fn is_word(byte: u8) -> bool {
    byte.is_ascii_alphanumeric() || byte == b'_'
}

#[cfg(test)]
mod tests {
    use super::{Include, scan};

    fn used(text: &str) -> Vec<String> {
        scan(text).identifiers.into_iter().collect()
    }

    #[track_caller]
    fn assert_used(text: &str, names: &[&str]) {
        assert_eq!(used(text), names, "of {text:?}");
    }

    fn include(path: &str) -> Include {
        Include { path: path.into(), use_only: false }
    }

    #[test]
    fn values_are_uses() {
        assert_used(
            "cube([jaw_width, jaw_depth / 2, -jaw_wall]);",
            &["jaw_depth", "jaw_wall", "jaw_width"],
        );
        assert_used("a = jaw_a; b = c ? jaw_b : d;", &["c", "d", "jaw_a", "jaw_b"]);
        assert_used(
            "for (i = [0 : jaw_step : jaw_end]) translate(v[i]) x();",
            &["i", "jaw_end", "jaw_step", "v"],
        );
        assert_used(
            "if (jaw_a == jaw_b || jaw_c >= 1 && jaw_d != 2) {}",
            &["jaw_a", "jaw_b", "jaw_c", "jaw_d"],
        );
        assert_used("let (x = jaw_a) each jaw_b", &["jaw_a", "jaw_b"]);
        assert_used("jaw_last", &["jaw_last"]);
        assert_used("drive_servo_neutral[0]", &["drive_servo_neutral"]);
    }

    #[test]
    fn targets_of_assignment_are_no_uses() {
        assert_used("jaw_width = 3;", &[]);
        assert_used("foo(jaw_width = 3, jaw_depth\n /* here */ = jaw_wall);", &["jaw_wall"]);
        assert_used("jaw_width /* = */ == 3", &["jaw_width"]);
        assert_used("jaw_width=jaw_width;", &["jaw_width"]);
        assert_used("a = jaw_width; jaw_width = 3;", &["jaw_width"]);
    }

    #[test]
    fn heads_of_definitions_are_no_uses() {
        assert_used(
            "module lid(jaw_a, jaw_b = jaw_c, jaw_d = [jaw_e, jaw_f]) {}",
            &["jaw_c", "jaw_e", "jaw_f"],
        );
        assert_used("function area(jaw_a, jaw_b) = 2 * jaw_c;", &["jaw_c"]);
        assert_used("f = function (jaw_a) 2 * jaw_b;", &["jaw_b"]);
        assert_used("function g(jaw_a = function(jaw_b, jaw_c) 1, jaw_d) = 1;", &[]);
        assert_used("lid(jaw_a, jaw_b)", &["jaw_a", "jaw_b"]);
        assert_used("module lid(jaw_a) cube(jaw_a);", &["jaw_a"]);
    }

    #[test]
    fn modules_functions_words_and_special_variables_are_no_dimensions() {
        assert_used("module jaw_plate() {} jaw_plate (); x = jaw_plate(1);", &[]);
        assert_used("$fn = $jaw_width; cube($jaw_depth);", &[]);
        assert_used("assert(true) echo(false, undef) if (true) {} else {}", &[]);
    }

    #[test]
    fn comments_strings_and_numbers_hold_no_names() {
        assert_used("// jaw_a \\\njaw_b /* jaw_c // */ jaw_d /* jaw_e", &["jaw_b", "jaw_d"]);
        assert_used("// jaw_a\rjaw_b", &[]);
        assert_used(
            r#"echo("jaw_a \" jaw_b \\", jaw_c, "// ", jaw_d, "/*", jaw_e);"#,
            &["jaw_c", "jaw_d", "jaw_e"],
        );
        assert_used("\"jaw_a\njaw_b\" jaw_c", &["jaw_c"]);
        assert_used("1e5 + 1.e-3 + .5E+7-jaw_a + 3_x + 0x1f", &["jaw_a"]);
        assert_used("1e-jaw_a, 2.5-jaw_b, 3.*jaw_c", &["jaw_a", "jaw_b", "jaw_c"]);
        assert_used("a / jaw_a", &["a", "jaw_a"]);
        assert_used("größe + jaw_a\u{a0}jaw_b", &["e", "gr", "jaw_a", "jaw_b"]);
    }

    #[test]
    fn includes_are_listed_and_their_paths_are_no_uses() {
        let text = "include <dimensions.scad>\nuse\t\r\n<lib/screws.scad>;include<a b/ö.scad>\n\
                    // include <jaw_a.scad>\n/* use <jaw_b.scad> */ x = \"include <jaw_c.scad>\";\n\
                    include_me = a < jaw_d; include /* no */ <jaw_e>";
        let scan = scan(text);
        let screws = Include { path: "lib/screws.scad".into(), use_only: true };
        assert_eq!(scan.includes, [include("dimensions.scad"), screws, include("a b/ö.scad")]);
        assert_eq!(scan.identifiers.into_iter().collect::<Vec<_>>(), ["a", "jaw_d", "jaw_e"]);
    }

    #[test]
    fn unfinished_texts_end_quietly() {
        let unfinished = [
            "\"jaw",
            "\"jaw\\",
            "/* jaw",
            "/*/",
            "/",
            "//",
            "include <jaw",
            "use",
            "use <",
            "include <>",
            "$",
            ".",
            "1e",
            "1e+",
            "=",
            "==",
            "é",
            "\u{feff}",
            "(((",
            "]})",
            "module",
            "module jaw(",
        ];
        for text in unfinished {
            assert_used(text, &[]);
        }
    }

    #[test]
    fn any_bytes_can_be_scanned() {
        let alphabet = b"a_1.e+-=\"\\/*<>()[]{},;$ \n\xc3\xa9\xffuse<module";
        let mut state = 7_u32;
        for _ in 0..20_000 {
            let mut next = || {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                (state >> 16) as usize
            };
            let bytes: Vec<u8> =
                (0..next() % 24).map(|_| alphabet[next() % alphabet.len()]).collect();
            let text = String::from_utf8_lossy(&bytes);
            for name in used(&text) {
                assert!(text.contains(&name), "{name} in {text:?}");
            }
        }
    }

    /// Each of these would take minutes if any of it were read again from every place.
    #[test]
    fn time_is_linear() {
        for piece in [
            "(",
            "/*",
            "//",
            "\"",
            "include <",
            "include  ",
            "a=",
            "jaw_a ",
            "1e",
            "<",
            "/",
            "=",
            "$",
            "module(",
            "\n",
        ] {
            let text = piece.repeat(1_000_000);
            assert!(scan(&text).identifiers.len() <= 1);
        }
    }
}
