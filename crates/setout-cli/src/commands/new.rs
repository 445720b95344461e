//! `setout new`: a small design to begin from.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use clap::Args;
use serde::Serialize;
use setout::{Slug, schema};

use super::Run;
use crate::call::{Call, Outcome};
use crate::draw::{self, Answer, Page};
use crate::status::Status;
use crate::trouble::Trouble;

/// Begin a design: a small one, with comments, to be changed into your own
#[derive(Debug, Args)]
pub(crate) struct Flags {
    /// The folder of the project; the design goes into params below it
    #[arg(value_name = "DIR", default_value = ".", hide_default_value = true)]
    directory: PathBuf,
}

const DESIGN: &str = "design.yaml";

/// The files of the design, and what is in them.
const STARTER: [(&str, &str); 5] = [
    (DESIGN, include_str!("../../starter/design.yaml")),
    ("eye.yaml", include_str!("../../starter/eye.yaml")),
    ("frame.yaml", include_str!("../../starter/frame.yaml")),
    // Beside the tables, so that an editor has them without a network. No table stands in a
    // folder below.
    ("schema/design.json", schema::DESIGN),
    ("schema/table.json", schema::TABLE),
];
const SCHEMAS: &str = "schema";

/// The folder of the design below that of the project.
const FOLDER: &str = "params";

impl Run for Flags {
    fn run(&self, call: &mut Call<'_, '_>) -> Outcome {
        let project = call.here.join(&self.directory);
        let made = Made { directory: call.as_typed(&self.directory) };
        if let Some(taken) = taken(&project) {
            return Err(not_overwritten(&made.directory.join(taken)).into());
        }
        make(&project).map_err(|error| not_made(&made.directory, &error))?;
        call.show(&made, &[], Status::Good)
    }
}

/// What stands where the design would go.
fn taken(project: &Path) -> Option<&'static str> {
    let is_there = |name: &str| project.join(name).symlink_metadata().is_ok();
    if is_there(DESIGN) {
        return Some(DESIGN);
    }
    Some(FOLDER).filter(|folder| is_there(folder) && !is_empty_folder(&project.join(folder)))
}

fn not_overwritten(taken: &Path) -> Trouble {
    let message = format!("{} is there already, and nothing is overwritten", taken.display());
    Trouble::of_call(Slug::Io.as_str(), message, "name another folder: setout new DIR")
}

fn is_empty_folder(folder: &Path) -> bool {
    let is_folder = folder.symlink_metadata().is_ok_and(|meta| meta.is_dir());
    is_folder && fs::read_dir(folder).is_ok_and(|mut entries| entries.next().is_none())
}

/// Writes the design beside its place and moves it there as a whole, so that it is there in full
/// or not at all. Moving fails if somebody else has put something there meanwhile.
fn make(project: &Path) -> io::Result<()> {
    fs::create_dir_all(project)?;
    let beside = tempfile::Builder::new().prefix(".setout-new-").tempdir_in(project)?;
    // A folder in the temporary one, which nobody else may enter.
    let folder = beside.path().join(FOLDER);
    fs::create_dir(&folder)?;
    fs::create_dir(folder.join(SCHEMAS))?;
    for (file, text) in STARTER {
        fs::write(folder.join(file), text)?;
    }
    fs::rename(&folder, project.join(FOLDER))
}

fn not_made(project: &Path, error: &io::Error) -> Trouble {
    let message = format!("no design can be made: {}: {error}", project.join(FOLDER).display());
    Trouble::of_call(Slug::Io.as_str(), message, "name a folder that can be written to")
}

/// What was made.
struct Made {
    /// The folder of the project, as typed; empty for the one that the call was made in.
    directory: PathBuf,
}

impl Made {
    fn files(&self) -> Vec<String> {
        let folder = self.directory.join(FOLDER);
        STARTER.map(|(file, _)| folder.join(file).display().to_string()).to_vec()
    }
}

impl Answer for Made {
    fn text(&self, page: &mut Page) {
        let from = match self.directory.display().to_string() {
            here if here.is_empty() => here,
            there => format!(" -C {there}"),
        };
        let files = self.files();
        let mut made = files[..3].to_vec();
        made.push(self.directory.join(FOLDER).join(SCHEMAS).display().to_string());
        page.say(0, &format!("Made {}.", draw::list(&made)));
        for (command, what) in [
            ("check", "says whether everything fits"),
            ("show", "lists every dimension with its value"),
            ("export", "writes the dimensions for CAD and for spreadsheets"),
        ] {
            page.say(2, &format!("setout{from} {command} {what}"));
        }
        page.say(0, &format!("Change a value in {} and check again.", files[1]));
    }

    fn json(&self) -> impl Serialize {
        Keys { written: self.files() }
    }
}

#[derive(Serialize)]
struct Keys {
    written: Vec<String>,
}
