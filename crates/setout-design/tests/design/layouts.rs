//! Tables in any layout, edited in any way: only what was asked for differs.

use std::collections::BTreeMap;

use proptest::prelude::*;
use setout_design::{Comparison, Design, EditFault, Field, FieldEdit, Memory, Source, What};

use crate::moves::same_values;
use crate::rename::{rename, text, written};
use crate::texts;

/// A thing of a table as it is to be written.
#[derive(Clone, Debug)]
struct Thing {
    table: usize,
    sort: usize,
    form: usize,
    /// Which things above it are named, and whether bare where that can be.
    names: [(u16, bool); 2],
    /// Comments that adjoin it above, and whether a loose one and a blank line stand above these.
    above: usize,
    loose: bool,
    blank: bool,
    behind: bool,
    below: bool,
}

#[derive(Clone, Debug)]
struct Layout {
    /// In lines, in braces on one line, in braces on many lines, all in braces.
    style: usize,
    indent: usize,
    step: usize,
    line_break: &'static str,
    mark: bool,
    last_break: bool,
    gaps: bool,
}

const TABLES: [&str; 3] = ["a", "b", "e"];
const SECTIONS: [&str; 4] = ["dimensions", "schedules", "checks", "parts"];

/// The tables of a design, and of each thing its name, its lines and its comments.
struct Written {
    memory: Memory,
    things: Vec<Drawn>,
}

#[derive(Debug)]
struct Drawn {
    table: usize,
    name: String,
    sort: usize,
    lines: String,
    comments: Vec<String>,
}

struct Drawer<'a> {
    things: &'a [Thing],
    layouts: &'a [Layout],
    comments: usize,
    drawn: Vec<Drawn>,
}

fn name(things: &[Thing], i: usize) -> String {
    format!("{}{i}", ["d", "k", "c", "p"][things[i].sort])
}

