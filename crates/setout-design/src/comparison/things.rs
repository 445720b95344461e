//! Everything in a design that has a name, with its fields as text: what edits are found from.

use crate::document::{ColumnOf, Dimension, Expr, Literal, Measured, Table, Value};
use crate::evaluation::written;
use crate::model::{Node, NodeOf, Target};
use crate::{Design, Place};

use super::edits::What;
use super::renames::Renames;
use super::same::Same;

/// A named thing.
#[derive(Clone, Debug)]
pub(crate) struct Thing {
    /// The full name, renames applied.
    pub(crate) name: String,
    pub(crate) sort: Sort,
    pub(crate) place: Place,
    pub(crate) fields: Vec<Field>,
}

/// What sort of thing it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum Sort {
    Design,
    Table,
    Dimension,
    Schedule,
    Column,
    Row,
    Cell,
    Check,
    Part,
    Price,
}

/// One field of a thing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Field {
    pub(crate) what: What,
    /// As it is shown.
    pub(crate) text: String,
    /// Free of layout and of the names that renames changed: equal keys are equal fields.
    pub(crate) key: String,
}

fn plain(what: What, text: impl Into<String>) -> Field {
    let text = text.into();
    Field { what, key: text.clone(), text }
}

fn literal(what: What, literal: &Option<Literal>) -> Option<Field> {
    let text = literal.as_ref()?.text();
    let key = text.split_whitespace().collect::<Vec<_>>().join(" ");
    Some(Field { what, text: key.clone(), key })
}

/// The things of two designs, but for those that are known to be the same.
pub(crate) struct Things {
    /// Those before, by the names that they have after.
    pub(crate) old: Vec<Thing>,
    pub(crate) new: Vec<Thing>,
}

impl Things {
    pub(crate) fn of(before: &Design, after: &Design, renames: &Renames) -> Self {
        let same = Same::in_both(before, after);
        Self {
            old: things(before, &|name| renames.apply(name), &same),
            new: things(after, &|name| name.to_owned(), &same),
        }
    }
}

/// Lists a design's things in the order of its tables, but for those that another one is known to
/// have too. `rename` gives the names of the other side.
pub(crate) fn things(
    design: &Design,
    rename: &dyn Fn(&str) -> String,
    same: &Same<'_>,
) -> Vec<Thing> {
    let lister = Lister { design, rename, same };
    let mut found = if same.common() { Vec::new() } else { lister.common() };
    lister.tables(&mut found);
    lister.values(&mut found);
    lister.rest(&mut found);
    found
}

struct Lister<'a> {
    design: &'a Design,
    rename: &'a dyn Fn(&str) -> String,
    same: &'a Same<'a>,
}

