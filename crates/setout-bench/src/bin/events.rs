//! The limit of any reader: one pass, in one thread, through the parser's events of all tables of
//! `FOLDER/params`, which are counted and thrown away.

#![expect(clippy::print_stdout, reason = "a program says what it counted")]

use saphyr_parser::Parser;
use setout_bench::programs::tables;

fn main() {
    let folder = std::env::args().nth(1).expect("events FOLDER");
    let mut events = 0_usize;
    for path in tables(folder.as_ref()) {
        let text = std::fs::read_to_string(path).expect("a table");
        for event in Parser::new_from_str(&text) {
            event.expect("YAML");
            events += 1;
        }
    }
    println!("{events}");
}
