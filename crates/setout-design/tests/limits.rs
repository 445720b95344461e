//! What is one more than a design may hold, and what is just as much. The rest is read all the same.

use setout_design::limits::{
    LARGEST_DESIGN, LARGEST_MODELS, MOST_EXPORTS, MOST_INCLUDES, MOST_ROWS, MOST_TABLES,
};
use setout_design::{Design, Memory, Source, SourceError};

const COMMON: &str = "setout: 1\nname: large\n";

/// The faults of a design of these files beside design.yaml.
fn faults<P: Into<String>>(files: impl IntoIterator<Item = (P, String)>) -> Vec<String> {
    let mut texts = Memory::new([("params/design.yaml", COMMON)]);
    for (path, text) in files {
        texts.insert(path.into(), text);
    }
    told(&texts)
}

fn told(source: &dyn Source) -> Vec<String> {
    let evaluation = Design::read(source).evaluate();
    let told =
        |fault: &setout_design::Fault| format!("{} {} {}", fault.place, fault.slug, fault.message);
    evaluation.faults().iter().map(told).collect()
}

fn table(text: &str) -> (String, String) {
    ("params/t.yaml".into(), text.to_owned())
}

#[test]
fn rows_of_a_schedule() {
    let of = |rows: usize| {
        let rows: String = (0..rows).map(|row| format!("      r{row}: [1]\n")).collect();
        // What reads the schedule is not told for what it lacks.
        let text = format!(
            "schedules:\n  s:\n    columns: {{ c: count }}\n    rows:\n{rows}dimensions:\n  all: sum(s.c)\n"
        );
        faults([table(&text)])
    };
    assert_eq!(of(MOST_ROWS), [""; 0]);
    let line = 5 + MOST_ROWS;
    let wanted = format!(
        "params/t.yaml:{line}:7 too-large with this row the schedule `s` has more than 100000 rows"
    );
    assert_eq!(of(MOST_ROWS + 1), [wanted]);
}

#[test]
fn tables_of_a_design() {
    let of = |tables: usize| {
        let files = (0..tables)
            .map(|n| (format!("params/t{n:05}.yaml"), "dimensions: { a: 1 mm }\n".into()));
        // A table that is left out is not missed.
        faults(files.chain([(
            "params/a.yaml".into(),
            format!("dimensions: {{ b: t{:05}.a }}\n", tables - 1),
        )]))
    };
    assert_eq!(of(MOST_TABLES - 1), [""; 0]);
    let wanted = "params/t09999.yaml:1:1 too-large a design has at most 10000 tables";
    assert_eq!(of(MOST_TABLES), [wanted]);
}

#[test]
fn bytes_of_a_design() {
    let of = |bytes: usize| {
        let long = format!("# {}\n", "x".repeat(bytes - 3));
        faults([
            ("params/a.yaml", "dimensions: { b: z.c }\n".to_owned()),
            ("params/long.yaml", long),
            ("params/z.yaml", "dimensions: { c: 1 mm }\n".to_owned()),
        ])
    };
    let others = COMMON.len() + 23 + 24;
    let most = usize::try_from(LARGEST_DESIGN).expect("fits") - others;
    assert_eq!(of(most), [""; 0]);
    let wanted = |file: &str| {
        format!(
            "params/{file}.yaml:1:1 too-large with this file the design has more than 167772160 bytes"
        )
    };
    assert_eq!(of(most + 1), [wanted("z")]);
    assert_eq!(of(most + 100), [wanted("long")]);
}

#[test]
fn files_that_are_exported() {
    let of = |exports: usize| {
        let lines: String = (0..exports)
            .map(|n| format!("  - {{ format: csv, file: ../out/{n}.csv }}\n"))
            .collect();
        faults([("params/design.yaml", format!("{COMMON}exports:\n{lines}"))])
    };
    assert_eq!(of(MOST_EXPORTS), [""; 0]);
    let line = 4 + MOST_EXPORTS;
    let wanted = format!(
        "params/design.yaml:{line}:5 too-large with this one the design exports more than 100 files"
    );
    assert_eq!(of(MOST_EXPORTS + 1), [wanted]);
}

/// A part with a model that includes so many files.
#[test]
fn files_that_a_model_includes() {
    let of = |includes: usize| {
        let lines: String = (0..includes).map(|n| format!("include <i{n}.scad>\n")).collect();
        let part = "dimensions: { a: 1 mm }\nparts:\n  p: { made: bought, cad: ../cad/m.scad }\n";
        let models = (0..includes).map(|n| (format!("cad/i{n}.scad"), "cube(t_a);\n".to_owned()));
        faults([table(part), ("cad/m.scad".into(), lines)].into_iter().chain(models))
    };
    assert_eq!(of(MOST_INCLUDES), [""; 0]);
    let wanted = "params/t.yaml:3:27 too-large cad/m.scad includes more than 256 files, one through the other";
    assert_eq!(of(MOST_INCLUDES + 1), [wanted]);
}

/// A design whose parts have so many models of 8 MiB.
struct Meshes(u64);

impl Source for Meshes {
    fn list(&self) -> Result<Vec<String>, SourceError> {
        Ok(vec!["params/design.yaml".into(), "params/t.yaml".into()])
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SourceError> {
        let part = |n: u64| format!("  p{n}: {{ made: bought, cad: ../cad/m{n}.stl }}\n");
        match path {
            "params/design.yaml" => Ok(COMMON.into()),
            "params/t.yaml" => {
                let parts: String = (0..self.0).map(part).collect();
                Ok(format!("dimensions: {{ a: 1 mm }}\nparts:\n{parts}").into())
            }
            _ => Ok(vec![0; 8 << 20]),
        }
    }
}

#[test]
fn bytes_of_all_models() {
    let most = LARGEST_MODELS / (8 << 20);
    let wanted = format!(
        "params/t.yaml:{}:29 too-large with cad/m{most}.stl the models have more than 536870912 bytes",
        most + 3
    );
    assert_eq!(told(&Meshes(most + 1)), [wanted]);
}
