//! `setout schema`: what editors check and complete a design by.

use clap::{Args, ValueEnum};
use setout::schema;

use super::Run;
use crate::call::{Call, Outcome};
use crate::status::Status;

/// Print the JSON Schema by which editors complete and check tables, or design.yaml
#[derive(Debug, Args)]
#[command(
    after_help = "The schema is of draft-07. An editor that reads YAML takes it from a first \
line such as `# yaml-language-server: $schema=schema/table.json`; `setout new` writes the schemas \
and these lines. It knows keys and forms. Names, units and formulas are for `setout check`."
)]
pub(crate) struct Flags {
    /// The file that it is for: table, or design for design.yaml
    #[arg(value_name = "FILE", default_value = "table", hide_default_value = true)]
    #[arg(hide_possible_values = true)]
    of: Of,
}

/// What a schema is for.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum Of {
    Table,
    Design,
}

impl Run for Flags {
    /// A schema is a document already, so every form of the answer is the same.
    fn run(&self, call: &mut Call<'_, '_>) -> Outcome {
        call.write(match self.of {
            Of::Table => schema::TABLE,
            Of::Design => schema::DESIGN,
        })?;
        Ok(Status::Good)
    }
}