impl Drawer<'_> {
    fn comment(&mut self, own: &mut Vec<String>) -> String {
        self.comments += 1;
        let comment = format!("#@{} µ: {{d1, 'it\"s] b.d2", self.comments);
        own.push(comment.clone());
        comment
    }

    /// A value that names dimensions above this thing, if there are any.
    fn value(&self, i: usize) -> String {
        match (self.reference(i, 0), self.reference(i, 1)) {
            (Some(one), Some(two)) => format!("{one} * 2 - {two}"),
            (Some(one), None) | (None, Some(one)) => format!("{one} + 1 mm"),
            _ => format!("{i}.5 mm"),
        }
    }

    fn reference(&self, i: usize, which: usize) -> Option<String> {
        let (of, bare) = self.things[i].names[which];
        let dimensions: Vec<usize> = (0..i).filter(|of| self.things[*of].sort == 0).collect();
        // Every third value names nothing.
        let of = *dimensions.get(usize::from(of) % (dimensions.len() * 3 / 2).max(1))?;
        let table = self.things[of].table;
        let bare = bare && table == self.things[i].table;
        let name = name(self.things, of);
        Some(if bare { name } else { format!("{}.{name}", TABLES[table]) })
    }

    /// What stands behind the key where that is in braces.
    fn in_flow(&self, i: usize) -> String {
        let (value, thing) = (self.value(i), &self.things[i]);
        match (thing.sort, thing.form % 3) {
            (0, 0) => value,
            (0, 1) => format!("'{value}'"),
            (0, _) => format!("{{ note: \"µ, # no [ x\" , value:  {value}, max: 99 km }}"),
            (1, _) => format!(
                "{{ columns: {{ x: mm, y: text }}, rows: {{ r: [{value}, 'µ, x'], q: [{value}, z] }} }}"
            ),
            (2, 0) => format!("{{ require: {value} > -1 km, why: it must }}"),
            (2, _) => format!("{{ why: 'a, b', require: \"{value} > -1 km\", tight: 1 um }}"),
            (_, 0) => format!("{{ made: bought, cost: 2 GBP, mass: p{i}.quantity * 1 g }}"),
            _ => {
                let uses = self
                    .reference(i, 0)
                    .map_or_else(String::new, |name| format!(", uses: [{name}]"));
                format!("{{ quantity: 2, cost: 0.5 * 3 GBP{uses} }}")
            }
        }
    }

    /// The lines of a thing, each behind its key's indentation.
    fn in_lines(&mut self, i: usize, own: &mut Vec<String>, step: usize) -> String {
        let (key, value, thing) = (name(self.things, i), self.value(i), self.things[i].clone());
        let below = " ".repeat(step);
        let behind = match thing.behind && (thing.sort, thing.form) != (0, 7) {
            true => format!("   {}", self.comment(own)),
            false => String::new(),
        };
        match (thing.sort, thing.form) {
            (0, 2) => format!(
                "{key}:{behind}\n{below}value: {value}\n{below}note: |\n{below}  text # no\n\n{below}   µ"
            ),
            (0, 3) => format!(
                "'{key}':\n{below}note: 'x, y'{behind}\n{below}value: >-\n{below}    {value}"
            ),
            (0, 4) => format!("{key}: {{ value: {value},{behind}\n{below}   min: -99 km }}"),
            (0, 5) => format!("{key}:\n{below}{value}{behind}"),
            (0, 6) => {
                let between = self.comment(own);
                format!(
                    "{key}:{behind}\n{below}value: {value}\n{below}{between}\n{below}max: max(99 km, 1 m)"
                )
            }
            (0, 7) => {
                format!("\"{key}\" :\n{below}value: {value}\n{below}note: |+\n{below} kept\n\n")
            }
            (1, 0..=4) => format!(
                "{key}:{behind}\n{below}columns: {{ x: mm, y: text }}\n{below}rows:\n{below}  r: [{value}, µ]\n{below}  q:\n{below}    - {value}\n{below}    - 'µ, #'"
            ),
            (2, 0..=4) => format!(
                "{key}:{behind}\n{below}require: {value} > -1 km\n{below}why: >\n{below}  it must\n{below}  not"
            ),
            (3, 0..=4) => {
                let uses = self.reference(i, 0).map_or_else(String::new, |name| {
                    let why = self.comment(own);
                    format!("\n{below}uses:\n{below}- {name}   {why}\n{below}- '{name}'")
                });
                format!(
                    "{key}:\n{below}made: bought{behind}\n{below}cost: 1.5 GBP\n{below}mass: {key}.quantity * 2 g{uses}"
                )
            }
            _ => format!("{key}:  {}{behind}", self.in_flow(i)),
        }
    }

    /// The text of a table.
    fn table(&mut self, table: usize) -> String {
        let Layout { style, indent, step, line_break, mark, last_break, gaps } =
            self.layouts[table].clone();
        let mut sections = Vec::new();
        for (sort, section) in SECTIONS.iter().enumerate() {
            let of = |i: &usize| (self.things[*i].table, self.things[*i].sort) == (table, sort);
            let things: Vec<usize> = (0..self.things.len()).filter(of).collect();
            if things.is_empty() {
                continue;
            }
            sections.push(match style {
                0 => format!("{section}:\n{}", self.section_in_lines(&things, indent, step)),
                1 | 3 => {
                    let entries: Vec<String> =
                        things.iter().map(|i| self.entry_in_line(*i)).collect();
                    format!("{section}: {{ {} }}", entries.join(", "))
                }
                _ => format!("{section}: {{\n{}\n  }}", self.section_in_braces(&things, indent)),
            });
        }
        let gap = if gaps { "\n\n" } else { "\n" };
        let mut text = match style {
            3 => format!("{{ about: 'µ',\n  {} }}", sections.join(",\n  ")),
            _ => format!("about: µ{gap}{}", sections.join(gap)),
        };
        if last_break {
            text.push('\n');
        }
        text = text.replace('\n', line_break);
        if mark { format!("\u{feff}{text}") } else { text }
    }

    fn entry_in_line(&mut self, i: usize) -> String {
        let lines = format!("{}: {}", name(self.things, i), self.in_flow(i));
        self.keep(i, lines.clone(), Vec::new());
        lines
    }

    fn keep(&mut self, i: usize, lines: String, comments: Vec<String>) {
        let Thing { table, sort, .. } = self.things[i];
        self.drawn.push(Drawn { table, sort, name: name(self.things, i), lines, comments });
    }

    fn section_in_lines(&mut self, things: &[usize], indent: usize, step: usize) -> String {
        let blanks = " ".repeat(indent);
        let mut lines: Vec<String> = Vec::new();
        for (nth, i) in things.iter().enumerate() {
            let thing = self.things[*i].clone();
            if thing.loose {
                let comment = self.comment(&mut Vec::new());
                lines.push(format!("{blanks}{comment}\n"));
            } else if thing.blank && nth > 0 {
                lines.push(String::new());
            }
            let mut own = Vec::new();
            let mut entry: Vec<String> = (0..thing.above).map(|_| self.comment(&mut own)).collect();
            entry.push(self.in_lines(*i, &mut own, step));
            if thing.below && !(thing.sort == 0 && thing.form == 7) {
                entry.push(format!(" {}", self.comment(&mut own)));
            }
            let line = |line: &str| match line {
                "" => String::new(),
                line => format!("{blanks}{line}"),
            };
            let entry: Vec<String> = entry.join("\n").split('\n').map(line).collect();
            let entry = entry.join("\n");
            self.keep(*i, entry.clone(), own);
            lines.push(entry);
        }
        lines.join("\n")
    }

    fn section_in_braces(&mut self, things: &[usize], indent: usize) -> String {
        let blanks = " ".repeat(indent + 2);
        let mut lines: Vec<String> = Vec::new();
        for (nth, i) in things.iter().enumerate() {
            let thing = self.things[*i].clone();
            let mut own = Vec::new();
            let mut entry: Vec<String> =
                (0..thing.above).map(|_| format!("{blanks}{}", self.comment(&mut own))).collect();
            let comma = if nth + 1 < things.len() || thing.blank { "," } else { "" };
            let behind =
                if thing.behind { format!("  {}", self.comment(&mut own)) } else { String::new() };
            entry.push(format!(
                "{blanks}{}: {}{comma}{behind}",
                name(self.things, *i),
                self.in_flow(*i)
            ));
            self.keep(*i, format!("{}: {}", name(self.things, *i), self.in_flow(*i)), own);
            lines.push(entry.join("\n"));
        }
        lines.join("\n")
    }
}

