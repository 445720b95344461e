//! What a command ends with.

/// The exit status, from best to worst. The worst of several is their `max`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Status {
    /// The answer is there, and it is good.
    Good,
    /// Something fails, is unknown or is out of date.
    Failing,
    /// The design, the call, git or a file stands in the way.
    Faulty,
    /// Nothing can be said of this revision: `git bisect run` passes over it.
    PassedOver = 125,
    /// SIGINT ended it before it was done.
    Interrupted = 130,
    /// SIGTERM did.
    Terminated = 143,
}

impl Status {
    /// [`Status::Failing`] if something fails.
    pub(crate) fn failing_if(fails: bool) -> Self {
        if fails { Self::Failing } else { Self::Good }
    }

    /// [`Status::Faulty`] if there are faults, which outranks all else.
    pub(crate) fn faulty_if(self, faults: bool) -> Self {
        if faults { Self::Faulty } else { self }
    }

    /// The number for it.
    pub(crate) fn code(self) -> u8 {
        self as u8
    }
}
