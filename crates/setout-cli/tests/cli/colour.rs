//! Colours: on a terminal, where they are wanted.

use std::ffi::OsString;

use setout_cli::Io;

use crate::bench::Bench;

fn on_a_terminal(io: &mut Io<'_>) {
    io.stdout.terminal = true;
    io.stderr.terminal = true;
}

fn coloured(call: &str, surround: impl FnOnce(&mut Io<'_>)) -> (bool, bool) {
    let bench = Bench::lid();
    bench.edit("params/lid.yaml", "inner: width", "inner: widht");
    let answer = bench.run_as(call, surround);
    (answer.out.contains('\u{1b}'), answer.err.contains('\u{1b}'))
}

#[test]
fn colours_are_for_terminals() {
    assert_eq!(coloured("setout check", |_| {}), (false, false));
    assert_eq!(coloured("setout check", on_a_terminal), (true, true));
    assert_eq!(coloured("setout check", |io| io.stderr.terminal = true), (false, true));
    assert_eq!(coloured("setout check --format json", on_a_terminal), (false, false));
    assert_eq!(coloured("setout check --color never", on_a_terminal), (false, false));
    assert_eq!(coloured("setout --color always check", |_| {}), (true, true));
}

#[test]
fn the_environment_is_heeded() {
    let with = |name: &'static str, value: &'static str| {
        move |io: &mut Io<'_>| {
            on_a_terminal(io);
            io.heed(|asked| (asked == name).then(|| OsString::from(value)));
        }
    };
    assert_eq!(coloured("setout check", with("NO_COLOR", "1")), (false, false));
    assert_eq!(coloured("setout check", with("NO_COLOR", "")), (true, true));
    assert_eq!(coloured("setout check", with("TERM", "dumb")), (false, false));
    assert_eq!(coloured("setout check --color always", with("NO_COLOR", "1")), (true, true));
}

#[test]
fn no_line_ends_in_blanks_or_is_too_long() {
    let bench = Bench::lid();
    for call in ["setout check --all", "setout show", "setout show lid.width lid.lid lid.room"] {
        for width in [40, 80, 132] {
            let answer = bench.run_as(call, |io| io.width = width);
            for line in answer.out.lines() {
                assert_eq!(line, line.trim_end());
                assert!(line.chars().count() <= width.max(60), "{width}: {line}");
            }
        }
    }
}
