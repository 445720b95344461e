//! `docs/standards.md`: the tables in it are those of the data files.
//!
//! With `UPDATE=1` in the environment the document is written anew: read the difference.

use std::path::Path;
use std::{env, fs};

use setout_standards::{TableInfo, tables};

const BEGIN: &str = "<!-- generated: tables -->\n";
const END: &str = "<!-- end -->";

#[test]
fn the_tables_of_the_document_are_current() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/standards.md");
    let text = fs::read_to_string(&path).unwrap();
    let (before, behind) = text.split_once(BEGIN).expect("the region begins");
    let (_, after) = behind.split_once(END).expect("the region has an end");
    let sections: String = tables().iter().map(section).collect();
    let fresh = format!("{before}{BEGIN}{sections}{END}{after}");
    if fresh == text {
        return;
    }
    if env::var_os("UPDATE").is_some() {
        return fs::write(&path, fresh).unwrap();
    }
    let line = text.lines().zip(fresh.lines()).find(|(old, new)| old != new);
    panic!("docs/standards.md: UPDATE=1 takes the second line over: {line:#?}");
}

fn section(table: &TableInfo) -> String {
    let edition = if table.edition == "none" { "" } else { &format!(":{}", table.edition) };
    let mut text = format!("### {}\n\n", table.title);
    text += &format!("`{}`: {}{edition}, in {}.\n\n", table.id, table.standard, table.unit);
    text += &format!("- Source: {}.\n", table.source);
    text.extend(table.notes.iter().map(|note| format!("- {note}\n")));
    text + "\n" + &rows(table) + "\n"
}

fn rows(table: &TableInfo) -> String {
    let line = |cells: &[&str]| format!("| {} |\n", cells.join(" | "));
    let columns: Vec<String> = table.columns.iter().map(|name| name.replace('_', " ")).collect();
    let columns: Vec<&str> = columns.iter().map(String::as_str).collect();
    let rule = vec!["---"; columns.len()];
    let rows: String = table.rows.iter().map(|row| line(row)).collect();
    line(&columns) + &line(&rule) + &rows
}
