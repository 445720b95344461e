//! A call that makes no sense, in our words.

use clap::error::{ContextKind, ContextValue, ErrorKind};

use crate::trouble::Trouble;

/// What is wrong with a call, and how it would be right.
pub(crate) fn of(error: &clap::Error, clap: &clap::Command) -> Trouble {
    let argument = text(error, ContextKind::InvalidArg);
    let value = text(error, ContextKind::InvalidValue);
    let message = match error.kind() {
        ErrorKind::UnknownArgument if argument.starts_with('-') => {
            format!("there is no option `{argument}`")
        }
        ErrorKind::UnknownArgument => format!("`{argument}` is one word too many"),
        ErrorKind::InvalidSubcommand => {
            format!("there is no command `{}`", text(error, ContextKind::InvalidSubcommand))
        }
        ErrorKind::MissingSubcommand => "no command was given".to_owned(),
        ErrorKind::InvalidValue if value.is_empty() => format!("`{argument}` has no value"),
        ErrorKind::InvalidValue | ErrorKind::ValueValidation => {
            format!("`{argument}` cannot be `{value}`")
        }
        ErrorKind::MissingRequiredArgument => format!("`{argument}` is missing"),
        ErrorKind::ArgumentConflict => {
            let other = text(error, ContextKind::PriorArg);
            format!("`{argument}` cannot go together with `{other}`")
        }
        ErrorKind::InvalidUtf8 => "a word of the call is not UTF-8".to_owned(),
        _ => first_line(error),
    };
    Trouble::bad_call(message, help(error, clap))
}

fn help(error: &clap::Error, clap: &clap::Command) -> String {
    let near = [ContextKind::SuggestedSubcommand, ContextKind::SuggestedArg]
        .map(|kind| list(error, kind))
        .concat();
    // They stand in ascending order of likeness.
    if let Some(near) = near.last() {
        return format!("did you mean `{near}`?");
    }
    match error.kind() {
        ErrorKind::MissingSubcommand | ErrorKind::InvalidSubcommand => {
            let names: Vec<&str> = clap.get_subcommands().map(clap::Command::get_name).collect();
            format!("the commands are {}", names.join(", "))
        }
        ErrorKind::InvalidValue => match list(error, ContextKind::ValidValue) {
            values if values.is_empty() => "write a value after it".to_owned(),
            values => format!("write {}", values.join(" or ")),
        },
        _ => "--help after the command shows how it is called".to_owned(),
    }
}

fn text(error: &clap::Error, kind: ContextKind) -> String {
    list(error, kind).join(" ")
}

fn list(error: &clap::Error, kind: ContextKind) -> Vec<String> {
    match error.get(kind) {
        Some(ContextValue::String(text)) => vec![text.clone()],
        Some(ContextValue::Strings(texts)) => texts.clone(),
        _ => Vec::new(),
    }
}

fn first_line(error: &clap::Error) -> String {
    let text = error.to_string();
    let line = text.lines().next().unwrap_or_default();
    line.trim_start_matches("error: ").to_owned()
}
