//! Bundles that somebody else has packed, with seals and hashes that fit.

use std::io::{Cursor, Write};

use setout_release::{BundleFault, Proof, sha256, verify};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

use crate::bundles::{bundle, differing};
use crate::support::Fox;

type Files = Vec<(String, Vec<u8>)>;

fn files() -> Files {
    let release = Fox::new().release();
    release.files().map(|(name, bytes)| (name.to_owned(), bytes.to_vec())).collect()
}

fn stored() -> SimpleFileOptions {
    SimpleFileOptions::default().compression_method(CompressionMethod::Stored)
}

fn packed(files: &Files) -> Vec<u8> {
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        archive.start_file(name, stored()).expect("begun");
        archive.write_all(bytes).expect("written");
    }
    archive.finish().expect("finished").into_inner()
}

/// Replaces a text in a file, and makes the record's hashes and its seal fit.
#[track_caller]
fn forged(file: &str, from: &str, to: &str) -> Proof {
    let mut files = files();
    let edit = |bytes: &mut Vec<u8>| {
        let text = String::from_utf8(bytes.clone()).expect("UTF-8");
        assert!(text.contains(from), "{from} in {text}");
        *bytes = text.replacen(from, to, 1).into_bytes();
    };
    let find = |files: &mut Files, name: &str| {
        files.iter().position(|(other, _)| other == name).expect("there")
    };
    let at = find(&mut files, file);
    let (old, length) = (sha256(&files[at].1), files[at].1.len());
    edit(&mut files[at].1);
    let (new, now) = (sha256(&files[at].1), files[at].1.len());
    let record = find(&mut files, "record.yaml");
    let text = String::from_utf8(files[record].1.clone()).expect("UTF-8");
    let text = text.replace(&old, &new).replace(
        &format!("bytes: {length}\n    sha256: \"{new}"),
        &format!("bytes: {now}\n    sha256: \"{new}"),
    );
    let body = text.rsplit_once("seal: ").expect("a seal").0;
    files[record].1 = format!("{body}seal: {}\n", sha256(body.as_bytes())).into_bytes();
    verify(&packed(&files)).expect("read")
}

#[test]
fn tables_that_say_something_else_are_found() {
    let proof = forged("design/params/jaw.yaml", "62 mm", "63 mm");
    let all = ["packing", "design", "parts", "exports"];
    assert_eq!(differing(&proof), all, "{:?}", proof.claims);
    // A note is in no fingerprint; the export says it.
    let proof = forged("design/params/jaw.yaml", "wall: 2 mm", "wall: { value: 2 mm, note: x }");
    assert_eq!(differing(&proof), ["packing", "exports"], "{:?}", proof.claims);
    let proof = forged("design/params/jaw.yaml", "62 mm", "62 mmm");
    assert_eq!(differing(&proof), ["packing", "design"], "{:?}", proof.claims);
}

#[test]
fn so_are_models_exports_and_lists() {
    let proof = forged("design/cad/lib/round.scad", "{}", "{ }");
    assert_eq!(differing(&proof), ["packing", "parts"]);
    let proof = forged("design/cad/dimensions.scad", "jaw_width = 62", "jaw_width = 63");
    assert_eq!(differing(&proof), ["packing", "exports"]);
    let proof = forged("parts.csv", "jaw.shell,A", "jaw.shell,B");
    assert_eq!(differing(&proof), ["packing", "part-list"]);
    let proof = forged("changes.txt", "Make 1", "Make 2");
    assert_eq!(differing(&proof), ["packing", "change-text"]);
}

