//! From the parser's events to the tree, without recursion.

use super::gap::{Behind, Gaps, properties_end};
use super::read::DEEPEST;
use super::torn;
use super::{Entry, Lines, List, Map, Node, Problem, Scalar, Slug, Span, Style};

/// A collection that is still open.
#[derive(Debug)]
pub(super) struct Frame {
    pub(super) start: usize,
    pub(super) kind: Kind,
    pub(super) flow: bool,
    /// Whether it has brackets or braces of its own. A pair inside brackets, `[a: 1]`, has none.
    pub(super) closes: bool,
}

#[derive(Debug)]
pub(super) enum Kind {
    List(Vec<Node>),
    Map(Vec<Entry>, Slot),
}

/// What a map waits for.
#[derive(Debug)]
pub(super) enum Slot {
    Key,
    Value(Scalar),
    /// The value of a key that had a fault: it is read and dropped.
    Dropped,
}

/// Builds the tree of one text.
#[derive(Debug)]
pub(super) struct Builder<'t> {
    /// The true text, but for blanks where an earlier reading stopped.
    pub(super) text: &'t str,
    /// The same with blanks for tabs and control characters.
    pub(super) parsed: &'t str,
    holes: &'t [Span],
    pub(super) gaps: Gaps<'t>,
    pub(super) stack: Vec<Frame>,
    root: Option<Node>,
    pub(super) torn_until: usize,
    pub(super) last_scalar: Span,
    pub(super) too_deep: bool,
    /// Found when they are first asked for.
    lines: Option<Lines<'t>>,
}

impl<'t> Builder<'t> {
    pub(super) fn new(text: &'t str, parsed: &'t str, holes: &'t [Span]) -> Self {
        Self {
            text,
            parsed,
            holes,
            gaps: Gaps::new(text),
            stack: Vec::new(),
            root: None,
            torn_until: 0,
            last_scalar: 0..0,
            too_deep: false,
            lines: None,
        }
    }

    pub(super) fn fault(&mut self, problem: Problem) {
        self.gaps.faults.push(problem);
    }

    /// Closes what is open and gives the tree with all faults.
    pub(super) fn finish(mut self, complete: bool) -> (Option<Node>, Vec<Problem>) {
        while let Some(frame) = self.stack.pop() {
            let end = self.gaps.at();
            self.close(frame, end);
        }
        let problems = if complete { self.gaps.finish() } else { self.gaps.into_problems() };
        (self.root, problems)
    }

    pub(super) fn in_flow(&self) -> bool {
        self.stack.last().is_some_and(|frame| frame.flow)
    }

    /// Names a tag or an anchor, and gives the byte of what it belongs to.
    pub(super) fn properties(&mut self, start: usize, limit: usize) -> usize {
        self.gaps.pass(start);
        let (end, next) = properties_end(self.parsed, start, limit.max(start));
        let problem = super::explain::property(self.text, start, self.in_flow());
        self.fault(problem);
        self.gaps.token(end, Behind::Sign);
        next
    }

    /// Passes over the value behind a tag.
    pub(super) fn pass_value(&mut self, start: usize, end: usize) {
        self.gaps.pass(start);
        self.gaps.token(end, Behind::Plain(start));
    }

    /// A tag, or an anchor with nothing behind it.
    pub(super) fn bare_property(&mut self, start: usize, end: usize) {
        self.attach(Node::Empty(start..end));
    }

    pub(super) fn alias(&mut self, start: usize, end: usize) {
        self.gaps.pass(start);
        let problem = super::explain::property(self.text, start, self.in_flow());
        self.fault(problem);
        self.gaps.token(end, Behind::Closed);
        self.attach(Node::Empty(start..end));
    }

    /// A collection begins. `end` is the parser's end of its opening bracket; a block has none.
    pub(super) fn open(&mut self, is_map: bool, start: usize, end: usize) {
        if self.stack.len() >= DEEPEST {
            return self.refuse_depth(start);
        }
        let closes = end > start && matches!(self.parsed.as_bytes()[start], b'[' | b'{');
        let flow = closes || self.in_flow();
        if closes {
            self.gaps.pass(start);
            self.gaps.token(start + 1, Behind::Sign);
        }
        let (start, kind) = if is_map {
            (start, Kind::Map(Vec::new(), Slot::Key))
        } else {
            // The parser places a list that is no deeper than its key behind the first dash.
            let map = self.stack.last().filter(|frame| matches!(frame.kind, Kind::Map(..)));
            let below_key = map.map(|map| self.gaps.pass(map.start)).is_some();
            let dash = (below_key && !flow).then(|| self.gaps.find(b'-', start)).flatten();
            (dash.unwrap_or(start), Kind::List(Vec::new()))
        };
        self.stack.push(Frame { start, kind, flow, closes });
    }

