//! Tables from what other programs hold: OpenSCAD variables, CSV.
//!
//! [`import`] takes the bytes of a file to the text of a table and a [report](Imported): what was
//! taken, what was assumed, what was left out and why, and which names changed. It is pure. The
//! table is read as part of a design before it is given out, and every value is compared with
//! what the file itself comes to, so that nothing is taken that would be a fault or another
//! number; it is left out and named instead.
//!
//! ```
//! use setout_import::{Form, import};
//!
//! let file = b"head_w = 60; // over all\njaw_w = head_w * 0.6 - 2;\njaw = cube(jaw_w);\n";
//! let imported = import(file, Form::OpenScad, "face", None)?;
//! assert_eq!(imported.taken, ["head_w", "jaw_w"]);
//! assert_eq!(imported.assumed, ["lengths in mm: head_w"]);
//! assert_eq!((imported.left_out[0].line, &*imported.left_out[0].text), (3, "jaw = cube(jaw_w);"));
//! assert!(imported.text.contains("\n  jaw_w: head_w * 0.6 - 2 mm\n"));
//! # Ok::<(), setout_import::ImportError>(())
//! ```

mod csv;
mod decode;
mod entry;
mod names;
mod openscad;
mod prove;
mod report;
mod yaml;

pub use crate::names::{is_name, plain_name};
pub use crate::report::{Form, ImportError, Imported, LARGEST, LeftOut, Renamed};

use setout_design::Source;

/// Takes a file to a table called `table`, in a design if there is one.
///
/// # Errors
/// When the file is too large, or `table` is no name.
pub fn import(
    bytes: &[u8],
    form: Form,
    table: &str,
    design: Option<&dyn Source>,
) -> Result<Imported, ImportError> {
    if bytes.len() > LARGEST {
        return Err(ImportError::TooLarge { bytes: bytes.len() });
    }
    if !is_name(table) || table == "design" {
        return Err(ImportError::BadTable { table: table.to_owned() });
    }
    let (text, latin) = decode::decode(bytes);
    let mut draft = match form {
        Form::OpenScad => openscad::draft(&text),
        Form::Csv => csv::draft(&text, table),
    };
    if latin {
        draft.assumed.push("the file is not UTF-8 and was read as Latin-1".into());
    }
    Ok(prove::proved(draft, table, design))
}