#[test]
fn so_are_records() {
    let differ = |from: &str, to: &str| differing(&forged("record.yaml", from, to)).join(" ");
    assert_eq!(differ("holds: 1", "holds: 2"), "packing verdicts");
    assert_eq!(differ("mass:\n  value: 40", "mass:\n  value: 41"), "packing verdicts");
    assert_eq!(differ("quantity: 2", "quantity: 3"), "packing parts");
    assert_eq!(differ("name: \"jaw.pin\"", "name: \"jaw.pen\""), "packing parts");
    assert_eq!(differ("letter: \"A\"", "letter: \"B\""), "packing part-list changes");
    assert_eq!(differ("design: \"A fox\"", "design: \"A vixen\""), "packing design");
    let all = "packing design parts verdicts exports part-list change-text changes";
    assert_eq!(differ("folder: \"params\"", "folder: \"cad\""), all);
    assert_eq!(differ("failing: []", "failing:\n  - \"jaw.room\""), "packing verdicts");
    assert_eq!(differ("release: \"A\"", "release: \"B\""), "packing change-text");
}

/// A second release, whose letters and changes take the first to be proven.
#[test]
fn letters_and_changes_are_proven_against_the_release_before() {
    let mut fox = Fox::new();
    let first = fox.release().bundle().expect("packed");
    fox.edit("params/jaw.yaml", "62 mm", "63 mm");
    let second = fox.release().bundle().expect("packed");
    fox.edit("params/jaw.yaml", "wall: 2 mm", "wall: 1.9 mm");
    let third = fox.release().bundle().expect("packed");
    let follow = |bundle: &[u8], before: &[u8]| {
        let mut proof = verify(bundle).expect("read");
        assert!(proof.is_proven() && !proof.is_followed());
        proof.follow(before).expect("read");
        let last = proof.claims.pop().expect("a claim");
        (last.what.as_str(), last.differs.join("; "))
    };
    assert_eq!(follow(&second, &first), ("changes", String::new()));
    assert_eq!(follow(&third, &second), ("changes", String::new()));
    let other = "the other bundle is of release A".to_owned();
    assert_eq!(follow(&third, &first), ("changes", other));
    // A forged letter or sentence, with all hashes, lists and seals made to fit.
    let forged = |edits: &[[&str; 2]]| {
        let mut release = fox.records[1].clone();
        let text = edits.iter().fold(release.to_text(), |text, [from, to]| {
            assert!(text.contains(from), "{from} in {text}");
            text.replacen(from, to, 1)
        });
        let body = text.rsplit_once("seal: ").expect("a seal").0;
        let text = format!("{body}seal: {}\n", sha256(body.as_bytes()));
        release = setout_release::Record::read(text.as_bytes()).expect("a record");
        let mut proof = verify(&repacked(&second, &release.to_text())).expect("read");
        proof.follow(&first).expect("read");
        proof.claims.pop().expect("a claim").differs.join("; ")
    };
    assert_eq!(forged(&[["letter: \"B\"", "letter: \"A\""]]), {
        "jaw.shell should have the letter B; the change list says something else"
    });
    let sentence = ["it is B now", "it is D now"];
    assert_eq!(forged(&[sentence]), "the change list says something else");
    // After a longer history the letter is higher, and the list says so.
    assert_eq!(forged(&[["letter: \"B\"", "letter: \"D\""], sentence]), "");
}

/// A bundle with another record.
fn repacked(bundle: &[u8], record: &str) -> Vec<u8> {
    let mut archive = zip::ZipArchive::new(Cursor::new(bundle)).expect("an archive");
    let names: Vec<String> =
        archive.file_names().map(|name| name.expect("UTF-8").into_owned()).collect();
    let files = names.into_iter().map(|name| {
        let mut bytes = Vec::new();
        let mut file = archive.by_name(&name).expect("there");
        std::io::Read::read_to_end(&mut file, &mut bytes).expect("read");
        let bytes = if name == "record.yaml" { record.as_bytes().to_vec() } else { bytes };
        (name.clone(), bytes)
    });
    packed(&files.collect())
}

