//! OpenSCAD variables, which a part file reads by `include`.
//!
//! ```text
//! // Dimensions of Old Bracken
//! // Written by Setout. Do not edit: change the design and export again.
//! // Lengths in mm, angles in deg, everything else in the unit behind it.
//! // setout fingerprint: 0123456789abcdef0123456789abcdef
//!
//! // jaw
//! jaw_width = 62; // mm, fits the frame
//! jaw_pivot_screw = "M4"; // text
//! ```
//!
//! The comment behind a value always begins with a unit or a word for its kind. Without that, a
//! note such as `[1:10]` would be read by the program's parameter panel as the settings of a
//! slider.

mod literal;

use std::collections::HashMap;
use std::collections::hash_map::Entry as Slot;

use crate::fault::ExportFault;
use crate::fingerprint::{Entry, as_fingerprint, fingerprint};
use crate::format::Format;
use crate::openscad::literal::{kind_word, literal};
use crate::sheet::{Item, Sheet, is_dotted_name};
use crate::text::one_line;

const FINGERPRINT: &str = "// setout fingerprint: ";

/// Words of the language. Exported names hold an underscore, so that none is met today; built-in
/// modules and functions such as `is_num` or `linear_extrude` keep their meaning beside a
/// variable of that name.
const WORDS: [&str; 14] = [
    "assert", "each", "echo", "else", "false", "for", "function", "if", "include", "let", "module",
    "true", "undef", "use",
];

/// OpenSCAD variables, `table_dimension = value;`, lengths in mm and angles in deg.
#[derive(Clone, Copy, Debug)]
pub struct OpenScad;

impl Format for OpenScad {
    fn name(&self) -> &'static str {
        "openscad"
    }

    fn extensions(&self) -> &'static [&'static str] {
        &["scad"]
    }

    fn exported_name(&self, dotted: &str) -> Option<String> {
        let name = is_dotted_name(dotted).then(|| dotted.replace('.', "_"))?;
        (!WORDS.contains(&name.as_str())).then_some(name)
    }

    fn write(&self, sheet: &Sheet) -> Result<String, Vec<ExportFault>> {
        let mut faults = Vec::new();
        let mut taken = HashMap::new();
        let mut entries = Vec::with_capacity(sheet.items.len());
        for item in &sheet.items {
            match self.entry(item, &mut taken) {
                Ok(entry) => entries.push(entry),
                Err(fault) => faults.push(fault),
            }
        }
        if faults.is_empty() { Ok(self.draw(sheet, &entries)) } else { Err(faults) }
    }

    fn fingerprint_of(&self, text: &str) -> Option<String> {
        let header = text.lines().take_while(|line| line.starts_with("//"));
        header.filter_map(|line| line.strip_prefix(FINGERPRINT)).find_map(as_fingerprint)
    }

    fn entries_of(&self, text: &str) -> Option<Vec<Entry>> {
        let code = text.lines().filter(|line| !line.is_empty() && !line.starts_with("//"));
        code.map(read_line).collect()
    }
}

impl OpenScad {
    /// The item as it is written, once its name is known to be free.
    fn entry<'a>(
        &self,
        item: &'a Item,
        taken: &mut HashMap<String, &'a str>,
    ) -> Result<Entry, ExportFault> {
        let name = self.free_name(&item.name, taken)?;
        let (value, unit) = match &item.base {
            Some(base) => (&base.value, &base.unit),
            None => (&item.value, &item.unit),
        };
        let unit = one_line(unit).replace(',', ";");
        let unit = if unit.is_empty() { kind_word(value).to_owned() } else { unit };
        Ok(Entry { name, value: literal(&item.name, value)?, unit })
    }

    fn free_name<'a>(
        &self,
        dotted: &'a str,
        taken: &mut HashMap<String, &'a str>,
    ) -> Result<String, ExportFault> {
        let Some(exported) = self.exported_name(dotted) else {
            return Err(no_name(self.name(), dotted));
        };
        match taken.entry(exported.clone()) {
            Slot::Vacant(slot) => slot.insert(dotted),
            Slot::Occupied(slot) => {
                let (first, second) = ((*slot.get()).to_owned(), dotted.to_owned());
                return Err(ExportFault::DuplicateName { exported, first, second });
            }
        };
        Ok(exported)
    }

    fn draw(&self, sheet: &Sheet, entries: &[Entry]) -> String {
        let mut text = format!(
            "// Dimensions of {}\n\
             // Written by Setout. Do not edit: change the design and export again.\n\
             // Lengths in mm, angles in deg, everything else in the unit behind it.\n\
             {FINGERPRINT}{}\n",
            one_line(&sheet.design),
            fingerprint(self.name(), entries)
        );
        for (table, members) in by_table(&sheet.items) {
            text.push_str(&format!("\n// {table}\n"));
            for index in members {
                draw_line(&mut text, &entries[index], sheet.items[index].note.as_deref());
            }
        }
        text
    }
}

fn no_name(format: &'static str, dotted: &str) -> ExportFault {
    let name = dotted.to_owned();
    if is_dotted_name(dotted) {
        ExportFault::ReservedName { exported: name.replace('.', "_"), name, format }
    } else {
        ExportFault::BadName { name }
    }
}

/// The tables in the order in which they first occur, each with the indices of its items.
fn by_table(items: &[Item]) -> Vec<(&str, Vec<usize>)> {
    let mut places = HashMap::new();
    let mut tables: Vec<(&str, Vec<usize>)> = Vec::new();
    for (index, item) in items.iter().enumerate() {
        let table = item.name.split('.').next().unwrap_or_default();
        let place = *places.entry(table).or_insert(tables.len());
        if place == tables.len() {
            tables.push((table, Vec::new()));
        }
        tables[place].1.push(index);
    }
    tables
}

fn draw_line(text: &mut String, entry: &Entry, note: Option<&str>) {
    let Entry { name, value, unit } = entry;
    text.push_str(&format!("{name} = {value}; // {unit}"));
    let note = note.map(one_line).filter(|note| !note.is_empty());
    if let Some(note) = note {
        text.push_str(", ");
        text.push_str(&note);
    }
    text.push('\n');
}

/// The converse of [`draw_line`]: nothing but one assignment and its comment.
fn read_line(line: &str) -> Option<Entry> {
    let (name, rest) = line.split_once(" = ")?;
    let (value, comment) = rest.split_at_checked(value_end(rest)?)?;
    let comment = comment.strip_prefix("; // ")?;
    let unit = comment.split_once(", ").map_or(comment, |(unit, _)| unit);
    Some(Entry { name: name.to_owned(), value: value.to_owned(), unit: unit.to_owned() })
}

/// Where the first `;` outside a string stands.
fn value_end(text: &str) -> Option<usize> {
    let (mut in_string, mut escaped) = (false, false);
    text.bytes().position(|byte| {
        match byte {
            _ if escaped => escaped = false,
            b'\\' => escaped = in_string,
            b'"' => in_string = !in_string,
            _ => {}
        }
        byte == b';' && !in_string
    })
}
