//! Fields of a thing beside its value, as they are typed.

use clap::Args;
use setout::{Design, Field, nearest};

use crate::edits::{self, WantedField};
use crate::trouble::Trouble;

/// The fields that can be set. Each edits what is there, or puts it there.
#[derive(Debug, Default, Args)]
pub(super) struct Fields {
    /// The unit that it is shown and exported in
    #[arg(long, value_name = "UNIT", help_heading = DIMENSION)]
    unit: Option<String>,
    /// The least that it may be
    #[arg(long, value_name = "VALUE", help_heading = DIMENSION)]
    min: Option<String>,
    /// The most that it may be
    #[arg(long, value_name = "VALUE", help_heading = DIMENSION)]
    max: Option<String>,
    /// The two ends between which it moves, as in '0 deg, 28 deg'
    #[arg(long, value_name = "ENDS", help_heading = DIMENSION)]
    travel: Option<String>,
    /// How true it comes out: a process, ±0.2mm, or a class such as H7
    #[arg(long, value_name = "TOLERANCE", help_heading = DIMENSION)]
    tolerance: Option<String>,
    /// How its errors lie: normal, uniform or triangular
    #[arg(long, value_name = "SPREAD", help_heading = DIMENSION)]
    spread: Option<String>,
    /// The error that it shares with others; '-NAME' where it is small as they are large
    #[arg(long, value_name = "ERROR", help_heading = DIMENSION, allow_hyphen_values = true)]
    shares: Option<String>,
    /// The texts that it may be, as in 'M3, M4, M5'
    #[arg(long, value_name = "TEXTS", help_heading = DIMENSION)]
    one_of: Option<String>,
    /// What has to hold, as in 'gap >= 1 mm'
    #[arg(long, value_name = "CONDITION", help_heading = CHECK)]
    require: Option<String>,
    /// Less margin than this is tight
    #[arg(long, value_name = "MARGIN", help_heading = CHECK)]
    tight: Option<String>,
    /// The reason
    #[arg(long, value_name = "TEXT", help_heading = CHECK)]
    why: Option<String>,
    /// How it is made: a process, or bought
    #[arg(long, value_name = "PROCESS", help_heading = PART)]
    made: Option<String>,
    /// What it is made of
    #[arg(long, value_name = "TEXT", help_heading = PART)]
    material: Option<String>,
    /// How many there are
    #[arg(long, value_name = "COUNT", help_heading = PART)]
    quantity: Option<String>,
    /// What one costs
    #[arg(long, value_name = "VALUE", help_heading = PART)]
    cost: Option<String>,
    /// What one weighs
    #[arg(long, value_name = "VALUE", help_heading = PART)]
    mass: Option<String>,
    /// Its scripted model, seen from design.yaml
    #[arg(long, value_name = "PATH", help_heading = PART)]
    cad: Option<String>,
    /// What governs it beside what its model names, as in 'width, frame.depth'
    #[arg(long, value_name = "NAMES", help_heading = PART)]
    uses: Option<String>,
    /// A remark
    #[arg(long, value_name = "TEXT", help_heading = BOTH)]
    note: Option<String>,
    /// Take a field out, as in --without min,max
    #[arg(long, value_name = "FIELD", value_delimiter = ',', help_heading = ANY)]
    without: Vec<String>,
}

const DIMENSION: &str = "Fields of a dimension";
const CHECK: &str = "Fields of a check";
const PART: &str = "Fields of a part";
const BOTH: &str = "Fields of a dimension or a part";
const ANY: &str = "Fields of anything";

impl Fields {
    /// Whether any was typed.
    pub(super) fn any(&self) -> bool {
        self.typed().next().is_some() || !self.without.is_empty()
    }

    fn typed(&self) -> impl Iterator<Item = (Field, &str)> {
        let all = [
            (Field::Unit, &self.unit),
            (Field::Min, &self.min),
            (Field::Max, &self.max),
            (Field::Travel, &self.travel),
            (Field::Tolerance, &self.tolerance),
            (Field::Spread, &self.spread),
            (Field::Shares, &self.shares),
            (Field::OneOf, &self.one_of),
            (Field::Require, &self.require),
            (Field::Tight, &self.tight),
            (Field::Why, &self.why),
            (Field::Made, &self.made),
            (Field::Material, &self.material),
            (Field::Quantity, &self.quantity),
            (Field::Cost, &self.cost),
            (Field::Mass, &self.mass),
            (Field::Cad, &self.cad),
            (Field::Uses, &self.uses),
            (Field::Note, &self.note),
        ];
        all.into_iter().filter_map(|(field, text)| Some((field, text.as_deref()?.trim())))
    }

    /// The fields for the one thing that is named, with its value if that is typed as well.
    pub(super) fn wanted(
        &self,
        design: &Design,
        typed: &[String],
    ) -> Result<Vec<WantedField>, Vec<Trouble>> {
        let (name, value) = match typed {
            [name] if !name.contains('=') => (name.trim().to_owned(), None),
            [one] => WantedField::read(design, one).map(|one| (one.name.clone(), Some(one)))?,
            [name, value] if !name.contains('=') => {
                let one = WantedField::of(design, name, value)?;
                (one.name.clone(), Some(one))
            }
            _ => {
                let message = "fields are set of one thing at a time";
                let help = "write for example `jaw.width --min 55mm`, or for several \
                            `jaw.width.min=55mm frame.depth.min=80mm`";
                return Err(vec![Trouble::bad_call(message, help)]);
            }
        };
        let mut wanted: Vec<WantedField> = value.into_iter().collect();
        let mut troubles = Vec::new();
        for (field, text) in self.typed() {
            if text.is_empty() && field != Field::Unit {
                let message = format!("`--{}` has no value", field.key().replace('_', "-"));
                let help =
                    format!("write a value after it, or take it out: `--without {}`", field.key());
                troubles.push(Trouble::bad_call(message, help));
            }
            wanted.push(WantedField { name: name.clone(), field, new: Some(text.to_owned()) });
        }
        for key in &self.without {
            match field_named(key) {
                Ok(field) => wanted.push(WantedField { name: name.clone(), field, new: None }),
                Err(trouble) => troubles.push(trouble),
            }
        }
        troubles.extend(edits::each_once(&wanted).err());
        if troubles.is_empty() { Ok(wanted) } else { Err(troubles) }
    }
}

/// The field of a key, written as in a table or as an option.
fn field_named(typed: &str) -> Result<Field, Trouble> {
    let key = typed.trim().trim_start_matches("--").replace('-', "_");
    Field::of_key(&key).ok_or_else(|| {
        let near = nearest(&key, Field::ALL.map(Field::key));
        let help = match near {
            Some(near) => format!("did you mean `{near}`?"),
            None => "fields are called as in a table, such as min, tight or note".to_owned(),
        };
        Trouble::bad_call(format!("there is no field `{}`", typed.trim()), help)
    })
}
