//! What asks the command to end before it is done.

use std::io;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use signal_hook::consts::{SIGINT, SIGTERM};
use signal_hook::flag;

use crate::status::Status;

/// The signals by which somebody asks a command to end. Work that takes long heeds the first one and
/// answers with what is known by then; at any other time, and by a second one, the process ends at
/// once.
#[derive(Clone, Debug, Default)]
pub struct Signals {
    /// The number of the one that came; 0 before.
    came: Arc<AtomicUsize>,
    /// Whether the next one ends the process.
    at_once: Arc<AtomicBool>,
}

/// A signal that asks for an end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Signal {
    /// Somebody at the terminal wants it back: SIGINT.
    Interrupt,
    /// The system, or another program: SIGTERM.
    Terminate,
}

impl Signals {
    /// Those that this process is sent from now on.
    ///
    /// # Errors
    /// When the system does not let them be heeded.
    pub fn of_process() -> io::Result<Self> {
        let own = Self::default();
        own.at_once.store(true, Ordering::SeqCst);
        for signal in [SIGINT, SIGTERM] {
            // They are run in this order: a second signal finds what the first one left.
            flag::register_conditional_default(signal, Arc::clone(&own.at_once))?;
            flag::register_usize(signal, Arc::clone(&own.came), signal as usize)?;
            flag::register(signal, Arc::clone(&own.at_once))?;
        }
        Ok(own)
    }

    /// Does as if one had come to work that heeds it.
    pub fn send(&self, signal: Signal) {
        self.came.store(signal.number(), Ordering::SeqCst);
    }

    /// The one that came, if any did.
    pub(crate) fn came(&self) -> Option<Signal> {
        let came = self.came.load(Ordering::SeqCst);
        [Signal::Interrupt, Signal::Terminate].into_iter().find(|signal| signal.number() == came)
    }

    /// From now on somebody asks whether one came.
    pub(crate) fn begin(&self) {
        if self.came().is_none() {
            self.at_once.store(false, Ordering::SeqCst);
        }
    }

    /// From now on nobody does.
    pub(crate) fn end(&self) {
        self.at_once.store(true, Ordering::SeqCst);
    }
}

impl Signal {
    fn number(self) -> usize {
        match self {
            Self::Interrupt => SIGINT as usize,
            Self::Terminate => SIGTERM as usize,
        }
    }

    /// What a command ends with that was ended by it.
    pub(crate) fn status(self) -> Status {
        match self {
            Self::Interrupt => Status::Interrupted,
            Self::Terminate => Status::Terminated,
        }
    }

    /// What became of the work, in a word or two.
    pub(crate) fn as_str(self) -> &'static str {
        match self {
            Self::Interrupt => "interrupted",
            Self::Terminate => "interrupted by SIGTERM",
        }
    }
}
