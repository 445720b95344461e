//! Other values for a design: in memory, to see what they would do, or as an edit of its texts.

use std::fmt;
use std::sync::Arc;

use setout_formula::{Formula, Type};

use crate::document::{Expr, File, Literal, Value, is_literal_trap};
use crate::hardware::HARDWARE;
use crate::material::Material;
use crate::model::{NodeOf, Target};
use crate::yaml::{Scalar, Style, splice};
use crate::{Design, Fault, Memory, Place, Slug, Source, SourceError};

/// The end of the file names in places of faults in new values. Their columns count from behind it.
const GIVEN: &str = "=";

/// Why an edit was not made. Nothing has changed.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum EditFault {
    /// The design has nothing of this name whose value could be edited.
    NotFound {
        /// The name.
        name: String,
        /// What is wrong with it, as a clause.
        message: String,
        /// What would mend it.
        help: String,
    },
    /// The name stands for several things.
    Ambiguous {
        /// The name.
        name: String,
        /// The full names that it could be.
        candidates: Vec<String>,
    },
    /// The value is a formula, and the call did not say that it may be replaced.
    IsFormula {
        /// The full name.
        name: String,
        /// The formula that stands there.
        formula: String,
    },
    /// The thing has no such field.
    NoField {
        /// The full name.
        name: String,
        /// What sort of thing it is: `a check`.
        what: &'static str,
        /// The field's key.
        field: String,
        /// The keys of the fields that it has.
        fields: Vec<&'static str>,
    },
    /// The field cannot be taken out, since the thing must have it.
    Needed {
        /// The full name.
        name: String,
        /// The field's key.
        field: &'static str,
    },
    /// With the new value the design would have faults that it has not now.
    Faults(Vec<Fault>),
    /// Beside the texts that would be written the design would have faults.
    Brings {
        /// The faults, at their places in those texts.
        faults: Vec<Fault>,
        /// The texts that would be other ones.
        texts: Memory,
    },
    /// The table could not be written without changing more than the value.
    Unwritable {
        /// The full name.
        name: String,
        /// Why, as a clause.
        reason: String,
    },
}

impl fmt::Display for EditFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotFound { message, .. } => f.write_str(message),
            Self::Ambiguous { name, candidates } => {
                write!(f, "`{name}` could be {}", candidates.join(" or "))
            }
            Self::IsFormula { name, formula } => write!(f, "`{name}` is the formula `{formula}`"),
            Self::NoField { name, what, field, .. } => {
                write!(f, "`{name}` is {what} and has no `{field}`")
            }
            Self::Needed { name, field } => write!(f, "`{name}` must have its `{field}`"),
            Self::Faults(faults) | Self::Brings { faults, .. } => {
                let lines: Vec<String> = faults.iter().map(ToString::to_string).collect();
                f.write_str(&lines.join("\n"))
            }
            Self::Unwritable { name, reason } => write!(f, "`{name}` is not written: {reason}"),
        }
    }
}

impl std::error::Error for EditFault {}

/// One edit of a text, ready to be written.
#[derive(Clone, Debug)]
pub struct TextEdit {
    /// The full name of what was edited.
    pub name: String,
    /// The root-relative path of the table.
    pub path: String,
    /// The line on which the value begins, before and after.
    pub line: usize,
    /// The whole text as it was.
    pub before: String,
    /// The whole text with the edit.
    pub after: String,
    /// The design with the edit.
    pub design: Design,
}

/// A design with other values that may have brought faults.
#[derive(Clone, Debug)]
pub struct Trial {
    /// The design with the values.
    pub design: Design,
    /// The faults that it has not without them.
    pub faults: Vec<Fault>,
}

impl Design {
    /// The full name of a value that a call names: full, or the bare name of a dimension that
    /// only one table has.
    ///
    /// # Errors
    /// [`EditFault::NotFound`] and [`EditFault::Ambiguous`].
    pub fn full_name(&self, name: &str) -> Result<String, EditFault> {
        self.slot(name).map(|slot| self.model.nodes[slot as usize].name.to_string())
    }

