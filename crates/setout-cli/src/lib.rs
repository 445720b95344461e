//! The command `setout`: what was typed is read, the library is asked, its answer is drawn.
//!
//! Nothing is computed here. [`run`] can be called in any process, as often as one likes: where
//! the command stands and who listens is in [`Io`].
//!
//! ```
//! let (mut out, mut err) = (Vec::new(), Vec::new());
//! let mut io = setout_cli::Io::new(&mut out, &mut err, "/".into());
//! let status = setout_cli::run(["setout", "chekc"].map(Into::into), &mut io);
//! drop(io);
//! assert_eq!((status, out.as_slice()), (2, &b""[..]));
//! assert_eq!(String::from_utf8_lossy(&err),
//!     "setout: there is no command `chekc` [bad-call]\n  help: did you mean `check`?\n");
//! ```
//!
//! # A new command
//! A file in `commands` with its `Flags` (what can be typed, by clap), which implement
//! `commands::Command`: open the design through the `Call`, ask the library, hand
//! the answer to `call.show`. Where the library takes long, `call.watch` gives the `Work` for it. Its answer implements `draw::Answer`: what is drawn as text and
//! what is written as JSON. Then its `mod` line and its name in the list in `commands`.
//!
//! | | |
//! | --- | --- |
//! | `flags` | what was typed |
//! | `refusal` | what was typed wrong, in our words |
//! | `call` | what it means: which design, which form, which streams |
//! | `commands` | a file a command |
//! | `changes` | two states of a design, side by side |
//! | `edits` | values that are typed, and why they are refused |
//! | `draw` | text, tables, faults, JSON |
//! | `watch` | work that may take long, told on a terminal and ended early |
//! | `signals` | what ends it early |
//! | `trouble` | whatever keeps a command from its answer, with its slug |

mod call;
mod changes;
mod commands;
mod draw;
mod edits;
mod flags;
mod io;
#[cfg(test)]
#[expect(clippy::unwrap_used, reason = "a test stops where it fails")]
mod manual;
mod refusal;
mod signals;
mod status;
mod trouble;
mod watch;

use std::ffi::OsString;

pub use io::{Io, Stream};
pub use signals::{Signal, Signals};

use call::Call;
use flags::{Typed, Unread};
use trouble::Trouble;

/// Runs one call, of which the first of `args` is the name of the program, and gives its exit
/// status: 0 all is well, 1 something fails, 2 the design or the call cannot be understood; 130 or 143
/// where a signal ended it early.
///
/// A reader that goes away is no fault: what it did not want is not written, and the status is
/// what it would have been.
pub fn run(args: impl IntoIterator<Item = OsString>, io: &mut Io<'_>) -> u8 {
    let args: Vec<OsString> = args.into_iter().collect();
    let written = match Typed::read(&args, io.width) {
        Ok(typed) => Call::of(&typed, io).run(&typed.command),
        Err(Unread::Asked(text)) => io.stdout.write(&text).map(|()| status::Status::Good),
        Err(Unread::Wrong(trouble)) => {
            Call::unread(flags::asks_for_json(&args), io).refuse(&[trouble])
        }
    };
    match written {
        Ok(status) => status.code(),
        Err(error) => not_written(&error, io),
    }
}

/// The results could not be written: the disk is full, say. This is said if it still can be.
fn not_written(error: &std::io::Error, io: &mut Io<'_>) -> u8 {
    let message = format!("the results cannot be written: {error}");
    let trouble = Trouble::of_call("io", message, "make room, or write them elsewhere");
    let mut page = draw::Page::new(io.width, false);
    draw::faults(&[trouble], &mut page);
    // There is nobody left to tell if this fails as well.
    let _ = io.stderr.write(&page.finish());
    status::Status::Faulty.code()
}
