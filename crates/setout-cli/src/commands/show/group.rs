//! Some of the things that a design holds.

use setout::{
    CheckResult, DimensionResult, Evaluation, LimitResult, PartResult, ScheduleResult, Verdict,
};

use crate::draw::{self, Page};

/// Some of the things that a design holds, in the order of the tables.
#[derive(Clone, Default)]
pub(super) struct Group {
    pub(super) dimensions: Vec<DimensionResult>,
    pub(super) limits: Vec<LimitResult>,
    pub(super) schedules: Vec<ScheduleResult>,
    pub(super) checks: Vec<CheckResult>,
    pub(super) parts: Vec<PartResult>,
}

/// Whether a full name is one of a table's.
fn is_of(name: &str, table: &str) -> bool {
    name.strip_prefix(table).is_some_and(|rest| rest.starts_with('.'))
}

impl Group {
    /// All of them.
    pub(super) fn of(evaluation: &Evaluation) -> Self {
        Self {
            dimensions: evaluation.dimensions(),
            limits: evaluation.limits().to_vec(),
            schedules: evaluation.schedules(),
            checks: evaluation.checks().to_vec(),
            parts: evaluation.parts(),
        }
    }

    /// Those whose full name is wanted.
    fn filtered(&self, wanted: impl Fn(&str) -> bool) -> Self {
        Self {
            dimensions: kept(&self.dimensions, |of| wanted(&of.name)),
            limits: kept(&self.limits, |of| wanted(&of.name)),
            schedules: kept(&self.schedules, |of| wanted(&of.name)),
            checks: kept(&self.checks, |of| wanted(&of.name)),
            parts: kept(&self.parts, |of| wanted(&of.name)),
        }
    }

    /// Those of a table.
    pub(super) fn table(&self, table: &str) -> Self {
        self.filtered(|name| is_of(name, table))
    }

    /// What a full name stands for: a thing, or the cells of a row or a column, which are
    /// dimensions too. Of a part also what formulas may read: `jaw.lower_jaw.cost`.
    pub(super) fn named(&self, name: &str) -> Self {
        let part = ["cost", "mass", "quantity"]
            .iter()
            .find_map(|of| name.strip_suffix(of)?.strip_suffix('.'))
            .unwrap_or(name);
        let mut named = self.filtered(|of| of == name);
        named.parts = kept(&self.parts, |of| of.name == name || of.name == part);
        let schedules = self.schedules.iter().filter(|schedule| is_of(name, &schedule.name));
        named.dimensions.extend(schedules.flat_map(|schedule| cells(schedule, name)));
        named
    }

    /// Adds all of another.
    pub(super) fn add(&mut self, other: Self) {
        self.dimensions.extend(other.dimensions);
        self.limits.extend(other.limits);
        self.schedules.extend(other.schedules);
        self.checks.extend(other.checks);
        self.parts.extend(other.parts);
    }

    /// Whether there is nothing.
    pub(super) fn is_empty(&self) -> bool {
        self.names().next().is_none()
    }

    /// All full names.
    pub(super) fn names(&self) -> impl Iterator<Item = &str> {
        let dimensions = self.dimensions.iter().map(|of| &*of.name);
        let schedules = self.schedules.iter().map(|of| &*of.name);
        let cells = self.cells().map(|of| &*of.name);
        let checks = self.checks.iter().map(|of| &*of.name);
        let parts = self.parts.iter().map(|of| &*of.name);
        dimensions.chain(schedules).chain(cells).chain(checks).chain(parts)
    }

    fn cells(&self) -> impl Iterator<Item = &DimensionResult> {
        let rows = self.schedules.iter().flat_map(|schedule| &schedule.rows);
        rows.flat_map(|(_, cells)| cells)
    }

    /// Whether something in it can hurt somebody.
    pub(super) fn bears_on_safety(&self) -> bool {
        let mut values = self.dimensions.iter().chain(self.cells());
        let note = |of: &DimensionResult| of.note.clone().unwrap_or_default();
        values.any(|of| draw::bears_on_safety(&of.unit, [&*of.name, &note(of)]))
            || self.checks.iter().any(|of| draw::bears_on_safety(&of.unit, [&*of.name]))
            || self.parts.iter().any(|of| draw::speaks_of_danger(&of.name))
    }

    /// Lists a table, a line a thing.
    pub(super) fn list(&self, table: &str, page: &mut Page) {
        let of = self.table(table);
        page.gap();
        page.heading(table);
        let outside = of.limits.iter().filter(|limit| limit.verdict == Verdict::Fails);
        let outside: Vec<&str> = outside.map(|limit| &*limit.name).collect();
        draw::list_dimensions(&of.dimensions, &outside, page);
        for schedule in &of.schedules {
            draw::list_schedule(schedule, page);
        }
        draw::list_checks(&of.checks, page);
        draw::list_parts(&of.parts, page);
    }

    /// Draws each thing in full.
    pub(super) fn draw(&self, evaluation: &Evaluation, page: &mut Page) {
        for dimension in &self.dimensions {
            let limits = kept(&self.limits, |limit| limit.name == dimension.name);
            let reach = evaluation.reach(&[&dimension.name]).ok();
            page.gap();
            draw::dimension(dimension, &limits, reach.as_ref(), page);
        }
        for schedule in &self.schedules {
            page.gap();
            draw::schedule(schedule, &schedule.name, 0, page);
            page.entry(2, "at", &schedule.place.to_string());
        }
        for check in &self.checks {
            page.gap();
            draw::check(check, page);
        }
        for part in &self.parts {
            page.gap();
            draw::part(part, page);
        }
    }
}

fn kept<T: Clone>(items: &[T], wanted: impl Fn(&T) -> bool) -> Vec<T> {
    items.iter().filter(|item| wanted(item)).cloned().collect()
}

/// The cells of a schedule that a full name stands for.
fn cells(schedule: &ScheduleResult, name: &str) -> Vec<DimensionResult> {
    let column = schedule.columns.iter().position(|column| {
        name.strip_prefix(&*schedule.name).and_then(|rest| rest.strip_prefix('.')) == Some(column)
    });
    let cells = schedule.rows.iter().flat_map(|(_, cells)| cells.iter().enumerate());
    let wanted = |(index, cell): &(usize, &DimensionResult)| {
        Some(*index) == column || cell.name == name || is_of(&cell.name, name)
    };
    cells.filter(wanted).map(|(_, cell)| cell.clone()).collect()
}