fn drawn(things: &[Thing], layouts: &[Layout]) -> Written {
    let mut drawer = Drawer { things, layouts, comments: 0, drawn: Vec::new() };
    let tables: Vec<String> = (0..TABLES.len()).map(|table| drawer.table(table)).collect();
    let pairs: Vec<(&str, &str)> =
        TABLES.iter().copied().zip(tables.iter().map(String::as_str)).collect();
    Written { memory: texts(&pairs), things: drawer.drawn }
}

fn thing() -> impl Strategy<Value = Thing> {
    let sort = prop_oneof![4 => Just(0_usize), 1 => Just(1), 1 => Just(2), 1 => Just(3)];
    let names = [(any::<u16>(), any::<bool>()), (any::<u16>(), any::<bool>())];
    (0..3_usize, sort, 0..9_usize, names, 0..3_usize, any::<[bool; 4]>()).prop_map(
        |(table, sort, form, names, above, [loose, blank, behind, below])| Thing {
            table,
            sort,
            form,
            names,
            above: above.saturating_sub(1) + usize::from(above == 2),
            loose,
            blank,
            behind,
            below,
        },
    )
}

fn layout() -> impl Strategy<Value = Layout> {
    let style = prop_oneof![4 => Just(0_usize), 1 => Just(1), 1 => Just(2), 1 => Just(3)];
    let line_break = prop_oneof![4 => Just("\n"), 2 => Just("\r\n"), 1 => Just("\r")];
    (style, 1..5_usize, 1..5_usize, line_break, any::<[bool; 3]>()).prop_map(
        |(style, indent, step, line_break, [mark, last_break, gaps])| Layout {
            style,
            indent,
            step,
            line_break,
            mark,
            last_break,
            gaps,
        },
    )
}