    pub(crate) fn slot(&self, name: &str) -> Result<u32, EditFault> {
        let symbols = &self.model.symbols;
        let refusal = match symbols.look_up(None, name) {
            Ok(Target::Slot(slot)) => return Ok(slot),
            Ok(_) => {
                let message = format!("`{name}` is a whole column");
                let help = "name one cell of it: `table.schedule.row.column`".into();
                return Err(EditFault::NotFound { name: name.into(), message, help });
            }
            Err(refusal) => refusal,
        };
        let candidates = symbols.everywhere(name);
        match &candidates[..] {
            [(_, slot)] => Ok(*slot),
            [] => {
                let (message, help) = (refusal.message, refusal.help);
                Err(EditFault::NotFound { name: name.into(), message, help })
            }
            _ => {
                let candidates = candidates.into_iter().map(|(name, _)| name).collect();
                Err(EditFault::Ambiguous { name: name.into(), candidates })
            }
        }
    }

    /// The design with other values, in memory only. Values are formulas, or literal text where
    /// the dimension is a text.
    ///
    /// # Errors
    /// Names that stand for no value, and values with which the design would have faults that it
    /// has not now.
    pub fn with(&self, edits: &[(&str, &str)]) -> Result<Self, EditFault> {
        let trial = self.tried(edits)?;
        if trial.faults.is_empty() {
            Ok(trial.design)
        } else {
            Err(EditFault::Faults(trial.faults))
        }
    }

    /// The same where the values may bring faults to what follows from them: a root of something
    /// that becomes negative, say. What does not depend on those has its values.
    ///
    /// # Errors
    /// Names that stand for no value; values that cannot be read, that have none, or that are of
    /// another kind than what uses them takes.
    pub fn tried(&self, edits: &[(&str, &str)]) -> Result<Trial, EditFault> {
        let mut material = Material::clone(&self.material);
        let mut unread = Vec::new();
        for (name, text) in edits {
            let slot = self.slot(name)?;
            let faults = self.replace(&mut material, slot, text)?;
            unread.extend(faults.into_iter().map(Fault::on_one_line));
        }
        if !unread.is_empty() {
            return Err(EditFault::Faults(unread));
        }
        // Faults of reading are kept; those of the old model go with it.
        let own: Vec<Fault> = self.reading_faults();
        let design = Self::beside(self, material, own);
        let mut faults = design.evaluate().faults().to_vec();
        let known = self.evaluate();
        faults.retain(|fault| !known.faults().contains(fault));
        if faults.is_empty() {
            return Ok(Trial { design, faults });
        }
        let turned = self.turned_kinds(&design, edits)?;
        if !turned.is_empty() {
            // Whatever else is wrong of it follows from that.
            faults.retain(|fault| fault.place.file.ends_with(GIVEN));
            faults.extend(turned);
            return Err(EditFault::Faults(faults));
        }
        // A value that is wrong in itself cannot be tried.
        let itself = faults.iter().any(|fault| fault.place.file.ends_with(GIVEN));
        if itself { Err(EditFault::Faults(faults)) } else { Ok(Trial { design, faults }) }
    }

    /// The edits that make another kind of quantity of something. They are faults only where the
    /// design then has any.
    fn turned_kinds(&self, after: &Self, edits: &[(&str, &str)]) -> Result<Vec<Fault>, EditFault> {
        let mut faults = Vec::new();
        for (name, text) in edits {
            let slot = self.slot(name)? as usize;
            let (node, is) = (&self.model.nodes[slot], after.model.nodes[slot].kind);
            if node.kind == is || [node.kind, is].contains(&Type::Unknown) {
                continue;
            }
            let units = &self.material.units;
            let (was, is) = (node.kind.describe(units), is.describe(units));
            let fault = Fault {
                place: Place { file: format!("{}{GIVEN}", node.name).into(), line: 1, column: 1 },
                slug: Slug::UnitMismatch,
                message: format!("`{}` is {was}, and `{text}` is {is}", node.name),
                help: match node.unit.symbol() {
                    "" => format!("give it {was}"),
                    unit => format!("write an amount in {unit}"),
                },
            };
            faults.push(fault.on_one_line());
        }
        Ok(faults)
    }

