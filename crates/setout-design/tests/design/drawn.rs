//! Random designs, drawn in random layouts.

use proptest::prelude::*;
use setout_design::Memory;

use crate::rename::text;
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

pub(crate) const TABLES: [&str; 3] = ["a", "b", "e"];
const SECTIONS: [&str; 4] = ["dimensions", "schedules", "checks", "parts"];

/// The tables of a design, and of each thing its name, its lines and its comments.
pub(crate) struct Written {
    pub(crate) memory: Memory,
    pub(crate) things: Vec<Drawn>,
}

#[derive(Debug)]
pub(crate) struct Drawn {
    pub(crate) table: usize,
    pub(crate) name: String,
    pub(crate) sort: usize,
    pub(crate) lines: String,
    pub(crate) comments: Vec<String>,
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

/// Designs of three tables that read each other, each in a layout of its own.
pub(crate) fn designs() -> impl Strategy<Value = Written> {
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
