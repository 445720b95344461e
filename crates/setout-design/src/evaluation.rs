//! A design with its values: what every command shows is drawn from one of these.

use std::collections::BTreeSet;
use std::convert::Infallible;
use std::sync::Arc;

use setout_formula::Type;
use setout_quantity::Unit;

use crate::both::both;
use crate::document::{Literal, Value};
use crate::evaluate::{deviations, evaluate};
use crate::fingerprint;
use crate::model::{NodeOf, PartNodes, Target};
use crate::verdict::{assess_checks, assess_limits};
use crate::{Amount, CheckResult, Design, Fault, LimitResult, Place, Source, Verdict};

/// A design and all its values. Cheap to clone.
#[derive(Clone, Debug)]
pub struct Evaluation {
    pub(crate) design: Design,
    /// Of all nodes, in base units; what could not be computed is not a number.
    pub(crate) values: Arc<Vec<f64>>,
    faults: Arc<[Fault]>,
    checks: Arc<[CheckResult]>,
    limits: Arc<[LimitResult]>,
}

/// A dimension or a cell with its value.
#[derive(Clone, Debug, PartialEq)]
pub struct DimensionResult {
    /// The full name.
    pub name: String,
    /// Where it stands.
    pub place: Place,
    /// Whether its value names no other.
    pub chosen: bool,
    /// What was written: a formula or a text.
    pub written: String,
    /// The value; absent when it could not be computed.
    pub value: Option<Amount>,
    /// The number in base units (mm, deg, g, s, A, K, the currency), exactly as computed.
    pub base: Option<f64>,
    /// The unit it is shown in.
    pub unit: Unit,
    /// The lower limit, in `unit`.
    pub min: Option<f64>,
    /// The upper limit, in `unit`.
    pub max: Option<f64>,
    /// The ends of its travel, in `unit`.
    pub travel: Option<[f64; 2]>,
    /// The tolerance as written.
    pub tolerance: Option<String>,
    /// What the tolerance comes to: how far below and above the nominal value, in `unit`.
    pub deviations: Option<[f64; 2]>,
    /// The remark.
    pub note: Option<String>,
}

/// A schedule with its cells.
#[derive(Clone, Debug, PartialEq)]
pub struct ScheduleResult {
    /// The full name.
    pub name: String,
    /// Where it stands.
    pub place: Place,
    /// What it lists.
    pub about: Option<String>,
    /// The names of the columns.
    pub columns: Vec<String>,
    /// The units of the columns; `None` for texts.
    pub units: Vec<Option<Unit>>,
    /// The rows: a name and a cell a column each.
    pub rows: Vec<(String, Vec<DimensionResult>)>,
}

/// A part with what it is made of.
#[derive(Clone, Debug, PartialEq)]
pub struct PartResult {
    /// The full name.
    pub name: String,
    /// Where it stands.
    pub place: Place,
    /// How it is made: a process, or `bought`.
    pub made: Option<String>,
    /// What of.
    pub material: Option<String>,
    /// How many.
    pub quantity: Option<Amount>,
    /// What one costs.
    pub cost: Option<Amount>,
    /// What one weighs.
    pub mass: Option<Amount>,
    /// Its model, as written in the table.
    pub cad: Option<String>,
    /// The full names of what it uses.
    pub uses: Vec<String>,
    /// The remark.
    pub note: Option<String>,
    /// Of everything that governs it; the same as long as it need not be made again.
    pub fingerprint: String,
}

/// How much there is in a design.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Tables.
    pub tables: usize,
    /// Dimensions, without cells of schedules.
    pub dimensions: usize,
    /// Schedules.
    pub schedules: usize,
    /// Checks.
    pub checks: usize,
    /// Parts.
    pub parts: usize,
}

impl Evaluation {
    pub(crate) fn of(design: Design) -> Self {
        let (values, mut faults) = evaluate(&design.model, &design.material);
        let values = Arc::new(values);
        let (checks, stopped) = assess_checks(&design, &values);
        let limits = assess_limits(&design.model, &values);
        faults.extend(stopped);
        let mut faults: Vec<Fault> = faults.into_iter().map(Fault::on_one_line).collect();
        faults.extend(design.faults.iter().cloned());
        faults.sort();
        faults.dedup();
        Self { design, values, faults: faults.into(), checks: checks.into(), limits: limits.into() }
    }

    /// Reads and evaluates two states of a design, as [`Design::read_both`] reads them.
    pub fn read_both(before: &dyn Source, after: &dyn Source) -> (Self, Self) {
        let Ok((_, old, new)) = both(|| Ok::<_, Infallible>(before), after, Self::of);
        (old, new)
    }

