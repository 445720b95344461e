//! Files are written whole or not at all.

use std::fs;

use setout_design::Source;
use setout_store::{Folder, Replacement, WriteError};

use crate::bench::Bench;

#[test]
fn a_file_and_the_folders_above_it_are_made() {
    let bench = Bench::new();
    bench.folder().write("examples/badger/dimensions.scad", b"w = 62;\n").expect("written");
    assert_eq!(bench.text("examples/badger/dimensions.scad"), "w = 62;\n");
    assert_eq!(bench.names("examples/badger"), ["dimensions.scad"]);
}

#[test]
fn a_file_is_replaced_and_nothing_else_stays() {
    let bench = Bench::new();
    bench.file("params/jaw.yaml", "a much longer old text\n");
    bench.folder().write("params/jaw.yaml", b"new\r\n").expect("written");
    assert_eq!(bench.text("params/jaw.yaml"), "new\r\n");
    assert_eq!(bench.names("params"), ["design.yaml", "jaw.yaml"]);
}

#[test]
fn several_files_are_written_together() {
    let bench = Bench::new();
    bench.folder().write_all(&[("a.csv", b"1"), ("out/b.csv", b"2")]).expect("written");
    assert_eq!((bench.text("a.csv"), bench.text("out/b.csv")), ("1".into(), "2".into()));
}

#[test]
fn one_file_that_cannot_be_written_leaves_all_as_they_were() {
    let bench = Bench::new();
    bench.file("a.csv", "old");
    bench.file("blocked/inside", "");
    let folder = bench.folder();
    let error = folder
        .write_all(&[("a.csv", b"new"), ("made/c.csv", b"new"), ("blocked", b"new")])
        .expect_err("a folder is in the way");
    let (path, reason) = ("blocked".into(), "it is a folder".into());
    assert_eq!(error, WriteError::Unsafe { path, reason });
    // Here the fault only shows when folders are made.
    let error = folder
        .write_all(&[("a.csv", b"new"), ("made/c.csv", b"new"), ("a.csv/d", b"new")])
        .expect_err("a file is in the way");
    assert!(matches!(error, WriteError::Io { .. }), "{error:?}");
    assert_eq!(bench.text("a.csv"), "old");
    assert_eq!(bench.names(""), ["a.csv", "blocked", "params"]);
}

#[test]
fn a_file_changed_meanwhile_is_left_alone() {
    let bench = Bench::new();
    bench.file("params/jaw.yaml", "mine");
    let folder = bench.folder();
    let before = folder.read("params/jaw.yaml").expect("read");
    bench.file("params/jaw.yaml", "theirs");
    let error = folder.write_if_unchanged("params/jaw.yaml", &before, b"new");
    assert_eq!(error, Err(WriteError::Changed { path: "params/jaw.yaml".into() }));
    assert_eq!(bench.text("params/jaw.yaml"), "theirs");
    assert_eq!(bench.names("params"), ["design.yaml", "jaw.yaml"]);

    fs::remove_file(bench.path("params/jaw.yaml")).expect("removed");
    let error = folder.write_if_unchanged("params/jaw.yaml", &before, b"new");
    assert_eq!(error, Err(WriteError::Changed { path: "params/jaw.yaml".into() }));
    assert_eq!(bench.names("params"), ["design.yaml"]);
}

#[test]
fn an_unchanged_file_is_replaced() {
    let bench = Bench::new();
    bench.file("params/jaw.yaml", "old");
    bench.folder().write_if_unchanged("params/jaw.yaml", b"old", b"new").expect("written");
    assert_eq!(bench.text("params/jaw.yaml"), "new");
}

#[test]
fn one_changed_file_of_several_stops_them_all() {
    let bench = Bench::new();
    bench.file("params/jaw.yaml", "old");
    bench.file("params/lip.yaml", "theirs");
    let replace = |path, before| Replacement { path, from: None, before, after: b"new" };
    let files = [
        replace("params/jaw.yaml", Some(b"old".as_slice())),
        replace("params/lip.yaml", Some(b"old".as_slice())),
    ];
    let error = bench.folder().write_all_if_unchanged(&files);
    assert_eq!(error, Err(WriteError::Changed { path: "params/lip.yaml".into() }));
    assert_eq!(bench.text("params/jaw.yaml"), "old");
    let new = [replace("params/jaw.yaml", None)];
    assert!(bench.folder().write_all_if_unchanged(&new).is_err(), "it exists");
}

