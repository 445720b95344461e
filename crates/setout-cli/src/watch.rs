//! Work that may take long: how far it is, told on a terminal, and whether it is to end early.

use std::io::Write;
use std::sync::atomic::{AtomicU64, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Instant;

use setout::{Progress, Work};

use crate::draw::shortened;
use crate::signals::{Signal, Signals};

/// After so many milliseconds somebody may wonder what it is doing.
const LONG: u64 = 500;

/// So many milliseconds lie between two looks at it.
const EVERY: u64 = 200;

/// Columns that are left free at the end of the line. The terminal writes `^C` behind it when it is
/// interrupted, and a full line would wrap.
const FREE: usize = 3;

/// One piece of work, while it is done. When it goes, the line that told how far it is is wiped and
/// the call knows whether it ended early.
pub(crate) struct Watch<'w> {
    view: Arc<View<'w>>,
    stop: Box<dyn Fn() -> bool + Sync + 'w>,
    told: Box<dyn Fn(Progress) + Sync + 'w>,
    stopped: &'w mut Option<Signal>,
}

/// How far it is.
struct View<'w> {
    what: String,
    signals: Signals,
    begun: Instant,
    /// When it is told next, in milliseconds since it was begun.
    next: AtomicU64,
    to_do: AtomicUsize,
    done: AtomicUsize,
    boxes: AtomicU64,
    /// Where it is told; nowhere unless somebody watches.
    line: Option<Mutex<Line<'w>>>,
}

/// The one line that is written again and again.
pub(crate) struct Line<'w> {
    to: &'w mut (dyn Write + Send + 'w),
    width: usize,
    is_drawn: bool,
}

impl<'w> Watch<'w> {
    /// Begins. `line` is where it may be told, and `stopped` where it leaves what ended it early.
    pub(crate) fn new(
        what: String,
        signals: &Signals,
        line: Option<Line<'w>>,
        stopped: &'w mut Option<Signal>,
    ) -> Self {
        signals.begin();
        let view = Arc::new(View {
            what,
            signals: signals.clone(),
            begun: Instant::now(),
            next: AtomicU64::new(LONG),
            to_do: AtomicUsize::new(0),
            done: AtomicUsize::new(0),
            boxes: AtomicU64::new(0),
            line: line.map(Mutex::new),
        });
        let (asked, heard) = (Arc::clone(&view), Arc::clone(&view));
        let stop = Box::new(move || {
            asked.look();
            asked.signals.came().is_some()
        });
        let told = Box::new(move |progress| {
            heard.count(progress);
            heard.look();
        });
        Self { view, stop, told, stopped }
    }

    /// What the library is given, to ask and to tell.
    pub(crate) fn work(&self) -> Work<'_> {
        Work { stop: &*self.stop, told: &*self.told, ..Work::default() }
    }
}

impl Drop for Watch<'_> {
    fn drop(&mut self) {
        if let Some(mut line) = self.view.line() {
            line.wipe();
        }
        self.view.signals.end();
        *self.stopped = self.view.signals.came();
    }
}

impl<'w> View<'w> {
    fn count(&self, progress: Progress) {
        match progress {
            Progress::ToDo(number) => {
                self.to_do.store(number, Ordering::Relaxed);
                self.done.store(0, Ordering::Relaxed);
            }
            Progress::Done => {
                self.done.fetch_add(1, Ordering::Relaxed);
            }
            Progress::Box => {
                self.boxes.fetch_add(1, Ordering::Relaxed);
            }
            _ => {}
        }
    }

    /// Tells how far it is, if it is time to.
    fn look(&self) {
        let Some(line) = &self.line else { return };
        let passed = self.begun.elapsed().as_millis().try_into().unwrap_or(u64::MAX);
        if passed < self.next.load(Ordering::Relaxed) {
            return;
        }
        // Where another thread is at it, it tells the same.
        let Ok(mut line) = line.try_lock() else { return };
        self.next.store(passed.saturating_add(EVERY), Ordering::Relaxed);
        line.draw(&self.what, &self.said(passed / 1000));
    }

    fn said(&self, seconds: u64) -> String {
        let to_do = self.to_do.load(Ordering::Relaxed);
        let boxes = self.boxes.load(Ordering::Relaxed);
        let done = self.done.load(Ordering::Relaxed);
        let done = (to_do > 0).then(|| format!("{done} of {to_do}"));
        let boxes = (boxes > 0).then(|| format!("{boxes} boxes"));
        let parts = [done, boxes, Some(format!("{seconds} s"))];
        let parts: Vec<String> = parts.into_iter().flatten().collect();
        format!(": {}", parts.join(", "))
    }

    fn line(&self) -> Option<MutexGuard<'_, Line<'w>>> {
        self.line.as_ref().map(|line| line.lock().unwrap_or_else(PoisonError::into_inner))
    }
}

impl<'w> Line<'w> {
    /// On a terminal of so many columns.
    pub(crate) fn on(to: &'w mut (dyn Write + Send + 'w), width: usize) -> Self {
        Self { to, width, is_drawn: false }
    }

    /// Blanks and returns alone, which every terminal knows that can write a line again.
    fn wiped(&self) -> String {
        format!("\r{}\r", " ".repeat(self.width.saturating_sub(1)))
    }

    /// Where there is no room for both, how far it is matters more than what.
    fn draw(&mut self, what: &str, far: &str) {
        let room = self.width.saturating_sub(FREE);
        let what = shortened(what, room.saturating_sub(far.len()));
        let text = shortened(&format!("{what}{far}"), room);
        self.is_drawn = true;
        self.write(&format!("{}{text}", self.wiped()));
    }

    fn wipe(&mut self) {
        if self.is_drawn {
            self.write(&self.wiped());
        }
    }

    /// A terminal that went away is no reason to end the work.
    fn write(&mut self, text: &str) {
        let _ = self.to.write_all(text.as_bytes()).and_then(|()| self.to.flush());
    }
}
