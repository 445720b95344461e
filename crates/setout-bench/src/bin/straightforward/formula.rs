//! Formulas with units as evalexpr reads them: floats in base units, and full names.

use evalexpr::{ContextWithMutableFunctions, Function, HashMapContext, Node, build_operator_tree};

/// What a formula means in a table.
pub(crate) fn tree(formula: &str, table: &str) -> Node {
    build_operator_tree(&written(formula, table)).expect("a formula")
}

/// A context with the one function that evalexpr lacks.
pub(crate) fn context() -> HashMapContext {
    let mut context = HashMapContext::new();
    let sine = Function::new(|angle| Ok(angle.as_number()?.to_radians().sin().into()));
    context.set_function("sin".to_owned(), sine).expect("a new name");
    context
}

fn written(formula: &str, table: &str) -> String {
    let mut text = String::with_capacity(formula.len() * 2);
    let mut rest = formula;
    while let Some(first) = rest.chars().next() {
        let end = |is: fn(char) -> bool| rest.find(|c| !is(c)).unwrap_or(rest.len());
        if first.is_ascii_digit() {
            let end = end(|c| c.is_ascii_digit() || c == '.');
            let number: f64 = rest[..end].parse().expect("a number");
            let (factor, length) = unit(&rest[end..]);
            text.push_str(&format!("{:?}", number * factor));
            rest = &rest[end + length..];
        } else if first.is_ascii_lowercase() {
            let end = end(|c| c.is_ascii_alphanumeric() || matches!(c, '_' | '.'));
            let (name, behind) = rest.split_at(end);
            match name {
                "sqrt" => text.push_str("math::sqrt"),
                _ if behind.starts_with('(') || name.contains('.') => text.push_str(name),
                _ => text.extend([table, ".", name]),
            }
            rest = behind;
        } else {
            text.push(first);
            rest = &rest[first.len_utf8()..];
        }
    }
    text
}

/// The factor of the unit that follows a number, and how many bytes it takes.
fn unit(behind: &str) -> (f64, usize) {
    let Some(word) = behind.strip_prefix(' ') else { return (1.0, 0) };
    let length = word.find(|c: char| !c.is_ascii_alphabetic()).unwrap_or(word.len());
    let factor = match &word[..length] {
        "mm" | "deg" => 1.0,
        "cm" => 10.0,
        _ => return (1.0, 0),
    };
    (factor, length + 1)
}
