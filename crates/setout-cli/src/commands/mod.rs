//! The commands, a file each.

mod check;
mod diff;
mod export;
mod headroom;
mod history;
mod impact;
mod import;
mod merge;
mod new;
mod release;
mod rename;
mod schema;
mod set;
mod show;
mod since;
mod stack;
mod sweep;
mod trace;

use clap::Args;

use crate::call::{Call, Outcome};
use crate::flags::Form;

/// What a command can do.
trait Run {
    /// The forms it can answer in beside text and JSON.
    const FORMS: &'static [Form] = &[];

    /// Runs it. What keeps it from any answer is an error; what keeps it from a part of it is
    /// shown beside the answer.
    fn run(&self, call: &mut Call<'_, '_>) -> Outcome;
}

/// The list of commands: the name of each, and the module that it stands in.
macro_rules! commands {
    ($($name:ident in $module:ident),* $(,)?) => {
        /// A command as it was typed.
        #[derive(Debug, clap::Subcommand)]
        pub(crate) enum Command {
            $($name($module::Flags),)*
        }

        impl Command {
            /// Runs it.
            pub(crate) fn run(&self, call: &mut Call<'_, '_>) -> Outcome {
                match self {
                    $(Self::$name(flags) => flags.run(call),)*
                }
            }

            /// What can be typed behind the name of one command. A command stands in a module of
            /// its name.
            pub(crate) fn flags_of(name: &str) -> Option<clap::Command> {
                match name {
                    $(stringify!($module) => {
                        Some($module::Flags::augment_args(clap::Command::new(stringify!($module))))
                    })*
                    _ => None,
                }
            }

            /// The forms it can answer in beside text and JSON.
            pub(crate) fn forms(&self) -> &'static [Form] {
                match self {
                    $(Self::$name(_) => <$module::Flags as Run>::FORMS,)*
                }
            }
        }
    };
}

// In the order in which help lists them: that of a day's work.
commands! {
    New in new,
    Check in check,
    Sweep in sweep,
    Stack in stack,
    Headroom in headroom,
    Show in show,
    Trace in trace,
    Impact in impact,
    Set in set,
    Rename in rename,
    Diff in diff,
    Merge in merge,
    History in history,
    Since in since,
    Export in export,
    Import in import,
    Release in release,
    Schema in schema,
}
