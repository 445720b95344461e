//! What a text is read into, as JSON: `cargo run -p setout-design --example tree -- jaw.yaml`.
//!
//! It is the tree of [`setout_design::yaml::read`], before anyone asks whether it is a table: every
//! text as it is read, with its style and its place, and what is wrong with each fault's help.
//! `tests/outside/yaml_suite.py` compares it with a suite of YAML that is not ours.

#![expect(clippy::print_stdout, reason = "printing is what this program is for")]

use std::process::ExitCode;

use serde_json::{Value, json};
use setout_design::yaml::{Lines, Node, Problem, Scalar, Style, read, utf8};

fn main() -> ExitCode {
    let Some(path) = std::env::args_os().nth(1) else {
        println!("name a file");
        return ExitCode::from(2);
    };
    match std::fs::read(&path) {
        Ok(bytes) => println!("{}", answer(&bytes)),
        Err(error) => {
            println!("{} cannot be read: {error}", path.display());
            return ExitCode::from(2);
        }
    }
    ExitCode::SUCCESS
}

fn answer(bytes: &[u8]) -> Value {
    let text = match utf8(bytes) {
        Ok(text) => text,
        Err(fault) => {
            return json!({ "tree": null, "problems": [problem(&fault, &Lines::new(""))] });
        }
    };
    let (tree, found) = read(text);
    let lines = Lines::new(text);
    let problems: Vec<Value> = found.iter().map(|one| problem(one, &lines)).collect();
    json!({ "tree": tree.as_ref().map(node), "problems": problems })
}

fn problem(problem: &Problem, lines: &Lines<'_>) -> Value {
    let (line, column) = lines.place(problem.span.start);
    json!({
        "fault": problem.slug.as_str(),
        "bytes": [problem.span.start, problem.span.end],
        "line": line,
        "column": column,
        "message": problem.message,
        "help": problem.help,
    })
}

fn node(found: &Node) -> Value {
    match found {
        Node::Scalar(scalar) => text(scalar),
        Node::Map(map) => {
            let entries =
                map.entries.iter().map(|entry| json!([text(&entry.key), node(&entry.value)]));
            json!({ "map": entries.collect::<Vec<_>>(), "flow": map.flow })
        }
        Node::List(list) => {
            json!({ "list": list.items.iter().map(node).collect::<Vec<_>>(), "flow": list.flow })
        }
        Node::Empty(span) => json!({ "empty": [span.start, span.end] }),
    }
}

fn text(scalar: &Scalar) -> Value {
    let style = match scalar.style {
        Style::Plain => "plain",
        Style::Single => "single",
        Style::Double => "double",
        Style::Literal => "literal",
        Style::Folded => "folded",
    };
    json!({ "text": scalar.value.as_str(), "style": style, "bytes": [scalar.span.start, scalar.span.end] })
}