/// Only the record that is kept in the repository tells of these.
#[test]
fn what_a_bundle_alone_cannot_tell_is_compared() {
    let fox = Fox::new();
    let bytes = bundle(&fox);
    let kept = fox.draw_up(&setout_release::Wishes::default()).expect("a release");
    let kept = kept.record_text();
    let mut proof = verify(&bytes).expect("read");
    proof.compare_with(kept);
    assert!(proof.is_proven());
    let crlf = String::from_utf8_lossy(kept).replace('\n', "\r\n");
    let mut proof = verify(&bytes).expect("read");
    proof.compare_with(crlf.as_bytes());
    assert!(proof.is_proven(), "line ends are of no account");
    let mut proof = verify(&bytes).expect("read");
    proof.compare_with(&kept[1..]);
    assert_eq!(differing(&proof), ["record"]);
}

#[test]
fn files_that_are_more_or_missing_are_found() {
    let mut more = files();
    more.push(("design/params/teeth.yaml".into(), b"dimensions: { a: 1 mm }\n".to_vec()));
    let proof = verify(&packed(&more)).expect("read");
    assert_eq!(differing(&proof)[..3], ["files", "packing", "design"], "{:?}", proof.claims);
    let mut more = files();
    more.push(("design/run.sh".into(), b"#!/bin/sh\n".to_vec()));
    let proof = verify(&packed(&more)).expect("read");
    assert_eq!(differing(&proof), ["files", "packing", "design"], "{:?}", proof.claims);
    for at in 0..files().len() {
        let mut fewer = files();
        let (name, _) = fewer.remove(at);
        match verify(&packed(&fewer)) {
            Ok(proof) => assert!(differing(&proof).contains(&"files"), "{name}"),
            Err(fault) => {
                assert_eq!((name.as_str(), fault), ("record.yaml", BundleFault::NoRecord))
            }
        }
    }
}

#[track_caller]
fn refused(archive: Vec<u8>) -> String {
    verify(&archive).expect_err("refused").to_string()
}

#[test]
fn what_no_bundle_holds_is_refused() {
    let with = |name: &str| {
        let mut files = files();
        files.push((name.to_owned(), b"x".to_vec()));
        refused(packed(&files))
    };
    for name in ["../evil", "/etc/passwd", "design/../../evil", "a\\b", "a//b"] {
        assert!(with(name).contains("a name that no file of a bundle has"), "{name}");
    }
    assert!(with("folder/").contains("is no file"));
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    archive.add_symlink("record.yaml", "/etc/passwd", stored()).expect("added");
    let archive = archive.finish().expect("finished").into_inner();
    assert!(refused(archive).contains("is a link"));
    assert!(refused(b"no archive".to_vec()).contains("no archive"));
    assert!(refused(Vec::new()).contains("no archive"));
}

/// The flags of an entry in both of its heads: bit 0 says that it is encrypted.
#[test]
fn an_encrypted_or_compressed_entry_is_refused_before_it_is_read() {
    let archive = packed(&files());
    let changed = |local: usize, central: usize, to: u8| {
        let mut bytes = archive.clone();
        let heads = |mark: &[u8]| -> Vec<usize> {
            let windows = archive.windows(4).enumerate();
            windows.filter(|(_, four)| *four == mark).map(|(at, _)| at).collect()
        };
        let (locals, centrals) = (heads(b"PK\x03\x04"), heads(b"PK\x01\x02"));
        bytes[locals[0] + local] = to;
        bytes[centrals[0] + central] = to;
        refused(bytes)
    };
    assert!(changed(6, 8, 1).contains("encrypted"));
    assert!(changed(8, 10, 8).contains("is compressed"), "deflate");
    // It says that it holds four gigabytes.
    let mut bytes = archive.clone();
    let at = archive.windows(4).position(|four| four == b"PK\x01\x02").expect("a head");
    bytes[at + 20..at + 28].copy_from_slice(&[0xf0; 8]);
    assert!(refused(bytes).contains("too large"));
}

#[test]
fn two_files_of_one_name_are_refused() {
    let mut files = files();
    files.push(("partx.csv".into(), b"other".to_vec()));
    let archive = packed(&files);
    let mut bytes = archive.clone();
    for at in 0..archive.len() - 9 {
        if archive[at..].starts_with(b"partx.csv") {
            bytes[at + 4] = b's';
        }
    }
    assert!(refused(bytes).contains("same name"));
}
