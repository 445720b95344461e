//! The wiring of the command: what is typed, what is answered, and where it goes. That the
//! answers are right is shown where they are computed.

mod bench;
mod calls;
mod check;
mod colour;
mod diff;
mod export;
mod faults;
mod impact;
mod jaw;
mod new;
mod process;
mod set;
mod show;
mod trace;
