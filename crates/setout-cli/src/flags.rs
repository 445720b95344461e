//! What was typed.

use std::ffi::OsString;
use std::path::PathBuf;

use clap::error::ErrorKind;
use clap::{Args, CommandFactory, FromArgMatches, Parser, ValueEnum};

use crate::commands::Command;
use crate::refusal;
use crate::trouble::Trouble;

/// Dimensions of a mechanism in many pieces, set out in one place
#[derive(Debug, Parser)]
#[command(name = "setout", version, disable_help_subcommand = true, arg_required_else_help = false)]
#[command(after_help = "A design is a folder of tables in YAML with one design.yaml. It is found \
where you stand, in params, or in a folder above. Work that takes long says on a terminal how far \
it is; interrupted (Ctrl-C) it answers with what it knows by then, with exit status 130, and \
interrupted again it ends at once.")]
#[command(styles = clap::builder::Styles::plain())]
pub(crate) struct Typed {
    #[command(flatten)]
    pub(crate) common: Common,
    #[command(subcommand)]
    pub(crate) command: Command,
}

/// What every command takes.
#[derive(Debug, Args)]
#[command(next_help_heading = "Options of every command")]
pub(crate) struct Common {
    /// Work as if started in this folder
    // Every command knows these by their ids too, so none may name a flag of its own like them.
    #[arg(short = 'C', id = "-C", value_name = "DIR", global = true)]
    pub(crate) directory: Option<PathBuf>,
    /// Colour the text: auto (on a terminal), always or never
    #[arg(long, id = "--color", value_name = "WHEN", default_value = "auto", global = true)]
    #[arg(hide_default_value = true, hide_possible_values = true)]
    pub(crate) color: When,
    /// Answer in text, or in json for programs
    #[arg(long, id = "--format", value_name = "FORM", default_value = "text", global = true)]
    #[arg(hide_default_value = true, hide_possible_values = true)]
    pub(crate) format: Form,
}

/// What commands that give verdicts take as well.
#[derive(Clone, Copy, Debug, Args)]
pub(crate) struct Strict {
    /// Let warnings make the exit status 1
    #[arg(long)]
    pub(crate) strict: bool,
}

/// When the text is coloured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum When {
    Auto,
    Always,
    Never,
}

/// The form that an answer is given in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Form {
    Text,
    Json,
    // Only some commands have the others, and say so in their help.
    #[value(hide = true)]
    Markdown,
    #[value(hide = true)]
    Sarif,
    #[value(hide = true)]
    Annotations,
    #[value(hide = true)]
    Junit,
}

impl Form {
    /// How it is called in a sentence, and as it is typed.
    fn names(self) -> [&'static str; 2] {
        match self {
            Self::Text => ["text", "text"],
            Self::Json => ["JSON", "json"],
            Self::Markdown => ["Markdown", "markdown"],
            Self::Sarif => ["SARIF", "sarif"],
            Self::Annotations => ["annotations", "annotations"],
            Self::Junit => ["JUnit XML", "junit"],
        }
    }
}

/// Why a command cannot answer in a form: which ones it has.
fn no_such_form(form: Form, others: &[Form]) -> Trouble {
    let mut has = vec![Form::Text, Form::Json];
    has.extend(others);
    let has: Vec<String> = has.iter().map(|form| format!("`{}`", form.names()[1])).collect();
    let [name, _] = form.names();
    Trouble::bad_call(
        format!("this command gives no {name}"),
        format!("write `--format` with {}", alternatives(&has)),
    )
}

/// `a, b or c`.
fn alternatives(of: &[String]) -> String {
    match of.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        _ => of.join(""),
    }
}

/// Why there is no command to run.
pub(crate) enum Unread {
    /// Help or the version was asked for, and this is it.
    Asked(String),
    /// The call makes no sense.
    Wrong(Trouble),
}