impl Lister<'_> {
    fn thing(&self, name: &str, sort: Sort, place: &Place, fields: Vec<Field>) -> Thing {
        Thing { name: (self.rename)(name), sort, place: place.clone(), fields }
    }

    fn common(&self) -> Vec<Thing> {
        let common = &self.design.material.common;
        let files = &self.design.material.files;
        let file = files.first().map_or_else(|| "design.yaml".into(), |file| file.path.clone());
        let place = Place { file, line: 1, column: 1 };
        let mut fields: Vec<Field> = [&common.name, &common.about]
            .into_iter()
            .filter_map(|text| literal(What::Note, text))
            .collect();
        fields.extend(common.currency.as_ref().map(|code| plain(What::Currency, code)));
        for export in &common.exports {
            fields.push(plain(What::Export, format!("{} {}", export.format, export.file)));
        }
        let mut things = vec![self.thing("design", Sort::Design, &place, fields)];
        for rate in &common.rates {
            let name = format!("design.rates.{}", rate.code);
            let key = format!("{:?}", rate.worth);
            let field = Field { what: What::Value, text: rate.text.clone(), key };
            things.push(self.thing(&name, Sort::Design, &place, vec![field]));
        }
        for process in &common.processes {
            let name = format!("design.processes.{}", process.name);
            let spread = process.spread.name();
            let mut text = match &process.tolerance {
                Some(tolerance) => format!("{tolerance}, {spread}"),
                None => spread.to_owned(),
            };
            if let Some(measured) = &process.measured {
                text.push_str(", ");
                text.push_str(&self.measured(measured));
            }
            if let Some(shares) = &process.shares {
                text.push_str(&format!(", shares {shares}"));
            }
            let zone = process.tolerance.as_ref().map(|tolerance| &tolerance.zone);
            let key = format!("{zone:?} {spread} {:?} {:?}", process.measured, process.shares);
            let mut fields = vec![Field { what: What::Tolerance, text, key }];
            fields.extend(process.note.as_ref().map(|note| plain(What::Note, note)));
            things.push(self.thing(&name, Sort::Design, &process.place, fields));
        }
        things
    }

    /// What was measured of a process, in the unit in which differences of its kind are shown.
    fn measured(&self, of: &Measured) -> String {
        let unit = self.design.material.units.customary(of.kind);
        let shown = |base: f64| {
            let number = setout_quantity::rounded(unit.difference_from_base(base));
            format!("{number} {}", unit.symbol())
        };
        format!("mean {}, deviation {}", shown(of.mean), shown(of.deviation))
    }

    /// The tables of which not all is the same, with their numbers.
    fn listed(&self) -> impl Iterator<Item = (u32, &Table)> {
        let tables = self.design.material.tables.iter().enumerate();
        let numbered = tables.map(|(index, table)| (index as u32, &**table));
        numbered.filter(|(index, _)| !self.same.table(*index))
    }

    fn tables(&self, found: &mut Vec<Thing>) {
        for (_, table) in self.listed() {
            let file = self.design.material.files[table.file as usize].path.clone();
            let place = Place { file, line: 1, column: 1 };
            let about = literal(What::Note, &table.about).into_iter().collect();
            found.push(self.thing(&table.name, Sort::Table, &place, about));
        }
    }

    /// Dimensions, cells, and what parts cost, weigh and count.
    fn values(&self, found: &mut Vec<Thing>) {
        let model = &self.design.model;
        for (slot, node) in model.nodes[..model.slots].iter().enumerate() {
            if self.same.value(node.of) {
                continue;
            }
            let sort = match node.of {
                NodeOf::Dimension { .. } => Sort::Dimension,
                NodeOf::Cell { .. } => Sort::Cell,
                NodeOf::DesignCost | NodeOf::DesignMass => continue,
                _ => Sort::Price,
            };
            let mut fields: Vec<Field> = self.value(slot as u32, node).into_iter().collect();
            if let NodeOf::Dimension { table, index } = node.of {
                fields.extend(self.dimension(slot as u32, table, index));
            }
            // A quantity that is not written is 1, not a thing of its own.
            if fields.is_empty() && sort == Sort::Price {
                fields.push(plain(What::Value, "1"));
            }
            found.push(self.thing(&node.name, sort, &node.place, fields));
        }
    }

    fn value(&self, slot: u32, node: &Node) -> Option<Field> {
        let Some(value) = self.design.material.value(node.of) else {
            let expr = self.design.model.expr(&self.design.material, slot)?;
            return Some(self.formula(What::Value, expr, slot));
        };
        Some(match value {
            Value::Formula(expr) => self.formula(What::Value, expr, slot),
            Value::Text(text) => Field {
                what: What::Value,
                text: text.text().to_owned(),
                key: format!("text {:?}", text.text()),
            },
            Value::Faulty => plain(What::Value, "?"),
        })
    }

    /// A formula as a field; `node` is where its names were looked up.
    fn formula(&self, what: What, expr: &Expr, node: u32) -> Field {
        let text = expr.text().split_whitespace().collect::<Vec<_>>().join(" ");
        let Some(formula) = &expr.formula else {
            return Field { what, key: text.clone(), text };
        };
        let targets = &self.design.model.nodes[node as usize].targets;
        let key = formula.canonical(|index| match targets.get(index) {
            Some(target) => self
                .canonical_name(*target)
                .unwrap_or_else(|| formula.names()[index].name.to_string()),
            None => formula.names()[index].name.to_string(),
        });
        Field { what, text, key }
    }

    fn canonical_name(&self, target: Target) -> Option<String> {
        let name = self.design.model.target_name(&self.design.material, target)?;
        Some((self.rename)(&name))
    }

    fn dimension(&self, slot: u32, table: u32, index: u32) -> Vec<Field> {
        let dimension = &self.design.material.tables[table as usize].dimensions[index as usize];
        let limits = self.design.model.limits.get(&slot).copied().unwrap_or_default();
        let mut fields = Vec::new();
        fields.extend(dimension.unit.as_ref().map(|unit| plain(What::Unit, unit.symbol())));
        let ends = [("min", &dimension.min, limits.min), ("max", &dimension.max, limits.max)];
        let ends: Vec<Field> = ends
            .into_iter()
            .filter_map(|(name, expr, node)| {
                let field = self.formula(What::Limits, expr.as_ref()?, node?);
                let (text, key) =
                    (format!("{name} {}", field.text), format!("{name} {}", field.key));
                Some(Field { what: What::Limits, text, key })
            })
            .collect();
        fields.extend(joined(What::Limits, &ends));
        if let (Some(ends), Some(nodes)) = (&dimension.travel, limits.travel) {
            let ends: Vec<Field> = ends
                .iter()
                .zip(nodes)
                .map(|(end, node)| self.formula(What::Travel, end, node))
                .collect();
            fields.extend(joined(What::Travel, &ends));
        }
        fields.extend(tolerance(dimension));
        if !dimension.one_of.is_empty() {
            let choices: Vec<&str> = dimension.one_of.iter().map(Literal::text).collect();
            fields.push(plain(What::Choices, choices.join(", ")));
        }
        fields.extend(literal(What::Note, &dimension.note));
        fields
    }

    /// Schedules with their columns and rows, checks, and parts.
    fn rest(&self, found: &mut Vec<Thing>) {
        for (_, table) in self.listed() {
            for schedule in &table.schedules {
                let name = format!("{}.{}", table.name, schedule.name);
                let about = literal(What::Note, &schedule.about).into_iter().collect();
                found.push(self.thing(&name, Sort::Schedule, &schedule.place, about));
                if self.same.schedules() {
                    continue;
                }
                for column in &schedule.columns {
                    let unit = match &column.of {
                        ColumnOf::Quantity(unit) => unit.symbol().to_owned(),
                        ColumnOf::Text => "text".to_owned(),
                        ColumnOf::Faulty => "?".to_owned(),
                    };
                    let fields = vec![plain(What::Unit, unit)];
                    let name = format!("{name}.{}", column.name);
                    found.push(self.thing(&name, Sort::Column, &column.place, fields));
                }
                for row in &schedule.rows {
                    let cells: Vec<String> =
                        row.cells.iter().map(|(_, value)| written(value)).collect();
                    let text = format!("[{}]", cells.join(", "));
                    // What is in the cells is compared cell by cell.
                    let field = Field { what: What::Row, text, key: String::new() };
                    let name = format!("{name}.{}", row.name);
                    found.push(self.thing(&name, Sort::Row, &row.place, vec![field]));
                }
            }
        }
        self.checks(found);
        self.parts(found);
    }

    fn checks(&self, found: &mut Vec<Thing>) {
        let checks = self.design.model.checks.iter();
        for nodes in checks.filter(|nodes| !self.same.check(nodes.table, nodes.index)) {
            let table = &self.design.material.tables[nodes.table as usize];
            let check = &table.checks[nodes.index as usize];
            let mut fields = Vec::new();
            fields.extend(
                check
                    .require
                    .as_ref()
                    .map(|expr| self.formula(What::Requirement, expr, nodes.node)),
            );
            if let (Some(expr), Some(node)) = (&check.tight, nodes.tight) {
                fields.push(self.formula(What::Tight, expr, node));
            }
            fields.extend(literal(What::Reason, &check.why));
            let name = format!("{}.{}", table.name, check.name);
            found.push(self.thing(&name, Sort::Check, &check.place, fields));
        }
    }

    fn parts(&self, found: &mut Vec<Thing>) {
        let parts = self.design.model.parts.iter();
        for nodes in parts.filter(|nodes| !self.same.part(nodes.table, nodes.index)) {
            let part =
                &self.design.material.tables[nodes.table as usize].parts[nodes.index as usize];
            let mut fields = Vec::new();
            fields.extend(literal(What::Made, &part.made));
            fields.extend(literal(What::Material, &part.material));
            if let Some(cad) = &part.cad {
                fields.push(plain(What::Cad, cad.written.clone()));
            }
            if !part.uses.is_empty() {
                fields.push(self.uses(nodes.table, &part.uses));
            }
            fields.extend(literal(What::Note, &part.note));
            found.push(self.thing(&nodes.name, Sort::Part, &part.place, fields));
        }
    }
}

