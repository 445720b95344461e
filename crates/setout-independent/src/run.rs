//! All formulas in order, each compared.

use std::cell::Cell;
use std::collections::HashMap;

use setout_design::{Amount, Role, WrittenFormula};

use crate::agreement::{Standing, is_same, standing};
use crate::engine::Worth;
use crate::factors::Factors;
use crate::limits::MOST_WORK;
use crate::order::{order, total_of, values_by_name};
use crate::prepared::Prepared;
use crate::refusal::Refusal;
use crate::shake::Shake;
use crate::{Difference, NotRepeated, Repeat};

pub(crate) fn run(formulas: &[WrittenFormula], factors: &Factors) -> Repeat {
    let formulas: Vec<Prepared<'_>> =
        formulas.iter().map(|formula| Prepared::of(formula, factors)).collect();
    let numbers = values_by_name(&formulas);
    let order = order(&formulas, &numbers);
    let mut run = Run {
        firsts: formulas.iter().map(Prepared::first).collect(),
        own: vec![None; formulas.len()],
        agrees: vec![true; formulas.len()],
        left: Cell::new(MOST_WORK),
        formulas: &formulas,
        numbers: &numbers,
        repeat: Repeat::default(),
    };
    for number in order.order {
        run.formula(number, &order.needs[number]);
    }
    run.repeat
}

/// A value with all its digits: six of them may look like the first engine's.
fn in_full(amount: Option<Amount>) -> String {
    match amount {
        None => "no value".to_owned(),
        Some(Amount::Number { number, unit }) => {
            format!("{number} {}", unit.symbol()).trim_end().to_owned()
        }
        Some(other) => other.to_string(),
    }
}

struct Run<'a> {
    formulas: &'a [Prepared<'a>],
    numbers: &'a HashMap<&'a str, usize>,
    /// What the first engine came to.
    firsts: Vec<Option<Worth>>,
    /// What the second came to, from the chosen values on.
    own: Vec<Option<Worth>>,
    agrees: Vec<bool>,
    /// How many more expressions may be computed.
    left: Cell<u64>,
    repeat: Repeat,
}

impl Run<'_> {
    fn formula(&mut self, number: usize, needs: &[usize]) {
        let Some(first) = self.firsts[number].clone() else {
            self.own[number] = self.worked(number, &self.own, Shake::default()).ok();
            return self.not_repeated(number, Refusal::NoValue);
        };
        let alone = match self.worked(number, &self.own, Shake::default()) {
            Ok(alone) => alone,
            Err(why) => {
                // What names it goes on from the first engine's value.
                self.own[number] = Some(first);
                return self.not_repeated(number, why);
            }
        };
        let same = is_same(&first, &alone);
        self.own[number] = Some(alone);
        if same {
            self.repeat.compared += 1;
        } else {
            self.not_the_same(number, &first, needs);
        }
    }

    /// Looks whether a difference begins here or came with what the formula names.
    fn not_the_same(&mut self, number: usize, first: &Worth, needs: &[usize]) {
        let formula = &self.formulas[number];
        let second = self.worked(number, &self.firsts, Shake::default());
        let value = |name: &str| self.firsts[*self.numbers.get(name)?].clone();
        let standing = if self.is_total(number) {
            let same = second.as_ref().is_ok_and(|second| is_same(first, second));
            if same { Standing::Same } else { Standing::Other }
        } else {
            standing(formula, first, &second, &value, &self.left)
        };
        let followed = needs.iter().any(|needed| !self.agrees[*needed]);
        self.agrees[number] =
            matches!(standing, Standing::Same | Standing::LastDigits) && !followed;
        match standing {
            Standing::Same | Standing::LastDigits if followed => self.repeat.followed += 1,
            Standing::Same | Standing::LastDigits => {
                self.repeat.compared += 1;
                self.repeat.by_last_digits += 1;
            }
            Standing::OnTheEdge | Standing::Unsettled => {
                self.agrees[number] = true;
                self.own[number] = Some(first.clone());
                let second = in_full(second.ok().and_then(|worth| formula.shown(&worth)));
                let first = in_full(formula.source.value.clone());
                self.not_repeated(
                    number,
                    match standing {
                        Standing::OnTheEdge => Refusal::OnTheEdge { first, second },
                        _ => Refusal::LastDigits { first, second },
                    },
                );
            }
            Standing::Other => self.differs(number, second),
        }
    }

    fn differs(&mut self, number: usize, second: Result<Worth, Refusal>) {
        let formula = &self.formulas[number];
        let source = formula.source;
        let Some(first) = source.value.clone() else { return };
        self.repeat.differences.push(Difference {
            name: source.name.clone(),
            role: source.role,
            place: source.place.clone(),
            written: source.written.clone(),
            first,
            second: second.ok().and_then(|worth| formula.shown(&worth)),
        });
    }

    fn not_repeated(&mut self, number: usize, why: Refusal) {
        let source = self.formulas[number].source;
        let (name, role) = (source.name.clone(), source.role);
        self.repeat.not_repeated.push(NotRepeated { name, role, why });
    }

    fn is_total(&self, number: usize) -> bool {
        matches!(self.formulas[number].source.role, Role::TotalCost | Role::TotalMass)
    }

    fn worked(
        &self,
        number: usize,
        values: &[Option<Worth>],
        shake: Shake,
    ) -> Result<Worth, Refusal> {
        let value = |name: &str| values[*self.numbers.get(name)?].clone();
        let formula = &self.formulas[number];
        if !self.is_total(number) {
            return formula.worked(&value, shake, &self.left);
        }
        formula.scale.as_ref().map_err(Clone::clone)?;
        let mut total = 0.0;
        for (each, quantity) in total_of(self.formulas, formula.source.role) {
            let (Some(Worth::Number(each)), Some(Worth::Number(quantity))) =
                (value(each), value(&quantity))
            else {
                return Err(Refusal::NoInput { name: each.to_owned() });
            };
            total += each * quantity;
        }
        Ok(Worth::Number(total))
    }
}
