//! The order of evaluation, found from the names in the texts.

use std::collections::{HashMap, VecDeque};

use setout_design::{Role, StandsFor};

use crate::prepared::Prepared;
use crate::token::Token;

/// The numbers of what each formula names, and an order in which all stand behind what they name.
pub(crate) struct Order {
    pub(crate) needs: Vec<Vec<usize>>,
    pub(crate) order: Vec<usize>,
}

/// The values by their full names. Limits, checks and tolerances bear the name of what they belong
/// to, and nothing can name them.
pub(crate) fn values_by_name<'a>(formulas: &[Prepared<'a>]) -> HashMap<&'a str, usize> {
    let named = formulas.iter().enumerate().filter(|(_, formula)| {
        matches!(
            formula.source.role,
            Role::Dimension
                | Role::Cell
                | Role::Cost
                | Role::Mass
                | Role::Quantity
                | Role::TotalCost
                | Role::TotalMass
        )
    });
    named.map(|(number, formula)| (&*formula.source.name, number)).collect()
}

/// The names of what a total multiplies: the cost or mass of every part, and how many there are.
pub(crate) fn total_of<'a>(formulas: &[Prepared<'a>], total: Role) -> Vec<(&'a str, String)> {
    let wanted = if total == Role::TotalCost { Role::Cost } else { Role::Mass };
    let parts = formulas.iter().filter(|formula| formula.source.role == wanted);
    parts
        .map(|formula| {
            let name = &*formula.source.name;
            let part = name.rsplit_once('.').map_or(name, |(part, _)| part);
            (name, format!("{part}.quantity"))
        })
        .collect()
}

pub(crate) fn order(formulas: &[Prepared<'_>], numbers: &HashMap<&str, usize>) -> Order {
    let needs: Vec<Vec<usize>> =
        formulas.iter().map(|formula| needs(formula, formulas, numbers)).collect();
    let mut followers = vec![Vec::new(); formulas.len()];
    for (number, needed) in needs.iter().enumerate() {
        needed.iter().for_each(|needed| followers[*needed].push(number));
    }
    let mut waiting: Vec<usize> = needs.iter().map(Vec::len).collect();
    let mut ready: VecDeque<usize> = (0..formulas.len()).filter(|n| waiting[*n] == 0).collect();
    let mut order = Vec::with_capacity(formulas.len());
    while let Some(number) = ready.pop_front() {
        order.push(number);
        for follower in &followers[number] {
            waiting[*follower] -= 1;
            if waiting[*follower] == 0 {
                ready.push_back(*follower);
            }
        }
    }
    // What stands in a circle has no value, and is told so.
    order.extend((0..formulas.len()).filter(|number| waiting[*number] > 0));
    Order { needs, order }
}

fn needs(
    formula: &Prepared<'_>,
    all: &[Prepared<'_>],
    numbers: &HashMap<&str, usize>,
) -> Vec<usize> {
    let number = |name: &str| numbers.get(name).copied();
    let mut needs = Vec::new();
    if let role @ (Role::TotalCost | Role::TotalMass) = formula.source.role {
        for (each, quantity) in total_of(all, role) {
            needs.extend([number(each), number(&quantity)].into_iter().flatten());
        }
    }
    for token in formula.tokens.iter().flatten() {
        let Token::Name(name) = token else { continue };
        match formula.names.get(name.as_str()) {
            Some(StandsFor::Value(full)) => needs.extend(number(full)),
            Some(StandsFor::Column(cells)) => needs.extend(cells.iter().filter_map(|c| number(c))),
            None => {}
        }
    }
    needs.sort_unstable();
    needs.dedup();
    needs
}
