//! The sample of this repository, from the start of the program to its end, against `git status`.

use std::process::Command;

use setout_bench::{Figure, by_turns, programs};

use crate::Book;

const ROUNDS: usize = 41;

pub(crate) fn figures(book: &Book) -> Vec<Figure> {
    let root = programs::root();
    let setout = |words: &[&str]| {
        programs::took(Command::new(&book.setout).arg("-C").arg(&root).args(words))
    };
    let times = by_turns(
        ROUNDS,
        &mut [
            &mut || programs::took(Command::new("git").arg("-C").arg(&root).arg("status")),
            &mut || programs::took(Command::new(&book.setout).arg("--version")),
            &mut || setout(&["check", "--at", "rest"]),
            &mut || setout(&["check"]),
        ],
    );
    let [git, version, rest, check] = &times[..] else { unreachable!("four ran") };
    let peer = "`git status` there";
    vec![
        Figure::share("`setout check` of the sample", check, peer, git).at_most(1.5),
        Figure::share("`setout check --at rest` of the sample", rest, peer, git).at_most(1.5),
        Figure::share("`setout --version`", version, peer, git).at_most(0.6),
        Figure::share(
            "`setout check` of the sample, all proved",
            check,
            "`setout check --at rest`",
            rest,
        )
        .at_most(5.0),
    ]
}
