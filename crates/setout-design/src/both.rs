//! Two states of a design, read beside each other.

use std::panic::resume_unwind;
use std::sync::Arc;
use std::sync::mpsc::sync_channel;

use crate::material::read_tables;
use crate::model::{Models, are_tables_alike};
use crate::waiting::Queue;
use crate::{Design, Source};

/// Opens and reads the first of two states in another thread, reads the second meanwhile, and does
/// the same with each.
///
/// Tables are read of the second first: it is mostly files, and then the first, which is mostly a
/// revision, need not be read where it is known to hold the same. Where the first differs in values
/// alone its model is made from that of the second.
///
/// ```text
///   after  texts ─▶ tables ──────▶ models ─▶ design ─▶ then
///                     │      │        │         │
///   before open ────▶ ▼ help ▼ tables ▼ models  ▼ design ─▶ then
/// ```
///
/// # Errors
/// That of opening the first.
pub(crate) fn both<S: Source, E: Send, T: Send>(
    open: impl FnOnce() -> Result<S, E> + Send,
    after: &dyn Source,
    then: impl Fn(Design) -> T + Sync,
) -> Result<(S, T, T), E> {
    std::thread::scope(|scope| {
        // Each is sent at most one thing. Who does not listen any more has no use for it.
        let (opened, is_open) = sync_channel(1);
        let (queue, queued) = sync_channel::<Arc<Queue>>(1);
        let (tables, known_tables) = sync_channel(1);
        let (models, known_models) = sync_channel(1);
        let (design, known_design) = sync_channel::<Design>(1);
        let then = &then;
        let old = scope.spawn(move || {
            let before = open()?;
            let _ = opened.send(());
            if let Ok(queue) = queued.recv() {
                queue.help();
            }
            let beside = known_tables.recv().ok().flatten();
            let (mut old, mut faults) = read_tables(&before, beside.as_ref(), None);
            let alike = beside.is_some_and(|beside| are_tables_alike(&old, &beside));
            let mut models = known_models.recv().unwrap_or_default();
            faults.extend(old.read_models(&before, &mut models));
            let new = if alike && faults.is_empty() { known_design.recv().ok() } else { None };
            let old = match new {
                Some(new) => Design::beside(&new, old, faults),
                None => Design::of(old, faults),
            };
            Ok((before, then(old)))
        });
        let ask = |of: Arc<Queue>| {
            let _ = queue.send(of);
        };
        let (mut new, mut faults) = read_tables(after, None, Some(&ask));
        // A small design asks nobody.
        drop(queue);
        let _ = tables.send(faults.is_empty().then(|| new.clone()));
        let new = is_open.recv().is_ok().then(|| {
            let mut own = Models::default();
            faults.extend(new.read_models(after, &mut own));
            let _ = models.send(own);
            let new = Design::of(new, faults);
            let _ = design.send(new.clone());
            then(new)
        });
        // The other thread asks for nothing more.
        drop((tables, models, design));
        let (before, old) = old.join().unwrap_or_else(|panic| resume_unwind(panic))?;
        // It is there wherever the first was opened, and elsewhere we have left with the error.
        let new = new.unwrap_or_else(|| then(Design::read(after)));
        Ok((before, old, new))
    })
}
