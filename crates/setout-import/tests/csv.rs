//! CSV: our own export and simple lists.

use setout_design::Memory;
use setout_import::{Form, Imported, import};

fn csv(text: &str, table: &str) -> Imported {
    import(text.as_bytes(), Form::Csv, table, None).expect("a good call")
}

#[test]
fn a_simple_list_in_any_order() {
    let imported =
        csv("Unit;Value;Name;note\nmm;62;width;over all\n;M4;screw;\ndeg;1,5;a;\n", "lid");
    assert_eq!(
        imported.text,
        "dimensions:\n  width:\n    value: 62 mm\n    note: over all\n  screw: { text: \"M4\" }\n"
    );
    assert_eq!(imported.left_out[0].line, 4);
    assert!(imported.left_out[0].why.contains("decimal"));
}

const OURS: &str = "name,kind,value,unit,min,max,tolerance,note\r\n\
    fingerprint,,0123456789abcdef0123456789abcdef,,,,,\r\n\
    lid.width,chosen,62,mm,55,70,'+0.1 -0.3 mm,\"fits, the frame\"\r\n\
    lid.guarded,chosen,'=A1,,,,,\r\n\
    lid.servo.left.size,cell,micro,,,,,\r\n\
    lid.servo.left.neutral,cell,90,deg,,,,\r\n\
    lid.servo.right.size,cell,standard,,,,,\r\n\
    lid.servo.right.neutral,cell,-85.5,deg,,,,\r\n\
    jaw.drop,derived,4,mm,,,,\r\n";

#[test]
fn our_own_comes_back_with_limits_and_schedules() {
    let imported = csv(OURS, "lid");
    assert_eq!(imported.taken.len(), 6, "{imported:?}");
    for part in [
        "    tolerance: +0.1 -0.3 mm\n",
        "    min: 55 mm\n    max: 70 mm\n",
        "    note: fits, the frame\n",
        "  guarded: { text: \"=A1\" }\n",
        "      right: [\"standard\", -85.5 deg]\n",
    ] {
        assert!(imported.text.contains(part), "{part}{}", imported.text);
    }
    assert_eq!(imported.left_out.len(), 1);
    assert!(imported.left_out[0].why.contains("--table jaw"));
}

#[test]
fn several_tables_become_parts_of_names() {
    let imported = csv(OURS, "all");
    assert!(imported.taken.contains(&"jaw_drop".to_owned()));
    assert!(imported.taken.contains(&"lid_servo.left.size".to_owned()));
}

#[test]
fn a_schedule_with_a_hole_is_left_out_whole() {
    let holed = OURS.replace("lid.servo.right.size,cell,standard,,,,,\r\n", "");
    let imported = csv(&holed, "lid");
    assert_eq!(imported.left_out.iter().filter(|out| out.why.contains("not all")).count(), 3);
    assert!(!imported.text.contains("schedules"));
}

#[test]
fn no_header_no_import() {
    let imported = csv("width,62,mm\n", "lid");
    assert!(imported.taken.is_empty() && imported.text.is_empty());
    assert_eq!(imported.left_out[0].line, 1);
}

#[test]
fn the_design_beside_it_is_asked() {
    let design = Memory::new([
        ("params/design.yaml", "setout: 1\nname: a lid\ncurrency: GBP\n"),
        ("params/a_b.yaml", "dimensions: { c: 1 mm }\n"),
    ]);
    let text = "name,value,unit\nb_c,3,mm\nprice,4,GBP\n";
    let imported = import(text.as_bytes(), Form::Csv, "a", Some(&design)).expect("a good call");
    // `a.b_c` and `a_b.c` would meet in an export.
    assert_eq!(imported.taken, ["price"]);
}

#[test]
fn a_reason_stands_on_one_line() {
    let text = "name,value,unit\na,abc,\"m\n\nm\"\nb,2,\"m\nm\"\n";
    let imported = csv(text, "lid");
    let whys: Vec<&str> = imported.left_out.iter().map(|left| &*left.why).collect();
    assert_eq!(whys[0], "`abc` is no number, and it has the unit `m m`");
    assert!(whys.len() == 2 && !whys[1].contains('\n'), "{whys:?}");
}
