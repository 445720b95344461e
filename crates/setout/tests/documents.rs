//! The documents in `docs`: what is generated in them is current, and what they show is true.
//!
//! - Between `<!-- generated: … -->` and `<!-- end -->` stands what a test writes: the functions,
//!   the units, cases of the corpus of bad designs, a file of the examples.
//! - A table headed `| formula | gives |` or `| formula | fault | help |` is computed row by row,
//!   with the names of the first table that the document shows.
//! - A code block with the name of a file (`yaml jaw.yaml`) is that whole file. The files under
//!   one heading are one design, which has no faults. Where none is called `design.yaml`, the
//!   first one of the document is taken. Names are as seen from the design's folder.
//!
//! With `UPDATE=1` in the environment the documents are written anew: read the difference.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::{env, fs};

use setout::limits::{Counted, DESIGN, Limit, WORK};
use setout::{
    Design, Evaluation, FUNCTIONS, Function, HARDWARE, LINKAGES, Memory, Slug, Unit, Units,
    shortest,
};

#[test]
fn what_is_generated_is_current() {
    let mut stale = Vec::new();
    for (name, text) in documents() {
        let fresh = computed_rows(&generated_regions(&text));
        if fresh == text {
            continue;
        }
        if env::var_os("UPDATE").is_some() {
            fs::write(docs().join(&name), &fresh).unwrap();
        } else {
            let differ = |(a, b): &(&str, &str)| a != b;
            let line = text.lines().zip(fresh.lines()).find(differ);
            stale.push(format!("docs/{name}: {line:#?}"));
        }
    }
    assert!(stale.is_empty(), "UPDATE=1 takes the second line over:\n{}", stale.join("\n"));
}

#[test]
fn whole_files_that_are_shown_have_no_faults() {
    let mut designs = 0;
    for (name, text) in documents() {
        for (heading, files) in shown_designs(&text) {
            let evaluation = Design::read(&Memory::new(files)).evaluate();
            let faults: Vec<String> = evaluation.faults().iter().map(|f| f.to_string()).collect();
            assert!(faults.is_empty(), "docs/{name}, {heading}:\n{}", faults.join("\n"));
            designs += 1;
        }
    }
    assert!(designs >= 15, "only {designs} designs are shown");
}

/// Below their heading, designs that are shown give the warnings that are shown, and no others.
#[test]
fn warnings_that_are_shown_are_given() {
    let text = document("faults.md");
    let (_, warnings) = text.split_once("## Warnings\n").expect("a section on warnings");
    let mut given = 0;
    for (heading, files) in shown_designs(warnings) {
        let found = Design::read(&Memory::new(files)).evaluate().warnings();
        for warning in found.iter().filter(|warning| warning.slug != "unused") {
            let (place, message, slug) = (&warning.place, &warning.message, warning.slug);
            let shown = format!("{place}: {message} [{slug}]\n  help: {}\n", warning.help);
            assert!(warnings.contains(&shown), "{heading}: {shown}");
            given += 1;
        }
    }
    let shown = warnings.lines().filter(|line| line.starts_with("params/")).count();
    assert_eq!((given, shown), (2, 2));
}

#[test]
fn every_slug_has_its_section() {
    let text = document("faults.md");
    let sections: Vec<&str> = text.lines().filter_map(|line| line.strip_prefix("## `")).collect();
    let sections: Vec<&str> = sections.iter().map(|line| line.trim_end_matches('`')).collect();
    let slugs: Vec<&str> = Slug::ALL.iter().map(|slug| slug.as_str()).chain(["bad-call"]).collect();
    assert_eq!(sections, slugs);
}

#[test]
fn the_kinds_of_every_function_are_told() {
    let text = document("formulas.md");
    let rows: Vec<&str> = text.lines().filter(|line| line.starts_with("| `")).collect();
    for function in FUNCTIONS {
        // Once in the list of all, and once among those that take and give the same kinds.
        let name = format!("`{}`", function.name);
        assert!(rows.iter().any(|row| row.contains(&name)), "the kinds of {name}");
    }
}

#[test]
fn links_lead_somewhere() {
    for (name, text) in documents() {
        for part in text.split("](").skip(1) {
            let target = part.split([')', '#']).next().unwrap_or_default();
            if target.is_empty() || target.contains("://") {
                continue;
            }
            assert!(docs().join(target).exists(), "docs/{name} links to {target}");
        }
    }
}

