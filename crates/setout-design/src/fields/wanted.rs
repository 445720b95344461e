//! Which thing an edit is about, and where that stands.

use super::field::called;
use super::{Field, FieldEdit};
use crate::comparison::Sort;
use crate::document::{Value, is_literal_trap};
use crate::model::NodeOf;
use crate::subject::Subject;
use crate::yaml::{New, Scalar, Word};
use crate::{Design, EditFault};

/// A field of one thing, and what it is to hold.
pub(super) struct Wanted<'d> {
    /// The full name of the thing.
    pub(super) name: String,
    /// The name under which it is compared: the thing's, or that of the part's value.
    pub(super) compared: String,
    pub(super) file: u32,
    pub(super) field: Field,
    /// The keys on the way to the thing: for a cell, to its row.
    pub(super) path: Vec<&'d str>,
    /// The scalar of a cell, and whether it stands in brackets.
    pub(super) cell: Option<(Scalar, bool)>,
    /// Absent for a field that is to be taken out.
    pub(super) new: Option<New>,
}

impl Design {
    /// The thing and the field that a name stands for: a value by its own name, or a field behind
    /// the name of what has it, as in `jaw.width.min` or `jaw.room.require`.
    ///
    /// # Errors
    /// As [`full_name`](Self::full_name).
    pub fn field_of(&self, name: &str) -> Result<(String, Field), EditFault> {
        let name = name.trim();
        let unknown = match self.full_name(name) {
            Ok(name) => return Ok((name, Field::Value)),
            Err(unknown) => unknown,
        };
        let Some((thing, key)) = name.rsplit_once('.') else { return Err(unknown) };
        let field = Field::of_key(key);
        match Subject::find(self, thing) {
            Ok(subject) if Field::of(subject.sort()).is_empty() => Err(unknown),
            Ok(subject) => match field {
                Some(field) => has(&subject, field).map(|()| (subject.full_name(), field)),
                None => Err(no_field(subject.full_name(), subject.sort(), key)),
            },
            Err(near @ (EditFault::Ambiguous { .. } | EditFault::NotFound { .. }))
                if field.is_some() && thing.split('.').count() <= 2 =>
            {
                Err(near)
            }
            Err(_) => Err(unknown),
        }
    }

    /// The formula by which a field's value follows from others, if it is such a field.
    ///
    /// # Errors
    /// Names that stand for nothing that has this field.
    pub fn formula_of(&self, name: &str, field: Field) -> Result<Option<String>, EditFault> {
        let wanted = self.wanted_field(&FieldEdit { name, field, new: None })?;
        if !field.is_value() {
            return Ok(None);
        }
        match self.model.symbols.look_up(None, &wanted.compared) {
            Ok(_) => self.derived_by(&wanted.compared),
            // A part without this value has no formula either.
            Err(_) => Ok(None),
        }
    }

    /// Looks up what an edit is about.
    pub(super) fn wanted_field(&self, edit: &FieldEdit<'_>) -> Result<Wanted<'_>, EditFault> {
        let field = edit.field;
        if let Ok(slot) = self.slot(edit.name)
            && let Some(wanted) = self.wanted_value(slot, edit)?
        {
            return Ok(wanted);
        }
        let subject = Subject::find(self, edit.name)?;
        has(&subject, field)?;
        let name = subject.full_name();
        let compared =
            if field.is_price() { format!("{name}.{}", field.key()) } else { name.clone() };
        let new = edit.new.map(|text| self.meant(&subject, field, text));
        let (file, path) = (subject.file(), subject.path());
        Ok(Wanted { name, compared, file, field, path, cell: None, new })
    }

    /// A cell, or what a part costs, weighs or counts, by its own name. A dimension is a thing.
    fn wanted_value(
        &self,
        slot: u32,
        edit: &FieldEdit<'_>,
    ) -> Result<Option<Wanted<'_>>, EditFault> {
        let node = &self.model.nodes[slot as usize];
        let name = node.name.to_string();
        let sort = match node.of {
            NodeOf::Dimension { .. } => return Ok(None),
            NodeOf::Cell { .. } => Sort::Cell,
            _ => Sort::Price,
        };
        if edit.field != Field::Value {
            return Err(no_field(name, sort, edit.field.key()));
        }
        if let (Sort::Price, Some((part, key))) = (sort, name.rsplit_once('.'))
            && let Some(field) = Field::of_key(key)
            && part != "design"
        {
            return self.wanted_field(&FieldEdit { name: part, field, ..*edit }).map(Some);
        }
        let NodeOf::Cell { table, schedule, row, .. } = node.of else {
            let message = format!("`{name}` has no value of its own");
            return Err(EditFault::NotFound {
                name,
                message,
                help: "edit what it is made of".into(),
            });
        };
        let unreadable = || EditFault::Unwritable {
            name: name.clone(),
            reason: "its value could not be read where it stands".into(),
        };
        let text = edit.new.unwrap_or_default();
        let (file, scalar, flow) = self.written_at(slot, text).ok_or_else(unreadable)?;
        let schedule = &self.material.tables[table as usize].schedules[schedule as usize];
        let row = schedule.rows[row as usize].name.as_str();
        let path = vec!["schedules", schedule.name.as_str(), "rows", row];
        let new = edit.new.map(|text| New::One(Word { text: text.to_owned(), quoted: false }));
        let (cell, field) = (Some((scalar, flow)), edit.field);
        Ok(Some(Wanted { compared: name.clone(), name, file, field, path, cell, new }))
    }