    fn reading_faults(&self) -> Vec<Fault> {
        let of_model: Vec<Fault> =
            self.model.faults.iter().cloned().map(Fault::on_one_line).collect();
        self.faults.iter().filter(|fault| !of_model.contains(fault)).cloned().collect()
    }

    /// Replaces a value in the tables; the faults of the new text.
    fn replace(
        &self,
        material: &mut Material,
        slot: u32,
        text: &str,
    ) -> Result<Vec<Fault>, EditFault> {
        let node = &self.model.nodes[slot as usize];
        let file = material.files.len() as u32;
        // The place of a fault in the new value counts from behind the `=`.
        let given = File::new(format!("{}=", node.name), text);
        let place = Place { file: given.path.clone(), line: 1, column: 1 };
        let scalar = Scalar::of_text(text);
        Arc::make_mut(&mut material.files).push(given);
        let units = material.units.clone();
        let Some(value) = value_of(material, node.of) else {
            return Err(EditFault::NotFound {
                name: node.name.to_string(),
                message: format!("`{}` has no value of its own", node.name),
                help: "edit what it is made of".into(),
            });
        };
        match value {
            ValueOf::Value(value @ Value::Text(_)) => {
                *value = Value::Text(Literal { file, scalar, flow: false, place });
                Ok(Vec::new())
            }
            ValueOf::Value(value) => {
                let (expr, faults) = expr(file, scalar, &place, &units);
                *value = Value::Formula(expr);
                Ok(faults)
            }
            ValueOf::Expr(slot) => {
                let (expr, faults) = expr(file, scalar, &place, &units);
                *slot = expr;
                Ok(faults)
            }
        }
    }

    /// The edit of a table's text that gives something another value. Every other byte of the
    /// text stays as it is. `source` is where the design was read from.
    ///
    /// # Errors
    /// As [`with`](Self::with); and a formula is only replaced where `over_formula` says so.
    pub fn text_edit(
        &self,
        source: &dyn Source,
        name: &str,
        text: &str,
        over_formula: bool,
    ) -> Result<TextEdit, EditFault> {
        let slot = self.slot(name)?;
        let name = self.model.nodes[slot as usize].name.to_string();
        self.with(&[(&name, text)])?;
        if !over_formula && !self.model.is_chosen(slot) {
            let expr = self.model.expr(&self.material, slot);
            let formula = expr.map_or("", |expr| expr.text()).to_owned();
            return Err(EditFault::IsFormula { name, formula });
        }
        let unwritable = |reason: String| EditFault::Unwritable { name: name.clone(), reason };
        let (file, scalar, flow) = self
            .written_at(slot, text)
            .ok_or_else(|| unwritable("its value could not be read where it stands".into()))?;
        let file = &self.material.files[file as usize];
        // A block keeps the line end that it had.
        let line_end = if scalar.value.ends_with('\n') { "\n" } else { "" };
        let after = splice(&file.text, &scalar, &format!("{text}{line_end}"), flow);
        let after = after.map_err(|error| unwritable(error.to_string()))?;
        let overlay = Overlay { source, path: &file.path, text: &after };
        let design = Self::read(&overlay);
        let known = self.evaluate();
        let mut faults = design.evaluate().faults().to_vec();
        // An edit of one line moves nothing but columns of that line.
        faults.retain(|fault| !known.faults().iter().any(|old| same_but_column(old, fault)));
        if !faults.is_empty() {
            return Err(EditFault::Faults(faults));
        }
        let (path, before) = (file.path.to_string(), file.text.to_string());
        let line = 1 + before[..scalar.span.start].matches('\n').count();
        Ok(TextEdit { name, path, line, before, after, design })
    }

