//! How much a design, a question and an answer may hold: all limits in one list, which the page
//! `docs/limits.md` is written from.
//!
//! Each is a constant of the crate that keeps to it. What is beyond is told with its place and a
//! mend, mostly as `too-large`.

use setout_assess::limits as assess;
use setout_design::limits as design;
use setout_export::LARGEST_EXPORT;
use setout_formula::limits as formula;
use setout_quantity::limits as quantity;
use setout_store::limits as store;

/// One limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limit {
    /// What is limited.
    pub what: &'static str,
    /// The most that there may be.
    pub most: u64,
    /// What is counted.
    pub of: Counted,
    /// The fault beyond it, or what happens in its place.
    pub beyond: &'static str,
    /// What to do then.
    pub mend: &'static str,
}

/// What a limit counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Counted {
    /// Bytes.
    Bytes,
    /// Whatever the limit is about.
    Things(&'static str),
}

const TOO_LARGE: &str = "`too-large`";

const fn bytes(what: &'static str, most: u64, mend: &'static str) -> Limit {
    Limit { what, most, of: Counted::Bytes, beyond: TOO_LARGE, mend }
}

const fn things(
    what: &'static str,
    most: u64,
    of: &'static str,
    beyond: &'static str,
    mend: &'static str,
) -> Limit {
    Limit { what, most, of: Counted::Things(of), beyond, mend }
}

/// Limits of what a design is written in.
pub const DESIGN: &[Limit] = &[
    bytes("a file: a table, a model, an export", design::LARGEST_FILE, "split it"),
    bytes("design.yaml and all tables", design::LARGEST_DESIGN, "split it into designs"),
    things(
        "the tables of a design",
        design::MOST_TABLES as u64,
        "tables",
        TOO_LARGE,
        "put several subassemblies into one table",
    ),
    things(
        "what stands behind a name or in a list, in all tables",
        design::MOST_ENTRIES as u64,
        "entries",
        TOO_LARGE,
        "split it into designs",
    ),
    things(
        "the values of a design: dimensions, cells, costs and masses",
        design::MOST_VALUES as u64,
        "values",
        TOO_LARGE,
        "split it into designs",
    ),
    things(
        "a schedule",
        design::MOST_ROWS as u64,
        "rows",
        TOO_LARGE,
        "split the schedule into several",
    ),
    things(
        "the nesting of a table",
        design::DEEPEST as u64,
        "levels",
        TOO_LARGE,
        "a table needs five; look for a row of brackets or dashes",
    ),
    things("aliases, anchors, merge keys and tags", 0, "of them", "`yaml`", "write what was meant"),
    things(
        "a name",
        design::LONGEST_NAME as u64,
        "characters",
        "`bad-name`",
        "write a shorter one",
    ),
    bytes("a formula", formula::LONGEST as u64, "make dimensions of its parts"),
    things(
        "the nesting of a formula: brackets, calls, signs, powers",
        formula::DEEPEST as u64,
        "levels",
        TOO_LARGE,
        "make dimensions of its parts",
    ),
    things(
        "a formula with its columns written out row by row",
        formula::MOST_OPERATIONS as u64,
        "steps",
        TOO_LARGE,
        "make a column of its parts",
    ),
    things(
        "the power of one unit, either way",
        quantity::LARGEST_POWER as u64,
        "",
        "`bad-formula`",
        "write a smaller power",
    ),
    things(
        "the exponents of a kind that comes out of a formula, above and below the line",
        quantity::LARGEST_EXPONENT as u64,
        "",
        TOO_LARGE,
        "divide by a quantity of the same kind first",
    ),
    things(
        "the files that one model takes in, one through the other",
        design::MOST_INCLUDES as u64,
        "files",
        TOO_LARGE,
        "name the model that uses the dimensions, and no library",
    ),
    bytes(
        "all models of parts, with what they include",
        design::LARGEST_MODELS,
        "name scripted models, and no meshes",
    ),
    things(
        "the files that a design exports",
        design::MOST_EXPORTS as u64,
        "files",
        TOO_LARGE,
        "write any others with `setout export --to FORMAT --file PATH`",
    ),
];

/// Limits of what is done with it.
pub const WORK: &[Limit] = &[
    bytes(
        "the files that are exported in one go",
        LARGEST_EXPORT as u64,
        "export fewer files at a time",
    ),
    bytes("a file that is imported", setout_import::LARGEST as u64, "import it in parts"),
    bytes(
        "the files of a bundle",
        setout_release::LARGEST_BUNDLE,
        "keep what is no scripted model out of `cad`",
    ),
    things(
        "the files of a bundle",
        setout_release::MOST_FILES as u64,
        "files",
        TOO_LARGE,
        "keep what is no scripted model out of `cad`",
    ),
    things(
        "one proof",
        assess::MOST_WORK,
        "steps of its formulas",
        "the verdict is `unknown`",
        "narrow the travel",
    ),
    things(
        "the boxes of one proof, with --boxes",
        assess::MOST_BOXES,
        "boxes",
        "`bad-call`",
        "narrow the travel",
    ),
    things(
        "the samples of a stack-up",
        assess::MOST_SAMPLES,
        "samples",
        "`bad-call`",
        "ask for fewer",
    ),
    things(
        "what a second engine repeats",
        setout_independent::limits::MOST_WORK,
        "formulas",
        "what was not repeated is named",
        "split it into designs",
    ),
    things(
        "the revisions that are walked through",
        store::MOST_REVISIONS as u64,
        "revisions",
        "refused, `io`",
        "name a revision with `--since`",
    ),
    things(
        "the folders that are searched for a design that was moved",
        store::MOST_FOLDERS as u64,
        "folders",
        "refused, `io`",
        "name a revision since the design was moved",
    ),
    things(
        "the symbolic links on the way to a file of a revision",
        store::MOST_LINKS as u64,
        "links",
        "`unsafe-path`",
        "put the file itself there",
    ),
];
