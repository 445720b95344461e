//! Walking a tree of YAML nodes, with every surprise a fault at its place.

use setout_formula::{Formula, FormulaFault};
use setout_quantity::{Units, nearest};

use super::judge::{is_no_text, name_fault, scalar_trap};
use super::{Expr, File, Literal};
use crate::yaml::{Entry, Lines, List, Map, Node, Scalar, Style};
use crate::{Fault, Place, Slug};

/// Reads one file's tree; collects its faults.
pub(crate) struct Reader<'a> {
    file: &'a File,
    index: u32,
    lines: Lines<'a>,
    units: &'a Units,
    pub(crate) faults: Vec<Fault>,
}

impl<'a> Reader<'a> {
    pub(crate) fn new(file: &'a File, index: u32, units: &'a Units) -> Self {
        Self { file, index, lines: Lines::new(&file.text), units, faults: Vec::new() }
    }

    pub(crate) fn units(&self) -> &'a Units {
        self.units
    }

    pub(crate) fn file(&self) -> u32 {
        self.index
    }

    pub(crate) fn place(&self, byte: usize) -> Place {
        let (line, column) = self.lines.place(byte);
        Place { file: self.file.path.clone(), line, column }
    }

    pub(crate) fn fault(
        &mut self,
        slug: Slug,
        byte: usize,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        let place = self.place(byte);
        self.faults.push(Fault { place, slug, message: message.into(), help: help.into() });
    }

    /// The entries of a map by their keys; every other key is a fault.
    pub(crate) fn fields<'n, const N: usize>(
        &mut self,
        map: &'n Map,
        of: &str,
        known: [&str; N],
    ) -> [Option<&'n Entry>; N] {
        let mut found = [None; N];
        for entry in &map.entries {
            let key = entry.key.value.as_str();
            match known.iter().position(|name| *name == key) {
                Some(index) => found[index] = Some(entry),
                None => {
                    let help = match nearest(key, known) {
                        Some(near) => format!("did you mean `{near}`?"),
                        None => format!("{of} has {}", known.join(", ")),
                    };
                    let key = key.escape_debug();
                    let message = format!("{of} has no key `{key}`");
                    self.fault(Slug::UnknownKey, entry.key.span.start, message, help);
                }
            }
        }
        found
    }

    /// The node as a map, else a fault. Nothing at all is an empty map's absence, not a fault.
    pub(crate) fn map<'n>(&mut self, node: &'n Node, what: &str, example: &str) -> Option<&'n Map> {
        if let Node::Map(map) = node {
            return Some(map);
        }
        if !matches!(node, Node::Empty(_)) {
            let message = format!("{what} is a list of names with values behind them");
            self.fault(
                Slug::BadValue,
                node.span().start,
                message,
                format!("write for example `{example}`"),
            );
        }
        None
    }

    pub(crate) fn list<'n>(
        &mut self,
        node: &'n Node,
        what: &str,
        example: &str,
    ) -> Option<&'n List> {
        if let Node::List(list) = node {
            return Some(list);
        }
        if !matches!(node, Node::Empty(span) if !span.is_empty()) {
            let message = format!("{what} is a list");
            self.fault(
                Slug::BadValue,
                node.span().start,
                message,
                format!("write for example `{example}`"),
            );
        }
        None
    }

    pub(crate) fn scalar<'n>(
        &mut self,
        node: &'n Node,
        what: &str,
        example: &str,
    ) -> Option<&'n Scalar> {
        match node {
            Node::Scalar(scalar) => return Some(scalar),
            Node::Empty(span) if !span.is_empty() => {}
            Node::Empty(span) => {
                let message = format!("{what} is missing here");
                let help = format!(
                    "write for example `{example}`; if it begins with #, quote the whole value"
                );
                self.fault(Slug::BadValue, span.start, message, help);
            }
            Node::List(_) | Node::Map(_) => {
                let message = format!("{what} is one value, not a list of several");
                let help = format!(
                    "write for example `{example}`; if it begins with [ or {{, quote the whole value"
                );
                self.fault(Slug::BadValue, node.span().start, message, help);
            }
        }
        None
    }

    /// Whether a plain scalar is one that YAML readers disagree about; then it has its fault.
    fn is_trap(&mut self, scalar: &Scalar) -> bool {
        let trap = (scalar.style == Style::Plain).then(|| scalar_trap(&scalar.value)).flatten();
        if let Some((message, help)) = &trap {
            self.fault(Slug::BadValue, scalar.span.start, message, help);
        }
        trap.is_some()
    }

    /// A formula. It is absent when YAML already spoilt it.
    pub(crate) fn expr(
        &mut self,
        node: &Node,
        flow: bool,
        what: &str,
        example: &str,
    ) -> Option<Expr> {
        let scalar = self.scalar(node, what, example)?;
        if self.is_trap(scalar) {
            return None;
        }
        let (formula, faults) = Formula::read(&scalar.value, self.units);
        for fault in &faults {
            self.formula_fault(scalar, fault);
        }
        Some(Expr { file: self.index, scalar: scalar.clone(), flow, formula })
    }

    fn formula_fault(&mut self, scalar: &Scalar, fault: &FormulaFault) {
        let at = scalar.source_offset(fault.at.range().start);
        let slug = Slug::of_word(fault.slug()).unwrap_or(Slug::BadFormula);
        self.fault(slug, at, fault.message(), fault.help());
    }

    /// Literal text.
    pub(crate) fn literal(
        &mut self,
        node: &Node,
        flow: bool,
        what: &str,
        example: &str,
    ) -> Option<Literal> {
        let scalar = self.scalar(node, what, example)?;
        if self.is_trap(scalar) {
            return None;
        }
        if scalar.style == Style::Plain && is_no_text(&scalar.value) {
            let message = format!("some programs do not read `{}` as text", scalar.value);
            let help = format!("quote it: \"{}\"", scalar.value);
            self.fault(Slug::BadValue, scalar.span.start, message, help);
            return None;
        }
        let place = self.place(scalar.span.start);
        Some(Literal { file: self.index, scalar: scalar.clone(), flow, place })
    }

    /// A remark, which may be any text.
    pub(crate) fn remark(&mut self, entry: Option<&Entry>, flow: bool) -> Option<Literal> {
        let entry = entry?;
        self.literal(&entry.value, flow, &format!("`{}`", entry.key.value), "a sentence")
    }

    /// The place of a name that keeps the rules, else its fault.
    pub(crate) fn name(&mut self, key: &Scalar) -> Option<Place> {
        match name_fault(&key.value) {
            None => Some(self.place(key.span.start)),
            Some((message, help)) => {
                self.fault(Slug::BadName, key.span.start, message, help);
                None
            }
        }
    }
}