    /// Where the value of a node is written, as it is to be replaced by a new one.
    pub(crate) fn written_at(&self, slot: u32, new: &str) -> Option<(u32, Scalar, bool)> {
        let node = &self.model.nodes[slot as usize];
        if let Some(expr) = self.model.expr(&self.material, slot) {
            return Some((expr.file, expr.scalar.clone(), expr.flow));
        }
        let value = match node.of {
            NodeOf::Dimension { table, index } => {
                &self.material.tables[table as usize].dimensions[index as usize].value
            }
            NodeOf::Cell { table, schedule, row, column } => {
                let schedule = &self.material.tables[table as usize].schedules[schedule as usize];
                &schedule.rows[row as usize].cells[column as usize].1
            }
            _ => return None,
        };
        let Value::Text(literal) = value else { return None };
        let mut scalar = literal.scalar.clone();
        // A text that YAML readers would take for a number or a truth is written in quotes.
        if scalar.style == Style::Plain && is_literal_trap(new) {
            scalar.style = Style::Double;
        }
        Some((literal.file, scalar, literal.flow))
    }
}

fn same_but_column(a: &Fault, b: &Fault) -> bool {
    (&a.place.file, a.place.line, a.slug, &a.message)
        == (&b.place.file, b.place.line, b.slug, &b.message)
}

enum ValueOf<'a> {
    Value(&'a mut Value),
    Expr(&'a mut Expr),
}

fn value_of(material: &mut Material, of: NodeOf) -> Option<ValueOf<'_>> {
    match of {
        NodeOf::Dimension { table, index } => {
            let dimension =
                &mut Arc::make_mut(&mut material.tables[table as usize]).dimensions[index as usize];
            Some(ValueOf::Value(&mut dimension.value))
        }
        NodeOf::Cell { table, schedule, row, column } => {
            let schedule = &mut Arc::make_mut(&mut material.tables[table as usize]).schedules
                [schedule as usize];
            Some(ValueOf::Value(&mut schedule.rows[row as usize].cells[column as usize].1))
        }
        NodeOf::Cost { table, part } => {
            let part =
                &mut Arc::make_mut(&mut material.tables[table as usize]).parts[part as usize];
            part.cost.as_mut().map(ValueOf::Expr)
        }
        NodeOf::Mass { table, part } => {
            let part =
                &mut Arc::make_mut(&mut material.tables[table as usize]).parts[part as usize];
            part.mass.as_mut().map(ValueOf::Expr)
        }
        NodeOf::Quantity { table, part } => {
            let part =
                &mut Arc::make_mut(&mut material.tables[table as usize]).parts[part as usize];
            part.quantity.as_mut().map(ValueOf::Expr)
        }
        _ => None,
    }
}

fn expr(
    file: u32,
    scalar: Scalar,
    place: &Place,
    units: &setout_quantity::Units,
) -> (Expr, Vec<Fault>) {
    let (formula, faults) = Formula::read_with(&scalar.value, units, HARDWARE);
    let faults = faults.iter().map(|fault| {
        let column = 1 + scalar.value[..fault.at.range().start].chars().count();
        let place = Place { column, ..place.clone() };
        let slug = Slug::of_word(fault.slug()).unwrap_or(Slug::BadFormula);
        Fault { place, slug, message: fault.message(), help: fault.help().to_owned() }
    });
    let faults = faults.collect();
    (Expr { file, scalar, flow: false, formula }, faults)
}

/// A source with one text replaced.
struct Overlay<'a> {
    source: &'a dyn Source,
    path: &'a str,
    text: &'a str,
}

impl Source for Overlay<'_> {
    fn list(&self) -> Result<Vec<String>, SourceError> {
        self.source.list()
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SourceError> {
        if path == self.path { Ok(self.text.as_bytes().to_vec()) } else { self.source.read(path) }
    }
}