fn designs() -> impl Strategy<Value = Written> {
    let things = prop::collection::vec(thing(), 1..12);
    let layouts = prop::collection::vec(layout(), 3);
    (things, layouts).prop_map(|(things, layouts)| drawn(&things, &layouts))
}

impl std::fmt::Debug for Written {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        for table in TABLES {
            writeln!(f, "--- {table}\n{}", text(&self.memory, table))?;
        }
        write!(f, "---")
    }
}

/// How often each comment stands in some tables.
fn comments(memory: &Memory, tables: &[&str]) -> BTreeMap<String, usize> {
    let mut found = BTreeMap::new();
    for table in tables {
        for piece in text(memory, table).split(['\n', '\r']) {
            if let Some(at) = piece.find("#@") {
                *found.entry(piece[at..].to_owned()).or_insert(0) += 1;
            }
        }
    }
    found
}

/// Whether a thing is named in some lines.
fn is_named(lines: &str, name: &str) -> bool {
    let word = |c: char| c.is_ascii_alphanumeric() || c == '_';
    lines.split(|c| !word(c)).any(|found| found == name)
}

/// The line breaks of a text are all of one sort, and its mark is there if it was.
fn keeps_its_manners(before: &str, after: &str) -> bool {
    let sort = |text: &str| {
        let pairs = text.matches("\r\n").count();
        [text.matches('\n').count() - pairs, text.matches('\r').count() - pairs, pairs]
            .map(|n| n > 0)
    };
    let (was, is) = (sort(before), sort(after));
    let known = was.iter().filter(|has| **has).count() > 0;
    let same = (0..3).all(|i| !is[i] || was[i] || !known);
    same && before.starts_with('\u{feff}') == after.starts_with('\u{feff}')
}