#[test]
fn a_file_gets_another_name_along_with_its_text() {
    let bench = Bench::new();
    bench.file("params/jaw.yaml", "old");
    bench.file("params/lip.yaml", "jaw");
    let moved = |path, after| Replacement {
        path,
        from: Some("params/jaw.yaml"),
        before: Some(b"old"),
        after,
    };
    let other =
        Replacement { path: "params/lip.yaml", from: None, before: Some(b"jaw"), after: b"mouth" };
    let folder = bench.folder();
    let taken = folder.write_all_if_unchanged(&[moved("params/lip.yaml", b"new"), other]);
    assert_eq!(taken, Err(WriteError::Exists { path: "params/lip.yaml".into() }));
    let twice = folder
        .write_all_if_unchanged(&[moved("params/a.yaml", b"new"), moved("params/b.yaml", b"new")]);
    assert_eq!(twice, Err(WriteError::Twice { path: "params/b.yaml".into() }));
    bench.file("params/jaw.yaml", "theirs");
    let changed = folder.write_all_if_unchanged(&[moved("params/mouth.yaml", b"new"), other]);
    assert_eq!(changed, Err(WriteError::Changed { path: "params/mouth.yaml".into() }));
    assert_eq!(bench.names("params"), ["design.yaml", "jaw.yaml", "lip.yaml"]);
    assert_eq!(bench.text("params/lip.yaml"), "jaw");

    bench.file("params/jaw.yaml", "old");
    folder.write_all_if_unchanged(&[moved("params/mouth.yaml", b"new"), other]).expect("written");
    assert_eq!(bench.names("params"), ["design.yaml", "lip.yaml", "mouth.yaml"]);
    assert_eq!(bench.text("params/mouth.yaml"), "new");
    assert_eq!(bench.text("params/lip.yaml"), "mouth");
}

#[test]
fn a_note_of_a_stranger_is_not_repeated() {
    let bench = Bench::new();
    let folder = bench.folder();
    bench.file("params/a.tmp", "");
    bench.file("params/$(x)", "");
    for (note, left) in [
        ("gone.tmp\tb.yaml\na.tmp\tdesign.yaml\n", 1),
        ("a.tmp\tdesign.yaml\n", 0),
        ("# a.tmp\nb.tmp\tdesign.yaml\n", 0),
        ("gone\tb\n$(x)\ta.yaml\n../params/a.tmp\tb.yaml\na.tmp\t;x\n-a\tb\na.tmp b.yaml\n", 0),
        ("gone\tb\na.tmp\t.hidden\n", 0),
        ("", 0),
    ] {
        bench.file("params/.setout-unfinished", note);
        let found = folder.unfinished().expect("read").map_or(0, |of| of.left.len());
        assert_eq!(found, left, "{note}");
    }
    // One whose files are all in place is written over by the next.
    folder.write_all(&[("params/a.yaml", b"1"), ("params/b.yaml", b"2")]).expect("written");
    assert!(!bench.path("params/.setout-unfinished").exists());
}

#[test]
fn a_folder_that_a_shell_would_read_is_in_no_command() {
    let bench = Bench::repository();
    bench.file("$(x)/design.yaml", "setout: 1\n");
    bench.file("$(x)/a.tmp", "");
    let odd = Folder::find(&bench.path("$(x)")).expect("found");
    bench.file("$(x)/.setout-unfinished", "gone.tmp\tb.yaml\na.tmp\tdesign.yaml\n");
    let help = odd.unfinished().expect("read").expect("half written").help();
    assert!(help.contains("tells what to move where") && !help.contains("mv"), "{help}");
}

#[test]
fn the_same_file_twice_is_refused() {
    let bench = Bench::new();
    let error = bench.folder().write_all(&[("a.csv", b"1"), ("out/../a.csv", b"2")]);
    assert_eq!(error, Err(WriteError::Twice { path: "a.csv".into() }));
    assert!(!bench.path("a.csv").exists());
}

#[test]
fn nothing_is_written_outside_the_root_or_into_gits_folder() {
    let bench = Bench::repository();
    for path in ["../out.csv", "/tmp/out.csv", ".git/hooks/post-checkout", "a\\b", "", "params"] {
        let error = bench.folder().write(path, b"").expect_err("refused");
        assert!(matches!(error, WriteError::Unsafe { .. }), "{path}: {error:?}");
    }
}

