//! Reading a text: once if all is well, a few times if not.
//!
//! The parser stops at the first syntax error, and a fault in one entry must not hide those of
//! the others. So the entry that stopped it is blanked out, and the text read again.

use saphyr_parser::{Event, Parser, ScanError, Span as ParserSpan, StrInput};

use super::blame::{Stop, hole};
use super::build::Builder;
use super::prepare::{blanked, prepare};
use super::words::{ceil_boundary, column, floor_boundary};
use super::{Node, Problem, Span, conflict, explain, syntax};

/// How deeply a table may be nested. Five levels are in use.
pub const DEEPEST: usize = 32;

/// How many syntax errors of one text are named.
const MOST_STOPS: usize = 20;

/// Reads a text into its tree, as far as it can be understood, and gives all faults in the order
/// of the text. A text without content has no tree.
///
/// What a fault does not touch is read all the same: of two entries with one name the first is
/// kept, a value that cannot be understood is [`Node::Empty`] with a width.
#[must_use]
pub fn read(text: &str) -> (Option<Node>, Vec<Problem>) {
    let (aside, conflicts) = conflict::set_aside(text);
    let text = &*aside;
    let (mut parsed, mut problems) = prepare(text);
    problems.extend(conflicts);
    let mut source = std::borrow::Cow::Borrowed(text);
    let mut holes: Vec<Span> = Vec::new();
    let mut behind_tabs = Vec::new();
    let tree = loop {
        let (builder, reached) = run(&source, &parsed, &holes);
        let stop = match reached {
            Reached::Error(stop) => stop,
            Reached::End | Reached::Limit => {
                let (tree, found) = builder.finish(matches!(reached, Reached::End));
                problems.extend(found);
                break tree;
            }
        };
        let hole = (holes.len() < MOST_STOPS).then(|| hole(text, &stop, &holes)).flatten();
        let reason = syntax::explained(text, &stop);
        let (tree, found) = builder.finish(false);
        let Some(hole) = hole else {
            problems.extend(found);
            problems.push(reason);
            break tree;
        };
        // What was noticed in the entry itself says more than where the parser stumbled over it.
        problems.extend(found.into_iter().filter(|problem| touches(&problem.span, &hole)));
        let tabs = text[hole.start - column(text, hole.start)..hole.start].contains('\t');
        if !problems.iter().any(|problem| touches(&problem.span, &hole)) {
            if tabs { behind_tabs.push(reason) } else { problems.push(reason) }
        }
        source = blanked(&source, std::slice::from_ref(&hole)).into_owned().into();
        parsed = blanked(&parsed, std::slice::from_ref(&hole)).into_owned().into();
        holes.push(hole);
    };
    // A line indented with a tab is named for that, unless it turned out to belong to a block.
    behind_tabs
        .retain(|reason: &Problem| !problems.iter().any(|tab| tab.span.end == reason.span.start));
    problems.extend(behind_tabs);
    for Problem { span, .. } in &mut problems {
        *span = floor_boundary(text, span.start)..ceil_boundary(text, span.end.max(span.start));
    }
    problems.sort_by_key(|problem| (problem.span.start, problem.span.end));
    problems.dedup();
    (tree, problems)
}

fn touches(span: &Span, hole: &Span) -> bool {
    span.start < hole.end && hole.start <= span.start
}

/// How far a reading got: to the end, to something behind which nothing is read, or to a syntax
/// error.
enum Reached {
    End,
    Limit,
    Error(Stop),
}

fn run<'t>(text: &'t str, parsed: &'t str, holes: &'t [Span]) -> (Builder<'t>, Reached) {
    let mut builder = Builder::new(text, parsed, holes);
    let mut bytes = Bytes::new(parsed);
    let mut documents = 0;
    for event in Parser::<StrInput<'_>>::new_from_str(parsed) {
        let (event, span) = match event {
            Ok(event) => event,
            Err(error) => return stopped(builder, &mut bytes, &error),
        };
        let (start, end) = bytes.span(span);
        if matches!(event, Event::DocumentStart(_)) {
            documents += 1;
            if documents > 1 {
                builder.gaps.pass(start);
                builder.fault(explain::second_document(text, start));
                return (builder, Reached::Limit);
            }
        }
        take(&mut builder, event, start, end);
        if builder.too_deep {
            return (builder, Reached::Limit);
        }
    }
    (builder, Reached::End)
}

fn stopped<'t>(
    mut builder: Builder<'t>,
    bytes: &mut Bytes<'_>,
    error: &ScanError,
) -> (Builder<'t>, Reached) {
    let at = bytes.at(error.marker().index());
    if error.info().contains("recursion limit") {
        builder.refuse_depth(at);
        return (builder, Reached::Limit);
    }
    let stop = Stop::new(at, error.info(), &builder);
    (builder, Reached::Error(stop))
}

fn take(builder: &mut Builder<'_>, event: Event<'_>, start: usize, end: usize) {
    let property = match &event {
        Event::Scalar(_, _, anchor, tag) => *anchor > 0 || tag.is_some(),
        Event::SequenceStart(anchor, tag) | Event::MappingStart(anchor, tag) => {
            *anchor > 0 || tag.is_some()
        }
        _ => false,
    };
    let whole = start;
    let start = if property { builder.properties(start, end) } else { start };
    match event {
        Event::Scalar(value, style, _, tag) => {
            let empty = value.is_empty() && style == saphyr_parser::ScalarStyle::Plain;
            if empty && property {
                builder.bare_property(whole, end);
            } else if tag.is_some() {
                // `!fits` is no `fits`, and `!mm 62` no 62.
                builder.pass_value(start, end);
                builder.bare_property(whole, end);
            } else if empty {
                builder.empty(start);
            } else {
                builder.scalar(&value, style, start, end);
            }
        }
        Event::SequenceStart(..) => builder.open(false, start, end),
        Event::MappingStart(..) => builder.open(true, start, end),
        Event::SequenceEnd | Event::MappingEnd => builder.end(start),
        Event::Alias(_) => builder.alias(start, end),
        _ => {}
    }
}

/// From the parser's places, which count characters, to bytes. They mostly come in order, so the
/// way from the last one is short.
struct Bytes<'t> {
    text: &'t [u8],
    ascii: bool,
    chars: usize,
    bytes: usize,
}

impl<'t> Bytes<'t> {
    fn new(text: &'t str) -> Self {
        Self { text: text.as_bytes(), ascii: text.is_ascii(), chars: 0, bytes: 0 }
    }

    fn span(&mut self, span: ParserSpan) -> (usize, usize) {
        let start = self.at(span.start.index());
        (start, self.at(span.end.index()).max(start))
    }

    fn at(&mut self, chars: usize) -> usize {
        if self.ascii {
            return chars.min(self.text.len());
        }
        while self.chars < chars && self.bytes < self.text.len() {
            self.chars += 1;
            self.bytes = self.boundary(self.bytes + 1, 1);
        }
        while self.chars > chars && self.bytes > 0 {
            self.chars -= 1;
            self.bytes = self.boundary(self.bytes - 1, -1);
        }
        self.bytes
    }

    fn boundary(&self, mut byte: usize, step: isize) -> usize {
        while self.text.get(byte).is_some_and(|b| *b & 0xc0 == 0x80) {
            byte = byte.wrapping_add_signed(step);
        }
        byte
    }
}
