//! A check or limits in the files as they stand.

use std::sync::Arc;

use setout_design::{
    Amount, Excerpts, Fault, Held, Source, SourceError, Stamp, Stamped, Stamps, Verdict,
};

use super::since::judged;

/// How a check or the limits of a dimension stand in one state.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub enum Here {
    /// There is no such check, and no such dimension with limits.
    Absent,
    /// The verdict, with the margin where there is one.
    Judged(Verdict, Option<Amount>),
    /// It cannot be evaluated.
    Faulty(Vec<Fault>),
}

/// How a check or the limits of a dimension stand. Only what they depend on is evaluated, so that
/// faults elsewhere do not matter.
pub fn verdict_here(source: &dyn Source, name: &str) -> Here {
    let excerpt = Excerpts::new().of(&Once(source), name);
    match excerpt.held() {
        Held::Faulty(faults) => Here::Faulty(faults.clone()),
        _ => match judged(&excerpt, name) {
            Some((verdict, margin)) => Here::Judged(verdict, margin),
            None => Here::Absent,
        },
    }
}

/// A source that is read once: each text is told from the others by its number.
struct Once<'s>(&'s dyn Source);

impl Source for Once<'_> {
    fn list(&self) -> Result<Vec<String>, SourceError> {
        self.0.list()
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SourceError> {
        self.0.read(path)
    }
}

impl Stamped for Once<'_> {
    fn stamps(&self) -> Result<Arc<Stamps>, SourceError> {
        let mut paths = self.0.list()?;
        paths.sort_unstable();
        let stamp = |(number, path): (usize, String)| {
            let mut bytes = [0; 32];
            bytes[..8].copy_from_slice(&(number as u64).to_be_bytes());
            (path.into(), Stamp(bytes))
        };
        Ok(Arc::new(paths.into_iter().enumerate().map(stamp).collect()))
    }
}