#[test]
fn two_writers_at_once_leave_the_text_of_one() {
    let bench = Bench::new();
    let folder = bench.folder();
    let texts = [vec![b'a'; 300_000], vec![b'b'; 200_000]];
    std::thread::scope(|scope| {
        for text in &texts {
            scope.spawn(|| (0..20).for_each(|_| folder.write("out.csv", text).expect("written")));
        }
        for _ in 0..50 {
            if let Some(now) = folder.read_existing("out.csv").expect("read") {
                assert!(texts.contains(&now), "{} bytes of a mixture", now.len());
            }
        }
    });
    assert_eq!(bench.names(""), ["out.csv", "params"]);
}

#[cfg(unix)]
mod unix {
    use std::os::unix::fs::PermissionsExt;

    use super::*;

    fn mode(bench: &Bench, path: &str) -> u32 {
        fs::metadata(bench.path(path)).expect("there").permissions().mode() & 0o777
    }

    fn set_mode(bench: &Bench, path: &str, mode: u32) {
        fs::set_permissions(bench.path(path), fs::Permissions::from_mode(mode)).expect("set");
    }

    #[test]
    fn permissions_stay_and_new_files_have_the_usual_ones() {
        let bench = Bench::new();
        bench.file("tool.scad", "old");
        set_mode(&bench, "tool.scad", 0o750);
        bench.folder().write_all(&[("tool.scad", b"new"), ("new.csv", b"")]).expect("written");
        assert_eq!(mode(&bench, "tool.scad"), 0o750);
        assert_eq!(mode(&bench, "new.csv"), mode(&bench, "params/design.yaml"));
    }

    #[test]
    fn a_read_only_file_is_not_replaced() {
        let bench = Bench::new();
        bench.file("made.csv", "old");
        set_mode(&bench, "made.csv", 0o444);
        let error = bench.folder().write("made.csv", b"new");
        assert_eq!(error, Err(WriteError::ReadOnly { path: "made.csv".into() }));
        assert_eq!(bench.text("made.csv"), "old");
    }

    #[test]
    fn a_read_only_folder_leaves_the_file_as_it_was() {
        let bench = Bench::new();
        bench.file("out/made.csv", "old");
        set_mode(&bench, "out", 0o555);
        if fs::write(bench.path("out/probe"), "").is_ok() {
            println!("skipped: this user may write into read-only folders");
            return;
        }
        let error = bench.folder().write("out/made.csv", b"new").expect_err("refused");
        assert!(matches!(error, WriteError::Io { .. }), "{error:?}");
        assert_eq!(bench.text("out/made.csv"), "old");
        set_mode(&bench, "out", 0o755);
    }

    #[test]
    fn a_linked_file_is_not_replaced_and_a_linked_folder_only_inside() {
        let bench = Bench::new();
        let outside = Bench::empty();
        outside.file("there.csv", "old");
        bench.file("real/there.csv", "old");
        bench.link("real/there.csv", "linked.csv");
        bench.link("real", "inside");
        bench.link(outside.root(), "outside");
        let folder = bench.folder();
        for path in ["linked.csv", "outside/there.csv", "outside/new/file.csv"] {
            let error = folder.write(path, b"new").expect_err("refused");
            assert!(matches!(error, WriteError::Unsafe { .. }), "{path}: {error:?}");
        }
        folder.write("inside/there.csv", b"new").expect("written");
        assert_eq!(bench.text("real/there.csv"), "new");
        assert_eq!(outside.names(""), ["there.csv"]);
        assert_eq!(outside.text("there.csv"), "old");
    }
}

/// Each adds lines to one file, as often as it was changed meanwhile anew: none of them is lost.
#[test]
fn writers_take_turns() {
    const EACH: usize = 60;
    let bench = Bench::new();
    bench.file("params/jaw.yaml", "");
    let add = |name: char| {
        let folder = bench.folder();
        for _ in 0..EACH {
            loop {
                let before = folder.read("params/jaw.yaml").expect("read");
                let after = [&before[..], name.to_string().as_bytes()].concat();
                match folder.write_if_unchanged("params/jaw.yaml", &before, &after) {
                    Ok(()) => break,
                    Err(WriteError::Changed { .. }) => {}
                    Err(error) => panic!("{error}"),
                }
            }
        }
    };
    std::thread::scope(|scope| {
        for name in ['a', 'b', 'c', 'd'] {
            scope.spawn({
                let add = &add;
                move || add(name)
            });
        }
    });
    let text = bench.text("params/jaw.yaml");
    assert_eq!(['a', 'b', 'c', 'd'].map(|name| text.matches(name).count()), [EACH; 4]);
}