fn docs() -> PathBuf {
    root().join("docs")
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn document(name: &str) -> String {
    fs::read_to_string(docs().join(name)).unwrap()
}

/// All documents by name, with their texts.
fn documents() -> BTreeMap<String, String> {
    let entries = fs::read_dir(docs()).unwrap().map(|entry| entry.unwrap().path());
    let pages = entries.filter(|path| path.extension().is_some_and(|ending| ending == "md"));
    let name = |path: &Path| path.file_name().unwrap().to_str().unwrap().to_owned();
    pages.map(|path| (name(&path), document(&name(&path)))).collect()
}

/// What is generated, by the words after `generated:`; none where another test writes it.
fn generated(what: &str) -> Option<String> {
    match what.split_once(' ').unwrap_or((what, "")) {
        ("functions", "linkages") => Some(functions(LINKAGES)),
        ("functions", "hardware") => Some(functions(HARDWARE)),
        ("functions", _) => Some(functions(FUNCTIONS)),
        ("units", _) => Some(units()),
        ("limits", "of a design") => Some(limits(DESIGN)),
        ("limits", _) => Some(limits(WORK)),
        ("bad", case) => Some(bad_design(case)),
        ("file", path) => Some(fenced("yaml", &fs::read_to_string(root().join(path)).unwrap())),
        _ => None,
    }
}

fn generated_regions(text: &str) -> String {
    let mut fresh = String::new();
    let mut rest = text;
    while let Some((before, behind)) = rest.split_once("<!-- generated: ") {
        let (what, behind) = behind.split_once(" -->\n").expect("the comment is closed");
        let (old, behind) = behind.split_once("<!-- end -->").expect("the region has an end");
        fresh += &format!("{before}<!-- generated: {what} -->\n");
        fresh += &generated(what).unwrap_or_else(|| old.to_owned());
        fresh += "<!-- end -->";
        rest = behind;
    }
    fresh + rest
}

fn fenced(info: &str, text: &str) -> String {
    format!("```{info}\n{}\n```\n", text.trim_end())
}

fn functions(all: &[Function]) -> String {
    let mut table =
        "| function | gives | example | result |\n| --- | --- | --- | --- |\n".to_owned();
    for function in all {
        let code = |text: &str| if text.is_empty() { String::new() } else { format!("`{text}`") };
        table += &format!(
            "| `{}({})` | {} | {} | {} |\n",
            function.name,
            function.arguments,
            function.gives,
            code(function.example),
            code(function.result)
        );
    }
    table
}

fn limits(all: &[Limit]) -> String {
    let mut table =
        "| what | at most | beyond | what to do |\n| --- | --- | --- | --- |\n".to_owned();
    for Limit { what, most, of, beyond, mend } in all {
        let most = match of {
            Counted::Bytes if most % (1 << 20) == 0 => format!("{} MiB", grouped(most >> 20)),
            Counted::Bytes => format!("{} bytes", grouped(*most)),
            Counted::Things("") => grouped(*most),
            Counted::Things(_) if *most == 0 => "none".to_owned(),
            Counted::Things(things) => format!("{} {things}", grouped(*most)),
        };
        table += &format!("| {what} | {most} | {beyond} | {mend} |\n");
    }
    table
}

/// A number with its digits in threes.
fn grouped(number: u64) -> String {
    let digits = number.to_string();
    let of_three: Vec<&str> = digits
        .as_bytes()
        .rchunks(3)
        .rev()
        .map(|chunk| std::str::from_utf8(chunk).expect("digits"))
        .collect();
    of_three.join(",")
}

/// A limit that is named in the `limits.rs` of a crate stands on the page. What other pages of source
/// bound for their own sake is no limit of what a user may ask for.
#[test]
fn every_limit_is_on_the_page() {
    let list = fs::read_to_string(root().join("crates/setout/src/limits.rs")).unwrap();
    let mut named = 0;
    for crate_folder in fs::read_dir(root().join("crates")).unwrap() {
        let path = crate_folder.unwrap().path().join("src/limits.rs");
        let text = fs::read_to_string(&path).unwrap_or_default();
        for line in text.lines().filter_map(|line| line.strip_prefix("pub const ")) {
            let (name, _) = line.split_once(':').expect("a constant has a type");
            if ["DESIGN", "WORK"].contains(&name) {
                continue;
            }
            let on_page =
                ["::", "{", " "].iter().any(|before| list.contains(&format!("{before}{name}")));
            assert!(on_page, "{name} of {} is missing", path.display());
            named += 1;
        }
    }
    assert!(named >= 18, "only {named} limits");
}

fn units() -> String {
    let units = Units::standard();
    let mut table =
        "| unit | also read | name | measures | one is |\n| --- | --- | --- | --- | --- |\n"
            .to_owned();
    for row in Units::rows() {
        let aliases: Vec<String> = row.aliases.iter().map(|alias| format!("`{alias}`")).collect();
        table += &format!(
            "| `{}` | {} | {} | {} | {} |\n",
            row.unit.symbol(),
            aliases.join(", "),
            row.name,
            units.describe(row.unit.kind()),
            worth(&row.unit, &units)
        );
    }
    table
}

/// What one of a unit is in the unit that its kind is shown in, to 15 digits.
fn worth(unit: &Unit, units: &Units) -> String {
    let customary = units.customary(unit.kind());
    if unit.is_reading() {
        let zero = format!("{} {}", unit.to_base(0.0), customary.symbol());
        return format!("a reading; 0 {} is {zero}", unit.symbol());
    }
    let number = customary.from_base(unit.to_base(1.0));
    let number: f64 = format!("{number:.14e}").parse().unwrap();
    let whole = if unit.is_whole() { ", whole" } else { "" };
    format!("{} {}", shortest(number), customary.symbol()).trim_end().to_owned() + whole
}

/// A design of the corpus with the faults that it gives.
fn bad_design(case: &str) -> String {
    let folder = root().join("crates/setout-design/tests/bad").join(case);
    let files = files_below(&folder, "");
    let evaluation = Design::read(&Memory::new(files.clone())).evaluate();
    let faults: Vec<String> = evaluation.faults().iter().map(|fault| fault.to_string()).collect();
    assert!(!faults.is_empty(), "{case} has no faults");
    let faulty = |path: &str| evaluation.faults().iter().any(|fault| &*fault.place.file == path);
    let mut shown = String::new();
    for (path, text) in files.iter().filter(|(path, _)| faulty(path)) {
        shown += &format!("`{path}`:\n\n{}\n", fenced("yaml", text));
    }
    shown + &fenced("text", &faults.join("\n"))
}

fn files_below(folder: &Path, before: &str) -> Vec<(String, String)> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).expect("a case of the corpus") {
        let path = entry.unwrap().path();
        let name = format!("{before}{}", path.file_name().unwrap().to_str().unwrap());
        if path.is_dir() {
            files.extend(files_below(&path, &format!("{name}/")));
        } else if name != "faults.txt" {
            files.push((name, fs::read_to_string(&path).unwrap()));
        }
    }
    files.sort();
    files
}

