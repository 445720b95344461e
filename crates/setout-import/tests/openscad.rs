//! OpenSCAD variables: what is taken, assumed, renamed and left out.

use setout_import::{Form, Imported, import};

fn scad(text: &str) -> Imported {
    import(text.as_bytes(), Form::OpenScad, "face", None).expect("a good call")
}

/// The lines of the table below `dimensions:`.
fn table(text: &str) -> Vec<String> {
    let imported = scad(text);
    assert!(imported.left_out.is_empty(), "{:?}", imported.left_out);
    imported.text.lines().skip(1).map(|line| line.trim().to_owned()).collect()
}

#[track_caller]
fn refused(text: &str, line: usize, why: &str) {
    let imported = scad(text);
    let found = imported.left_out.iter().find(|out| out.line == line);
    let found = &found.unwrap_or_else(|| panic!("nothing in line {line}: {imported:?}")).why;
    assert!(found.contains(why), "{found}");
}

#[test]
fn literals_get_units_by_their_place() {
    let text = "w = 60;\nt = 2.5;\na = w * 0.6 - 2*t;\nb = w + 3;\nc = max(w, 4) / 2;";
    let wanted =
        ["w: 60 mm", "t: 2.5 mm", "a: w * 0.6 - 2 * t", "b: w + 3 mm", "c: max(w, 4 mm) / 2"];
    assert_eq!(table(text), wanted);
}

#[test]
fn angles_are_told_by_comment_name_and_use() {
    let text = "a = 5; // deg\nlip_angle = 6;\nc = 7;\nd = 9 * sin(c + 1);\ne = sin(360 / n);";
    let imported = scad(&format!("n = 6;\n{text}"));
    assert_eq!(
        imported.assumed,
        [
            "plain numbers by their use: n",
            "angles in deg by their comment or name: lip_angle",
            "angles in deg by their use: c",
            "plain numbers, as nothing says otherwise: d",
        ]
    );
    assert!(imported.text.contains("e: sin(360 deg / n)\n"), "{}", imported.text);
}

#[test]
fn the_language_is_put_in_our_words() {
    let text = "w = 9; ok = w > 3 && !false;\na = ok ? w : w < 2 ? 1 : PI * w;\n\
                b = sqrt(pow(w, 2));\nc = round(w);\nd = log(100); e = w ^ 2 / (2 * w);";
    let wanted = [
        "w: 9 mm",
        "ok: w > 3 mm && !false",
        "a: if(ok, w, if(w < 2 mm, 1 mm, pi * w))",
        "b: sqrt(w ^ 2)",
        "c: round(w, 1 mm)",
        "d: log10(100)",
        "e: w ^ 2 / (2 * w)",
    ];
    assert_eq!(table(text), wanted);
}

#[test]
fn our_own_comments_state_the_unit() {
    let text = "jaw_w = 62; // mm, over all\nstall = 2.5; // A\nn = 4; // number\nq = 3; // count";
    let wanted = ["jaw_w:", "value: 62 mm", "note: over all", "stall: 2.5 A", "n: 4", "q:"];
    let mut found = table(text);
    assert_eq!(found.split_off(6), ["value: 3", "unit: count"]);
    assert_eq!(found, wanted);
    assert!(scad(text).assumed.is_empty());
}

#[test]
fn sliders_become_limits_and_sections_comments() {
    let text = "/* [Jaw] */\n// how wide\nw = 60; // [50:0.5:70]\n";
    let wanted = ["# Jaw", "w:", "value: 60 mm", "min: 50 mm", "max: 70 mm", "note: how wide"];
    assert_eq!(table(text), wanted);
}

#[test]
fn what_does_not_fit_is_named() {
    refused("a = 5; // inch", 1, "`inch`");
    refused("a = 5; // in", 1, "read in mm");
    refused("a = b + 1;\nb = 2;", 1, "only later");
    refused("w = 5; a = sin(3); b = w + w*w;", 1, "a length");
    refused("a = 1/0;", 1, "no number");
    refused("a = 7 % 2;", 1, "remainder");
    refused("a = 1;\nb = 2\nc = 3;", 2, "`;` is missing");
    refused("PI = 3;\nb = PI * 2;", 2, "`PI`");
    refused("function max(a) = 1;\nb = max(3);", 2, "function of the file");
    refused("a = $fn;", 1, "$fn");
    refused("module a() {\n x = 1;\n}\n", 1, "is a module");
}

#[test]
fn names_keep_the_rules_and_stay_apart() {
    let imported = scad("headW = 1;\nhead_w = headW * 2;\nHead_W = 3;\n_x = 4;\n2d = 5;");
    assert_eq!(imported.taken, ["head_w_2", "head_w", "head_w_3", "x", "d"]);
    assert_eq!(imported.renamed.len(), 4);
    assert!(imported.text.contains("head_w: head_w_2 * 2\n"));
}

#[test]
fn latin_1_is_read_and_said() {
    let bytes = b"w = 5; // gr\xf6\xdfer\n";
    let imported = import(bytes, Form::OpenScad, "face", None).expect("a good call");
    assert!(imported.text.contains("größer"));
    assert_eq!(imported.assumed[1], "the file is not UTF-8 and was read as Latin-1");
}

#[test]
fn long_and_deep_files_end_in_time() {
    let cases = [
        "(\n".repeat(200_000),
        "\"\\\"\n".repeat(200_000),
        format!("a = {};", "(".repeat(50_000)),
        format!("a = {}1;", "1+".repeat(50_000)),
        format!("a = {}1;", "-".repeat(900)),
        format!("a = {}1;", "1+".repeat(499)),
        "/* ".repeat(100_000),
        (0..3000).rev().map(|n| format!("a{n} = a{};\n", n + 1)).collect(),
    ];
    for text in cases {
        scad(&text);
    }
}
