//! The straightforward way to check the tables of `FOLDER/params`: a typed reader, an evaluator and a
//! graph, each as its own pages suggest, from file to verdict. It is what Setout would be without work
//! on its speed. Nothing has a place, a unit or a fault of its own, and nothing is judged over travel and
//! tolerances: it does less.

#![expect(clippy::print_stdout, reason = "a program says what it found")]

mod design;
mod formula;

use std::collections::HashMap;

use design::{Table, read};
use evalexpr::{ContextWithMutableVariables, HashMapContext, Node, Value};
use formula::{context, tree};
use petgraph::algo::toposort;
use petgraph::graph::{DiGraph, NodeIndex};

fn main() {
    let folder = std::env::args().nth(1).expect("straightforward FOLDER");
    let tables = read(folder.as_ref());
    let dimensions = formulas(&tables);
    let mut context = context();
    for index in order(&dimensions) {
        let (name, node) = &dimensions[index.index()];
        let value = node.eval_with_context(&context).expect("a value");
        context.set_value(name.clone(), value).expect("a new name");
    }
    let (limits, kept) = limits(&tables, &context);
    let (checks, held) = checks(&tables, &context);
    println!(
        "{} dimensions, {kept} of {limits} limits and {held} of {checks} checks hold",
        dimensions.len()
    );
}

/// The full name and the formula of every dimension.
fn formulas(tables: &[Table]) -> Vec<(String, Node)> {
    let all = tables.iter().flat_map(|table| {
        table.content.dimensions.iter().map(|(name, dimension)| {
            (format!("{}.{name}", table.name), tree(&dimension.value, &table.name))
        })
    });
    all.collect()
}

/// Each after all that it depends on.
fn order(dimensions: &[(String, Node)]) -> Vec<NodeIndex> {
    let mut graph = DiGraph::<(), ()>::with_capacity(dimensions.len(), 2 * dimensions.len());
    let indices = dimensions.iter().map(|(name, _)| (name.as_str(), graph.add_node(())));
    let indices: HashMap<&str, NodeIndex> = indices.collect();
    for (name, node) in dimensions {
        for needed in node.iter_variable_identifiers() {
            graph.add_edge(indices[needed], indices[name.as_str()], ());
        }
    }
    toposort(&graph, None).expect("no cycle")
}

/// How many limits there are, and how many hold.
fn limits(tables: &[Table], context: &HashMapContext) -> (usize, usize) {
    let (mut all, mut kept) = (0, 0);
    for table in tables {
        for (name, dimension) in &table.content.dimensions {
            let limit =
                |text: &Option<String>| Some(number(&tree(text.as_ref()?, &table.name), context));
            let (min, max) = (limit(&dimension.min), limit(&dimension.max));
            if min.is_none() && max.is_none() {
                continue;
            }
            let name = tree(name, &table.name);
            let value = number(&name, context);
            all += 1;
            kept += usize::from(
                min.is_none_or(|min| min <= value) && max.is_none_or(|max| value <= max),
            );
        }
    }
    (all, kept)
}

fn number(node: &Node, context: &HashMapContext) -> f64 {
    node.eval_number_with_context(context).expect("a number")
}

/// How many checks there are, and how many hold.
fn checks(tables: &[Table], context: &HashMapContext) -> (usize, usize) {
    let checks = tables.iter().flat_map(|table| {
        let checks = table.content.checks.values();
        checks.map(|check| tree(&check.require, &table.name).eval_with_context(context))
    });
    let verdicts: Vec<bool> = checks.map(|verdict| verdict == Ok(Value::Boolean(true))).collect();
    (verdicts.len(), verdicts.iter().filter(|holds| **holds).count())
}
