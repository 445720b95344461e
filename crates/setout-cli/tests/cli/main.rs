//! The wiring of the command: what is typed, what is answered, and where it goes. That the
//! answers are right is shown where they are computed.

mod bench;
mod calls;
mod check;
mod colour;
mod export;
mod faults;
mod new;
mod process;
mod show;