/// The designs that a document shows: the heading above, and the files by name.
fn shown_designs(text: &str) -> Vec<(String, BTreeMap<String, String>)> {
    let mut designs: Vec<(String, BTreeMap<String, String>)> = vec![Default::default()];
    let mut common = None;
    let mut open: Option<(String, String)> = None;
    for line in text.lines() {
        match &mut open {
            Some((path, file)) if line == "```" => {
                if path == "params/design.yaml" {
                    common.get_or_insert(file.clone());
                }
                let (path, file) = open.take().expect("a block is open");
                designs.last_mut().expect("there is one").1.insert(path, file);
            }
            Some((_, file)) => *file += &format!("{line}\n"),
            None if line.starts_with("```") => {
                let name = line.split_once(' ').map(|(_, name)| from_root(name));
                open = Some((name.unwrap_or_default(), String::new()));
            }
            None if line.starts_with('#') => designs.push((line.to_owned(), BTreeMap::new())),
            None => {}
        }
    }
    for (_, files) in &mut designs {
        // Blocks without a name are no files.
        files.remove("");
        let common = common.clone().unwrap_or_else(|| "setout: 1\n".to_owned());
        if !files.is_empty() {
            files.entry(from_root("design.yaml")).or_insert(common);
        }
    }
    designs.retain(|(_, files)| !files.is_empty());
    designs
}

fn from_root(name: &str) -> String {
    name.strip_prefix("../").map_or_else(|| format!("params/{name}"), str::to_owned)
}

/// The rows of tables of formulas, computed.
fn computed_rows(text: &str) -> String {
    let names = shown_designs(text).into_iter().next().map(|(_, files)| files);
    let mut fresh = String::new();
    let mut compute: Option<fn(&Evaluation) -> String> = None;
    for line in text.split_inclusive('\n') {
        match line.trim_end() {
            "| formula | gives |" => compute = Some(value),
            "| formula | fault | help |" => compute = Some(fault),
            row if row.starts_with("| `") => {
                let formula = row[3..].split("` |").next().expect("a first cell");
                let tried = || tried(names.as_ref(), &formula.replace("\\|", "|"));
                fresh += &compute.map_or_else(
                    || line.to_owned(),
                    |compute| format!("| `{formula}` | {} |\n", compute(&tried())),
                );
                continue;
            }
            row if !row.starts_with('|') => compute = None,
            _ => {}
        }
        fresh += line;
    }
    fresh
}

/// The design that a document shows first, with a formula put into its table.
fn tried(files: Option<&BTreeMap<String, String>>, formula: &str) -> Evaluation {
    let mut files = files.cloned().unwrap_or_default();
    let quoted = formula.replace('\'', "''");
    let table = files.entry(from_root("jaw.yaml")).or_insert_with(|| "dimensions:\n".into());
    *table = table.replacen("dimensions:\n", &format!("dimensions:\n  tried: '{quoted}'\n"), 1);
    Design::read(&Memory::new(files)).evaluate()
}

fn value(evaluation: &Evaluation) -> String {
    let faults = evaluation.faults();
    assert!(faults.is_empty(), "a formula that should have a value: {}", faults[0]);
    let value = evaluation.value("jaw.tried").expect("it has a value");
    format!("`{value}`")
}

fn fault(evaluation: &Evaluation) -> String {
    let [fault] = evaluation.faults() else { panic!("one fault: {:?}", evaluation.faults()) };
    let cell = |text: &str| text.replace('|', "\\|");
    format!("{} (`{}`) | {}", cell(&fault.message), fault.slug, cell(&fault.help))
}
