//! `setout release`.

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use expect_test::expect;
use serde_json::json;

use crate::bench::{Bench, keys};
use crate::jaw::{commit, committed, git, jaw};

/// The design, committed, with bundles that git ignores.
fn ready() -> Bench {
    let bench = jaw();
    bench.file(".gitignore", "*.zip\n");
    git(&bench, &["init", "-q", "-b", "main"]);
    commit(&bench, "jaw: as it was shown to the museum");
    bench
}

/// The same after its first release.
fn released() -> Bench {
    let bench = ready();
    assert_eq!(bench.run("setout release").status, 0);
    commit(&bench, "Release A");
    bench
}

fn slug(bench: &Bench, call: &str) -> (u8, String) {
    let answer = bench.run(&format!("{call} --format json"));
    let fault = &answer.json()["faults"][0]["fault"];
    (answer.status, fault.as_str().unwrap_or_default().to_owned())
}

#[test]
fn a_first_release_and_its_bundle() {
    let bench = ready();
    expect![[r#"
        $ setout release
        A jaw
        release     A
        revision    4854d09 jaw: as it was shown to the museum
        date        2026-05-04T10:00:00+02:00

        For those who follow:
          - This is the first release.
          - Make 1 of jaw.jaw: letter A.
          - Buy 1 of jaw.pin_rod: letter A.
          - All parts together cost 4.30 GBP.
          - All parts together weigh 32 g.

        3 checks: 3 hold.
        2 limits: 2 hold.

        bundle      releases/A.zip
                    7 files, 4806 bytes: to be published, not committed
        record      releases/A.yaml: to be committed
        next        git add releases/A.yaml && git commit -m "Release A"
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout release"));
    assert_eq!(
        bench.files().into_iter().filter(|file| !file.starts_with(".git/")).collect::<Vec<_>>(),
        [
            ".gitignore",
            "params/design.yaml",
            "params/frame.yaml",
            "params/jaw.yaml",
            "releases/A.yaml",
            "releases/A.zip",
        ]
    );
    expect![[r#"
        $ setout release --verify releases/A.zip
        A jaw
        release     A of 2026-05-04T10:00:00+02:00
        revision    4854d099e98df08197be84e575e1287af89050c8

        proven   every file has its hash; none is missing and none is more
        proven   its bytes are those that setout packs from these files
        proven   its tables, evaluated anew, have the fingerprint of the release
        proven   its parts, their numbers and fingerprints come out of the tables
        proven   so do the verdicts, the cost and the mass
        proven   so do the exports, drawn anew
        proven   so does parts.csv
        proven   changes.txt says what its record says
        proven   the letters and the change list follow from what was released before
        proven   its record is the one that is kept in this repository

        Proven, with 7 files.
        Compared with releases/A.yaml.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout release --verify releases/A.zip"));
    expect![[r##"
        # A release, as setout release wrote it. Its seal tells when it is edited.
        setout_release: 1
        release: "A"
        previous: null
        design: "A jaw"
        folder: "params"
        commit: "4854d099e98df08197be84e575e1287af89050c8"
        date: "2026-05-04T10:00:00+02:00"
        fingerprint: "ffae916c6f028d316b99f6e7de0af1f5"
        made_by: "setout 0.1.0"
        note: []
        checks:
          holds: 3
          tight: 0
          unknown: 0
          fails: 0
        limits:
          holds: 2
          tight: 0
          unknown: 0
          fails: 0
        judged_at_rest_alone: 0
        failing: []
        cost:
          value: 4.3
          unit: "GBP"
        mass:
          value: 32
          unit: "g"
        parts:
          - name: "jaw.jaw"
            letter: "A"
            fingerprint: "7ee041f629ef737dc40713d54d6ac2ec"
            quantity: 1
            made: "printed"
            material: null
            cost:
              value: 3.1
              unit: "GBP"
            mass:
              value: 30
              unit: "g"
          - name: "jaw.pin_rod"
            letter: "A"
            fingerprint: "aa64d9ddb494779457d889e7bf071945"
            quantity: 1
            made: "bought"
            material: null
            cost:
              value: 1.2
              unit: "GBP"
            mass:
              value: 2
              unit: "g"
        exports:
          - file: "out/jaw.csv"
            format: "csv"
            fingerprint: "24d02d90bee9feaf6c8b05725f47891a"
        changes:
          - "This is the first release."
          - "Make 1 of jaw.jaw: letter A."
          - "Buy 1 of jaw.pin_rod: letter A."
          - "All parts together cost 4.30 GBP."
          - "All parts together weigh 32 g."
        files:
          - file: "changes.txt"
            bytes: 279
            sha256: "d8d9024c0b30b272cbca26dafb64bd717f38e7a39d4e76209917f5bfd6d60f2c"
          - file: "design/out/jaw.csv"
            bytes: 452
            sha256: "aa6ed1fcebd8f77587e3beeb0041155fea85935f89fcae099d2e4e7140a3cbc9"
          - file: "design/params/design.yaml"
            bytes: 135
            sha256: "4269a2e334e9b259887057fe6abefc010ac8a916bcdd48421668346a2bd1c713"
          - file: "design/params/frame.yaml"
            bytes: 202
            sha256: "da7ad36a8a9c0c4dfd5a6be86f38ab1eb00f13dd8198be3fcd19dccd8eba9c4b"
          - file: "design/params/jaw.yaml"
            bytes: 686
            sha256: "344047b23c38139ee8cdac3c0d3318e408294f87fedf28be45be2877b4880933"
          - file: "parts.csv"
            bytes: 138
            sha256: "1b52d64eb60debbc3fd06129382f302745c86e1df3839ff887b6ba5e2c7d6faa"
        seal: f9461265fc49da9f132db6eae3467e12b4df75f236da95edcd11ad9a9f14aede
    "##]]
    .assert_eq(&bench.text("releases/A.yaml"));
}

#[test]
fn a_second_release_tells_what_changed() {
    let bench = released();
    bench.edit("params/jaw.yaml", "value: 62 mm", "value: 61 mm");
    commit(&bench, "jaw: narrower");
    expect![[r#"
        $ setout release --preview
        A jaw
        release     B, after A
        revision    ef3cfa5 jaw: narrower
        date        2026-05-04T10:00:00+02:00

        Letters of the parts:
          B  jaw.jaw      to be made again, was A
          A  jaw.pin_rod  stays

        For those who follow:
          - Make jaw.jaw again: it is B now, was A; jaw.width changed.
          - jaw.pin_rod A stays as it is.
          - jaw.width is 61 mm now, was 62 mm.
          - jaw.gap follows: 16.5 mm now, was 16 mm, because of jaw.width.
          - jaw.play follows: 4.125 mm now, was 4 mm, because of jaw.width.
          - jaw.pose.shut.jaw follows: 16.5 mm now, was 16 mm, because of jaw.width.
          - All parts together cost 4.25 GBP now, was 4.30 GBP.
          - All parts together weigh 32 g as before.

        3 checks: 3 hold.
        2 limits: 2 hold.

        Nothing has been written.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout release --preview"));
    assert!(!bench.root().join("releases/B.yaml").exists());
    assert_eq!(bench.run("setout release --note one").status, 0);
    let record = bench.text("releases/B.yaml");
    assert!(record.contains("\nprevious: \"A\"\n") && record.contains("\n  - \"one\"\n"));
}

#[test]
fn the_documents_keep_their_keys() {
    let bench = released();
    bench.edit("params/jaw.yaml", "value: 62 mm", "value: 61 mm");
    commit(&bench, "jaw: narrower");
    let json = bench.run("setout release --bundle out.zip --format json").json();
    let all = [
        "bundle",
        "changes",
        "date",
        "design",
        "failing",
        "fingerprint",
        "parts",
        "previous",
        "record",
        "release",
        "revision",
        "written",
    ];
    assert_eq!(keys(&json), all);
    assert_eq!(
        json!([json["release"], json["previous"], json["written"]]),
        json!(["B", "A", true])
    );
    assert_eq!(keys(&json["bundle"]), ["bytes", "file", "files", "sha256"]);
    assert_eq!(
        json!([json["record"], json["bundle"]["file"]]),
        json!(["releases/B.yaml", "out.zip"])
    );
    let part = &json["parts"][0];
    let told = json!([part["name"], part["letter"], part["before"], part["turn"], part["cost"]]);
    assert_eq!(
        told,
        json!(["jaw.jaw", "B", "A", "again", { "value": 3.0500000000000003, "unit": "GBP" }])
    );
    let json = bench.run("setout release --verify out.zip --format json").json();
    let all = [
        "claims",
        "compared_with",
        "date",
        "design",
        "failing",
        "files",
        "fingerprint",
        "previous",
        "proven",
        "release",
        "revision",
    ];
    assert_eq!(keys(&json), all);
    assert_eq!(json!([json["proven"], json["compared_with"]]), json!([true, "releases/B.yaml"]));
    assert_eq!(json["claims"][0], json!({ "claim": "files", "holds": true, "differs": [] }));
}

#[test]
fn what_fails_is_not_released_by_the_way() {
    let bench = released();
    bench.edit("params/jaw.yaml", "value: 62 mm", "value: 66 mm");
    commit(&bench, "jaw: too wide");
    let answer = bench.run("setout release");
    assert_eq!((answer.status, answer.err.as_str()), (1, ""));
    let last = answer.out.split("\nfails    ").last().expect("some");
    expect![[r#"
        jaw.room, margin -1 mm
                 requires    gap >= 15 mm
                 that is     14 mm >= 15 mm
                 because     the skin pulls the cheeks inwards
                 at          params/jaw.yaml:15:3

        3 checks: 2 hold, 1 fails.
        2 limits: 2 hold.

        Not released: what fails stands above. Mend it, or release it all the same with
        --although-failing; the record and the change list then say so.
        Nothing has been written.
    "#]]
    .assert_eq(last);
    let json = bench.run("setout release --format json");
    assert_eq!((json.status, &json.json()["failing"]), (1, &json!(["jaw.room"])));
    assert_eq!(json.json()["written"], false);
    assert!(!bench.root().join("releases/B.yaml").exists());
    let answer = bench.run("setout release --although-failing");
    assert_eq!(answer.status, 0);
    assert!(answer.out.contains("\nRELEASED ALTHOUGH 1 REQUIREMENT IS NOT MET: jaw.room.\n"));
    let proof = bench.run("setout release --verify releases/B.zip");
    assert_eq!(proof.status, 0);
    assert!(proof.out.contains("\nRELEASED ALTHOUGH 1 REQUIREMENT IS NOT MET: jaw.room.\n"));
}

#[test]
fn what_is_not_committed_is_not_released() {
    let bench = ready();
    bench.edit("params/jaw.yaml", "value: 62 mm", "value: 61 mm");
    bench.file("params/teeth.yaml", "dimensions: { wide: 3 mm }\n");
    bench.file("notes.txt", "not tracked, and no part of it");
    expect![[r#"
        $ setout release
        --- standard error
        setout: params/jaw.yaml has changes that are not committed [io]
          help: git status shows it; commit it, or put it away: git stash -u
        setout: params/teeth.yaml is not committed [io]
          help: git status shows it; commit it, or put it away: git stash -u
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout release"));
    assert_eq!(slug(&bench, "setout release"), (2, "io".into()));
    assert!(!bench.root().join("releases").exists());
    // What git ignores is read all the same.
    git(&bench, &["checkout", "-q", "."]);
    bench.file(".git/info/exclude", "teeth.yaml\n");
    let answer = bench.run("setout release");
    assert!(answer.err.starts_with("setout: params/teeth.yaml is not committed [io]\n"));
    std::fs::remove_file(bench.root().join("params/teeth.yaml")).expect("removed");
    assert_eq!(bench.run("setout release").status, 0);
    expect![[r#"
        $ setout release
        --- standard error
        setout: releases/A.yaml is the record of a release, and is not committed [io]
          help: commit it: git add releases/A.yaml, then git commit
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout release"));
}

#[test]
fn a_model_that_is_not_committed_is_missed() {
    let bench = jaw();
    bench.edit("params/jaw.yaml", "mass: 30 g, uses", "mass: 30 g, cad: ../jaw.scad, uses");
    bench.file("jaw.scad", "include <arm.scad>\ncube(1);\n");
    git(&bench, &["init", "-q", "-b", "main"]);
    commit(&bench, "all");
    assert_eq!(bench.run("setout release --preview").status, 0);
    bench.file("arm.scad", "cube(2);\n");
    let answer = bench.run("setout release");
    assert_eq!(answer.status, 2);
    assert!(answer.err.starts_with("setout: arm.scad is not committed [io]\n"), "{}", answer.err);
    commit(&bench, "arm");
    let json = bench.run("setout release --format json").json();
    assert_eq!(json["bundle"]["files"], 9);
}

#[test]
fn an_export_that_is_behind_stops_it() {
    let bench = ready();
    assert_eq!(bench.run("setout export").status, 0);
    commit(&bench, "export");
    assert_eq!(bench.run("setout release --preview").status, 0);
    bench.edit("params/jaw.yaml", "value: 62 mm", "value: 61 mm");
    commit(&bench, "jaw: narrower");
    expect![[r#"
        $ setout release
        --- standard error
        setout: out/jaw.csv is out of date [io]
          help: setout export, then commit it
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout release"));
    // One that is not committed stands only here.
    git(&bench, &["rm", "-q", "--cached", "out/jaw.csv"]);
    git(&bench, &["commit", "-q", "-m", "no export"]);
    assert_eq!(slug(&bench, "setout release"), (2, "io".into()));
    assert_eq!(bench.run("setout export").status, 0);
    assert_eq!(bench.run("setout release").status, 0);
}

#[test]
fn what_was_released_is_not_released_again() {
    let bench = released();
    expect![[r#"
        $ setout release
        --- standard error
        setout: the design as it is was released already as A [bad-call]
          help: change something first; the bundle of A is still right
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout release"));
    bench.edit("params/jaw.yaml", "value: 62 mm", "value: 61 mm");
    commit(&bench, "jaw: narrower");
    assert_eq!(bench.run("setout release").status, 0);
    commit(&bench, "Release B");
    bench.edit("params/jaw.yaml", "value: 61 mm", "value: 62 mm");
    commit(&bench, "jaw: as it was");
    expect![[r#"
        $ setout release
        --- standard error
        setout: the design as it is was released already as A [bad-call]
          help: to go back to it under a new letter, add --again
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout release"));
    let back = bench.run("setout release --again --format json").json();
    assert_eq!(json!([back["release"], back["parts"][0]["letter"]]), json!(["C", "C"]));
}

#[test]
fn records_that_were_edited_stop_it() {
    let bench = released();
    let text = bench.text("releases/A.yaml");
    bench.edit("params/jaw.yaml", "value: 62 mm", "value: 61 mm");
    let said = |bench: &Bench, message: &str| {
        commit(bench, message);
        bench.shown("setout release")
    };
    bench.file("releases/A.yaml", &text.replace("letter: \"A\"", "letter: \"B\""));
    let edited = said(&bench, "edited");
    std::fs::remove_file(bench.root().join("releases/A.yaml")).expect("removed");
    bench.file("releases/C.yaml", &text);
    let renamed = said(&bench, "renamed");
    bench.file("releases/I.yaml", &text);
    let odd = said(&bench, "odd");
    expect![[r#"
        $ setout release
        --- standard error
        setout: releases/A.yaml cannot be read: its seal is broken: it is not as setout
            release wrote it [bad-value]
          help: git log tells who changed it; git checkout brings the released one back
        --- status 2

        $ setout release
        --- standard error
        setout: releases/C.yaml is the record of release A [bad-name]
          help: git log tells who renamed it; give it its name back
        --- status 2

        $ setout release
        --- standard error
        setout: releases/C.yaml is the record of release A [bad-name]
          help: git log tells who renamed it; give it its name back
        --- status 2
    "#]]
    .assert_eq(&format!("{edited}\n{renamed}\n{odd}"));
}

#[test]
fn without_a_revision_there_is_no_release() {
    let bench = jaw();
    let without_git = bench.shown("setout release");
    git(&bench, &["init", "-q", "-b", "main"]);
    let empty = bench.shown("setout release");
    commit(&bench, "all");
    bench.edit("params/jaw.yaml", "gap / 4", "gpa / 4");
    commit(&bench, "a slip");
    let faulty = bench.shown("setout release");
    git(&bench, &["clone", "-q", "--bare", ".", "bare.git"]);
    let apart = Bench::empty();
    std::fs::rename(bench.root().join("bare.git"), apart.root().join("bare.git")).expect("moved");
    let bare = apart.shown("setout -C bare.git release");
    expect![[r#"
        $ setout release
        --- standard error
        setout: (bench) is not in a git repository [io]
          help: revisions are kept by git: git init, then git add and git commit
        --- status 2

        $ setout release
        --- standard error
        setout: there is no revision yet on the branch main [io]
          help: commit the design once: git add, then git commit
        --- status 2

        $ setout release
        --- standard error
        params/jaw.yaml:5:9: there is no `gpa` [unknown-name]
              play: gpa / 4
                    ^
          help: did you mean `gap`?
        --- status 2

        $ setout -C bare.git release
        --- standard error
        setout: (bench)/bare.git is a bare repository: it has revisions but no
            working tree [io]
          help: clone it, and release in the clone
        --- status 2
    "#]]
    .assert_eq(&format!("{without_git}\n{empty}\n{faulty}\n{bare}"));
}

#[test]
fn a_release_whose_commit_is_gone_is_found_where_the_call_says() {
    let bench = ready();
    bench.edit("params/jaw.yaml", "value: 62 mm", "value: 63 mm");
    commit(&bench, "jaw: to be squashed");
    assert_eq!(bench.run("setout release").status, 0);
    git(&bench, &["reset", "-q", "--soft", "HEAD~1"]);
    commit(&bench, "squashed, with its record");
    git(&bench, &["tag", "squashed"]);
    bench.edit("params/jaw.yaml", "value: 63 mm", "value: 61 mm");
    commit(&bench, "jaw: narrower");
    // What nothing names any more is not cloned.
    git(&bench, &["clone", "-q", "--no-local", ".", "clone"]);
    let clone = Bench::empty();
    std::fs::rename(bench.root().join("clone"), clone.root().join("clone")).expect("moved");
    let run = |call: &str| clone.run(&call.replacen("setout", "setout -C clone", 1));
    let answer = run("setout release");
    assert_eq!(answer.status, 2);
    expect![[r#"
        setout: release A was made of 77b4384a89, which is not in this repository
            [not-found]
          help: fetch it from where it is, or name a revision with the same design, or
            the bundle: --since
    "#]]
    .assert_eq(&answer.err);
    let other = run("setout release --since HEAD~2");
    assert_eq!(other.status, 2);
    expect![[r#"
        setout: that revision does not hold the design that was released as A: its
            fingerprint is another one [bad-call]
          help: name a revision with the design as it was in A, or its bundle: --since
    "#]]
    .assert_eq(&other.err);
    let found = run("setout release --since squashed --format json");
    assert_eq!(found.status, 0, "{}", found.out);
    assert_eq!(found.json()["release"], "B");
    // Where no revision has it any more, the bundle has.
    let bundle = std::fs::read(bench.root().join("releases/A.zip")).expect("read");
    std::fs::write(clone.root().join("clone/releases/A.zip"), bundle).expect("written");
    for file in ["B.yaml", "B.zip"] {
        std::fs::remove_file(clone.root().join("clone/releases").join(file)).expect("removed");
    }
    let found = run("setout release --since releases/A.zip --format json");
    assert_eq!((found.status, &found.json()["release"]), (0, &"B".into()));
}

#[test]
fn a_shallow_clone_says_what_brings_the_rest() {
    let bench = released();
    bench.edit("params/jaw.yaml", "value: 62 mm", "value: 61 mm");
    commit(&bench, "jaw: narrower");
    let url = format!("file://{}", bench.root().display());
    git(&bench, &["clone", "-q", "--depth", "1", &url, "shallow"]);
    let shallow = Bench::empty();
    std::fs::rename(bench.root().join("shallow"), shallow.root().join("shallow")).expect("moved");
    let answer = shallow.run("setout -C shallow release");
    assert_eq!(answer.status, 2);
    expect![[r#"
        setout: release A was made of 4854d099e9, which is not in this repository
            [not-found]
          help: git fetch --unshallow origin brings it; or name a revision with the same
            design, or the bundle: --since
    "#]]
    .assert_eq(&answer.err);
}

#[test]
fn a_bundle_goes_where_the_call_says_and_over_nothing() {
    let bench = ready();
    bench.file("out.zip", "something of mine");
    expect![[r#"
        $ setout release --bundle out.zip
        --- standard error
        setout: out.zip is there already, and is not this bundle [io]
          help: put it away first, or name another file with --bundle
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout release --bundle out.zip"));
    assert_eq!(bench.text("out.zip"), "something of mine");
    assert!(!bench.root().join("releases").exists());
    assert_eq!(slug(&bench, "setout release --bundle ../out.zip"), (2, "unsafe-path".into()));
    assert_eq!(slug(&bench, "setout release --bundle out.txt"), (2, "bad-call".into()));
    assert_eq!(bench.run("setout -C params release --bundle ../dist/jaw.zip").status, 0);
    assert!(bench.root().join("dist/jaw.zip").exists());
    // A run that was cut short between the two files is run again.
    std::fs::remove_file(bench.root().join("releases/A.yaml")).expect("removed");
    assert_eq!(bench.run("setout release --bundle dist/jaw.zip").status, 0);
    assert!(bench.root().join("releases/A.yaml").exists());
}

#[test]
fn a_bundle_that_is_none_is_refused_and_a_changed_one_told() {
    let bench = released();
    bench.file("none.zip", "not an archive");
    expect![[r#"
        $ setout release --verify none.zip
        --- standard error
        setout: none.zip is not proven: it is no archive, or a damaged one: the list of
            its files is not where it should be [bad-value]
          help: get the bundle anew from whoever published it
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout release --verify none.zip"));
    assert_eq!(slug(&bench, "setout release --verify gone.zip"), (2, "not-found".into()));
    assert_eq!(slug(&bench, "setout release --verify params"), (2, "io".into()));
    assert_eq!(slug(&bench, "setout release --verify a.zip --note b"), (2, "bad-call".into()));
    // Away from its repository there is only its own record.
    let away = Bench::empty();
    let copy = |bytes: &[u8]| std::fs::write(away.root().join("A.zip"), bytes).expect("written");
    let bytes = std::fs::read(bench.root().join("releases/A.zip")).expect("read");
    copy(&bytes);
    let alone = away.run("setout release --verify A.zip");
    assert_eq!(alone.status, 0);
    let said = "Compared with its own record alone: whoever changed the bundle could have";
    assert!(alone.out.contains(said), "{}", alone.out);
    assert!(
        away.run("setout release --verify A.zip --format json").json()["compared_with"].is_null()
    );
    // Among the files of another design its letter is that of another record.
    bench.file("releases/A.yaml", "something else\n");
    let other = bench.run("setout release --verify releases/A.zip");
    assert_eq!(other.status, 1);
    assert!(other.out.contains("differs  its record is the one"), "{}", other.out);
    assert!(other.out.contains("\nNOT PROVEN: "), "{}", other.out);
}

fn program(place: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_setout"));
    command.arg("release").current_dir(place).env_clear();
    command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    command
}

/// Killed at moments all through its run, it leaves nothing that is half there, and the next run
/// makes what this one would have made.
#[test]
fn a_release_that_is_killed_is_all_there_or_not_begun() {
    let bench = committed();
    let many: String = (0..20_000).map(|n| format!("  d{n}: {n} mm\n")).collect();
    bench.file("params/many.yaml", &format!("dimensions:\n{many}"));
    commit(&bench, "many");
    let begun = Instant::now();
    assert!(program(&bench.root()).status().expect("runs").success());
    let took = begun.elapsed();
    let read = |path: &str| std::fs::read(bench.root().join(path)).ok();
    let (bundle, record) = (read("releases/A.zip"), read("releases/A.yaml"));
    assert!(bundle.is_some() && record.is_some());
    const ROUNDS: u32 = 16;
    let mut caught = 0;
    for round in 0..ROUNDS {
        std::fs::remove_dir_all(bench.root().join("releases")).ok();
        let mut child = program(&bench.root()).spawn().expect("starts");
        // Most of the rounds in the last quarter of the run, where it writes.
        let part = if round % 4 == 0 { round } else { ROUNDS * 3 / 4 + round / 4 };
        std::thread::sleep((took * part / ROUNDS).min(Duration::from_secs(30)));
        child.kill().expect("killed");
        child.wait().expect("gone");
        let (now, kept) = (read("releases/A.zip"), read("releases/A.yaml"));
        assert!(now.is_none() || now == bundle, "round {round}: half a bundle");
        assert!(
            kept.is_none() || (kept == record && now == bundle),
            "round {round}: half a record"
        );
        caught += u32::from(kept.is_none());
        git(&bench, &["fsck", "--no-progress", "--strict"]);
        git(&bench, &["diff", "--quiet", "HEAD"]);
        if kept.is_none() {
            assert!(program(&bench.root()).status().expect("runs").success(), "round {round}");
        }
        assert_eq!(
            (read("releases/A.zip"), read("releases/A.yaml")),
            (bundle.clone(), record.clone())
        );
    }
    assert!(caught > 0, "no run was cut short");
}
