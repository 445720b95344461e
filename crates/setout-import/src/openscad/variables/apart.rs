//! Vectors taken apart, and what a comment forbids.

use setout_quantity::Kind;

use super::Variable;
use crate::openscad::remark::{Remarks, Stated};
use crate::openscad::tree::Expr;
use crate::openscad::usual;

/// One variable, or one for each element of a flat vector.
pub(super) fn taken_apart(
    name: &str,
    expr: Expr,
    line: usize,
    text: &str,
    remarks: &Remarks,
    ours: bool,
) -> Vec<Variable> {
    let variable = |key: String, wanted: String, expr: Expr, remarks: Remarks| {
        let guess = match remarks.stated {
            Some(_) => None,
            None => usual::guess(name, &remarks.words, expr.number()),
        };
        let mut variable = Variable {
            key,
            wanted,
            expr,
            line,
            text: text.to_owned(),
            remarks,
            guess,
            refused: None,
        };
        variable.refused = refusal(&variable, ours);
        variable
    };
    let Expr::Vector(parts) = expr else {
        return vec![variable(name.to_owned(), name.to_owned(), expr, remarks.clone())];
    };
    let whole = |why: &str| {
        let mut whole =
            variable(name.to_owned(), name.to_owned(), Expr::Vector(Vec::new()), remarks.clone());
        whole.refused = Some(why.to_owned());
        vec![whole]
    };
    if ours {
        return whole("its cells stand beside it one by one");
    }
    if parts.is_empty() {
        return whole("it is an empty list");
    }
    if parts.iter().any(|part| matches!(part, Expr::Vector(_))) {
        return whole("it is a list of lists; write it as a schedule");
    }
    let few = parts.len() <= 3 && parts.len() > 1;
    let end = |index: usize| {
        if few { ["x", "y", "z"][index].to_owned() } else { (index + 1).to_string() }
    };
    let mut taken = Vec::new();
    for (index, part) in parts.into_iter().enumerate() {
        let mut remarks = remarks.clone();
        remarks.heading = remarks.heading.filter(|_| index == 0);
        let wanted = format!("{name}_{}", end(index));
        taken.push(variable(format!("{name}[{index}]"), wanted, part, remarks));
    }
    taken
}

/// Why a variable cannot be taken by what its comment says.
fn refusal(variable: &Variable, ours: bool) -> Option<String> {
    match &variable.remarks.stated {
        Some(Stated::Unit(unit, kind)) if !ours => {
            let usual = match *kind {
                Kind::LENGTH => "mm",
                Kind::ANGLE => "deg",
                _ => return None,
            };
            let good = unit == usual || unit == "°";
            (!good).then(|| format!("its comment says {unit}, and such files are read in {usual}"))
        }
        None if variable.guess.is_none() && variable.expr.is_pure() => {
            usual::doubt(&variable.remarks.words)
        }
        _ => None,
    }
}
