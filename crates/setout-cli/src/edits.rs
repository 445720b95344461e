//! Edits as they are typed, and why they were not made.

use setout::{Design, EditFault, Fault, Source};

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
    pub(crate) fn of(design: &Design, name: &str, value: &str) -> Result<Self, Trouble> {
        let (name, value) = (name.trim(), value.trim());
        if name.is_empty() || value.is_empty() {
            let missing = if name.is_empty() { "name" } else { "value" };
            let message = format!("there is no {missing} in `{name}={value}`");
            return Err(Trouble::bad_call(message, "write for example `jaw.width=64mm`"));
        }
        let name = design.full_name(name).map_err(refused)?;
        Ok(Self { name, value: value.to_owned() })
    }
}

/// Reads several `NAME=VALUE`, of which no two are about the same thing.
pub(crate) fn read(design: &Design, typed: &[String]) -> Result<Vec<Wanted>, Vec<Trouble>> {
    let (mut wanted, mut troubles) = (Vec::new(), Vec::new());
    for one in typed {
        match Wanted::read(design, one) {
            Ok(one) => wanted.push(one),
            Err(trouble) => troubles.push(trouble),
        }
    }
    troubles.extend(each_once(&wanted).err());
    if troubles.is_empty() { Ok(wanted) } else { Err(troubles) }
}

fn each_once(wanted: &[Wanted]) -> Result<(), Trouble> {
    for (index, one) in wanted.iter().enumerate() {
        if wanted[..index].iter().any(|other| other.name == one.name) {
            let message = format!("`{}` is given two values", one.name);
            return Err(Trouble::bad_call(message, "give it one"));
        }
    }
    Ok(())
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
        EditFault::Unwritable { name, reason } => {
            let message = format!("`{name}` cannot be set: {reason}");
            Trouble::of_call(setout::Slug::Io.as_str(), message, "edit the table by hand")
        }
        other => Trouble::bad_call(format!("the edit is refused: {other:?}"), ""),
    };
    vec![one]
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
