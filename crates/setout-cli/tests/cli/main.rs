//! The wiring of the command: what is typed, what is answered, and where it goes. That the
//! answers are right is shown where they are computed.

mod bench;
mod calls;
mod check;
mod colour;
mod diff;
mod export;
mod faults;
mod history;
mod impact;
mod import;
mod jaw;
mod merge;
mod motion;
mod new;
mod process;
mod release;
mod rename;
mod reviewed;
mod schema;
mod set;
mod set_fields;
mod set_from;
mod show;
mod stack;
mod trace;
mod watch;
