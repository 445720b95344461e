//! How much may be done, when to end early, and who is told how far it is.

/// How much may be done.
#[derive(Clone, Copy)]
pub struct Work<'s> {
    /// How many boxes a proof may look at.
    pub boxes: u64,
    /// Asked before everything that takes time; the work ends early once it says so, with what is
    /// known so far. Having said so it has to go on saying so.
    pub stop: &'s (dyn Fn() -> bool + Sync),
    /// Told how far the work is, from whichever thread does it.
    pub told: &'s (dyn Fn(Progress) + Sync),
}

/// A step of some work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Progress {
    /// There are so many things to do.
    ToDo(usize),
    /// One of them is done.
    Done,
    /// One more box was looked at.
    Box,
}

/// How many boxes a proof looks at where nobody says otherwise.
pub const BOXES: u64 = 10_000;

impl Work<'_> {
    pub(crate) fn is_stopped(&self) -> bool {
        (self.stop)()
    }

    pub(crate) fn tell(&self, progress: Progress) {
        (self.told)(progress);
    }
}

impl Default for Work<'_> {
    fn default() -> Self {
        Self { boxes: BOXES, stop: &|| false, told: &|_| {} }
    }
}

impl std::fmt::Debug for Work<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Work").field("boxes", &self.boxes).finish_non_exhaustive()
    }
}
