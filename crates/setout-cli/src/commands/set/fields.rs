//! Fields of a dimension beside its value, as they are typed.

use clap::Args;
use setout::{Design, Field};

use crate::edits::Wanted;
use crate::trouble::Trouble;

/// The fields that can be set. Each edits what is there, or puts it there.
#[derive(Debug, Default, Args)]
#[command(next_help_heading = "Fields of a dimension")]
pub(super) struct Fields {
    /// The least that it may be
    #[arg(long, value_name = "VALUE")]
    min: Option<String>,
    /// The most that it may be
    #[arg(long, value_name = "VALUE")]
    max: Option<String>,
    /// How true it comes out: a process, ±0.2mm, or a class such as H7
    #[arg(long, value_name = "TOLERANCE")]
    tolerance: Option<String>,
    /// The unit that it is shown and exported in
    #[arg(long, value_name = "UNIT")]
    unit: Option<String>,
    /// A remark
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
}

/// Fields that somebody wants for a dimension.
pub(super) struct WantedFields {
    /// The full name.
    pub(super) name: String,
    pub(super) fields: Vec<(Field, String)>,
}

impl Fields {
    /// Whether any was typed.
    pub(super) fn any(&self) -> bool {
        self.typed().next().is_some()
    }

    fn typed(&self) -> impl Iterator<Item = (Field, &str)> {
        let all = [
            (Field::Unit, &self.unit),
            (Field::Min, &self.min),
            (Field::Max, &self.max),
            (Field::Tolerance, &self.tolerance),
            (Field::Note, &self.note),
        ];
        all.into_iter().filter_map(|(field, text)| Some((field, text.as_deref()?.trim())))
    }

    /// The fields for the one dimension that is named, with its value if that is typed as well.
    pub(super) fn wanted(
        &self,
        design: &Design,
        typed: &[String],
    ) -> Result<WantedFields, Trouble> {
        let value = match typed {
            [name] if !name.contains('=') => Err(name),
            [one] => Ok(Wanted::read(design, one)?),
            [name, value] if !name.contains('=') => Ok(Wanted::of(design, name, value)?),
            _ => {
                let message = "fields are set of one dimension at a time";
                return Err(Trouble::bad_call(message, "write for example `jaw.width --min 55mm`"));
            }
        };
        let mut fields = Vec::new();
        for (field, text) in self.typed() {
            if text.is_empty() && field != Field::Unit {
                let message = format!("`--{}` has no value", field.key());
                return Err(Trouble::bad_call(message, "write a value after it"));
            }
            fields.push((field, text.to_owned()));
        }
        let name = match value {
            Ok(Wanted { name, value }) => {
                fields.push((Field::Value, value));
                name
            }
            Err(name) => design.full_name(name.trim()).map_err(crate::edits::refused)?,
        };
        Ok(WantedFields { name, fields })
    }
}
