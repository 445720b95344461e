//! The command's part of the documents: `docs/commands.md` is its help, and calls that the other
//! pages show are made here.
//!
//! Between `<!-- generated: design: setout … -->` and `<!-- end -->` stands a call with its answer.
//! `design` says what the call is made on: `sample`, a copy of the design in `params` under git;
//! `edited`, the same with a jaw 2 mm wider that is not committed yet; `written`, another copy that
//! may be written to; `slip` and `taken`, small designs with something wrong. Of a list in JSON only the first entry is shown, and `…` for the
//! others.
//!
//! With `UPDATE=1` in the environment the documents are written anew: read the difference.

use std::path::{Path, PathBuf};
use std::{env, fmt, fs};

use git2::{IndexAddOption, Repository, Signature, Time};
use serde::de::{Error, MapAccess, SeqAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize};
use setout_cli::Io;
use tempfile::TempDir;

#[test]
fn the_reference_of_commands_is_current() {
    let intro = "# Commands\n\n<!-- The help of the command, written by a test: \
                 UPDATE=1 cargo test -p setout-cli --test reference -->\n\n";
    let mut fresh = intro.to_owned();
    let whole = help("");
    fresh += &page(&whole, "setout", true);
    for name in names(&whole) {
        fresh += &page(&help(&name), &format!("setout {name}"), false);
    }
    expect(&docs().join("commands.md"), &format!("{}\n", fresh.trim_end()));
}

#[test]
fn the_calls_that_are_shown_answer_so() {
    let benches = Benches::new();
    for name in ["README.md", "json.md", "faults.md", "ci.md", "format.md", "assessment.md"] {
        let path = docs().join(name);
        let text = fs::read_to_string(&path).expect("the document is there");
        expect(&path, &with_answers(&text, &benches));
    }
}