fn lines_of(lines: &str, like: &str) -> String {
    let line_break = if like.contains("\r\n") {
        "\r\n"
    } else if like.contains('\r') {
        "\r"
    } else {
        "\n"
    };
    lines.trim_end().replace('\n', line_break)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_goes_to_another_table_takes_its_own_along(design in designs(), which in any::<prop::sample::Index>(), to in 1..3_usize, called in 0..3_usize) {
        let Written { memory, things } = &design;
        let before = Design::read(memory).evaluate();
        prop_assert!(before.faults().is_empty(), "{:?}\n{design:?}", before.faults());
        let thing = &things[which.index(things.len())];
        let (from, table) = (TABLES[thing.table], TABLES[(thing.table + to) % 3]);
        // The name that it has, another, or one that something beside it has.
        let beside = things.iter().find(|other| other.table == thing.table && other.name != thing.name);
        let new = match (called, beside) {
            (0, _) => thing.name.clone(),
            (1, Some(beside)) => beside.name.clone(),
            _ => format!("x{}", thing.name),
        };
        let (old, new) = (format!("{from}.{}", thing.name), format!("{table}.{new}"));
        let there = rename(memory, &old, &new);
        prop_assert!(there.is_ok(), "{}\n{design:?}", there.unwrap_err());
        let there = there.unwrap();
        let after = written(memory, &there);
        same_values(memory, &after, &there);
        // No comment is lost, and those of the thing are where it is.
        let all = |memory: &Memory| comments(memory, &TABLES);
        prop_assert_eq!(all(memory), all(&after), "{:?}", design);
        let own = comments(&after, &[table]);
        for comment in &thing.comments {
            prop_assert!(own.contains_key(comment), "{comment} of {old}\n{design:?}\n{}", text(&after, table));
        }
        // The others stand where they stood, byte for byte.
        for other in things.iter().filter(|other| other.name != thing.name && !is_named(&other.lines, &thing.name)) {
            let text = text(&after, TABLES[other.table]);
            let lines = lines_of(&other.lines, &crate::rename::text(memory, TABLES[other.table]));
            prop_assert!(text.contains(&lines), "{lines:?}\n{design:?}\n{text}");
        }
        for table in TABLES {
            prop_assert!(keeps_its_manners(&text(memory, table), &text(&after, table)), "{design:?}\n{:?}", text(&after, table));
        }
        let found = Comparison::of(&before, &Design::read(&after).evaluate());
        prop_assert!(found.changed.is_empty());
        // And back.
        let back = rename(&after, &new, &old);
        prop_assert!(back.is_ok(), "{}\n{design:?}\n{}", back.unwrap_err(), text(&after, table));
        let twice = written(&after, &back.unwrap());
        prop_assert!(Comparison::of(&before, &Design::read(&twice).evaluate()).is_empty());
        prop_assert_eq!(all(memory), all(&twice));
    }

    #[test]
    fn a_table_under_another_name_is_the_same_table(design in designs(), which in 0..3_usize) {
        let Written { memory, .. } = &design;
        let there = rename(memory, TABLES[which], "other").unwrap();
        let after = written(memory, &there);
        same_values(memory, &after, &there);
        let back = rename(&after, "other", TABLES[which]).unwrap();
        prop_assert_eq!(&written(&after, &back), memory);
    }

    #[test]
    fn fields_of_anything_are_set_and_taken_out(design in designs(), edits in prop::collection::vec((any::<prop::sample::Index>(), any::<prop::sample::Index>(), 0..4_usize), 1..5)) {
        let Written { memory, things } = &design;
        let before = Design::read(memory).evaluate();
        prop_assert!(before.faults().is_empty(), "{:?}\n{design:?}", before.faults());
        let mut asked: Vec<(String, Field, Option<&str>)> = Vec::new();
        for (which, field, new) in edits {
            let thing = &things[which.index(things.len())];
            let Some((field, new)) = field_edit(thing.sort, field, new) else { continue };
            let name = format!("{}.{}", TABLES[thing.table], thing.name);
            if !asked.iter().any(|(other, of, _)| (other, *of) == (&name, field)) {
                asked.push((name, field, new));
            }
        }
        let set = |memory: &Memory| {
            let edits: Vec<FieldEdit<'_>> = asked.iter().map(|(name, field, new)| FieldEdit { name, field: *field, new: *new }).collect();
            Design::read(memory).fields_edit(memory, &edits, true)
        };
        let edit = match set(memory) {
            Ok(edit) => edit,
            // Limits that exclude each other, a text with limits: that is no fault of writing.
            Err(EditFault::Brings { faults, .. }) => {
                let told = faults.iter().all(|fault| matches!(fault.slug.as_str(), "bad-limits" | "unit-mismatch" | "cycle"));
                prop_assert!(told, "{faults:?}\n{asked:?}\n{design:?}");
                return Ok(());
            }
            Err(other) => return Err(TestCaseError::fail(format!("{other}\n{asked:?}\n{design:?}"))),
        };
        let mut after = memory.clone();
        for (path, [was, is]) in &edit.files {
            let read = memory.read(path).unwrap();
            prop_assert_eq!(was.as_bytes(), read.as_slice());
            after.insert(path, is.as_str());
        }
        // All that was not asked for is there byte for byte.
        let touched = |other: &Drawn| asked.iter().any(|(name, ..)| *name == format!("{}.{}", TABLES[other.table], other.name));
        for other in things.iter().filter(|other| !touched(other)) {
            let lines = lines_of(&other.lines, &text(memory, TABLES[other.table]));
            prop_assert!(text(&after, TABLES[other.table]).contains(&lines), "{lines:?}\n{asked:?}\n{design:?}");
        }
        for table in TABLES {
            prop_assert!(keeps_its_manners(&text(memory, table), &text(&after, table)), "{asked:?}\n{design:?}\n{:?}", text(&after, table));
        }
        if asked.iter().all(|(_, _, new)| new.is_some()) {
            // A list written anew may only lose what stood at an item that is gone.
            let lists = asked.iter().any(|(_, field, _)| field.is_list());
            let (was, is) = (comments(memory, &TABLES), comments(&after, &TABLES));
            prop_assert!(lists || was == is, "{asked:?}\n{design:?}\n{:?}", edit.files);
        }
        let found = Comparison::of(&before, &Design::read(&after).evaluate());
        for one in &found.edits {
            let meant = asked.iter().any(|(name, field, _)| one.name == *name || one.name == format!("{name}.{}", field.key()));
            prop_assert!(meant && one.what != What::Renamed, "{one:?}\n{asked:?}\n{design:?}");
        }
        // A second time there is nothing to do.
        let again = set(&after);
        prop_assert!(again.is_ok(), "{}\n{asked:?}\n{design:?}", again.unwrap_err());
        prop_assert!(again.unwrap().files.is_empty(), "{asked:?}\n{design:?}");
    }
}

