//! The variables of a file: the last assignment of each name, vectors taken apart.

mod apart;

use std::collections::{HashMap, HashSet};

use super::remark::{Remarks, remarks};
use super::statement::{Kind, Statement};
use super::syntax;
use super::tree::Expr;
use super::usual::Guess;
use crate::entry::Draft;
use crate::names::Names;
use crate::report::{LeftOut, excerpt};
use apart::taken_apart;

/// A variable, or one element of a vector.
#[derive(Debug)]
pub(super) struct Variable {
    /// By what expressions read it: `w`, `v[0]`.
    pub(super) key: String,
    /// What it would be called.
    wanted: String,
    pub(super) expr: Expr,
    pub(super) line: usize,
    pub(super) text: String,
    pub(super) remarks: Remarks,
    pub(super) guess: Option<Guess>,
    /// Why it cannot be taken, whatever else is.
    pub(super) refused: Option<String>,
}

/// All variables in the order in which the program gives them their values: that of their first
/// assignments, with the expressions of their last.
pub(super) fn variables(
    text: &str,
    statements: Vec<Statement<'_>>,
    ours: bool,
    draft: &mut Draft,
) -> Vec<Variable> {
    let functions = own_functions(&statements);
    let mut last = HashMap::new();
    for (index, statement) in statements.iter().enumerate() {
        if let Kind::Assignment(name, _) = statement.what {
            last.insert(name, index);
        }
    }
    let (mut found, mut literal) = (Vec::new(), 0);
    let mut seen = HashSet::new();
    for (index, statement) in statements.iter().enumerate() {
        let excerpt = excerpt(&text[statement.start..statement.end]);
        let mut leave_out = |why: String| {
            draft.left_out.push(LeftOut { line: statement.line, text: excerpt.clone(), why });
        };
        let name = match &statement.what {
            Kind::Other(word, next) => {
                leave_out(no_assignment(word, *next));
                continue;
            }
            Kind::Assignment(name, _) if name.starts_with('$') => {
                leave_out("it is a setting of the program, not a dimension".into());
                continue;
            }
            Kind::Assignment(name, _) => *name,
        };
        if last[name] != index {
            let line = statements[last[name]].line;
            leave_out(format!(
                "`{name}` is assigned again in line {line}, and the last one counts"
            ));
        }
        if seen.insert(name) {
            let statement = &statements[last[name]];
            let text = crate::report::excerpt(&text[statement.start..statement.end]);
            let remarks = remarks(statement, ours);
            let Kind::Assignment(_, tokens) = &statement.what else { continue };
            match readable(name, tokens, &functions, &mut literal) {
                Ok(expr) => {
                    found.extend(taken_apart(name, expr, statement.line, &text, &remarks, ours))
                }
                Err(why) => {
                    draft.left_out.push(LeftOut { line: statement.line, text, why });
                }
            }
        }
    }
    refuse_pi(&mut found, last.contains_key("PI"));
    found
}

fn readable(
    name: &str,
    tokens: &[super::token::Token<'_>],
    functions: &HashSet<&str>,
    literal: &mut usize,
) -> Result<Expr, String> {
    let words = [
        "true", "false", "undef", "let", "for", "if", "else", "each", "module", "function",
        "include", "use", "assert", "echo",
    ];
    if words.contains(&name) {
        return Err(format!("`{name}` is a word of the language"));
    }
    let own = tokens.iter().find_map(|token| match token.what {
        super::token::What::Name(name) if functions.contains(name) => Some(name),
        _ => None,
    });
    match own {
        Some(function) => Err(format!("it calls `{function}()`, a function of the file")),
        None => syntax::read(tokens, literal),
    }
}

/// The names of the functions that a file defines, built-in ones among them.
fn own_functions<'a>(statements: &[Statement<'a>]) -> HashSet<&'a str> {
    let name = |statement: &Statement<'a>| match statement.what {
        Kind::Other("function", name) => name,
        _ => None,
    };
    statements.iter().filter_map(name).collect()
}

fn no_assignment(word: &str, next: Option<&str>) -> String {
    match (word, next) {
        ("module", Some(name)) => format!("`{name}` is a module: it makes a shape"),
        ("function", Some(name)) => format!("`{name}` is a function of the file"),
        ("include" | "use", _) => {
            "what it brings in is not seen; import that file by itself".to_owned()
        }
        ("if" | "for" | "let" | "intersection_for" | "{", _) => {
            "only assignments at the top level are dimensions".to_owned()
        }
        ("echo" | "assert", _) => "it computes nothing that a table could hold".to_owned(),
        _ => "it is no assignment".to_owned(),
    }
}

/// In a file that gives `PI` a value of its own, nothing that reads it is what it seems.
fn refuse_pi(found: &mut [Variable], assigned: bool) {
    fn reads_pi(expr: &Expr) -> bool {
        let mut reads = *expr == Expr::Pi;
        expr.parts(|part| reads |= reads_pi(part));
        reads
    }
    for variable in found.iter_mut().filter(|_| assigned) {
        if variable.key == "PI" || reads_pi(&variable.expr) {
            variable.refused = Some("the file gives `PI` a value of its own".to_owned());
        }
    }
}

/// The table's name for every variable.
pub(super) fn names(found: &[Variable], draft: &mut Draft) -> HashMap<String, String> {
    let kept = found.iter().filter(|v| v.refused.is_none() && v.key == v.wanted);
    let mut names = Names::keeping(kept.map(|variable| variable.wanted.as_str()));
    let mut given = HashMap::new();
    for variable in found {
        let (to, renamed) = if variable.refused.is_some() {
            (variable.wanted.clone(), None)
        } else if variable.key == variable.wanted {
            names.give(&variable.wanted)
        } else {
            names.give_element(&variable.key, &variable.wanted)
        };
        draft.renamed.extend(renamed);
        given.insert(variable.key.clone(), to);
    }
    given
}

/// Why a name that an expression reads has no value.
pub(super) fn unknown(name: &str, later: bool) -> String {
    if later {
        format!("`{name}` has its value only later in the file")
    } else if name.ends_with(']') {
        format!("there is no `{name}` among the numbers of this file")
    } else {
        format!("nothing before it gives `{name}` a value, or it is a list or left out")
    }
}
