//! The merged text, put together of the lines of both sides.

use std::collections::{BTreeSet, HashMap};

use super::ThreeWay;
use super::leaf::{Leaf, comment_lines, same_lines};
use super::lines::{self, Stretch};
use super::meaning::{Meaning, columns_of, is_container, is_row, name_of};
use super::output::{ConflictKind, Marked, Output};
use super::renamed::Renamed;
use super::settle::{Side, in_order, settle};
use super::table::State;
use crate::yaml::{Block, Node, Piece, Span, read};

/// The same thing in base, ours and theirs.
type Three<T> = [Option<T>; 3];
const OURS: usize = 1;
const THEIRS: usize = 2;

/// The columns of a schedule whose sides do not have the same.
struct Columns {
    merged: Vec<String>,
    of: [Vec<String>; 3],
}

pub(super) struct Writer<'a> {
    states: [&'a State; 3],
    renamed: &'a Renamed,
    meanings: &'a [Meaning; 3],
    path: Vec<String>,
    columns: Option<Columns>,
    output: Output,
    marked: BTreeSet<Vec<String>>,
}

impl<'a> Writer<'a> {
    pub(super) fn new(
        states: [&'a State; 3],
        renamed: &'a Renamed,
        meanings: &'a [Meaning; 3],
    ) -> Self {
        Self {
            states,
            renamed,
            meanings,
            path: Vec::new(),
            columns: None,
            output: Output::default(),
            marked: BTreeSet::new(),
        }
    }

    /// The text, and the paths of all conflicts in it.
    pub(super) fn finish(self) -> (Output, BTreeSet<Vec<String>>) {
        (self.output, self.marked)
    }

    pub(super) fn root(&mut self, blocks: Three<&Block<'_>>) {
        self.block(blocks, 0);
    }

    fn text(&self, side: usize, span: &Span) -> &'a str {
        &self.states[side].text[span.clone()]
    }

