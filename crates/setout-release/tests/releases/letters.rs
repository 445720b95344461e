//! Which part gets which letter.

use setout_assess::Work;
use setout_release::{Release, ReleaseFault, Turn, Wishes};

use crate::support::{Fox, letters};

#[test]
fn a_first_release_is_a() {
    let release = Fox::new().release();
    assert_eq!(release.record.release.to_string(), "A");
    assert_eq!(release.record.previous, None);
    assert_eq!(letters(&release), "jaw.shell A, jaw.pin A");
    assert!(release.parts.iter().all(|part| part.turn == Turn::New));
}

#[test]
fn only_what_must_be_made_again_gets_another_letter() {
    let mut fox = Fox::new();
    fox.release();
    fox.edit("params/jaw.yaml", "62 mm", "63 mm");
    let release = fox.release();
    assert_eq!(release.record.release.to_string(), "B");
    assert_eq!(letters(&release), "jaw.shell B, jaw.pin A");
    // Only the model.
    fox.edit("cad/lib/round.scad", "{}", "{ cube(1); }");
    assert_eq!(letters(&fox.release()), "jaw.shell C, jaw.pin A");
    // A price makes no part anew, a tolerance does.
    fox.edit("params/jaw.yaml", "0.10 GBP", "0.12 GBP");
    assert_eq!(letters(&fox.release()), "jaw.shell C, jaw.pin A");
    fox.edit("params/jaw.yaml", "tolerance: printed", "tolerance: ±0.1 mm");
    assert_eq!(letters(&fox.release()), "jaw.shell D, jaw.pin A");
    fox.edit("params/jaw.yaml", "wall: 2 mm", "wall: 1.9 mm");
    assert_eq!(letters(&fox.release()), "jaw.shell E, jaw.pin B");
}

#[test]
fn a_dimension_that_only_has_another_name_makes_nothing_anew() {
    let mut fox = Fox::new();
    let first = fox.release();
    fox.edit("params/jaw.yaml", "  wall: 2 mm", "  side_wall: 2 mm");
    fox.edit("params/jaw.yaml", "2 * wall", "2 * side_wall");
    fox.edit("params/jaw.yaml", "uses: [wall]", "uses: [side_wall]");
    let second = fox.release();
    assert_eq!(letters(&second), "jaw.shell A, jaw.pin A");
    let pin = |release: &Release| release.record.parts[1].fingerprint.clone();
    assert_ne!(pin(&first), pin(&second), "the name is in it");
    // And the new fingerprint is what the next release is compared with.
    fox.edit("params/jaw.yaml", "62 mm", "61 mm");
    assert_eq!(letters(&fox.release()), "jaw.shell B, jaw.pin A");
}

#[test]
fn a_part_keeps_its_letters_under_another_name() {
    let mut fox = Fox::new();
    fox.release();
    fox.edit("params/jaw.yaml", "  pin: {", "  pivot_pin: {");
    let release = fox.release();
    assert_eq!(letters(&release), "jaw.shell A, jaw.pivot_pin A");
    assert_eq!(release.record.parts[1].was.as_deref(), Some("jaw.pin"));
    assert_eq!(release.parts[1].turn, Turn::Stays);
    fox.edit("params/jaw.yaml", "wall: 2 mm", "wall: 1.9 mm");
    assert_eq!(letters(&fox.release()), "jaw.shell B, jaw.pivot_pin B");
}

#[test]
fn and_in_another_table() {
    let mut fox = Fox::new();
    fox.release();
    let jaw = crate::support::JAW;
    fox.files.remove("params/jaw.yaml");
    fox.files.insert("params/mouth.yaml", jaw);
    fox.edit("cad/shell.scad", "jaw_width", "mouth_width");
    fox.edit("cad/shell.scad", "jaw_inner", "mouth_inner");
    // The pin is the one that it was; the shell's model has other words in it.
    assert_eq!(letters(&fox.release()), "mouth.shell B, mouth.pin A");
}

#[test]
fn what_comes_back_goes_on_where_it_was() {
    let mut fox = Fox::new();
    fox.release();
    fox.edit("params/jaw.yaml", "wall: 2 mm", "wall: 1.9 mm");
    assert_eq!(letters(&fox.release()), "jaw.shell B, jaw.pin B");
    let pin = "  pin: { made: bought, quantity: 2, cost: 0.10 GBP, mass: 1 g, uses: [wall] }\n";
    fox.edit("params/jaw.yaml", pin, "");
    let release = fox.release();
    assert_eq!(letters(&release), "jaw.shell B");
    assert!(release.record.changes.contains(&"jaw.pin B is not used any more.".to_owned()));
    fox.edit("params/jaw.yaml", "stall: 2.5 A", "stall: 2.6 A");
    fox.edit("params/jaw.yaml", "  shell: {", &format!("{pin}  shell: {{"));
    let release = fox.release();
    assert_eq!(letters(&release), "jaw.pin C, jaw.shell B");
    assert_eq!(release.parts[0].turn, Turn::New);
}

#[test]
fn what_was_released_is_not_released_again() {
    let mut fox = Fox::new();
    fox.release();
    let said = |fox: &Fox, wishes: &Wishes| match fox.draw_up(wishes) {
        Err(ReleaseFault::Already { letter, followed }) => format!("{letter} {followed}"),
        other => panic!("{other:?}"),
    };
    let again = Wishes { again: true, ..Wishes::default() };
    assert_eq!(said(&fox, &Wishes::default()), "A false");
    assert_eq!(said(&fox, &again), "A false");
    fox.edit("params/jaw.yaml", "62 mm", "63 mm");
    fox.release();
    fox.edit("params/jaw.yaml", "63 mm", "62 mm");
    assert_eq!(said(&fox, &Wishes::default()), "A true");
    let back = fox.draw_up(&again).expect("released");
    assert_eq!(back.record.release.to_string(), "C");
    // Those who have a B on the bench must not take it for what A was.
    assert_eq!(letters(&back), "jaw.shell C, jaw.pin A");
}

#[test]
fn what_was_not_judged_to_its_end_is_not_released() {
    let stopped = Work { stop: &|| true, ..Work::default() };
    let fault = Fox::new().draw_up_with(&Wishes::default(), &stopped).expect_err("stopped");
    assert_eq!(fault, ReleaseFault::Stopped);
}

#[test]
fn the_past_has_to_fit_together() {
    let mut fox = Fox::new();
    fox.release();
    fox.edit("params/jaw.yaml", "62 mm", "63 mm");
    fox.release();
    fox.edit("params/jaw.yaml", "63 mm", "64 mm");
    let missing = fox.records.remove(0);
    let fault = fox.draw_up(&Wishes::default()).expect_err("refused");
    assert!(matches!(fault, ReleaseFault::Gap { named: Some(_), .. }), "{fault}");
    fox.records.insert(0, missing.clone());
    fox.records.remove(1);
    let fault = fox.draw_up(&Wishes::default()).expect_err("refused");
    assert!(matches!(fault, ReleaseFault::OtherDesign { .. }), "{fault}");
    fox.records.push(missing);
    let fault = fox.draw_up(&Wishes::default()).expect_err("refused");
    assert!(matches!(fault, ReleaseFault::Gap { named: None, .. }), "{fault}");
}