    /// The same where the earlier state has to be opened first, as a revision has: that is done
    /// while the later one is read. Gives the earlier source and both evaluations.
    ///
    /// ```
    /// use setout_design::{Evaluation, Memory};
    /// let lid = |width: &str| {
    ///     let table = format!("dimensions: {{ width: {width} }}");
    ///     Memory::new([("design.yaml", "setout: 1\nname: a lid\n"), ("lid.yaml", &table)])
    /// };
    /// let opened = || Ok::<_, std::io::Error>(lid("62 mm"));
    /// let (_, old, new) = Evaluation::read_both_opening(opened, &lid("64 mm"))?;
    /// assert_eq!(old.value("lid.width").unwrap().to_string(), "62 mm");
    /// assert_eq!(new.value("lid.width").unwrap().to_string(), "64 mm");
    /// # Ok::<(), std::io::Error>(())
    /// ```
    ///
    /// # Errors
    /// Those of opening it; the later state is then not evaluated.
    pub fn read_both_opening<S: Source, E: Send>(
        before: impl FnOnce() -> Result<S, E> + Send,
        after: &dyn Source,
    ) -> Result<(S, Self, Self), E> {
        both(before, after, Self::of)
    }

    /// The design.
    pub fn design(&self) -> &Design {
        &self.design
    }

    /// All faults, of reading and of evaluating, by place.
    pub fn faults(&self) -> &[Fault] {
        &self.faults
    }

    /// The checks, in the order of the tables.
    pub fn checks(&self) -> &[CheckResult] {
        &self.checks
    }

    /// The same design with what was found of its checks and limits over travel and at the worst:
    /// the same results in the same order, with other states.
    #[must_use]
    pub fn with_results(&self, checks: Vec<CheckResult>, limits: Vec<LimitResult>) -> Self {
        Self { checks: checks.into(), limits: limits.into(), ..self.clone() }
    }

    /// The limits, in the order of the tables.
    pub fn limits(&self) -> &[LimitResult] {
        &self.limits
    }

    /// The worst verdict of all checks and limits.
    pub fn verdict(&self) -> Verdict {
        let checks = self.checks.iter().map(|check| check.verdict);
        let limits = self.limits.iter().map(|limit| limit.verdict);
        checks.chain(limits).max().unwrap_or(Verdict::Holds)
    }

    /// The value of a full name: a dimension, a cell, what a part costs.
    pub fn value(&self, name: &str) -> Option<Amount> {
        match self.design.model.symbols.find(None, name) {
            Ok(Target::Slot(slot)) => self.amount(slot),
            _ => None,
        }
    }

    /// A hash of all that the design says but for notes, order and layout, in 32 hexadecimal
    /// digits.
    pub fn fingerprint(&self) -> String {
        fingerprint::of_design(self)
    }

    pub(crate) fn amount(&self, node: u32) -> Option<Amount> {
        let of = &self.design.model.nodes[node as usize];
        Amount::of(self.values[node as usize], of.kind, &of.unit, &self.design.model.texts)
    }

    /// The tables by name, each with what it says of itself.
    pub fn tables(&self) -> Vec<(&str, Option<&str>)> {
        let tables = self.design.material.tables.iter();
        tables
            .map(|table| (table.name.as_str(), table.about.as_ref().map(|about| about.text())))
            .collect()
    }

    /// How much there is of everything, without drawing any of it up.
    pub fn counts(&self) -> Counts {
        let (model, material) = (&self.design.model, &self.design.material);
        let dimensions = material.tables.iter().map(|table| table.dimensions.len());
        Counts {
            tables: material.tables.len(),
            dimensions: dimensions.sum(),
            schedules: model.schedules.len(),
            checks: model.checks.len(),
            parts: model.parts.len(),
        }
    }

    /// All dimensions, in the order of the tables. Cells are in [`schedules`](Self::schedules).
    pub fn dimensions(&self) -> Vec<DimensionResult> {
        let nodes = self.design.model.nodes[..self.design.model.slots].iter().enumerate();
        let dimensions = nodes.filter(|(_, node)| matches!(node.of, NodeOf::Dimension { .. }));
        dimensions.map(|(slot, _)| self.dimension(slot as u32)).collect()
    }

    pub(crate) fn dimension(&self, slot: u32) -> DimensionResult {
        let (model, material) = (&self.design.model, &self.design.material);
        let node = &model.nodes[slot as usize];
        let limits = model.limits.get(&slot).copied().unwrap_or_default();
        let end = |node_of_end: Option<u32>| {
            let value = self.values[node_of_end? as usize];
            // What has no known kind has no unit either in which a limit could be told.
            let known = !value.is_nan() && node.kind != Type::Unknown;
            known.then(|| node.unit.from_base(value))
        };
        let (written, note, tolerance) = match node.of {
            NodeOf::Dimension { table, index } => {
                let dimension = &material.tables[table as usize].dimensions[index as usize];
                let note = dimension.note.as_ref().map(|note| note.text().to_owned());
                let tolerance = dimension.tolerance.as_ref().map(ToString::to_string);
                (written(&dimension.value), note, tolerance)
            }
            NodeOf::Cell { table, schedule, row, column } => {
                let schedule = &material.tables[table as usize].schedules[schedule as usize];
                (written(&schedule.rows[row as usize].cells[column as usize].1), None, None)
            }
            _ => {
                let expr = model.expr(material, slot);
                (expr.map_or("", |expr| expr.text()).to_owned(), None, None)
            }
        };
        DimensionResult {
            name: node.name.to_string(),
            place: node.place.clone(),
            chosen: model.is_chosen(slot),
            written,
            value: self.amount(slot),
            base: Some(self.values[slot as usize]).filter(|value| {
                !value.is_nan() && matches!(node.kind, Type::Quantity(_) | Type::Reading)
            }),
            unit: node.unit.clone(),
            min: end(limits.min),
            max: end(limits.max),
            travel: limits.travel.and_then(|[from, to]| Some([end(Some(from))?, end(Some(to))?])),
            tolerance,
            deviations: self.deviations(slot),
            note,
        }
    }

