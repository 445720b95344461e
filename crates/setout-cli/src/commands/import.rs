//! `setout import`: a table from what another program holds.

mod answer;

use std::fs;
use std::path::{Path, PathBuf};

use clap::Args;
use setout::{
    Design, Folder, Form as FileForm, ImportError, Imported, LARGEST_IMPORT, Replacement, Slug,
    Source, import, is_name, plain_name,
};

use super::Run;
use crate::call::{Call, Outcome};
use crate::flags::Form;
use crate::status::Status;
use crate::trouble::Trouble;
use answer::Brought;

/// Make a table from OpenSCAD variables or CSV
#[derive(Debug, Args)]
#[command(
    after_help = "The file ends in .scad or .csv. What it does not say is assumed, and that \
is told; what does not fit a table is left out, each with its line and the reason. No table is \
overwritten. Exit status 0 even if something was left out; with --strict 1."
)]
pub(crate) struct Flags {
    /// The file to read
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// What the table is called, instead of after the file
    #[arg(long, value_name = "NAME")]
    table: Option<String>,
    /// Write the table to standard output, and no file
    #[arg(long)]
    to_stdout: bool,
    /// Let what is left out make the exit status 1
    #[arg(long)]
    strict: bool,
}

impl Run for Flags {
    fn run(&self, call: &mut Call<'_, '_>) -> Outcome {
        let name = call.as_typed(&self.file).display().to_string();
        let form = FileForm::of_file(&name).ok_or_else(|| no_form(&name))?;
        let table = self.table()?;
        let bytes = read(&call.here.join(&self.file), &name)?;
        let folder = match Folder::find(&call.here) {
            Ok(folder) => Some(folder),
            Err(_) if self.to_stdout => None,
            Err(error) => return Err(error.into()),
        };
        let path = folder.as_ref().map(|folder| table_path(folder, &table));
        if let (Some(folder), Some(path), false) = (&folder, &path, self.to_stdout)
            && folder.list()?.contains(path)
        {
            return Err(not_overwritten(path).into());
        }
        let design = folder.as_ref().map(|folder| folder as &dyn Source);
        let imported = import(&bytes, form, &table, design).map_err(refused)?;
        if imported.taken.is_empty() {
            let brought = Brought { imported: &imported, table: &table, file: None, text: false };
            return call.show(&brought, &[nothing(&name)], Status::Good);
        }
        let status = Status::failing_if(self.strict && !imported.left_out.is_empty());
        match (folder, path) {
            (Some(folder), Some(path)) if !self.to_stdout => {
                let after = imported.text.as_bytes();
                let table_file = Replacement { path: &path, from: None, before: None, after };
                folder.write_all_if_unchanged(&[table_file])?;
                let faults = Design::read(&folder).evaluate();
                let troubles = Trouble::of_design(faults.faults(), &folder);
                let file = Some(path.as_str());
                let brought = Brought { imported: &imported, table: &table, file, text: false };
                call.show(&brought, &troubles, status)
            }
            _ => stream(call, &imported, &table, status),
        }
    }
}

impl Flags {
    /// What the table is called.
    fn table(&self) -> Result<String, Trouble> {
        let Some(table) = &self.table else {
            let stem = self.file.file_stem().unwrap_or_default().to_string_lossy();
            let table = plain_name(&stem, "table_");
            return Ok(if table == "design" { "design_table".into() } else { table });
        };
        if is_name(table) && table != "design" {
            return Ok(table.clone());
        }
        Err(refused(ImportError::BadTable { table: table.clone() }))
    }
}

/// The table on standard output, and the report beside it.
fn stream(call: &mut Call<'_, '_>, imported: &Imported, table: &str, status: Status) -> Outcome {
    let brought = Brought { imported, table, file: None, text: true };
    if call.form == Form::Json {
        return call.show(&brought, &[], status);
    }
    call.write(&imported.text)?;
    call.remark(&brought)?;
    Ok(status)
}

fn table_path(folder: &Folder, table: &str) -> String {
    match folder.folder() {
        "" => format!("{table}.yaml"),
        folder => format!("{folder}/{table}.yaml"),
    }
}

fn read(path: &Path, name: &str) -> Result<Vec<u8>, Trouble> {
    let failed = |error: &std::io::Error| {
        if error.kind() == std::io::ErrorKind::NotFound {
            return Trouble::not_found(format!("there is no file {name}"), "see how it is spelt");
        }
        let message = format!("{name} cannot be read: {error}");
        Trouble::of_call(Slug::Io.as_str(), message, "name a file that can be read")
    };
    let meta = fs::metadata(path).map_err(|error| failed(&error))?;
    if !meta.is_file() {
        let message = format!("{name} is no ordinary file");
        return Err(Trouble::of_call(Slug::Io.as_str(), message, "name a .scad or .csv file"));
    }
    if meta.len() > LARGEST_IMPORT as u64 {
        let bytes = usize::try_from(meta.len()).unwrap_or(usize::MAX);
        return Err(refused(ImportError::TooLarge { bytes }));
    }
    fs::read(path).map_err(|error| failed(&error))
}

fn no_form(name: &str) -> Trouble {
    let message = format!("{name} ends neither in .scad nor in .csv");
    Trouble::bad_call(message, "name a file of OpenSCAD variables, or a CSV file with a header")
}

fn not_overwritten(path: &str) -> Trouble {
    let message = format!("{path} is there already, and nothing is overwritten");
    Trouble::of_call(Slug::Io.as_str(), message, "give the table another name with --table NAME")
}

fn nothing(name: &str) -> Trouble {
    let message = format!("nothing in {name} can be taken into a table");
    let help = "a line such as `width = 62; // mm` can, or a CSV record below `name,value,unit`";
    Trouble::of_call(Slug::BadValue.as_str(), message, help)
}

fn refused(error: ImportError) -> Trouble {
    match error {
        ImportError::TooLarge { .. } => {
            Trouble::of_call(Slug::TooLarge.as_str(), error.to_string(), "import it in parts")
        }
        _ => Trouble::bad_call(
            error.to_string(),
            "names are lower-case letters, digits and _, beginning with a letter",
        ),
    }
}
