//! Tokens to statements, each with the comments that belong to it.

use super::token::{Token, What, tokens};

/// A statement at the top level of a file.
#[derive(Debug)]
pub(super) struct Statement<'a> {
    pub(super) what: Kind<'a>,
    pub(super) line: usize,
    pub(super) start: usize,
    pub(super) end: usize,
    /// The comments right above it, within it and behind it on its last line.
    pub(super) above: Vec<&'a str>,
    pub(super) within: Vec<&'a str>,
    pub(super) behind: Vec<&'a str>,
    /// The section that begins right before it.
    pub(super) heading: Option<&'a str>,
}

#[derive(Debug)]
pub(super) enum Kind<'a> {
    /// A name and the tokens of its expression.
    Assignment(&'a str, Vec<Token<'a>>),
    /// What else it is: the word that it begins with.
    Other(&'a str, Option<&'a str>),
}

pub(super) fn statements(text: &str) -> Vec<Statement<'_>> {
    let all = tokens(text);
    let mut found: Vec<Statement<'_>> = Vec::new();
    let (mut above, mut heading) = (Vec::new(), None);
    // The lines on which the comments above, and the last statement, end.
    let (mut above_ends, mut last_ends) = (0, 0);
    let (mut at, mut unclosed) = (0, false);
    while at < all.len() {
        let token = &all[at];
        if let What::Comment(comment) = token.what {
            at += 1;
            match (section(comment), found.last_mut()) {
                (Some(section), _) => heading = Some(section),
                (None, Some(last)) if token.line == last_ends => last.behind.push(comment),
                _ => {
                    if above_ends + 1 < token.line {
                        above.clear();
                    }
                    above.push(comment);
                    above_ends = token.line + comment.matches('\n').count();
                }
            }
            continue;
        }
        if token.what == What::Sign(";") {
            at += 1;
            continue;
        }
        let end = extent(&all, at, &mut unclosed);
        let mut statement = statement(&all[at..end]);
        if above_ends + 1 >= statement.line {
            statement.above = std::mem::take(&mut above);
        }
        above.clear();
        statement.heading = heading.take();
        let last = &all[end - 1];
        last_ends = last.line + text[last.start..last.end].matches('\n').count();
        found.push(statement);
        at = end;
    }
    found
}

/// `/* [Jaw] */` begins a section for the program's parameter panel.
fn section(comment: &str) -> Option<&str> {
    let inner = comment.strip_prefix("/*")?.strip_suffix("*/")?.trim();
    inner.strip_prefix('[')?.strip_suffix(']').map(str::trim)
}

/// Where the statement that begins at a token ends: behind its `;`, its braces or its `>`.
///
/// Brackets that are never closed end with the line, lest they take the whole file with them.
/// From then on every statement does: looking for the end again each time would take quadratic
/// time, and the program itself reads nothing of such a file.
fn extent(all: &[Token<'_>], start: usize, unclosed: &mut bool) -> usize {
    let sign = |at: usize, sign: &str| all.get(at).is_some_and(|t| t.what == What::Sign(sign));
    if matches!(all[start].what, What::Name("include" | "use")) && sign(start + 1, "<") {
        let line = all[start].line;
        let ends = |t: &Token<'_>| t.what == What::Sign(">") || t.line != line;
        let close = all[start..].iter().position(ends).map_or(all.len(), |n| start + n);
        return close + usize::from(sign(close, ">"));
    }
    if *unclosed {
        return end_of_line(all, start);
    }
    let (mut depth, mut braces) = (0_usize, 0_usize);
    for (at, token) in all.iter().enumerate().skip(start) {
        let What::Sign(sign) = token.what else { continue };
        match sign {
            "(" | "[" => depth += 1,
            ")" | "]" => depth = depth.saturating_sub(1),
            "{" => braces += 1,
            "}" => {
                braces = braces.saturating_sub(1);
                let other = all.get(at + 1).is_some_and(|t| t.what == What::Name("else"));
                if braces == 0 && !other {
                    return at + 1;
                }
            }
            ";" if depth == 0 && braces == 0 => return at + 1,
            _ => {}
        }
    }
    if depth + braces > 0 {
        *unclosed = true;
        return end_of_line(all, start);
    }
    all.len()
}

fn end_of_line(all: &[Token<'_>], start: usize) -> usize {
    let line = all[start].line;
    for (at, token) in all.iter().enumerate().skip(start) {
        if token.line != line {
            return at;
        }
        if token.what == What::Sign(";") {
            return at + 1;
        }
    }
    all.len()
}

fn statement<'a>(tokens: &[Token<'a>]) -> Statement<'a> {
    let is_comment = |token: &&Token<'a>| matches!(token.what, What::Comment(_));
    let code: Vec<&Token<'a>> = tokens.iter().filter(|token| !is_comment(token)).collect();
    let comment = |token: &Token<'a>| match token.what {
        What::Comment(comment) => Some(comment),
        _ => None,
    };
    let what = match (&code[0].what, code.get(1).map(|token| &token.what)) {
        (What::Name(name), Some(What::Sign("="))) => {
            let ended = code.last().is_some_and(|token| token.what == What::Sign(";"));
            let end = code.len() - usize::from(ended);
            Kind::Assignment(name, code[2..end.max(2)].iter().map(|t| (*t).clone()).collect())
        }
        (What::Name(name), next) => Kind::Other(
            name,
            match next {
                Some(What::Name(next)) => Some(next),
                _ => None,
            },
        ),
        (What::Sign(sign), _) => Kind::Other(sign, None),
        _ => Kind::Other("", None),
    };
    Statement {
        what,
        line: tokens[0].line,
        start: tokens[0].start,
        end: tokens[tokens.len() - 1].end,
        above: Vec::new(),
        within: tokens.iter().filter_map(comment).collect(),
        behind: Vec::new(),
        heading: None,
    }
}
