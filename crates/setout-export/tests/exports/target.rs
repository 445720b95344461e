//! Which paths may be named as targets.

use setout_export::{TargetFault, check_target};

use crate::support::{csv, openscad};

#[test]
fn ordinary_paths_are_good() {
    let good = [
        "dimensions.scad",
        "../examples/badger/dimensions.scad",
        "../../a b/größe 2.1.scad",
        "a/b.c/d.SCAD",
        "console.scad",
        "com10.scad",
        "comet/lpt.scad",
    ];
    for path in good {
        assert_eq!(check_target(openscad(), path), Ok(()), "{path}");
    }
    assert_eq!(check_target(csv(), "x.csv"), Ok(()));
}

#[track_caller]
fn assert_refused(path: &str, fits: impl Fn(&TargetFault) -> bool) {
    let fault = check_target(openscad(), path).expect_err(path);
    assert!(fits(&fault), "{path}: {fault:?}");
    assert!(!fault.to_string().contains(['\n', '\u{202e}']), "{fault}");
}

#[test]
fn other_paths_are_refused() {
    for path in ["", "/etc/x.scad", "a//b.scad", "a/", "../", "..//x.scad"] {
        assert_refused(path, |fault| *fault == TargetFault::EmptyPart);
    }
    for path in [
        "./x.scad",
        "a/../x.scad",
        ".git/x.scad",
        "../.x.scad",
        ".scad",
        "..a/x.scad",
        "a/./b.scad",
    ] {
        assert_refused(path, |fault| matches!(fault, TargetFault::DotPart { .. }));
    }
    for path in [
        "a\\b.scad",
        "c:x.scad",
        "C:/x.scad",
        "x.scad:y",
        "a\n.scad",
        "a\0.scad",
        "a\u{202e}.scad",
        "a>.scad",
        "*.scad",
    ] {
        assert_refused(path, |fault| matches!(fault, TargetFault::BadCharacter { .. }));
    }
    for path in [
        "con.scad",
        "a/NUL.x.scad",
        "aux/x.scad",
        "Com1.scad",
        "lpt¹.scad",
        "prn .scad",
        "CONIN$.scad",
    ] {
        assert_refused(path, |fault| matches!(fault, TargetFault::DeviceName { .. }));
    }
    for path in ["a./x.scad", "a /x.scad", "x.scad ", "x.scad."] {
        assert_refused(path, |fault| matches!(fault, TargetFault::BadEnding { .. }));
    }
    for path in ["x", "x.csv", "x.scad.csv", "scad", "a.scad/x", "..", "../.."] {
        assert_refused(path, |fault| matches!(fault, TargetFault::WrongExtension { .. }));
    }
}

#[test]
fn faults_say_what_fits() {
    let fault = check_target(csv(), "x.txt").expect_err("another ending");
    assert_eq!(fault.to_string(), "a file of format csv ends with .csv");
}
