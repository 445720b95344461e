//! The data files, read into tables.

use std::sync::OnceLock;

/// A table as it stands in its data file, for documents and for showing.
///
/// ```
/// let table = setout_standards::tables().iter().find(|table| table.id == "clearance").unwrap();
/// assert_eq!(table.standard, "ISO 273");
/// assert_eq!(table.columns, ["thread", "fine", "medium", "coarse"]);
/// assert!(table.rows.contains(&vec!["M3", "3.2", "3.4", "3.6"]));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct TableInfo {
    /// The name of the data file, without its ending.
    pub id: &'static str,
    /// What the table holds.
    pub title: &'static str,
    /// The standard, or `common practice`.
    pub standard: &'static str,
    /// The year of the edition, or `none`.
    pub edition: &'static str,
    /// The unit of all numbers.
    pub unit: &'static str,
    /// Where the values come from, and which of them are from memory.
    pub source: &'static str,
    /// What a value means where that is not plain, and what is in doubt.
    pub notes: Vec<&'static str>,
    /// The names of the columns. The first one is what a row is found by.
    pub columns: Vec<&'static str>,
    /// The rows, cells as written. A cell is empty where the table has no value.
    pub rows: Vec<Vec<&'static str>>,
    /// The whole data file, for those who want to read it by other means.
    pub text: &'static str,
}

macro_rules! files {
    ($($id:literal),*) => {
        &[$(($id, include_str!(concat!("../data/", $id, ".csv")))),*]
    };
}

/// In the order in which documents show them.
const FILES: &[(&str, &str)] = files![
    "clearance",
    "threads",
    "thread_limits",
    "tap_drills",
    "socket_heads",
    "button_heads",
    "countersunk_heads",
    "washers",
    "shoulders",
    "inserts",
    "grades",
    "limits"
];

/// All tables.
///
/// ```
/// let ids: Vec<&str> = setout_standards::tables().iter().map(|table| table.id).collect();
/// assert!(ids.contains(&"limits"));
/// ```
pub fn tables() -> &'static [TableInfo] {
    static TABLES: OnceLock<Vec<TableInfo>> = OnceLock::new();
    TABLES.get_or_init(|| FILES.iter().map(|(id, text)| read(id, text)).collect())
}

/// A table by its id. Ids are written in this crate alone, and each is used by an example.
pub(crate) fn table(id: &str) -> &'static TableInfo {
    tables().iter().find(|table| table.id == id).expect("every id has its file")
}

impl TableInfo {
    /// The first column: what can be looked up. A thread that has several rows comes once.
    pub(crate) fn keys(&self) -> Vec<&'static str> {
        let mut keys: Vec<&str> = self.rows.iter().map(|row| row[0]).collect();
        keys.dedup();
        keys
    }

    pub(crate) fn row(&self, key: &str) -> Option<&[&'static str]> {
        self.rows.iter().find(|row| row[0] == key).map(Vec::as_slice)
    }

    pub(crate) fn column(&self, name: &str) -> Option<usize> {
        self.columns.iter().position(|column| *column == name)
    }
}

/// Comment lines `# key: value`, then a heading line, then rows. The files hold no quotes.
fn read(id: &'static str, text: &'static str) -> TableInfo {
    let head = |key: &'static str| {
        text.lines()
            .filter_map(|line| line.strip_prefix("# ")?.split_once(": "))
            .filter_map(move |(found, value)| (found == key).then_some(value))
    };
    let only = |key| head(key).next().unwrap_or("");
    let mut records = text
        .lines()
        .filter(|line| !line.starts_with('#'))
        .map(|line| line.split(',').collect::<Vec<&str>>());
    TableInfo {
        id,
        title: only("title"),
        standard: only("standard"),
        edition: only("edition"),
        unit: only("unit"),
        source: only("source"),
        notes: head("note").collect(),
        columns: records.next().unwrap_or_default(),
        rows: records.collect(),
        text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_table_is_whole() {
        for table in tables() {
            for text in [table.title, table.standard, table.edition, table.unit, table.source] {
                assert!(!text.is_empty(), "{}", table.id);
            }
            for row in &table.rows {
                assert_eq!(row.len(), table.columns.len(), "{}: {row:?}", table.id);
            }
            assert!(!table.rows.is_empty(), "{}", table.id);
        }
    }

    #[test]
    fn only_inserts_have_several_rows_of_a_size() {
        for table in tables().iter().filter(|table| table.id != "inserts") {
            let mut keys = table.keys();
            keys.sort_unstable();
            keys.dedup();
            assert_eq!(keys.len(), table.rows.len(), "{}", table.id);
        }
    }
}