fn docs() -> PathBuf {
    root().join("docs")
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// Compares a document, or writes it anew.
fn expect(path: &Path, fresh: &str) {
    let old = fs::read_to_string(path).unwrap_or_default();
    if old == fresh {
        return;
    }
    if env::var_os("UPDATE").is_some() {
        return fs::write(path, fresh).expect("the document is written");
    }
    let line = old.lines().zip(fresh.lines()).find(|(old, fresh)| old != fresh);
    panic!("{}: UPDATE=1 takes the second line over: {line:#?}", path.display());
}

/// Runs a call in a folder; gives both streams.
fn run(call: &str, here: &Path, width: usize) -> String {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let mut io = Io::new(&mut out, &mut err, here.to_owned());
    io.width = width;
    setout_cli::run(call.split_whitespace().map(Into::into), &mut io);
    drop(io);
    String::from_utf8(out).expect("UTF-8") + &String::from_utf8(err).expect("UTF-8")
}

/// So wide that no line of help is wrapped.
const UNWRAPPED: usize = 10_000;

fn help(command: &str) -> String {
    run(&format!("setout {command} --help"), Path::new("/"), UNWRAPPED)
}

/// The names of all commands, from the help of the whole.
fn names(help: &str) -> Vec<String> {
    let list = help.split("Commands:\n").nth(1).expect("a list of commands");
    let rows = list.lines().take_while(|line| !line.is_empty());
    rows.filter_map(|row| row.split_whitespace().next()).map(str::to_owned).collect()
}

/// A help text as Markdown.
fn page(help: &str, name: &str, whole: bool) -> String {
    let mut page = if whole { String::new() } else { format!("## `{name}`\n\n") };
    for section in help.trim_end().split("\n\n") {
        let (first, rest) = section.split_once('\n').unwrap_or((section, ""));
        match first.strip_suffix(':').filter(|_| !rest.is_empty()) {
            // They are said once, with the whole.
            Some("Options of every command") if !whole => {}
            Some("Commands") => {
                page += &table("command", rest, |name| format!("[`{name}`](#setout-{name})"))
            }
            Some(heading) => {
                page += &table(&heading.to_lowercase(), rest, |flag| format!("`{flag}`"))
            }
            None => page += &paragraph(section),
        }
    }
    page
}

fn paragraph(text: &str) -> String {
    match text.strip_prefix("Usage: ") {
        Some(usage) => format!("```text\n{usage}\n```\n\n"),
        None => format!("{}\n\n", sentence(&cell(&text.replace('\n', " ")))),
    }
}

fn sentence(text: &str) -> String {
    if text.ends_with('.') { text.to_owned() } else { format!("{text}.") }
}

/// The rows of a section: a flag or a name, two blanks or a new line, and what it is.
fn table(heading: &str, rows: &str, name: impl Fn(&str) -> String) -> String {
    let mut entries: Vec<(String, String)> = Vec::new();
    for row in rows.lines().filter(|row| !row.trim().is_empty()) {
        let (flag, what) = row.trim().split_once("  ").unwrap_or((row.trim(), ""));
        let begins = row.starts_with("  ") && !row.starts_with("       ");
        match entries.last_mut() {
            Some((_, said)) if !begins => *said = format!("{said} {}", row.trim()),
            _ => entries.push((flag.to_owned(), what.trim().to_owned())),
        }
    }
    let row = |(flag, what): (String, String)| format!("| {} | {} |\n", name(&flag), cell(&what));
    // That every command has this one goes without saying.
    entries.retain(|(flag, _)| flag != "-h, --help");
    if entries.is_empty() {
        return String::new();
    }
    let rows: String = entries.into_iter().map(row).collect();
    format!("| {heading} | |\n| --- | --- |\n{rows}\n")
}

fn cell(text: &str) -> String {
    text.trim().replace('|', "\\|").replace('<', "&lt;")
}

fn with_answers(text: &str, benches: &Benches) -> String {
    let mut fresh = String::new();
    let mut rest = text;
    while let Some((before, behind)) = rest.split_once("<!-- generated: ") {
        let (what, behind) = behind.split_once(" -->\n").expect("the comment is closed");
        let (old, behind) = behind.split_once("<!-- end -->").expect("the region has an end");
        let answer = what.split_once(": ").map(|(bench, call)| benches.shown(bench, call));
        fresh += &format!("{before}<!-- generated: {what} -->\n");
        fresh += &answer.unwrap_or_else(|| old.to_owned());
        fresh += "<!-- end -->";
        rest = behind;
    }
    fresh + rest
}

/// The designs that calls are made on.
struct Benches {
    sample: TempDir,
    edited: TempDir,
    written: TempDir,
    slip: TempDir,
    taken: TempDir,
    walked: TempDir,
}

impl Benches {
    fn new() -> Self {
        let edited = sample();
        let jaw = edited.path().join("params/jaw.yaml");
        let text = fs::read_to_string(&jaw).expect("a table");
        let wider = text.replacen("value: 62 mm", "value: 64 mm", 1);
        assert_ne!(text, wider, "the jaw of the sample is 62 mm wide");
        fs::write(jaw, wider).expect("a table");
        let lid = "dimensions:\n  width: 62 mm\n  inner: widht - 2 * 1.5 mm\n  gap: inner / 4\n";
        let slip =
            small(&[("params/design.yaml", "setout: 1\nname: A lid\n"), ("params/lid.yaml", lid)]);
        let exports = "setout: 1\nexports:\n  - { format: csv, file: ../lid.csv }\n";
        let taken = small(&[
            ("params/design.yaml", exports),
            ("params/lid.yaml", "dimensions: { width: 62 mm }\n"),
            ("lid.csv", "a list of somebody else\n"),
        ]);
        Self { sample: sample(), edited, written: sample(), slip, taken, walked: walked() }
    }

    /// A call and its answer in a block of code.
    fn shown(&self, bench: &str, call: &str) -> String {
        let bench = match bench {
            "sample" => &self.sample,
            "edited" => &self.edited,
            "written" => &self.written,
            "slip" => &self.slip,
            "taken" => &self.taken,
            "walked" => &self.walked,
            other => panic!("there is no design `{other}`"),
        };
        let root = bench.path().canonicalize().expect("the folder exists");
        let answer = run(call, &root, 80).replace(&root.display().to_string(), "…");
        let (info, answer) = match serde_json::from_str::<Json>(&answer) {
            Ok(document) => ("json", document.shortened(0)),
            Err(_) if call.contains("markdown") => ("markdown", answer),
            Err(_) => ("console", format!("$ {call}\n{answer}")),
        };
        format!("```{info}\n{}\n```\n", answer.trim_end())
    }
}

fn small(files: &[(&str, &str)]) -> TempDir {
    let dir = tempfile::tempdir().expect("a temporary folder");
    for (path, text) in files {
        let full = dir.path().join(path);
        fs::create_dir_all(full.parent().expect("below")).expect("a folder");
        fs::write(full, text).expect("a file");
    }
    dir
}

/// A copy of the sample in a repository of its own, exported and committed.
fn sample() -> TempDir {
    let dir = tempfile::tempdir().expect("a temporary folder");
    for folder in ["params", "examples/badger"] {
        let to = dir.path().join(folder);
        fs::create_dir_all(&to).expect("a folder");
        for entry in fs::read_dir(root().join(folder)).expect("the sample") {
            let entry = entry.expect("an entry");
            if entry.file_type().expect("a type").is_file() {
                fs::copy(entry.path(), to.join(entry.file_name())).expect("a copy");
            }
        }
    }
    run("setout export", dir.path(), 80);
    Repository::init(dir.path()).expect("a repository");
    commit(dir.path(), "the sample", 0);
    dir
}

/// The sample with some days of work on it.
fn walked() -> TempDir {
    let dir = sample();
    let jaw = dir.path().join("params/jaw.yaml");
    let edits = [
        ("width:\n    value: 62 mm", "width:\n    value: 64 mm", "jaw: room for a wider tongue"),
        ("wall: { value: 2.4 mm", "wall: { value: 2 mm", "jaw: five lines are enough"),
    ];
    for (day, (from, to, message)) in (1..).zip(edits) {
        let text = fs::read_to_string(&jaw).expect("a table");
        assert_eq!(text.matches(from).count(), 1, "{from}");
        fs::write(&jaw, text.replace(from, to)).expect("a table");
        commit(dir.path(), message, day);
    }
    dir
}

/// Commits all files. Each day has the same time in every run, so that a revision has one name.
fn commit(folder: &Path, message: &str, day: i64) {
    let repository = Repository::open(folder).expect("a repository");
    let mut index = repository.index().expect("an index");
    index.add_all(["*"], IndexAddOption::DEFAULT, None).expect("added");
    index.write().expect("written");
    let tree = index.write_tree().and_then(|id| repository.find_tree(id)).expect("a tree");
    let time = Time::new(1_767_225_600 + day * 86_400, 0);
    let author = Signature::new("A maker", "maker@example.org", &time).expect("a signature");
    let head = repository.head().ok().and_then(|head| head.peel_to_commit().ok());
    let parents: Vec<_> = head.iter().collect();
    repository.commit(Some("HEAD"), &author, &author, message, &tree, &parents).expect("a commit");
}

/// A value of a JSON document, its keys in the order in which they stand.
enum Json {
    Plain(String),
    List(Vec<Json>),
    Map(Vec<(String, Json)>),
}

/// So many entries of a list of plain values are shown.
const SHOWN: usize = 3;

impl Json {
    /// The first entries of every list only, and what is short on one line.
    fn shortened(&self, depth: usize) -> String {
        if self.is_short() {
            return self.on_a_line();
        }
        let (open, close, mut entries) = match self {
            Self::List(items) => ('[', ']', vec![items[0].shortened(depth + 1)]),
            Self::Map(entries) => {
                let entry =
                    |(key, value): &(_, Self)| format!("{key}: {}", value.shortened(depth + 1));
                ('{', '}', entries.iter().map(entry).collect())
            }
            Self::Plain(text) => return text.clone(),
        };
        if matches!(self, Self::List(items) if items.len() > 1) {
            entries.push("…".to_owned());
        }
        let (blanks, last) = ("  ".repeat(depth + 1), "  ".repeat(depth));
        format!("{open}\n{blanks}{}\n{last}{close}", entries.join(&format!(",\n{blanks}")))
    }

    /// Whether it fits on a line: nothing in it is a list or a map itself.
    fn is_short(&self) -> bool {
        let plain = |value: &Self| matches!(value, Self::Plain(_));
        match self {
            Self::Plain(_) => true,
            Self::List(items) => items.iter().all(plain),
            Self::Map(entries) => {
                let all = entries.iter().all(|(_, value)| plain(value));
                all && self.on_a_line().chars().count() <= 90
            }
        }
    }

    fn on_a_line(&self) -> String {
        match self {
            Self::Plain(text) => text.clone(),
            Self::List(items) => {
                let mut shown: Vec<_> = items.iter().take(SHOWN).map(Self::on_a_line).collect();
                if items.len() > SHOWN {
                    shown.push("…".to_owned());
                }
                format!("[{}]", shown.join(", "))
            }
            Self::Map(entries) => {
                let entry = |(key, value): &(_, Self)| format!("{key}: {}", value.on_a_line());
                format!("{{{}}}", entries.iter().map(entry).collect::<Vec<_>>().join(", "))
            }
        }
    }
}

impl<'de> Deserialize<'de> for Json {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(Reader)
    }
}

struct Reader;

fn plain<T: Serialize, E: Error>(value: T) -> Result<Json, E> {
    serde_json::to_string(&value).map(Json::Plain).map_err(E::custom)
}

impl<'de> Visitor<'de> for Reader {
    type Value = Json;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a document")
    }

    fn visit_unit<E: Error>(self) -> Result<Json, E> {
        plain(())
    }

    fn visit_bool<E: Error>(self, value: bool) -> Result<Json, E> {
        plain(value)
    }

    fn visit_u64<E: Error>(self, value: u64) -> Result<Json, E> {
        plain(value)
    }

    fn visit_f64<E: Error>(self, value: f64) -> Result<Json, E> {
        plain(value)
    }

    fn visit_str<E: Error>(self, value: &str) -> Result<Json, E> {
        plain(value)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Json, A::Error> {
        let mut items = Vec::new();
        while let Some(item) = list.next_element()? {
            items.push(item);
        }
        Ok(Json::List(items))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Json, A::Error> {
        let mut entries = Vec::new();
        while let Some((key, value)) = map.next_entry::<String, Json>()? {
            entries.push((format!("{key:?}"), value));
        }
        Ok(Json::Map(entries))
    }
}
