//! What two designs have in common, and need not be compared.
//!
//! Nothing is told from here: what is not known to be the same is compared in all its fields.

use std::sync::Arc;

use crate::Design;
use crate::document::{Check, Dimension, Expr, Literal, Part, Table};
use crate::material::Material;
use crate::model::NodeOf;

/// What is known to be the same in two designs.
pub(crate) struct Same<'a> {
    /// Whether each table is.
    tables: Vec<bool>,
    /// Both, where they have the same things of the same names in the same order, so that these
    /// may be held against each other one by one.
    pair: Option<[&'a Material; 2]>,
}

impl<'a> Same<'a> {
    /// Finds what is the same. Without faults on either side no name in it can have come to mean
    /// something else.
    pub(crate) fn in_both(before: &'a Design, after: &'a Design) -> Self {
        if !before.faults.is_empty() || !after.faults.is_empty() {
            return Self { tables: Vec::new(), pair: None };
        }
        let (old, new) = (&*before.material, &*after.material);
        let pairs = old.tables.iter().zip(&new.tables);
        let tables = pairs.map(|(old, new)| Arc::ptr_eq(old, new)).collect();
        let pair = before.model.has_names_of(&after.model).then_some([old, new]);
        Self { tables, pair }
    }

    /// Whether all of a table is the same.
    pub(crate) fn table(&self, table: u32) -> bool {
        self.tables.get(table as usize).copied().unwrap_or(false)
    }

    /// Whether what `design.yaml` says is the same.
    pub(crate) fn common(&self) -> bool {
        self.pair.is_some_and(|[old, new]| old.has_same_common(new))
    }

    /// Whether both have the same columns and rows in all schedules.
    pub(crate) fn schedules(&self) -> bool {
        self.pair.is_some()
    }

    /// Whether a value is the same in all that is said of it.
    pub(crate) fn value(&self, of: NodeOf) -> bool {
        let Some(table) = of.table() else { return false };
        let part = |index: u32, field: fn(&Part) -> &Option<Expr>| {
            self.pairs(table, |table| formula(field(&table.parts[index as usize]).as_ref()))
        };
        self.table(table)
            || match of {
                NodeOf::Dimension { index, .. } => {
                    let dimension = |table: &'a Table| &table.dimensions[index as usize];
                    self.of_table(table).is_some_and(|both| dimensions(both.map(dimension)))
                }
                NodeOf::Cell { schedule, row, column, .. } => self.pairs(table, |table| {
                    let row = &table.schedules[schedule as usize].rows[row as usize];
                    row.cells[column as usize].1.says()
                }),
                NodeOf::Cost { part: index, .. } => part(index, |part| &part.cost),
                NodeOf::Mass { part: index, .. } => part(index, |part| &part.mass),
                NodeOf::Quantity { part: index, .. } => part(index, |part| &part.quantity),
                _ => false,
            }
    }

    /// Whether a check is the same in all that is said of it.
    pub(crate) fn check(&self, table: u32, index: u32) -> bool {
        let says = |table: &'a Table| {
            let Check { name: _, place: _, require, tight, why } = &table.checks[index as usize];
            (formula(require.as_ref()), formula(tight.as_ref()), text(why.as_ref()))
        };
        self.table(table) || self.pairs(table, says)
    }

    /// Whether a part is the same in all that is said of it, but for its cost, mass and quantity.
    pub(crate) fn part(&self, table: u32, index: u32) -> bool {
        let says = |table: &'a Table| {
            let part = &table.parts[index as usize];
            let Part {
                made,
                material,
                note,
                cad,
                uses,
                name: _,
                place: _,
                quantity: _,
                cost: _,
                mass: _,
            } = part;
            let texts = [made, material, note].map(|literal| text(literal.as_ref()));
            let cad = cad.as_ref().map(|cad| cad.written.as_str());
            (texts, cad, uses.iter().map(Literal::text).collect::<Vec<_>>())
        };
        self.table(table) || self.pairs(table, says)
    }

    /// A table in both, where they may be held against each other.
    fn of_table(&self, table: u32) -> Option<[&'a Table; 2]> {
        self.pair.map(|both| both.map(|material| &*material.tables[table as usize]))
    }

    /// Whether a table says the same of something in both.
    fn pairs<T: PartialEq>(&self, table: u32, says: impl Fn(&'a Table) -> T) -> bool {
        self.of_table(table).is_some_and(|[old, new]| says(old) == says(new))
    }
}

fn dimensions([one, other]: [&Dimension; 2]) -> bool {
    // Taken apart whole: a field that is told has to be looked at.
    let Dimension {
        name: _,
        place: _,
        value: own,
        unit,
        min,
        max,
        travel,
        tolerance,
        tolerance_at: _,
        spread,
        shares,
        note,
        one_of,
    } = one;
    own.says() == other.value.says()
        && *unit == other.unit
        && formula(min.as_deref()) == formula(other.min.as_deref())
        && formula(max.as_deref()) == formula(other.max.as_deref())
        && ends(travel.as_deref()) == ends(other.travel.as_deref())
        && *tolerance == other.tolerance
        && *spread == other.spread
        && *shares == other.shares
        && text(note.as_ref()) == text(other.note.as_ref())
        && one_of.iter().map(Literal::text).eq(other.one_of.iter().map(Literal::text))
}

fn ends(travel: Option<&[Expr; 2]>) -> Option<[&str; 2]> {
    travel.map(|ends| ends.each_ref().map(Expr::text))
}

fn formula(expr: Option<&Expr>) -> Option<&str> {
    expr.map(Expr::text)
}

fn text(literal: Option<&Literal>) -> Option<&str> {
    literal.map(Literal::text)
}
