//! Calls, good and bad, and where they are made.

use expect_test::expect;

use crate::bench::Bench;

#[test]
fn help_lists_the_commands() {
    let bench = Bench::empty();
    expect![[r#"
        $ setout --help
        Dimensions of a mechanism in many pieces, set out in one place

        Usage: setout [OPTIONS] <COMMAND>

        Commands:
          new       Begin a design: a small one, with comments, to be changed into your
                    own
          check     Compute everything, and say which checks and limits hold
          sweep     Prove a check over the whole travel of its axes, or find the pose in
                    which it fails
          stack     See how tolerances add up in a dimension or in a check's margin
          headroom  See how far a chosen dimension can go before a check fails, or what
                    can mend a failing check
          show      Show values with their units, limits and reasons
          trace     See how a value came about, step by step, or with --reverse what
                    depends on it
          impact    See what other values would do, before and after; nothing is written
          set       Give something another value, limit, note or other field, in its
                    table
          rename    Give something another name or another table, with all that names it
          diff      Compare two revisions, or one with the files as they stand
          merge     Merge tables thing by thing, by hand or for git
          history   See what a dimension or a check was worth from revision to revision,
                    and why it changed
          since     Find the revision with which a check or a limit began to fail, and
                    what did it
          export    Write the files that other programs read
          import    Make a table from OpenSCAD variables or CSV
          release   Record a revision as released, and pack it for those who follow
          schema    Print the JSON Schema by which editors complete and check tables, or
                    design.yaml

        Options:
          -h, --help     Print help
          -V, --version  Print version

        Options of every command:
          -C <DIR>             Work as if started in this folder
              --color <WHEN>   Colour the text: auto (on a terminal), always or never
              --format <FORM>  Answer in text, or in json for programs

        A design is a folder of tables in YAML with one design.yaml. It is found where
        you stand, in params, or in a folder above. Work that takes long says on a
        terminal how far it is; interrupted (Ctrl-C) it answers with what it knows by
        then, with exit status 130, and interrupted again it ends at once.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout --help"));
    expect![[r#"
        $ setout show --help
        Show values with their units, limits and reasons

        Usage: setout show [OPTIONS] [NAME]...

        Arguments:
          [NAME]...  What to show in full

        Options:
              --table <TABLE>  List one table
              --standards      List the published tables of hardware and fits, or those
                               named in full
              --facts <FILE>   Print what one table's file says, a line a value; for
                               git, see setout merge --install
          -h, --help           Print help

        Options of every command:
          -C <DIR>             Work as if started in this folder
              --color <WHEN>   Colour the text: auto (on a terminal), always or never
              --format <FORM>  Answer in text, or in json for programs

        A name is that of a table, dimension, schedule, row, cell, column, check or
        part, such as jaw.width; without its table where only one table has it. Without
        a name everything is listed.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout show --help"));
    expect![[r#"
        $ setout --version
        setout 0.1.0
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout --version"));
}

#[test]
fn a_bad_call_says_how_it_would_be_right() {
    let bench = Bench::lid();
    let calls = [
        "setout",
        "setout chekc",
        "setout polish",
        "setout check --al",
        "setout check lid",
        "setout show --table",
        "setout --color sometimes check",
        "setout check --at noon",
        "setout show --format markdown",
        "setout export --to csv",
        "setout export --verify --force",
        "setout export --stdout cvs",
    ];
    let shown: Vec<String> = calls.iter().map(|call| bench.shown(call)).collect();
    expect![[r#"
        $ setout
        --- standard error
        setout: no command was given [bad-call]
          help: the commands are new, check, sweep, stack, headroom, show, trace,
            impact, set, rename, diff, merge, history, since, export, import,
            release, schema
        --- status 2

        $ setout chekc
        --- standard error
        setout: there is no command `chekc` [bad-call]
          help: did you mean `check`?
        --- status 2

        $ setout polish
        --- standard error
        setout: there is no command `polish` [bad-call]
          help: the commands are new, check, sweep, stack, headroom, show, trace,
            impact, set, rename, diff, merge, history, since, export, import,
            release, schema
        --- status 2

        $ setout check --al
        --- standard error
        setout: there is no option `--al` [bad-call]
          help: did you mean `--all`?
        --- status 2

        $ setout check lid
        --- standard error
        setout: `lid` is one word too many [bad-call]
          help: --help after the command shows how it is called
        --- status 2

        $ setout show --table
        --- standard error
        setout: `--table <TABLE>` has no value [bad-call]
          help: write a value after it
        --- status 2

        $ setout --color sometimes check
        --- standard error
        setout: `--color <WHEN>` cannot be `sometimes` [bad-call]
          help: write auto or always or never
        --- status 2

        $ setout check --at noon
        --- standard error
        setout: `--at <STATE>` cannot be `noon` [bad-call]
          help: write rest
        --- status 2

        $ setout show --format markdown
        --- standard error
        setout: this command gives no Markdown [bad-call]
          help: write `--format` with `text` or `json`
        --- status 2

        $ setout export --to csv
        --- standard error
        setout: `--file <PATH>` is missing [bad-call]
          help: --help after the command shows how it is called
        --- status 2

        $ setout export --verify --force
        --- standard error
        setout: `--verify` cannot go together with `--force` [bad-call]
          help: --help after the command shows how it is called
        --- status 2

        $ setout export --stdout cvs
        --- standard error
        setout: there is no export format `cvs` [bad-call]
          help: did you mean `csv`?
        --- status 2
    "#]]
    .assert_eq(&shown.join("\n"));
}

#[test]
fn a_bad_call_is_a_document_too() {
    let bench = Bench::lid();
    for call in ["setout --format json chekc", "setout check --al --format=json"] {
        let answer = bench.run(call);
        let json = answer.json();
        assert_eq!((answer.status, &json["faults"][0]["fault"]), (2, &"bad-call".into()));
        assert!(json["faults"][0]["file"].is_null());
    }
}

#[test]
fn a_design_is_found_from_anywhere_in_it() {
    let bench = Bench::lid();
    bench.file("cad/parts/lid.scad", "");
    let calls = [
        "setout show lid.inner",
        "setout -C params show lid.inner",
        "setout show lid.inner -C cad/parts",
        "setout -C cad/parts/nowhere show",
    ];
    let shown: Vec<String> = calls.iter().map(|call| bench.shown(call)).collect();
    expect![[r#"
        $ setout show lid.inner
        lid.inner, derived
          value       59 mm
          formula     width - 2 * 1.5 mm
          reaches     1 check and 1 part
          at          params/lid.yaml:3:3
        --- status 0

        $ setout -C params show lid.inner
        lid.inner, derived
          value       59 mm
          formula     width - 2 * 1.5 mm
          reaches     1 check and 1 part
          at          params/lid.yaml:3:3
        --- status 0

        $ setout show lid.inner -C cad/parts
        lid.inner, derived
          value       59 mm
          formula     width - 2 * 1.5 mm
          reaches     1 check and 1 part
          at          params/lid.yaml:3:3
        --- status 0

        $ setout -C cad/parts/nowhere show
        --- standard error
        setout: the folder (bench)/cad/parts/nowhere cannot be entered: No such
            file or directory (os error 2) [not-found]
          help: name a folder that exists and can be read
        --- status 2
    "#]]
    .assert_eq(&shown.join("\n"));
}

#[test]
fn where_there_is_no_design() {
    let bench = Bench::empty();
    expect![[r#"
        $ setout check
        --- standard error
        setout: no design in (bench) or any folder above it [not-found]
          help: a design is a folder with a design.yaml: begin one with setout new, or
            name the folder of one with -C
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout check"));
    let json = bench.run("setout check --format json").json();
    assert_eq!(json["faults"][0]["fault"], "not-found");
}
