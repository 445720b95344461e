//! The data files of hardware and fits, read a second time: by the `csv` library, and looked up by
//! the names that stand in them. Only their texts come from `setout-standards`.

use std::collections::HashMap;
use std::sync::OnceLock;

/// A data file as the second engine reads it.
#[derive(Debug, Default)]
pub(crate) struct Sheet {
    /// What one of its numbers is in m; not a number where the file names no unit known here.
    metres: f64,
    heads: Vec<String>,
    rows: Vec<Vec<String>>,
}

/// A data file by its name. A file that cannot be read has no rows, so nothing is found in it.
pub(crate) fn sheet(name: &str) -> Option<&'static Sheet> {
    static SHEETS: OnceLock<HashMap<&str, Sheet>> = OnceLock::new();
    let read = || {
        let files = setout_standards::tables().iter();
        files.map(|file| (file.id, Sheet::read(file.text).unwrap_or_default())).collect()
    };
    SHEETS.get_or_init(read).get(name)
}

impl Sheet {
    fn read(text: &str) -> Result<Self, csv::Error> {
        let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
        let heads = reader.headers()?.iter().map(str::to_owned).collect();
        let row = |row: csv::StringRecord| row.iter().map(str::to_owned).collect();
        let rows = reader.records().map(|record| record.map(row)).collect::<Result<_, _>>()?;
        Ok(Self { metres: metres(text), heads, rows })
    }

    /// What stands in the first row of a name under a head; nothing where the cell is empty.
    pub(crate) fn text(&self, name: &str, head: &str) -> Option<&str> {
        let row = self.rows.iter().find(|row| row.first().is_some_and(|first| first == name))?;
        let (_, cell) = self.heads.iter().zip(row).find(|(found, _)| *found == head)?;
        (!cell.is_empty()).then_some(cell)
    }

    /// The number there, in m.
    pub(crate) fn length(&self, name: &str, head: &str) -> Option<f64> {
        Some(self.text(name, head)?.parse::<f64>().ok()? * self.metres)
    }

    /// The names of the rows.
    pub(crate) fn names(&self) -> impl Iterator<Item = &str> {
        self.rows.iter().filter_map(|row| row.first()).map(String::as_str)
    }

    /// The heads behind that of the names.
    pub(crate) fn heads(&self) -> impl Iterator<Item = &str> {
        self.heads.iter().skip(1).map(String::as_str)
    }
}

fn metres(text: &str) -> f64 {
    let unit = text.lines().find_map(|line| line.strip_prefix("# unit:"));
    match unit.map(str::trim) {
        Some("mm") => 1e-3,
        Some("µm") => 1e-6,
        _ => f64::NAN,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_file_is_read_whole() {
        for table in setout_standards::tables() {
            let sheet = sheet(table.id).unwrap();
            assert_eq!(sheet.heads, table.columns, "{}", table.id);
            assert_eq!(sheet.rows, table.rows, "{}", table.id);
            assert!(sheet.metres > 0.0, "{}", table.id);
        }
    }

    #[test]
    fn a_torn_file_has_no_values() {
        assert!(Sheet::read("# unit: mm\nthread,hole\nM3,4\nM4\n").is_err());
        let inches = Sheet::read("# unit: in\nthread,hole\nM3,4\n").unwrap();
        assert!(inches.length("M3", "hole").unwrap().is_nan());
    }

    #[test]
    fn the_first_of_two_rows_and_no_empty_cell() {
        let sheet = Sheet::read("# unit: mm\nthread,hole,boss\nM3,4,\nM3,5,6\n").unwrap();
        assert_eq!(sheet.length("M3", "hole"), Some(0.004));
        assert_eq!(sheet.length("M3", "boss"), None);
        assert_eq!(sheet.length("M", "hole"), None);
        assert_eq!(sheet.length("M3", "bos"), None);
    }
}
