//! `setout set`: other values and fields of things, in their tables, and no other byte.

mod fields;
mod from;
mod text;
mod written;

use std::path::PathBuf;

use clap::Args;
use serde::Serialize;
use setout::Field;

use super::Run;
use crate::call::{Call, Opened, Outcome, Stop};
use crate::changes::Changes;
use crate::draw::{Answer, Page, json};
use crate::edits::{self, WantedField};
use crate::status::Status;
use crate::trouble::Trouble;
use fields::Fields;
use from::ValueFile;
use written::Written;

/// Give something another value, limit, note or other field, in its table
#[derive(Debug, Args)]
#[command(after_help = "setout set jaw.width 64mm, or jaw.width=64mm as for impact; several \
NAME=VALUE are made in this order, all or none. Only the value changes: comments, order and \
layout stay. A value is a formula, or literal text for a text. Fields are set of one thing, with \
its value or alone: setout set jaw.width --min 55mm; or by a name with the field behind it, also \
in a file: jaw.width.min=55mm. --without takes a field out, with its comments. \
Nothing is written if the design would have a fault.")]
pub(crate) struct Flags {
    /// What is to be set and its value, as NAME VALUE or NAME=VALUE
    #[arg(value_name = "NAME=VALUE", required_unless_present = "from")]
    typed: Vec<String>,
    #[command(flatten)]
    fields: Box<Fields>,
    /// Read lines `name,value` from a file, or from standard input if it is -
    #[arg(long, value_name = "FILE")]
    from: Option<PathBuf>,
    /// Replace a formula
    #[arg(long)]
    formula: bool,
}

impl Run for Flags {
    fn run(&self, call: &mut Call<'_, '_>) -> Outcome {
        let opened = call.open()?;
        let written = self.written(call, &opened).map_err(Stop::Refused)?;
        written.write(&opened.folder)?;
        let changes = Changes::of(&opened.evaluation, written.after.clone());
        call.show(&Set { written: &written, changes: &changes }, &[], Status::Good)
    }
}

impl Flags {
    fn written(&self, call: &mut Call<'_, '_>, opened: &Opened) -> Result<Written, Vec<Trouble>> {
        let design = opened.evaluation.design();
        if let Some(path) = &self.from {
            if self.fields.any() || !self.typed.is_empty() {
                let message = "`--from` brings its own names and fields";
                let help = "leave out either --from or what else is to be set";
                return Err(vec![Trouble::bad_call(message, help)]);
            }
            let text = call.input(path).map_err(|trouble| vec![trouble])?;
            let shown = path.display().to_string();
            let file = ValueFile::read(&shown, &text, design, self.formula)?;
            return Written::of_file(opened, &file);
        }
        if self.fields.any() {
            let wanted = self.fields.wanted(design, &self.typed)?;
            return Written::of_fields(opened, &wanted, self.formula);
        }
        let wanted = self.wanted(opened)?;
        match wanted.iter().all(|one| one.field == Field::Value) {
            true => Written::of(opened, &wanted, self.formula),
            false => Written::of_fields(opened, &wanted, self.formula),
        }
    }

    /// What is to be set. `NAME VALUE` is one value; a name holds no `=`.
    fn wanted(&self, opened: &Opened) -> Result<Vec<WantedField>, Vec<Trouble>> {
        let design = opened.evaluation.design();
        if let [name, value] = self.typed.as_slice()
            && !name.contains('=')
        {
            return WantedField::of(design, name, value).map(|one| vec![one]);
        }
        let (mut wanted, mut troubles) = (Vec::new(), Vec::new());
        for typed in &self.typed {
            match WantedField::read(design, typed) {
                Ok(one) => wanted.push(one),
                Err(found) => troubles.extend(found),
            }
        }
        troubles.extend(edits::each_once(&wanted).err());
        if troubles.is_empty() { Ok(wanted) } else { Err(troubles) }
    }
}

/// What was set and what followed.
struct Set<'a> {
    written: &'a Written,
    changes: &'a Changes,
}

impl Answer for Set<'_> {
    fn text(&self, page: &mut Page) {
        text::draw(self.written, self.changes, page);
    }

    fn json(&self) -> impl Serialize {
        Keys {
            set: self.written.lines.first(),
            lines: &self.written.lines,
            edits: self.changes.edits().map(Into::into).collect(),
            changed: self.changes.found.changed.iter().map(Into::into).collect(),
            followed: self.changes.into(),
        }
    }
}

#[derive(Serialize)]
struct Keys<'a> {
    set: Option<&'a written::Line>,
    lines: &'a [written::Line],
    edits: Vec<json::Edit<'a>>,
    changed: Vec<json::Consequence<'a>>,
    #[serde(flatten)]
    followed: json::Followed<'a>,
}
