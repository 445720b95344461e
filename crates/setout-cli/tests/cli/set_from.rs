//! `setout set --from`: many values from a file.

use std::io::Cursor;

use expect_test::expect;

use crate::jaw::jaw;

#[test]
fn values_of_a_file_are_set_together() {
    let bench = jaw();
    let before = ["params/frame.yaml", "params/jaw.yaml"].map(|path| bench.text(path));
    bench.file("new.csv", "Name,Value\r\nframe.width, 98 mm\r\n\r\njaw.steps,\"floor(width, 5 mm)\"\r\njaw.pin,M4\r\njaw.jaw.cost,5 GBP\n");
    let refused = bench.shown("setout set --from new.csv");
    expect![[r#"
        $ setout set --from new.csv
        --- standard error
        new.csv:4:1: `jaw.steps` is derived: floor(width, 10 mm) [bad-call]
          help: --formula replaces the formula; to keep it, set what it names
        new.csv:6:1: `jaw.jaw.cost` is derived: width * 0.05 GBP / 1 mm [bad-call]
          help: --formula replaces the formula; to keep it, set what it names
        --- status 2
    "#]]
    .assert_eq(&refused);
    expect![[r#"
        $ setout set --from new.csv --formula
        params/frame.yaml:3
          was  width: 100 mm # over all, ± nothing
                      ^^^
          now  width: 98 mm # over all, ± nothing
                      ^^
        params/jaw.yaml:6
          was  steps: floor(width, 10 mm)
                                   ^^
          now  steps: floor(width, 5 mm)
                                   ^
        jaw.pin is already M4.
        params/jaw.yaml:19
          was  jaw: { made: printed, cost: width * 0.05 GBP / 1 mm, mass: 30 g, uses:
                                           ^^^^^^^^^^^^    ^^^^^^^
               [width] }
          now  jaw: { made: printed, cost: 5 GBP, mass: 30 g, uses: [width] }
                                           ^

        tight    jaw.room, margin 0 mm; it held by 1 mm
                 requires    gap >= 15 mm
                 that is     15 mm >= 15 mm
                 because     the skin pulls the cheeks inwards
                 from        frame.width

        1 part with another cost or mass:
          jaw.jaw  printed  3.10 → 5.00 GBP     30 g

        All parts together: cost 4.30 → 6.20 GBP, mass 32 g as before.
        4 dimensions changed, 1 check is tight. Written to params/frame.yaml and
        params/jaw.yaml.
        The exports are out of date now; setout export writes them.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout set --from new.csv --formula"));
    assert_eq!(
        bench.text("params/frame.yaml"),
        before[0].replace("width:   100 mm", "width:   98 mm")
    );
    let jaw = before[1]
        .replace("floor(width, 10 mm)", "floor(width, 5 mm)")
        .replace("width * 0.05 GBP / 1 mm", "5 GBP");
    assert_eq!(bench.text("params/jaw.yaml"), jaw);
}

#[test]
fn values_come_from_standard_input() {
    let bench = jaw();
    let call = "setout set --from - --format json";
    let answer = bench.run_as(call, |io| io.stdin = Box::new(Cursor::new("frame.wall,2.5 mm")));
    assert_eq!(answer.json()["lines"][0]["line"], 4);
    assert!(bench.text("params/frame.yaml").contains("{ value: 2.5 mm, min"));
    assert_eq!(bench.run(call).json()["faults"][0]["file"], "standard input");
}

#[test]
fn every_fault_of_a_file_has_its_line() {
    let bench = jaw();
    let before = ["params/frame.yaml", "params/jaw.yaml"].map(|path| bench.text(path));
    bench.file(
        "bad.csv",
        "name,value\nframe.width,98 mm\nframe.widht,98 mm\njaw.gap,3 mm\nframe.wall\nframe.wall,\nwidth,3 mm\nframe.width,97 mm\njaw.steps,max(1 mm, 2 mm)\n",
    );
    expect![[r#"
        $ setout set --from bad.csv
        --- standard error
        bad.csv:3:1: there is no `frame.widht` [not-found]
          help: did you mean `frame.width`?
        bad.csv:4:1: `jaw.gap` is derived: (frame.inner - width) / 2 [bad-call]
          help: --formula replaces the formula; to keep it, set what it names
        bad.csv:5:1: this line has 1 of 2 fields [bad-call]
          help: write `name,value`, and a value with a comma in it in double quotes
        bad.csv:6:1: there is no value in `frame.wall=` [bad-call]
          help: write for example `jaw.width=64mm`
        bad.csv:7:1: `width` could be several [ambiguous-name]
          help: write `frame.width` or `jaw.width`
        bad.csv:8:1: `frame.width` is given two values [bad-call]
          help: line 2 has it first; take one of them out
        bad.csv:9:1: this line has 3 of 2 fields [bad-call]
          help: write `name,value`, and a value with a comma in it in double quotes
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout set --from bad.csv"));
    bench.file("worse.csv", "frame.width,98 furlongs\nframe.wall,3 deg\n");
    expect![[r#"
        $ setout set --from worse.csv
        --- standard error
        worse.csv:1:1: in the value for `frame.width`: there is no unit `furlongs`
            [unknown-unit]
          help: if `furlongs` is a name, put an operator before it: `98 * furlongs`
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout set --from worse.csv"));
    bench.file("zero.csv", "frame.width,98 mm\nframe.wall,5 mm\njaw.width,1 mm / 0\n");
    expect![[r#"
        $ setout set --from zero.csv
        --- standard error
        zero.csv:3:1: in the value for `jaw.width`: a division by zero: `0` [domain]
          help: keep the divisor away from 0
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout set --from zero.csv"));
    expect![[r#"
        $ setout set --from none.csv
        --- standard error
        setout: none.csv cannot be read: No such file or directory (os error 2)
            [not-found]
          help: name a file, or - for standard input
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout set --from none.csv"));
    assert_eq!(["params/frame.yaml", "params/jaw.yaml"].map(|path| bench.text(path)), before);
}
