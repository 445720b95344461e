//! What is in a bundle, and that it is always the same.

use proptest::prelude::*;
use setout_assess::Work;
use setout_release::{Moment, Proof, Wishes, sha256, verify};

use crate::support::Fox;

pub(crate) fn bundle(fox: &Fox) -> Vec<u8> {
    fox.draw_up(&Wishes::default()).expect("a release").bundle().expect("a bundle")
}

#[track_caller]
pub(crate) fn differing(proof: &Proof) -> Vec<&'static str> {
    let differs = proof.claims.iter().filter(|claim| !claim.differs.is_empty());
    differs.map(|claim| claim.what.as_str()).collect()
}

#[test]
fn it_holds_what_the_release_is_made_of_and_nothing_else() {
    let release = Fox::new().release();
    let names: Vec<&str> = release.files().map(|(name, _)| name).collect();
    assert_eq!(
        names,
        [
            "changes.txt",
            "design/cad/dimensions.csv",
            "design/cad/dimensions.scad",
            "design/cad/lib/round.scad",
            "design/cad/shell.scad",
            "design/params/design.yaml",
            "design/params/jaw.yaml",
            "parts.csv",
            "record.yaml",
        ]
    );
    for (name, bytes) in release.files().filter(|(name, _)| *name != "record.yaml") {
        let listed = release.record.files.iter().find(|file| file.file == name).expect("listed");
        assert_eq!((listed.bytes, &listed.sha256), (bytes.len() as u64, &sha256(bytes)));
    }
    let list = release.files().find(|(name, _)| *name == "parts.csv").expect("there").1;
    assert_eq!(
        String::from_utf8_lossy(list),
        "name,letter,quantity,made,material,cost,cost_unit,mass,mass_unit\r\n\
         jaw.shell,A,1,printed,PETG,1.2,GBP,38,g\r\njaw.pin,A,2,bought,,0.1,GBP,1,g\r\n"
    );
}

#[test]
fn a_list_of_parts_computes_nothing() {
    let mut fox = Fox::new();
    fox.edit("params/jaw.yaml", "material: PETG", "material: '=1+1'");
    let release = fox.release();
    let list = release.files().find(|(name, _)| *name == "parts.csv").expect("there").1;
    assert!(String::from_utf8_lossy(list).contains(",printed,'=1+1,"));
}

#[test]
fn it_is_proven_wherever_the_design_stands() {
    for folder in ["params", "heads/fox/params", "fox", "Größe 1"] {
        let mut fox = Fox::new();
        let files = ["design.yaml", "jaw.yaml"].map(|file| {
            let text = setout_design::Source::read(&fox.files, &format!("params/{file}"));
            fox.files.remove(&format!("params/{file}"));
            (format!("{folder}/{file}"), text.expect("there"))
        });
        for (path, text) in files {
            fox.files.insert(path, text);
        }
        let above = folder.rsplit_once('/').map_or("", |(above, _)| above);
        for file in ["cad/shell.scad", "cad/lib/round.scad"] {
            let text = setout_design::Source::read(&fox.files, file).expect("there");
            fox.files.remove(file);
            fox.files.insert(format!("{above}/{file}").trim_start_matches('/'), text);
        }
        let proof = verify(&bundle(&fox)).expect("read");
        assert!(proof.is_proven(), "{folder}: {:?}", proof.claims);
        assert_eq!((proof.files, proof.claims.len()), (9, 9));
    }
}

/// A model that is called like a file of the design is taken for what it is.
#[test]
fn a_model_is_not_taken_for_the_design() {
    let mut fox = Fox::new();
    fox.files.insert("a/design.yaml", "cube(1);");
    fox.edit("params/jaw.yaml", "uses: [wall]", "uses: [wall], cad: ../a/design.yaml");
    // In memory the design would be looked for there first.
    let source = Apart(&fox.files);
    let evaluation = setout_design::Design::read(&source).evaluate();
    let commit = setout_release::Commit { id: &"1".repeat(40), date: Moment::new(0, 0) };
    let past = setout_release::Past { records: &[], last: None };
    let (wishes, work) = (Wishes::default(), Work::default());
    let release = setout_release::draw_up(&source, &evaluation, &past, &commit, &wishes, &work);
    let proof = verify(&release.expect("a release").bundle().expect("packed")).expect("read");
    assert!(proof.is_proven(), "{:?}", proof.claims);
}

struct Apart<'a>(&'a setout_design::Memory);

impl setout_design::Source for Apart<'_> {
    fn list(&self) -> Result<Vec<String>, setout_design::SourceError> {
        Ok(vec!["params/design.yaml".into(), "params/jaw.yaml".into()])
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, setout_design::SourceError> {
        self.0.read(path)
    }
}

#[test]
fn the_same_commit_gives_the_same_bytes() {
    assert_eq!(bundle(&Fox::new()), bundle(&Fox::new()));
}

#[test]
fn every_single_byte_counts() {
    let packed = bundle(&Fox::new());
    // Each byte once, one bit of it; which bit differs from byte to byte.
    let found = |at: usize| {
        let mut bytes = packed.clone();
        bytes[at] ^= 1 << (at % 8);
        !verify(&bytes).is_ok_and(|proof| proof.is_proven())
    };
    for at in (0..packed.len()).step_by(7) {
        assert!(found(at), "byte {at}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn whatever_is_done_to_its_bytes_is_found(
        at in any::<proptest::sample::Index>(),
        to in any::<u8>(),
        more in proptest::collection::vec(any::<u8>(), 0..9),
        cut in any::<bool>(),
    ) {
        let packed = bundle(&Fox::new());
        let mut bytes = packed.clone();
        let at = at.index(bytes.len());
        if more.is_empty() {
            bytes[at] = to;
        } else if cut {
            bytes.truncate(at);
        } else {
            bytes.splice(at..at, more);
        }
        prop_assume!(bytes != packed);
        prop_assert!(!verify(&bytes).is_ok_and(|proof| proof.is_proven()));
    }
}
