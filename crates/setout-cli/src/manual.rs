//! The manual pages in `docs/man` and the completions in `docs/completions`: the flags, as other
//! programs show them. Nothing here is part of the command, so it needs no library for this.
//!
//! With `UPDATE=1` in the environment the files are written anew: read the difference.

use std::path::{Path, PathBuf};
use std::{env, fs};

use clap::{Command, CommandFactory};
use clap_complete::aot::{Generator, Shell};
use clap_mangen::Man;

use crate::flags::Typed;

/// The command with its commands, built so that each has the options of every command.
fn whole() -> Command {
    let mut whole = Typed::command().subcommand_value_name("COMMAND");
    whole = whole.subcommand_help_heading("COMMANDS");
    whole.set_bin_name("setout");
    whole.build();
    whole
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// Compares the files of a folder, or writes them anew and removes others.
fn expect(folder: &str, files: &[(String, String)]) {
    let folder = root().join(folder);
    let update = env::var_os("UPDATE").is_some();
    if update {
        fs::create_dir_all(&folder).unwrap();
    }
    for (name, fresh) in files {
        let path = folder.join(name);
        if update {
            fs::write(&path, fresh).unwrap();
        }
        let old = fs::read_to_string(&path).unwrap_or_default();
        let line = old.lines().zip(fresh.lines()).find(|(old, fresh)| old != fresh);
        assert!(old == *fresh, "{}: UPDATE=1 writes it anew: {line:#?}", path.display());
    }
    for entry in fs::read_dir(&folder).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        if !files.iter().any(|(known, _)| *known == name) {
            assert!(update, "{name} is of no command; UPDATE=1 removes it");
            fs::remove_file(folder.join(name)).unwrap();
        }
    }
}

fn text(draw: impl FnOnce(&mut Vec<u8>) -> std::io::Result<()>) -> String {
    let mut bytes = Vec::new();
    draw(&mut bytes).unwrap();
    let text = String::from_utf8(bytes).unwrap();
    text.lines().map(|line| format!("{}\n", line.trim_end())).collect()
}

/// A page: it bears no date, which has to be said, and what stands below help is no extra.
fn page(command: &Command) -> String {
    let source = concat!("setout ", env!("CARGO_PKG_VERSION"));
    let page = text(|out| Man::new(command.clone()).source(source).render(out));
    page.replacen(&format!(" 1  \"{source}\""), &format!(" 1 \"\" \"{source}\""), 1)
        .replace(".SH EXTRA\n", ".SH NOTES\n")
}

#[test]
fn the_manual_pages_are_current() {
    let whole = whole();
    let mut pages = vec![("setout.1".to_owned(), page(&whole))];
    for command in whole.get_subcommands() {
        pages.push((format!("setout-{}.1", command.get_name()), page(command)));
    }
    expect("docs/man", &pages);
}

#[test]
fn the_completions_are_current() {
    let files = [Shell::Bash, Shell::Zsh, Shell::Fish].map(|shell| {
        let file = shell.file_name("setout");
        (file.clone(), text(|out| shell.try_generate(&whole(), out)))
    });
    expect("docs/completions", &files);
}