    /// All entries of a block that ours and theirs have, and what stands behind the last one.
    fn block(&mut self, blocks: Three<&Block<'_>>, column: usize) {
        let named = |block: &'_ Block<'_>| -> Vec<String> {
            let section = self.path.first().filter(|_| self.path.len() == 1);
            let name = |key: &str| match section {
                Some(section) => self.renamed.name(section, key).to_owned(),
                None => key.to_owned(),
            };
            block.pieces.iter().map(|piece| name(&piece.key)).collect()
        };
        let keys = blocks.map(|block| block.map_or_else(Vec::new, named));
        let pieces: [HashMap<&str, &Piece<'_>>; 3] = std::array::from_fn(|side| {
            let own = blocks[side].map_or(&[][..], |block| &block.pieces);
            keys[side].iter().map(String::as_str).zip(own).collect()
        });
        let listed = |side: usize| keys[side].iter().map(String::as_str).collect::<Vec<_>>();
        let column = blocks[OURS]
            .and_then(|block| block.pieces.first())
            .map_or(column, |piece| piece.column);
        for key in in_order(&listed(OURS), &listed(THEIRS)) {
            let three = std::array::from_fn(|side| pieces[side].get(key.as_str()).copied());
            self.path.push(key);
            self.piece(three, column);
            self.path.pop();
        }
        let tails = std::array::from_fn(|side| {
            blocks[side].map_or("", |block| self.text(side, &block.tail))
        });
        self.loose(tails);
    }

    fn piece(&mut self, three: Three<&Piece<'_>>, column: usize) {
        if self.renamed.unsettled(&self.path).is_some() {
            return self.conflict(three, ConflictKind::Renamed, Vec::new(), (true, column));
        }
        match three {
            [_, None, None] => {}
            [None, Some(own), None] => self.whole(own, OURS, column),
            [None, None, Some(own)] => self.whole(own, THEIRS, column),
            [Some(base), Some(own), None] => self.deleted(three, [(base, 0), (own, OURS)], column),
            [Some(base), None, Some(own)] => {
                self.deleted(three, [(base, 0), (own, THEIRS)], column)
            }
            [base, Some(ours), Some(theirs)] => self.both(base, ours, theirs, column),
        }
    }

    /// An entry of one side alone.
    fn whole(&mut self, piece: &Piece<'_>, side: usize, column: usize) {
        let lead = self.text(side, &piece.lead);
        self.output.push(lead);
        self.body(piece, side, column);
    }

    /// The lines of an entry, without those above it.
    fn body(&mut self, piece: &Piece<'_>, side: usize, column: usize) {
        let body = self.text(side, &piece.body);
        let moved = self
            .columns
            .as_ref()
            .is_some_and(|columns| is_row(&self.path) && columns.of[side] != columns.merged);
        if moved {
            return self.leaf([None; 3], &[(piece, side)], column);
        }
        if piece.column == column {
            return self.output.push(body);
        }
        match Leaf::of(body, piece.column) {
            Some(leaf) => self.output.push(&leaf.indented(column)),
            // That the text says what it should is looked at in the end.
            None => self.output.push(body),
        }
    }

    /// One side deleted it. That holds where the other left it as it was.
    fn deleted(
        &mut self,
        three: Three<&Piece<'_>>,
        [base, own]: [(&Piece<'_>, usize); 2],
        column: usize,
    ) {
        if !self.is_unchanged(base, own) {
            self.conflict(three, ConflictKind::Deleted, Vec::new(), (true, column));
        }
    }

    /// Whether an entry says the same as in the base, with the same comments.
    fn is_unchanged(&self, base: (&Piece<'_>, usize), own: (&Piece<'_>, usize)) -> bool {
        let [was, is] = [base, own].map(|(piece, side)| {
            (self.text(side, &piece.lead), self.text(side, &piece.body), piece.column)
        });
        if comment_lines(was.0) != comment_lines(is.0) {
            return false;
        }
        let comments = |of: (&str, &str, usize)| Leaf::of(of.1, of.2)?.comments();
        same_lines((was.1, was.2), (is.1, is.2))
            || (self.meanings[0].at(&self.path) == self.meanings[own.1].at(&self.path)
                && comments(was).is_some_and(|was| Some(was) == comments(is)))
    }

    fn both(
        &mut self,
        base: Option<&Piece<'_>>,
        ours: &Piece<'_>,
        theirs: &Piece<'_>,
        column: usize,
    ) {
        let lead = |side: usize, piece: &Piece<'_>| self.text(side, &piece.lead);
        let leads = [base.map_or("", |base| lead(0, base)), lead(OURS, ours), lead(THEIRS, theirs)];
        self.loose(leads);
        let lines = |side: usize, piece: &Piece<'_>| (self.text(side, &piece.body), piece.column);
        let (own, other) = (lines(OURS, ours), lines(THEIRS, theirs));
        let was = base.map(|base| lines(0, base));
        let is = |a: Option<(&str, usize)>, b| a.is_some_and(|a| same_lines(a, b));
        match () {
            () if self.renamed.is_open(&self.path) => {
                self.changed([base, Some(ours), Some(theirs)], column);
            }
            () if same_lines(own, other) || is(was, other) => self.body(ours, OURS, column),
            () if is(was, own) => self.body(theirs, THEIRS, column),
            () => self.changed([base, Some(ours), Some(theirs)], column),
        }
    }

    /// Both sides changed an entry. What stands in lines below its key is merged by itself.
    fn changed(&mut self, three: Three<&Piece<'_>>, column: usize) {
        let inner = three.map(|piece| piece.and_then(|piece| piece.inner.as_ref()));
        let parted = match inner {
            [Some(_), Some(_), Some(_)] => true,
            [None, Some(_), Some(_)] => three[0].is_none() && is_container(&self.path),
            _ => false,
        };
        if !parted {
            let sides = [(three[OURS], OURS), (three[THEIRS], THEIRS)];
            let sides: Vec<_> =
                sides.into_iter().filter_map(|(piece, side)| Some((piece?, side))).collect();
            return self.leaf(three, &sides, column);
        }
        let heads = std::array::from_fn(|side| {
            inner[side].map_or("", |block| self.text(side, &block.head))
        });
        let Some(head) = self.head(heads) else {
            return self.conflict(three, ConflictKind::Comment, Vec::new(), (false, column));
        };
        match self.path.len() == 2 && self.path[0] == "schedules" {
            true => self.schedule(three, inner, &head, column),
            false => {
                self.output.push(&head);
                self.block(inner, column + 2);
            }
        }
    }

    /// The line of a key with what stands below it.
    fn head(&self, heads: [&str; 3]) -> Option<String> {
        let [base, ours, theirs] = heads;
        match () {
            () if ours == theirs || theirs == base => Some(ours.to_owned()),
            () if ours == base => Some(theirs.to_owned()),
            () if base.is_empty() && comment_lines_behind(ours) == comment_lines_behind(theirs) => {
                Some(ours.to_owned())
            }
            () => None,
        }
    }

    /// A schedule. Cells have no names of their own: where the sides have not the same columns, rows
    /// are written anew by the names of these, or all of it is in conflict.
    fn schedule(
        &mut self,
        three: Three<&Piece<'_>>,
        inner: Three<&Block<'_>>,
        head: &str,
        column: usize,
    ) {
        let of = three.map(|piece| piece.map_or_else(Vec::new, |piece| columns_of(piece.node)));
        let mut apart = self.apart();
        if of[OURS] != of[THEIRS] || (of[0] != of[OURS] && three[0].is_some()) {
            match self.merged_columns(inner, column) {
                Some(merged) => apart.columns = Some(Columns { merged, of }),
                None => {
                    return self.conflict(
                        three,
                        ConflictKind::Changed,
                        Vec::new(),
                        (false, column),
                    );
                }
            }
        }
        apart.output.push(head);
        apart.block(inner, column + 2);
        if apart.columns.is_some() && apart.output.has_conflicts() {
            return self.conflict(three, ConflictKind::Changed, Vec::new(), (false, column));
        }
        self.output.append(apart.output);
        self.marked.extend(apart.marked);
    }

    /// A writer for the same place, whose lines may be thrown away.
    fn apart(&self) -> Self {
        Self { path: self.path.clone(), ..Self::new(self.states, self.renamed, self.meanings) }
    }

    /// The columns that a schedule comes to, in their order, if they are settled.
    fn merged_columns(&self, inner: Three<&Block<'_>>, column: usize) -> Option<Vec<String>> {
        let mut apart = self.apart();
        let find = |block: Option<&'_ Block<'_>>| {
            block?.pieces.iter().position(|piece| piece.key == "columns")
        };
        let at = inner.map(find);
        let three = std::array::from_fn(|side| Some(&inner[side]?.pieces[at[side]?]));
        apart.path.push("columns".to_owned());
        apart.piece(three, column);
        let text = format!("of:\n{}", indented(&apart.output.side(Side::Ours)));
        let (Some(Node::Map(map)), _) = read(&text) else { return None };
        let columns = columns_of(map.get("of")?);
        (!apart.output.has_conflicts() && !columns.is_empty()).then_some(columns)
    }

    /// An entry made of the lines of one side, with the fields of the other.
    fn leaf(&mut self, three: Three<&Piece<'_>>, sides: &[(&Piece<'_>, usize)], column: usize) {
        let mut conflicts = Vec::new();
        let meanings = self.meanings.each_ref().map(|meaning| meaning.at(&self.path));
        let none = BTreeSet::new();
        let wanted = settle(&mut self.path.clone(), meanings, Side::Ours, &none, &mut conflicts);
        let own = |side: usize| sides.iter().find(|(_, of)| *of == side).map(|(piece, _)| *piece);
        let shown =
            if three.iter().all(Option::is_none) { [None, own(OURS), own(THEIRS)] } else { three };
        if !conflicts.is_empty() {
            let is_new = shown[0].is_none();
            let what = if is_new { ConflictKind::Added } else { ConflictKind::Changed };
            return self.conflict(shown, what, conflicts, (false, column));
        }
        let Some(carriers) = self.carriers(three, sides) else {
            return self.conflict(shown, ConflictKind::Comment, Vec::new(), (false, column));
        };
        let new = self.new_comments(three, sides);
        let written = wanted.and_then(|wanted| {
            let ways = carriers.iter();
            let mut ways =
                ways.filter_map(|(piece, side)| self.carried(piece, *side, &wanted, column));
            // A comment that goes with a field must not go unseen.
            ways.find(|lines| new.iter().all(|comment| lines.contains(comment)))
        });
        match written {
            Some(lines) => self.output.push(&lines),
            None => self.conflict(shown, ConflictKind::Changed, Vec::new(), (false, column)),
        }
    }

    /// The sides whose comments are to stay, ours first; none where both changed them.
    fn carriers<'p, 'n>(
        &self,
        three: Three<&Piece<'_>>,
        sides: &[(&'p Piece<'n>, usize)],
    ) -> Option<Vec<(&'p Piece<'n>, usize)>> {
        let [(ours, _), (theirs, _)] = sides else { return Some(sides.to_vec()) };
        let comments = |piece: &Piece<'_>, side: usize| {
            Leaf::of(self.text(side, &piece.body), piece.column)?.comments()
        };
        let was = three[0].map_or(Some(Vec::new()), |base| comments(base, 0))?;
        let (own, other) = (comments(ours, OURS)?, comments(theirs, THEIRS)?);
        let kept = match () {
            () if own == other => vec![sides[0], sides[1]],
            () if other == was => vec![sides[0]],
            () if own == was => vec![sides[1]],
            () => return None,
        };
        Some(kept)
    }

    /// The comments that a side wrote and the base has not.
    fn new_comments(&self, three: Three<&Piece<'_>>, sides: &[(&Piece<'_>, usize)]) -> Vec<String> {
        let comments = |piece: &Piece<'_>, side: usize| {
            Leaf::of(self.text(side, &piece.body), piece.column)
                .and_then(|leaf| leaf.comments())
                .unwrap_or_default()
        };
        let was = three[0].map_or_else(Vec::new, |base| comments(base, 0));
        let all = sides.iter().flat_map(|(piece, side)| comments(piece, *side));
        all.filter(|comment| !was.contains(comment)).collect()
    }

    /// An entry's lines, saying what is wanted.
    fn carried(
        &self,
        piece: &Piece<'_>,
        side: usize,
        wanted: &Meaning,
        column: usize,
    ) -> Option<String> {
        let columns = self.columns.as_ref().filter(|_| is_row(&self.path));
        let own;
        let (merged, reordered): (&[String], bool) = match columns {
            Some(columns) => (&columns.merged, columns.of[side] != columns.merged),
            None if is_row(&self.path) => {
                own = self.columns_at(side);
                (&own, false)
            }
            None => (&[], false),
        };
        let now = self.meanings[side].at(&self.path)?;
        let leaf = Leaf::of(self.text(side, &piece.body), piece.column)?;
        let leaf = leaf.called(self.path.last()?)?;
        let leaf = match now == wanted && !reordered {
            true => leaf,
            false => leaf.saying(now, wanted, merged)?,
        };
        Some(leaf.indented(column))
    }

    /// The columns of the schedule that the path is in, on a side.
    fn columns_at(&self, side: usize) -> Vec<String> {
        let columns = [&self.path[..2], &["columns".to_owned()]].concat();
        let found = self.meanings[side].at(&columns);
        found.map_or_else(Vec::new, |of| of.entries().iter().map(|(key, _)| key.clone()).collect())
    }

    /// Marks an entry. `fields` are the places below that are in conflict, if they are known, and
    /// `with_lead` says whether the lines above go with it.
    fn conflict(
        &mut self,
        three: Three<&Piece<'_>>,
        what: ConflictKind,
        fields: Vec<Vec<String>>,
        (with_lead, column): (bool, usize),
    ) {
        let lines = |side: usize| {
            let piece = three[side]?;
            let lead = if with_lead { self.text(side, &piece.lead) } else { "" };
            let body = self.text(side, &piece.body);
            let moved = Leaf::of(body, piece.column).filter(|_| piece.column != column);
            let body = moved.map_or_else(|| body.to_owned(), |leaf| leaf.indented(column));
            Some(format!("{lead}{body}"))
        };
        let [base, ours, theirs] = std::array::from_fn(lines);
        let what = if what == ConflictKind::Changed && base.is_none() {
            ConflictKind::Added
        } else {
            what
        };
        let names = match (self.renamed.unsettled(&self.path), fields.is_empty()) {
            // By the name that both sides know.
            (Some(old), _) => vec![old.to_owned()],
            (None, true) => vec![name_of(&self.path)],
            (None, false) => fields.iter().map(|path| name_of(path)).collect(),
        };
        self.marked.insert(self.path.clone());
        self.output.conflict(Marked { names, what, base, ours, theirs });
    }

    /// Lines between the entries: comments and blank lines.
    fn loose(&mut self, [base, ours, theirs]: [&str; 3]) {
        for stretch in lines::merged(base, ours, theirs) {
            match stretch {
                Stretch::Settled(lines) => self.output.push(&lines),
                // Only blank lines differ.
                Stretch::Conflict { ours, theirs, .. }
                    if comment_lines(&ours) == comment_lines(&theirs) =>
                {
                    self.output.push(&ours);
                }
                Stretch::Conflict { base, ours, theirs } => self.output.conflict(Marked {
                    names: vec![name_of(&self.path)],
                    what: ConflictKind::Comment,
                    base: Some(base),
                    ours: Some(ours),
                    theirs: Some(theirs),
                }),
            }
        }
    }
}

/// Deeper by a step.
fn indented(lines: &str) -> String {
    lines.split_inclusive('\n').map(|line| format!("  {line}")).collect()
}

/// What stands behind the key of a head.
fn comment_lines_behind(head: &str) -> Option<&str> {
    head.split_once('#').map(|(_, comment)| comment.trim())
}

/// The lines of three texts merged, where they are no tables.
pub(super) fn by_lines(texts: ThreeWay<'_>) -> Output {
    let mut output = Output::default();
    for stretch in lines::merged(texts.base, texts.ours, texts.theirs) {
        match stretch {
            Stretch::Settled(lines) => output.push(&lines),
            Stretch::Conflict { base, ours, theirs } => output.conflict(Marked {
                names: vec![String::new()],
                what: ConflictKind::Lines,
                base: Some(base).filter(|lines| !lines.is_empty()),
                ours: Some(ours).filter(|lines| !lines.is_empty()),
                theirs: Some(theirs).filter(|lines| !lines.is_empty()),
            }),
        }
    }
    output
}
