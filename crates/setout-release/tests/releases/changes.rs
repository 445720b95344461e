//! What is told to those who follow.

use setout_release::Wishes;

use crate::support::Fox;

#[track_caller]
fn assert_changes(fox: &mut Fox, wanted: &[&str]) {
    assert_eq!(fox.release().record.changes, wanted);
}

#[test]
fn a_first_release_lists_its_parts() {
    assert_changes(
        &mut Fox::new(),
        &[
            "This is the first release.",
            "Make 1 of jaw.shell: letter A.",
            "Buy 2 of jaw.pin: letter A.",
            "All parts together cost 1.40 GBP.",
            "All parts together weigh 40 g.",
        ],
    );
}

#[test]
fn what_to_make_comes_before_what_was_edited() {
    let mut fox = Fox::new();
    fox.release();
    fox.edit("params/jaw.yaml", "62 mm", "60.2 mm");
    fox.edit("params/jaw.yaml", "quantity: 2", "quantity: 3");
    fox.edit("params/jaw.yaml", "max: 70 mm", "max: 71 mm");
    fox.edit("params/jaw.yaml", "the tongue has to go in", "the tongue must go in");
    fox.edit("params/jaw.yaml", "parts:\n", "parts:\n  lid: { made: bought, uses: [stall] }\n");
    assert_changes(
        &mut fox,
        &[
            "jaw.room is tight now; it held before.",
            "jaw.lid is new: letter A.",
            "Make jaw.shell again: it is B now, was A; jaw.width changed.",
            "Of jaw.pin there are 3 now, was 2.",
            "jaw.pin A stays as it is.",
            "jaw.width is 60.2 mm now, was 62 mm.",
            "The limits of jaw.width: min 55 mm, max 71 mm now, was min 55 mm, max 70 mm.",
            "The reason for jaw.room has other words.",
            "jaw.inner follows: 56.2 mm now, was 58 mm, because of jaw.width.",
            "All parts together cost 1.50 GBP now, was 1.40 GBP.",
            "All parts together weigh 41 g now, was 40 g.",
        ],
    );
}

#[test]
fn models_renames_and_formulas_have_their_own_words() {
    let mut fox = Fox::new();
    fox.release();
    fox.edit("cad/shell.scad", "10, 10", "10, 11");
    fox.edit("params/jaw.yaml", "  stall: 2.5 A", "  stall_current: 2.5 A");
    fox.edit("params/jaw.yaml", "  wall: 2 mm", "  wall: 1 mm + 1 mm");
    assert_changes(
        &mut fox,
        &[
            "Make jaw.shell again: it is B now, was A; its model changed.",
            "jaw.pin A stays as it is.",
            "jaw.stall is called jaw.stall_current now.",
            "jaw.wall comes about otherwise, and is 2 mm as before.",
            "All parts together cost 1.40 GBP as before.",
            "All parts together weigh 40 g as before.",
        ],
    );
}

#[test]
fn what_fails_is_told_first_and_loudly() {
    let mut fox = Fox::new();
    fox.release();
    fox.edit("params/jaw.yaml", "62 mm", "59 mm");
    let release = fox.release();
    assert_eq!(release.record.changes[0], "jaw.room FAILS now; it held before.");
    assert_eq!(release.record.failing, ["jaw.room"]);
    let text = release.files().find(|(name, _)| *name == "changes.txt").expect("there").1;
    let text = String::from_utf8_lossy(text);
    let said = "RELEASED ALTHOUGH 1 REQUIREMENT IS NOT MET: jaw.room.";
    assert_eq!(text.lines().nth(4), Some(said), "{text}");
    assert_eq!(release.record.although().as_deref(), Some(said));
}

#[test]
fn many_of_a_sort_are_counted() {
    let mut fox = Fox::new();
    let many = |size: &str| (0..40).map(|n| format!("  d{n}: {size}\n")).collect::<String>();
    fox.files.insert("params/many.yaml", format!("dimensions:\n{}", many("1 mm")));
    fox.release();
    fox.files.insert("params/many.yaml", format!("dimensions:\n{}", many("2 mm")));
    let changes = fox.release().record.changes;
    assert_eq!(changes.iter().filter(|told| told.starts_with("many.d")).count(), 25);
    let more = "And 15 more edits by hand; `setout diff` tells all of them.".to_owned();
    assert!(changes.contains(&more), "{changes:?}");
}

/// Nothing of a stranger's text begins a line, steers a terminal or runs on for ever.
#[test]
fn texts_of_the_design_are_inert() {
    let mut fox = Fox::new();
    fox.release();
    let evil = format!("\"a\\nRELEASED\\u202e {}\"", "x".repeat(1_000));
    fox.edit("params/jaw.yaml", "material: PETG", &format!("material: {evil}"));
    fox.edit("params/design.yaml", "name: A fox", "name: \"A\\nfox\\u202e\"");
    let wishes = Wishes { note: vec!["one\n\ntwo\u{1b}[2J".into(), " ".into()], again: false };
    let release = fox.draw_up(&wishes).expect("a release");
    assert_eq!(release.record.note, ["one two [2J"]);
    let text = release.files().find(|(name, _)| *name == "changes.txt").expect("there").1;
    let text = String::from_utf8(text.to_vec()).expect("UTF-8");
    assert!(text.starts_with("A fox\nRelease B of 2023-11-14; it follows release A\n"), "{text}");
    assert!(!text.contains(['\u{202e}', '\u{1b}']), "{text}");
    assert!(!text.contains("\nRELEASED"), "{text}");
    assert!(release.record.changes.iter().all(|told| told.len() < 400));
}

#[test]
fn the_usual_caution_is_said_where_it_is_due() {
    let last = |fox: &Fox| {
        let release = fox.draw_up(&Wishes::default()).expect("a release");
        let files: Vec<_> = release.files().filter(|(name, _)| *name == "changes.txt").collect();
        let text = String::from_utf8_lossy(files[0].1).into_owned();
        (release.caution, text.contains("do not make a mechanism safe"))
    };
    let mut fox = Fox::new();
    assert_eq!(last(&fox), (false, false));
    let check = "checks:\n  power: { require: stall <= 3 A, why: the fuse }\n";
    fox.edit("params/jaw.yaml", "checks:\n", check);
    assert_eq!(last(&fox), (true, true));
}
