//! Edits as they are typed, and why they were not made.

use setout::{Design, EditFault, Fault, Field, FieldEdit, Source};

use crate::draw::list;
use crate::trouble::Trouble;

/// A value that somebody wants for something.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Wanted {
    /// The full name.
    pub(crate) name: String,
    /// A formula, or literal text for a text.
    pub(crate) value: String,
}

impl Wanted {
    /// Reads `NAME=VALUE`. A name holds no `=`, so the first one ends it.
    pub(crate) fn read(design: &Design, typed: &str) -> Result<Self, Trouble> {
        match typed.split_once('=') {
            Some((name, value)) => Self::of(design, name, value),
            None => Err(Trouble::bad_call(
                format!("`{typed}` gives no value"),
                format!("write `{typed}=VALUE`"),
            )),
        }
    }

    /// A name with its value.
    fn of(design: &Design, name: &str, value: &str) -> Result<Self, Trouble> {
        let (name, value) = both(name, value)?;
        let name = design.full_name(name).map_err(refused)?;
        Ok(Self { name, value: value.to_owned() })
    }
}

/// A name and a value without the blanks round them, where there are both.
fn both<'t>(name: &'t str, value: &'t str) -> Result<(&'t str, &'t str), Trouble> {
    let (name, value) = (name.trim(), value.trim());
    if name.is_empty() || value.is_empty() {
        let missing = if name.is_empty() { "name" } else { "value" };
        let message = format!("there is no {missing} in `{name}={value}`");
        return Err(Trouble::bad_call(message, "write for example `jaw.width=64mm`"));
    }
    Ok((name, value))
}

/// What somebody wants a field of something to hold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct WantedField {
    /// The thing, as it was typed or by its full name.
    pub(crate) name: String,
    /// Its field.
    pub(crate) field: Field,
    /// A formula, a literal text or a list; absent if the field is to be taken out.
    pub(crate) new: Option<String>,
}

impl WantedField {
    /// Reads `NAME=VALUE`, where the name may be that of a field, as in `jaw.width.min`.
    pub(crate) fn read(design: &Design, typed: &str) -> Result<Self, Vec<Trouble>> {
        match typed.split_once('=') {
            Some((name, value)) => Self::of(design, name, value),
            None => Err(vec![Trouble::bad_call(
                format!("`{typed}` gives no value"),
                format!("write `{typed}=VALUE`"),
            )]),
        }
    }

    /// A name with its value.
    pub(crate) fn of(design: &Design, name: &str, value: &str) -> Result<Self, Vec<Trouble>> {
        let found = design.field_of(name);
        // A unit may be none: that of a plain number.
        if !matches!(found, Ok((_, Field::Unit))) {
            both(name, value).map_err(|one| vec![not_emptied(one, &found)])?;
        }
        let (name, field) = found.map_err(|fault| vec![refused(fault)])?;
        Ok(Self { name, field, new: Some(value.trim().to_owned()) })
    }

    /// The same for the library.
    pub(crate) fn edit(&self) -> FieldEdit<'_> {
        FieldEdit { name: &self.name, field: self.field, new: self.new.as_deref() }
    }

    /// What it is called in messages: the thing alone for its value.
    pub(crate) fn called(&self) -> String {
        match self.field {
            Field::Value => self.name.clone(),
            field => format!("{}.{}", self.name, field.key()),
        }
    }
}

/// That a value is missing; a field that may be missing can be taken out.
fn not_emptied(trouble: Trouble, found: &Result<(String, Field), EditFault>) -> Trouble {
    match found {
        Ok((name, field)) if !field.is_needed() => {
            let help = format!("`setout set {name} --without {}` takes it out", field.key());
            Trouble { help, ..trouble }
        }
        _ => trouble,
    }
}

/// That no field is given two values.
pub(crate) fn each_once(wanted: &[WantedField]) -> Result<(), Trouble> {
    for (index, one) in wanted.iter().enumerate() {
        let same = |other: &WantedField| (&other.name, other.field) == (&one.name, one.field);
        if wanted[..index].iter().any(same) {
            let message = format!("`{}` is given two values", one.called());
            return Err(Trouble::bad_call(message, "give it one"));
        }
    }
    Ok(())
}