impl Lister<'_> {
    /// What a part's `uses` names, whatever the order.
    fn uses(&self, table: u32, uses: &[Literal]) -> Field {
        let mut written: Vec<&str> = uses.iter().map(|name| name.text().trim()).collect();
        let symbols = &self.design.model.symbols;
        let full = |name: &&str| {
            let target = symbols.find(Some(table), name).ok();
            let full = target.and_then(|target| self.canonical_name(target));
            full.unwrap_or_else(|| (*name).to_owned())
        };
        let mut keys: Vec<String> = written.iter().map(full).collect();
        written.sort_unstable();
        keys.sort_unstable();
        Field { what: What::Uses, text: written.join(", "), key: keys.join(", ") }
    }
}

fn joined(what: What, ends: &[Field]) -> Option<Field> {
    if ends.is_empty() {
        return None;
    }
    let join =
        |text: fn(&Field) -> &str, by: &str| ends.iter().map(text).collect::<Vec<_>>().join(by);
    let by = if what == What::Travel { " to " } else { ", " };
    Some(Field { what, text: join(|field| &field.text, by), key: join(|field| &field.key, by) })
}

fn tolerance(dimension: &Dimension) -> Option<Field> {
    let zone = dimension.tolerance.as_ref();
    let spread = dimension.spread.map(|spread| spread.name().to_owned());
    let shares = dimension.shares.as_ref().map(|shares| match &**shares {
        Some(shares) => format!("shares {shares}"),
        None => "shares none".to_owned(),
    });
    let joined = |first: Option<String>| -> Option<String> {
        let parts = [first, spread.clone(), shares.clone()].into_iter().flatten();
        let parts: Vec<String> = parts.collect();
        (!parts.is_empty()).then(|| parts.join(", "))
    };
    let text = joined(zone.map(ToString::to_string))?;
    let key = joined(zone.map(|tolerance| format!("{:?}", tolerance.zone)))?;
    Some(Field { what: What::Tolerance, text, key })
}