    pub(super) fn refuse_depth(&mut self, start: usize) {
        self.too_deep = true;
        self.fault(Problem {
            slug: Slug::TooLarge,
            span: start..(start + 1).min(self.text.len()).max(start),
            message: format!("this stands more than {DEEPEST} levels deep"),
            help: "a table needs five levels; look for a row of brackets or dashes here".into(),
        });
    }

    /// A collection ends, at its closing bracket or wherever the parser noticed.
    pub(super) fn end(&mut self, at: usize) {
        let Some(frame) = self.stack.pop() else { return };
        if frame.closes {
            // Behind a last comma the parser gives the place of the comma.
            let closing = if self.text[frame.start..].starts_with('[') { b']' } else { b'}' };
            let at = self.gaps.find(closing, self.text.len()).unwrap_or(at);
            self.gaps.pass(at);
            self.gaps.token(at + 1, Behind::Closed);
        }
        let end = self.gaps.at();
        self.close(frame, end);
    }

    fn close(&mut self, frame: Frame, end: usize) {
        let Frame { start, flow, kind, .. } = frame;
        let span = start..end.max(start);
        let node = match kind {
            Kind::List(items) => Node::List(List { span, items, flow }),
            Kind::Map(mut entries, slot) => {
                if let Slot::Value(key) = slot {
                    let value = Node::Empty(key.span.clone());
                    entries.push(Entry { key, value });
                }
                let text = self.text;
                let line_of = |byte| self.lines.get_or_insert_with(|| Lines::new(text)).line(byte);
                super::same::take_doubles(&mut entries, line_of, &mut self.gaps.faults);
                Node::Map(Map { span, entries, flow })
            }
        };
        self.attach(node);
    }

    /// Puts a finished node where it belongs.
    pub(super) fn attach(&mut self, node: Node) {
        let Some(frame) = self.stack.last_mut() else {
            self.root = self.root.take().or(Some(node));
            return;
        };
        match &mut frame.kind {
            Kind::List(items) => items.push(node),
            Kind::Map(entries, slot) => match std::mem::replace(slot, Slot::Key) {
                Slot::Value(key) => entries.push(Entry { key, value: node }),
                Slot::Dropped => {}
                // What could not be read has its fault.
                Slot::Key if matches!(&node, Node::Empty(span) if !span.is_empty()) => {
                    *slot = Slot::Dropped;
                }
                Slot::Key => match super::explain::key(self.text, node) {
                    Ok(key) => *slot = Slot::Value(key),
                    Err(problem) => {
                        *slot = Slot::Dropped;
                        self.gaps.faults.push(problem);
                    }
                },
            },
        }
    }

    /// Nothing stands here. The parser's `mark` is at the colon or at what comes next.
    pub(super) fn empty(&mut self, mark: usize) {
        let Some(frame) = self.stack.last() else { return };
        match &frame.kind {
            Kind::List(_) => {
                self.gaps.pass_sign(b'-', mark);
            }
            Kind::Map(_, Slot::Key) => return self.attach(Node::Empty(mark..mark)),
            Kind::Map(_, slot) => {
                let glued = match slot {
                    Slot::Value(key) if frame.flow && key.style == Style::Plain => {
                        torn::glued(self.text, &key.span)
                    }
                    _ => None,
                };
                if !self.gaps.pass_sign(b':', mark + 1)
                    && let Some(problem) = glued
                {
                    let span = problem.span.clone();
                    self.fault(problem);
                    return self.attach(Node::Empty(span));
                }
            }
        }
        let at = self.gaps.at();
        let hole = self.holes.iter().find(|hole| hole.start == at);
        self.attach(Node::Empty(hole.cloned().unwrap_or(at..at)));
    }
}