    /// What is to be written. What YAML readers would take for a number or a truth, and is to be
    /// a text, stands in quotes.
    fn meant(&self, subject: &Subject<'_>, field: Field, text: &str) -> New {
        let literal = field.is_literal() || (field == Field::Value && self.is_text(subject));
        let word = |text: &str| {
            let quoted = literal && is_literal_trap(text);
            Word { text: text.to_owned(), quoted }
        };
        match field.is_list() {
            true => New::List(items(text).iter().map(|item| word(item)).collect()),
            false => New::One(word(text)),
        }
    }

    fn is_text(&self, subject: &Subject<'_>) -> bool {
        let dimensions = &self.material.tables[subject.table() as usize].dimensions;
        let found = dimensions.iter().find(|dimension| dimension.name == subject.local());
        found.is_some_and(|dimension| matches!(dimension.value, Value::Text(_)))
    }
}

/// Whether a thing has such a field, or why not.
fn has(subject: &Subject<'_>, field: Field) -> Result<(), EditFault> {
    match Field::of(subject.sort()).contains(&field) {
        true => Ok(()),
        false => Err(no_field(subject.full_name(), subject.sort(), field.key())),
    }
}

fn no_field(name: String, sort: Sort, field: &str) -> EditFault {
    let fields = Field::of(sort).iter().map(|field| field.key()).collect();
    EditFault::NoField { name, what: called(sort), field: field.to_owned(), fields }
}

/// The items of a list as it stands in a table, with or without its brackets: what commas part,
/// but for commas in brackets or in quotes. Quotes round a whole item are taken off.
fn items(text: &str) -> Vec<String> {
    let text = text.trim();
    let inner = text.strip_prefix('[').and_then(|text| text.strip_suffix(']')).unwrap_or(text);
    let (mut items, mut depth, mut quote, mut start) = (Vec::new(), 0_usize, None, 0);
    for (at, c) in inner.char_indices() {
        match (quote, c) {
            (Some(open), c) if open == c => quote = None,
            (Some(_), _) => {}
            (None, '"' | '\'') => quote = Some(c),
            (None, '(' | '[') => depth += 1,
            (None, ')' | ']') => depth = depth.saturating_sub(1),
            (None, ',') if depth == 0 => {
                items.push(unquoted(&inner[start..at]));
                start = at + 1;
            }
            _ => {}
        }
    }
    let last = unquoted(&inner[start..]);
    // A comma behind the last item is none before another.
    if !last.is_empty() || items.is_empty() {
        items.push(last);
    }
    items
}

fn unquoted(item: &str) -> String {
    let item = item.trim();
    for quote in ['"', '\''] {
        let inner = item.strip_prefix(quote).and_then(|item| item.strip_suffix(quote));
        if let Some(inner) = inner.filter(|inner| !inner.contains(quote)) {
            return inner.to_owned();
        }
    }
    item.to_owned()
}

#[cfg(test)]
mod tests {
    use super::items;

    #[test]
    fn commas_part_items_but_for_those_inside() {
        for (text, wanted) in [
            ("[0 deg, 28 deg]", &["0 deg", "28 deg"][..]),
            ("0 deg,28 deg,", &["0 deg", "28 deg"]),
            ("[min(a, b), max(a, (b, c))]", &["min(a, b)", "max(a, (b, c))"]),
            ("[0 mm, \"max(a, b)\"]", &["0 mm", "max(a, b)"]),
            ("M3, 'M4, long', M5", &["M3", "M4, long", "M5"]),
            ("if(a == \"x, y\", 1, 2), 3", &["if(a == \"x, y\", 1, 2)", "3"]),
            ("width", &["width"]),
            ("a,,b", &["a", "", "b"]),
            ("", &[""]),
        ] {
            assert_eq!(items(text), wanted, "{text}");
        }
    }
}
