//! One exported file: what it should hold, what it holds, and what becomes of it.

use std::collections::HashMap;
use std::sync::Arc;

use serde::Serialize;
use setout::{
    Evaluation, ExportFault, Format, Place, Replacement, Sheet, Slug, Standing, sheet, standing,
    within_export,
};

use super::target::Target;
use crate::call::Opened;
use crate::draw::{Cell, Ink};
use crate::trouble::Trouble;

/// An exported file.
pub(super) struct File {
    target: Target,
    text: Arc<str>,
    before: Option<Vec<u8>>,
    pub(super) standing: Standing,
    written: bool,
}

/// Makes the texts of all targets and reads what is in their places. What cannot be made or
/// read is left out and has its trouble.
pub(super) fn read(
    opened: &Opened,
    targets: Vec<Target>,
    troubles: &mut Vec<Trouble>,
) -> Vec<File> {
    // A design with faults has no export: what was not computed would be missing in it.
    if !troubles.is_empty() {
        return Vec::new();
    }
    let sheet = sheet(&opened.evaluation);
    let mut texts = Texts { opened, sheet: &sheet, made: HashMap::new() };
    let mut files: Vec<File> = Vec::new();
    let mut bytes = 0;
    for target in targets {
        match File::of(&mut texts, target) {
            Ok(file) => match within_export(bytes, &file.text) {
                Ok(with_it) => {
                    bytes = with_it;
                    files.push(file);
                }
                Err(fault) => {
                    troubles.push(Trouble::of_export(&fault, listed_at(opened, &file.target)));
                    break;
                }
            },
            Err(more) => troubles.extend(more),
        }
    }
    files
}

/// Where design.yaml lists a file, if it does.
fn listed_at(opened: &Opened, target: &Target) -> Option<Place> {
    let exports = opened.evaluation.exports().iter();
    let mut of_target = exports.filter(|export| export.path.as_ref() == Some(&target.path));
    of_target.next().map(|export| export.place.clone())
}

/// Faults of an export at the places of the items that they are about.
pub(super) fn troubles(evaluation: &Evaluation, faults: &[ExportFault]) -> Vec<Trouble> {
    let dimensions = evaluation.dimensions();
    let schedules = evaluation.schedules();
    let cells = schedules.iter().flat_map(|schedule| &schedule.rows).flat_map(|(_, cells)| cells);
    let items: HashMap<&str, &Place> =
        dimensions.iter().chain(cells).map(|item| (&*item.name, &item.place)).collect();
    let place = |fault: &ExportFault| items.get(fault.item()?).copied().cloned();
    faults.iter().map(|fault| Trouble::of_export(fault, place(fault))).collect()
}

/// What the design is in each format. Files of one format hold the same, so that is made once.
struct Texts<'a> {
    opened: &'a Opened,
    sheet: &'a Sheet,
    made: HashMap<&'static str, Arc<str>>,
}

impl Texts<'_> {
    fn of(&mut self, format: &dyn Format) -> Result<Arc<str>, Vec<Trouble>> {
        if let Some(text) = self.made.get(format.name()) {
            return Ok(Arc::clone(text));
        }
        let text = format.write(self.sheet);
        let text = text.map_err(|faults| troubles(&self.opened.evaluation, &faults))?;
        let text: Arc<str> = text.into();
        self.made.insert(format.name(), Arc::clone(&text));
        Ok(text)
    }
}

impl File {
    fn of(texts: &mut Texts<'_>, target: Target) -> Result<Self, Vec<Trouble>> {
        let text = texts.of(target.format)?;
        let before = texts.opened.folder.read_existing(&target.path);
        let before = before.map_err(|error| vec![error.into()])?;
        let standing = standing(target.format, before.as_deref(), &text);
        Ok(Self { target, text, before, standing, written: false })
    }

    /// Why this file is not overwritten unless somebody insists.
    pub(super) fn refusal(&self) -> Option<Trouble> {
        let path = &self.target.path;
        // What bears our line says 'do not edit' above it, so a hand's edit does not hold it back.
        if self.standing != Standing::NotOurs {
            return None;
        }
        let why = format!("{path} was not written by setout");
        let help = "--force overwrites it; export to another file to keep it";
        Some(Trouble::of_call(Slug::Io.as_str(), why, help))
    }

    /// How the file is to change, if it is.
    pub(super) fn replacement(&self) -> Option<Replacement<'_>> {
        let before = self.before.as_deref();
        let path = &self.target.path;
        let is_current = self.standing == Standing::Current;
        (!is_current).then(|| Replacement { path, from: None, before, after: self.text.as_bytes() })
    }

    /// Notes that all changes have been made.
    pub(super) fn note_written(&mut self) {
        self.written = self.standing != Standing::Current;
    }

    /// The file and what became of it.
    pub(super) fn cells(&self, verify: bool) -> [Cell; 2] {
        let ink = if self.standing.has_current_values() { Ink::Holds } else { Ink::Tight };
        let words = match self.written {
            true => written(self.standing).to_owned(),
            false if verify || self.standing == Standing::Current => stands(self.standing).into(),
            false => format!("not written; it {}", stands(self.standing)),
        };
        let ink = if self.written { Ink::Plain } else { ink };
        [Cell::text(Ink::Plain, &self.target.path), Cell::text(ink, &words)]
    }

    /// The same for programs.
    pub(super) fn json(&self) -> Keys<'_> {
        Keys {
            file: &self.target.path,
            format: self.target.format.name(),
            standing: slug(self.standing),
            current: self.written || self.standing.has_current_values(),
            written: self.written,
            fingerprint: self.target.format.fingerprint_of(&self.text),
        }
    }
}

/// The keys of a file. Its standing is that before anything was written; whether it is current
/// is said of now.
#[derive(Serialize)]
pub(super) struct Keys<'a> {
    file: &'a str,
    format: &'a str,
    standing: &'a str,
    current: bool,
    written: bool,
    fingerprint: Option<String>,
}

fn slug(standing: Standing) -> &'static str {
    match standing {
        Standing::Missing => "missing",
        Standing::Current => "current",
        Standing::SameValues => "same-values",
        Standing::OutOfDate => "out-of-date",
        Standing::EditedByHand => "edited-by-hand",
        _ => "not-ours",
    }
}

fn stands(standing: Standing) -> &'static str {
    match standing {
        Standing::Missing => "is not there",
        Standing::Current => "is current",
        Standing::SameValues => "has the current values, other notes or order",
        Standing::OutOfDate => "is out of date",
        Standing::EditedByHand => "was edited by hand",
        _ => "was not written by setout",
    }
}

fn written(standing: Standing) -> &'static str {
    match standing {
        Standing::Missing => "written; it is new",
        Standing::SameValues => "written; notes or order had changed",
        Standing::OutOfDate => "written; it was out of date",
        Standing::EditedByHand => "written over what a hand had changed",
        _ => "written over a file that was not setout's",
    }
}
