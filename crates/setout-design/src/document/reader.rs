//! Walking a tree of YAML nodes, with every surprise a fault at its place.

use setout_formula::{Formula, FormulaFault, Wrong};
use setout_quantity::{Units, nearest};

use super::common::is_code;
use super::judge::{is_no_text, name_fault, scalar_trap};
use super::{Expr, File, Literal};
use crate::hardware::HARDWARE;
use crate::yaml::{Entry, Lines, List, Map, Node, Scalar, Style};
use crate::{Fault, Place, Slug};

/// What stands where nothing stands.
static NOTHING: Map = Map { span: 0..0, entries: Vec::new(), flow: false };

/// Reads one file's tree; collects its faults.
pub(crate) struct Reader<'a> {
    file: &'a File,
    index: u32,
    lines: Lines<'a>,
    units: &'a Units,
    /// The bytes at which the text is faulty already; what else is wrong with a formula round one
    /// of them is its echo.
    pub(crate) spoilt: Vec<usize>,
    /// Whether the currency or a rate could not be read, so that its letters are no unknown unit.
    pub(crate) money_lost: bool,
    pub(crate) faults: Vec<Fault>,
}

impl<'a> Reader<'a> {
    pub(crate) fn new(file: &'a File, index: u32, units: &'a Units) -> Self {
        Self {
            file,
            index,
            lines: file.lines(),
            units,
            spoilt: Vec::new(),
            money_lost: false,
            faults: Vec::new(),
        }
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

    /// The node as a map, else a fault. Nothing at all is a map without entries: what has to have
    /// some says so. What could not be read has its fault already.
    pub(crate) fn map<'n>(&mut self, node: &'n Node, what: &str, example: &str) -> Option<&'n Map> {
        if let Node::Map(map) = node {
            return Some(map);
        }
        if matches!(node, Node::Empty(span) if span.is_empty()) {
            return Some(&NOTHING);
        }
        if !matches!(node, Node::Empty(_)) {
            let instead = if matches!(node, Node::List(_)) { "a list" } else { "one value" };
            let message = format!("{what} holds names with values behind them, not {instead}");
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
            let message = format!("{what} is written as a list");
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
    fn trap(&self, scalar: &Scalar) -> Option<(String, String)> {
        (scalar.style == Style::Plain).then(|| scalar_trap(&scalar.value)).flatten()
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
        if let Some((message, help)) = self.trap(scalar) {
            self.fault(Slug::BadValue, scalar.span.start, message, help);
            return None;
        }
        let (formula, faults) = Formula::read_with(&scalar.value, self.units, HARDWARE);
        let echo = !faults.is_empty() && self.spoilt.iter().any(|at| scalar.span.contains(at));
        if !echo {
            faults.iter().for_each(|fault| self.formula_fault(scalar, fault));
        }
        Some(Expr { file: self.index, scalar: scalar.clone(), flow, formula })
    }

    /// Whether the text is faulty in an entry or in what is indented below its name.
    pub(crate) fn is_spoilt(&self, entry: &Entry) -> bool {
        if self.spoilt.is_empty() {
            return false;
        }
        let text = &*self.file.text;
        let start = entry.key.span.start;
        let column = |line: &str| line.len() - line.trim_start().len();
        let first = text[..start].rfind('\n').map_or(0, |at| at + 1);
        let own = column(&text[first..]);
        let mut end = first;
        for (index, line) in text[first..].split_inclusive('\n').enumerate() {
            if index > 0 && !line.trim().is_empty() && column(line) <= own {
                break;
            }
            end += line.len();
        }
        let below = start..end.max(entry.value.span().end);
        self.spoilt.iter().any(|at| below.contains(at))
    }

    /// The formula of a field, if the field is there. One that cannot be read is there all the
    /// same, without a formula: nothing is computed as though it had been left out.
    pub(crate) fn field(
        &mut self,
        entry: Option<&Entry>,
        flow: bool,
        example: &str,
    ) -> Option<Expr> {
        let entry = entry?;
        Some(self.expr_or_unread(&entry.value, flow, &called(entry), example))
    }

    /// The formula of a node, without a formula if it cannot be read.
    pub(crate) fn expr_or_unread(
        &mut self,
        node: &Node,
        flow: bool,
        what: &str,
        example: &str,
    ) -> Expr {
        self.expr(node, flow, what, example).unwrap_or_else(|| self.unread(node))
    }

    /// What stands for a formula that could not be read.
    pub(crate) fn unread(&self, node: &Node) -> Expr {
        let scalar = node.as_scalar().cloned().unwrap_or_else(|| Scalar::absent(node.span()));
        Expr { file: self.index, scalar, flow: true, formula: None }
    }

    fn formula_fault(&mut self, scalar: &Scalar, fault: &FormulaFault) {
        if let Wrong::UnknownUnit { symbol, .. } = &fault.what
            && self.money_lost
            && is_code(symbol)
        {
            return;
        }
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
        let no_text = scalar.style == Style::Plain && is_no_text(&scalar.value);
        let trap = self.trap(scalar).map(|(message, _)| message);
        let message = trap.or_else(|| {
            no_text.then(|| format!("some programs do not read `{}` as text", scalar.value))
        });
        if let Some(message) = message {
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
        self.literal(&entry.value, flow, &called(entry), "a sentence")
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

/// What a key's value is called where it is not one value. Of one that is nobody asks.
fn called(entry: &Entry) -> String {
    match entry.value {
        Node::Scalar(_) => String::new(),
        _ => format!("`{}`", entry.key.value),
    }
}