/// Reads several `NAME=VALUE`, of which no two are about the same thing.
pub(crate) fn read(design: &Design, typed: &[String]) -> Result<Vec<Wanted>, Vec<Trouble>> {
    let (mut wanted, mut troubles) = (Vec::<Wanted>::new(), Vec::new());
    for one in typed {
        match Wanted::read(design, one) {
            Ok(one) => wanted.push(one),
            Err(trouble) => troubles.push(trouble),
        }
    }
    for (index, one) in wanted.iter().enumerate() {
        if wanted[..index].iter().any(|other| other.name == one.name) {
            let message = format!("`{}` is given two values", one.name);
            troubles.push(Trouble::bad_call(message, "give it one"));
            break;
        }
    }
    if troubles.is_empty() { Ok(wanted) } else { Err(troubles) }
}

/// Why a name is refused.
pub(crate) fn refused(fault: EditFault) -> Trouble {
    let edits = troubles(fault, &setout::Memory::default());
    edits.into_iter().next().unwrap_or_else(|| Trouble::bad_call("the edit is refused", ""))
}

/// Why an edit was not made. Lines of the design are shown from `texts`.
pub(crate) fn troubles(fault: EditFault, texts: &dyn Source) -> Vec<Trouble> {
    let one = match fault {
        EditFault::Faults(faults) => return of_faults(&faults, texts),
        EditFault::Brings { faults, texts } => return of_faults(&faults, &texts),
        EditFault::NotFound { message, help, .. } => Trouble::not_found(message, help),
        EditFault::Ambiguous { name, candidates } => {
            let message = format!("`{name}` could be several");
            let help = format!("write {}", alternatives(&candidates));
            Trouble::of_call(setout::Slug::AmbiguousName.as_str(), message, help)
        }
        EditFault::IsFormula { name, formula } => {
            let message = format!("`{name}` is derived: {formula}");
            Trouble::bad_call(
                message,
                "--formula replaces the formula; to keep it, set what it names",
            )
        }
        EditFault::NoField { name, what, field, fields } => {
            let message = format!("`{name}` is {what} and has no `{field}`");
            Trouble::bad_call(message, has_instead(what, &fields))
        }
        EditFault::Needed { name, field } => {
            let message = format!("`{name}` cannot be without its `{field}`");
            Trouble::bad_call(message, "give it another one")
        }
        EditFault::Unwritable { name, reason } => {
            let message = format!("`{name}` cannot be set: {reason}");
            Trouble::of_call(setout::Slug::Io.as_str(), message, "edit the table by hand")
        }
        other => Trouble::bad_call(format!("the edit is refused: {other:?}"), ""),
    };
    vec![one]
}

/// The fields that a thing has instead.
fn has_instead(what: &str, fields: &[&str]) -> String {
    let fields: Vec<String> = fields.iter().map(|field| (*field).to_owned()).collect();
    match &fields[..] {
        [] if what.ends_with("value") => "it has nothing beside its value".to_owned(),
        [] => "name a cell to set its value, as in drive.servo.jaw_left.neutral".to_owned(),
        [only] => format!("{what} has a {only} alone"),
        fields => format!("{what} has {}", list(fields)),
    }
}

/// `a`, `a or b`, `a, b or c`.
fn alternatives(names: &[String]) -> String {
    let quoted: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
    match quoted.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

/// Faults that an edit would bring. Those in the value itself stand in no file, but in the call.
pub(crate) fn of_faults(faults: &[Fault], texts: &dyn Source) -> Vec<Trouble> {
    Trouble::of_design(faults, texts).into_iter().map(in_call).collect()
}

fn in_call(trouble: Trouble) -> Trouble {
    match trouble.place.as_ref().and_then(|place| place.file.strip_suffix('=')) {
        Some(name) => {
            let named = trouble.message.contains(&format!("`{name}`"));
            let lead = if named { String::new() } else { format!("in the value for `{name}`: ") };
            Trouble { place: None, message: format!("{lead}{}", trouble.message), ..trouble }
        }
        None => trouble,
    }
}