impl Typed {
    /// Reads a call whose first word is the name of a command, if nothing in it is wrong and no
    /// help is asked for: then the other commands need not be known.
    fn plainly(words: &[OsString]) -> Option<Self> {
        let command = Command::flags_of(words.get(1)?.to_str()?)?;
        let clap = Common::augment_args(clap::Command::new("setout")).subcommand(command);
        let mut matches = clap.try_get_matches_from(words).ok()?;
        Self::from_arg_matches_mut(&mut matches).ok()
    }

    fn with_all_commands(words: Vec<OsString>, width: usize) -> Result<Self, Unread> {
        let mut clap = Self::command().term_width(width);
        let matches = clap.try_get_matches_from_mut(words);
        let typed = matches.and_then(|mut matches| Self::from_arg_matches_mut(&mut matches));
        typed.map_err(|error| match error.kind() {
            ErrorKind::DisplayHelp | ErrorKind::DisplayVersion => {
                Unread::Asked(without_trailing_blanks(&error.render().to_string()))
            }
            _ => Unread::Wrong(refusal::of(&error, &clap)),
        })
    }

    /// Reads a call, of which the first word is the name of the program.
    pub(crate) fn read(args: &[OsString], width: usize) -> Result<Self, Unread> {
        let sets = args.iter().any(|arg| arg == "set");
        let words = args.iter().map(|arg| if sets { value_not_option(arg) } else { arg.clone() });
        let words: Vec<OsString> = words.collect();
        let typed = match Self::plainly(&words) {
            Some(typed) => typed,
            None => Self::with_all_commands(words, width)?,
        };
        let (form, others) = (typed.common.format, typed.command.forms());
        match form {
            Form::Text | Form::Json => Ok(typed),
            form if others.contains(&form) => Ok(typed),
            form => Err(Unread::Wrong(no_such_form(form, others))),
        }
    }
}

/// A negative amount as a value: a blank before it keeps it from being read as options. No option
/// begins with a digit.
fn value_not_option(arg: &OsString) -> OsString {
    let is_amount = |text: &str| {
        let digits = text.strip_prefix('-').map(|rest| rest.trim_start_matches(['.', '(']));
        digits.is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
    };
    match arg.to_str() {
        Some(text) if is_amount(text) => format!(" {text}").into(),
        _ => arg.clone(),
    }
}

fn without_trailing_blanks(text: &str) -> String {
    text.lines().map(|line| format!("{}\n", line.trim_end())).collect()
}

/// Whether a call that could not be read asks for JSON all the same.
pub(crate) fn asks_for_json(args: &[OsString]) -> bool {
    args.iter().any(|arg| arg == "--format=json")
        || args.windows(2).any(|pair| pair[0] == "--format" && pair[1] == "json")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clap_finds_nothing_to_object_to() {
        Typed::command().debug_assert();
    }

    #[test]
    fn a_command_alone_is_read_as_it_is_among_all() {
        let flags = |of: &clap::Command| format!("{:?}", of.get_arguments().collect::<Vec<_>>());
        for whole in Typed::command().get_subcommands() {
            let alone = Command::flags_of(whole.get_name()).unwrap();
            assert_eq!(flags(&alone), flags(whole), "{}", whole.get_name());
        }
        let calls = "check --strict|check --at rest -C x|diff A B --format json|set jaw.width 64mm|\
                     impact a=1 b=2|show --color never|new x|history a --plot|-C x check|check nope";
        for call in calls.split('|') {
            let words: Vec<OsString> =
                ["setout"].into_iter().chain(call.split(' ')).map(OsString::from).collect();
            let whole = Typed::with_all_commands(words.clone(), 80).ok();
            if let Some(alone) = Typed::plainly(&words) {
                assert_eq!(format!("{alone:?}"), format!("{:?}", whole.unwrap()), "{call}");
            } else {
                assert!(call.starts_with('-') || whole.is_none(), "{call}");
            }
        }
        // What is asked about, and what is wrong, is told with all commands in mind.
        for call in ["diff --help", "check --strit", "chekc", "check --format", ""] {
            let words = format!("setout {call}");
            let words: Vec<OsString> = words.split_whitespace().map(OsString::from).collect();
            assert!(Typed::plainly(&words).is_none(), "{call}");
        }
    }
}