/// A field of a sort of thing, and what it could hold.
fn field_edit(
    sort: usize,
    field: prop::sample::Index,
    new: usize,
) -> Option<(Field, Option<&'static str>)> {
    let fields: &[(Field, [Option<&'static str>; 4])] = match sort {
        0 => &[
            (
                Field::Value,
                [Some("7 mm"), Some("1 mm + 2 mm"), Some("max(7 mm, 8 mm)"), Some("-2e-1 mm")],
            ),
            (Field::Unit, [Some("in"), Some("m"), Some("cm"), None]),
            (Field::Min, [Some("-9 km"), Some("min(-9 km, -8 km)"), Some("-1 mm - 9 km"), None]),
            (Field::Max, [Some("9 km"), Some("max(8 km, 9 km)"), Some("1 mm + 9 km"), None]),
            (
                Field::Travel,
                [
                    Some("-9 km, 9 km"),
                    Some("[-1 km, max(1 km, 9 km)]"),
                    Some("[ -7 km ,8 km ]"),
                    None,
                ],
            ),
            (Field::Tolerance, [Some("±0.2 mm"), Some("+0.1 -0.3 mm"), Some("printed"), None]),
            (Field::Spread, [Some("uniform"), Some("normal"), Some("triangular"), None]),
            (Field::Note, [Some("a: b, #c [µ"), Some("no"), Some("'x' \"y\" \\"), None]),
        ],
        2 => &[
            (
                Field::Require,
                [
                    Some("1 mm > 0 mm"),
                    Some("max(1 mm, 2 mm) >= 1 mm && true"),
                    Some("2 > 1"),
                    Some("!(1 > 2)"),
                ],
            ),
            (Field::Tight, [Some("1 um"), Some("max(1 um, 2 um)"), Some("3 nm"), None]),
            (Field::Why, [Some("µ: because # of"), Some("12"), Some("- x"), None]),
        ],
        3 => &[
            (Field::Made, [Some("printed"), Some("cut"), Some("bought"), None]),
            (Field::Material, [Some("PETG, black"), Some("010"), Some("{x}"), None]),
            (Field::Quantity, [Some("3"), Some("2 * 2"), Some("max(1, 2)"), None]),
            (Field::Cost, [Some("3 GBP"), Some("max(1 GBP, 2 GBP)"), Some("2 * 1 GBP"), None]),
            (Field::Mass, [Some("3 g"), Some("min(1 g, 2 g)"), Some("2 * 1 g"), None]),
            (Field::Note, [Some("# first"), Some("~"), Some(": x"), None]),
        ],
        _ => return None,
    };
    let (field, texts) = &fields[field.index(fields.len())];
    Some((*field, texts[new]))
}