    /// The deviations that a dimension's tolerance allows, in its unit.
    pub(crate) fn deviations(&self, slot: u32) -> Option<[f64; 2]> {
        let model = &self.design.model;
        let zone = &model.tolerances.get(&slot)?.zone;
        let node = &model.nodes[slot as usize];
        if node.kind == Type::Unknown {
            return None;
        }
        let unit = &node.unit;
        let [lower, upper] = deviations(zone, self.values[slot as usize])?.ok()?;
        Some([unit.difference_from_base(lower), unit.difference_from_base(upper)])
    }

    /// All schedules, in the order of the tables.
    pub fn schedules(&self) -> Vec<ScheduleResult> {
        let (model, material) = (&self.design.model, &self.design.material);
        let written = material.tables.iter().flat_map(|table| &table.schedules);
        let result =
            |(nodes, schedule): (&crate::model::ScheduleNodes, &crate::document::Schedule)| {
                let row = |(index, row): (usize, &crate::document::Row)| {
                    let cells = nodes.columns.iter().map(|column| self.dimension(column[index]));
                    (row.name.to_string(), cells.collect())
                };
                ScheduleResult {
                    name: nodes.name.clone(),
                    place: schedule.place.clone(),
                    about: schedule.about.as_ref().map(|about| about.text().to_owned()),
                    columns: schedule
                        .columns
                        .iter()
                        .map(|column| column.name.to_string())
                        .collect(),
                    units: schedule.columns.iter().map(|column| column.unit().cloned()).collect(),
                    rows: schedule.rows.iter().enumerate().map(row).collect(),
                }
            };
        model.schedules.iter().zip(written).map(result).collect()
    }

    /// All parts, in the order of the tables.
    pub fn parts(&self) -> Vec<PartResult> {
        let (model, material) = (&self.design.model, &self.design.material);
        let part = |nodes: &crate::model::PartNodes| {
            let part = &material.tables[nodes.table as usize].parts[nodes.index as usize];
            let text = |literal: &Option<crate::document::Literal>| {
                literal.as_ref().map(|literal| literal.text().to_owned())
            };
            PartResult {
                name: nodes.name.clone(),
                place: part.place.clone(),
                made: text(&part.made),
                material: text(&part.material),
                quantity: self.amount(nodes.quantity),
                cost: nodes.cost.and_then(|cost| self.amount(cost)),
                mass: nodes.mass.and_then(|mass| self.amount(mass)),
                cad: part.cad.as_ref().map(|cad| cad.written.clone()),
                uses: nodes
                    .uses
                    .iter()
                    .map(|slot| model.nodes[*slot as usize].name.to_string())
                    .collect(),
                note: text(&part.note),
                fingerprint: fingerprint::of_part(self, nodes),
            }
        };
        model.parts.iter().map(part).collect()
    }

    /// How a part is made.
    pub(crate) fn made(&self, part: &PartNodes) -> Option<&str> {
        let table = &self.design.material.tables[part.table as usize];
        table.parts[part.index as usize].made.as_ref().map(Literal::text)
    }

    /// What all parts cost together; absent where the design has no currency or a part's cost
    /// could not be computed.
    pub fn cost(&self) -> Option<Amount> {
        self.design.material.units.currency()?;
        self.amount(self.design.model.design_cost)
    }

    /// What all parts weigh together.
    pub fn mass(&self) -> Option<Amount> {
        self.amount(self.design.model.design_mass)
    }

    /// The root-relative paths of the texts that the design was read from.
    pub fn files(&self) -> Vec<&str> {
        self.design.material.files.iter().map(|file| &*file.path).collect()
    }

    /// The root-relative paths of the models of all parts and of what they include, sorted: all
    /// that fingerprints of parts are made from, beside values. What a model includes that could
    /// not be read, as libraries of the CAD program, is not among them.
    pub fn models(&self) -> Vec<&str> {
        let files = self.design.material.cad.values();
        let paths: BTreeSet<&str> =
            files.flat_map(|file| &file.paths).map(String::as_str).collect();
        paths.into_iter().collect()
    }

    /// The exports that `design.yaml` lists.
    pub fn exports(&self) -> &[crate::Export] {
        &self.design.material.common.exports
    }
}

/// What was written as a value.
pub(crate) fn written(value: &Value) -> String {
    match value {
        Value::Formula(expr) => expr.text().split_whitespace().collect::<Vec<_>>().join(" "),
        Value::Text(literal) => literal.text().to_owned(),
        Value::Faulty => String::new(),
    }
}
