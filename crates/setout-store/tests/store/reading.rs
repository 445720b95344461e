//! What a folder lists and reads, and what it refuses.

use std::fs;
use std::process::Command;

use setout_design::{LARGEST_FILE, Source, SourceError};

use crate::bench::Bench;

fn refused(bench: &Bench, path: &str) -> String {
    match bench.folder().read(path) {
        Err(SourceError::Unsafe { reason, .. }) => reason,
        other => panic!("{path} should be unsafe: {other:?}"),
    }
}

#[test]
fn only_files_directly_in_the_folder_are_listed_in_order() {
    let bench = Bench::new();
    for path in ["params/öse.yaml", "params/jaw.yaml", "params/notes.txt", "params/.hidden.yaml"] {
        bench.file(path, "");
    }
    bench.file("params/old/jaw.yaml", "");
    bench.file("other/lip.yaml", "");
    assert_eq!(
        bench.folder().list().expect("listed"),
        ["params/design.yaml", "params/jaw.yaml", "params/notes.txt", "params/öse.yaml"]
    );
}

#[test]
fn bytes_come_as_they_are() {
    let bench = Bench::new();
    let bytes = b"\xef\xbb\xbfabout: M\xc3\xa4ulchen\r\ndimensions: {}\r\n";
    bench.file("params/jaw.yaml", bytes);
    let folder = bench.folder();
    assert_eq!(folder.read("params/jaw.yaml").expect("read"), bytes);
    assert_eq!(folder.read("params/../params/./jaw.yaml").expect("one spelling"), bytes);
}

#[test]
fn files_of_other_folders_are_read_too() {
    let bench = Bench::new();
    bench.file("examples/jaw.scad", "cube(1);");
    assert_eq!(bench.folder().read("examples/jaw.scad").expect("read"), b"cube(1);");
}

#[test]
fn what_is_not_there_is_not_found() {
    let bench = Bench::new();
    for path in ["params/jaw.yaml", "nowhere/jaw.yaml", "params/design.yaml/jaw.yaml"] {
        let error = bench.folder().read(path).expect_err("nothing there");
        assert_eq!(error, SourceError::NotFound { path: path.into() });
    }
    assert_eq!(bench.folder().read_existing("params/jaw.yaml"), Ok(None));
}

#[test]
fn nothing_outside_the_root_is_read() {
    let bench = Bench::empty();
    bench.file("secret", "secret");
    bench.file("project/params/design.yaml", "");
    let folder = setout_store::Folder::find(&bench.path("project")).expect("a design");
    let absolute = bench.path("secret").to_string_lossy().into_owned();
    for path in ["../secret", "params/../../secret", absolute.as_str(), "C:/secret", ".."] {
        let error = folder.read(path).expect_err("outside");
        assert!(matches!(error, SourceError::Unsafe { .. }), "{path}: {error:?}");
    }
}

#[test]
fn gits_own_folder_is_not_read() {
    let bench = Bench::repository();
    assert!(refused(&bench, ".git/config").contains("git's own"));
    assert!(refused(&bench, "params/../.GIT/config").contains("git's own"));
}

#[test]
fn a_folder_is_no_file() {
    let bench = Bench::new();
    bench.file("params/jaw.yaml/inside", "");
    assert_eq!(refused(&bench, "params/jaw.yaml"), "it is a folder");
    assert_eq!(refused(&bench, "params/.."), "it is a folder");
}

#[test]
fn a_file_too_large_is_refused_before_it_is_read() {
    let bench = Bench::new();
    let file = fs::File::create(bench.path("params/jaw.yaml")).expect("made");
    file.set_len(LARGEST_FILE + 1).expect("sparse");
    let error = bench.folder().read("params/jaw.yaml").expect_err("too large");
    let (path, bytes, limit) = ("params/jaw.yaml".into(), LARGEST_FILE + 1, LARGEST_FILE);
    assert_eq!(error, SourceError::TooLarge { path, bytes, limit });
}

#[cfg(unix)]
mod links {
    use super::*;

    #[test]
    fn a_link_that_stays_inside_is_followed() {
        let bench = Bench::new();
        bench.file("lib/screws.scad", "m4 = 4;");
        fs::create_dir(bench.path("examples")).expect("made");
        bench.link("../lib/screws.scad", "examples/screws.scad");
        bench.link("../lib", "examples/lib");
        let folder = bench.folder();
        assert_eq!(folder.read("examples/screws.scad").expect("read"), b"m4 = 4;");
        assert_eq!(folder.read("examples/lib/screws.scad").expect("read"), b"m4 = 4;");
    }

    #[test]
    fn a_link_that_leads_out_is_refused_and_tells_nothing() {
        let bench = Bench::new();
        let outside = Bench::empty();
        outside.file("there/file", "secret");
        bench.link(outside.path("there/file"), "to_file");
        bench.link(outside.path("missing"), "to_nothing");
        bench.link(outside.path("there"), "to_folder");
        let reason = refused(&bench, "to_file");
        assert!(reason.contains("leads out"), "{reason}");
        for path in ["to_nothing", "to_folder/file", "to_folder/missing"] {
            assert_eq!(refused(&bench, path), reason, "{path}");
        }
    }

    #[test]
    fn a_link_into_gits_folder_or_in_a_circle_is_refused() {
        let bench = Bench::repository();
        bench.link(".git/config", "config");
        bench.link("circle", "circle");
        assert!(refused(&bench, "config").contains("git's own"));
        refused(&bench, "circle");
    }

    #[test]
    fn a_linked_table_is_listed_and_not_read() {
        let bench = Bench::new();
        bench.file("shared/jaw.yaml", "");
        bench.link("../shared/jaw.yaml", "params/jaw.yaml");
        let folder = bench.folder();
        assert!(folder.list().expect("listed").contains(&"params/jaw.yaml".to_owned()));
        assert!(refused(&bench, "params/jaw.yaml").contains("symbolic link"));
    }

    #[test]
    fn a_pipe_does_not_hang_the_reader() {
        let bench = Bench::new();
        let made = Command::new("mkfifo").arg(bench.path("params/jaw.yaml")).status();
        assert!(made.expect("mkfifo can be started").success());
        assert!(bench.folder().list().expect("listed").contains(&"params/jaw.yaml".to_owned()));
        assert!(refused(&bench, "params/jaw.yaml").contains("pipe"));
    }

    #[test]
    fn a_device_is_refused_where_a_link_leads_to_it() {
        let bench = Bench::new();
        bench.link("/dev/zero", "zero.scad");
        refused(&bench, "zero.scad");
    }

    #[cfg(target_os = "linux")]
    #[test]
    fn a_name_that_is_not_utf8_is_said() {
        use std::os::unix::ffi::OsStrExt;
        let bench = Bench::new();
        let name = std::ffi::OsStr::from_bytes(b"m\xe4ulchen.yaml");
        fs::write(bench.path("params").join(name), "").expect("written");
        let error = bench.folder().list().expect_err("not UTF-8");
        let SourceError::Unsafe { path, reason } = error else { panic!("{error:?}") };
        assert_eq!(path, "params/m\u{fffd}ulchen.yaml");
        assert!(reason.contains("UTF-8"));
    }
}
