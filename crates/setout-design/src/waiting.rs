//! Tables whose texts are there, read by as many threads as there are.

use std::cmp::Reverse;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};

use setout_quantity::Units;

use crate::Fault;
use crate::document::{File, Reader, Table, read_table};
use crate::material::tree;
use crate::yaml::{Map, Node};

/// A table whose text has been read.
pub(crate) struct Waiting {
    pub(crate) file: File,
    /// Its place among the files.
    pub(crate) index: u32,
    pub(crate) name: String,
    /// The same table, where another design has read it.
    pub(crate) known: Option<Arc<Table>>,
}

/// What all tables of a design share.
pub(crate) struct Context {
    pub(crate) units: Arc<Units>,
    pub(crate) folder: String,
    pub(crate) money_lost: bool,
}

/// A table, its file, and the faults in it.
type Done = (File, Arc<Table>, Vec<Fault>);

impl Waiting {
    fn read(self, context: &Context) -> Done {
        if let Some(table) = self.known {
            return (self.file, table, Vec::new());
        }
        let (node, spoilt, mut faults) = tree(&self.file);
        let mut reader = Reader::new(&self.file, self.index, &context.units);
        reader.spoilt = spoilt;
        reader.money_lost = context.money_lost;
        let empty = Map { span: 0..0, entries: Vec::new(), flow: false };
        let map = match &node {
            Node::Map(map) => map,
            node => {
                reader.map(node, "a table", "dimensions: { width: 62 mm }");
                &empty
            }
        };
        let mut table = read_table(&mut reader, map, &self.name, &context.folder);
        table.lost.at(&self.file.text, &reader.spoilt);
        faults.append(&mut reader.faults);
        (self.file, Arc::new(table), faults)
    }

    /// About how much work it is to read, in bytes.
    fn size(&self) -> usize {
        if self.known.is_some() { 0 } else { self.file.text.len() }
    }
}

/// Tables that wait, and those that were read.
pub(crate) struct Queue {
    context: Context,
    /// The largest last, which is taken first, so that no thread is left with a large one at the end.
    waiting: Mutex<Vec<(usize, Waiting)>>,
    done: Mutex<State>,
    /// Something was read.
    news: Condvar,
}

#[derive(Default)]
struct State {
    tables: Vec<(usize, Done)>,
    /// Whether a thread broke off over a table.
    broken: bool,
}

fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Wakes whoever waits for a thread that breaks off.
struct Watch<'a>(&'a Queue);

impl Drop for Watch<'_> {
    fn drop(&mut self) {
        if std::thread::panicking() {
            lock(&self.0.done).broken = true;
            self.0.news.notify_all();
        }
    }
}

impl Queue {
    /// Reads tables until none waits.
    pub(crate) fn help(&self) {
        let _watch = Watch(self);
        let next = || lock(&self.waiting).pop();
        while let Some((index, waiting)) = next() {
            let table = waiting.read(&self.context);
            lock(&self.done).tables.push((index, table));
            self.news.notify_all();
        }
    }

    /// The tables in their order, once so many are read. Fewer where a thread broke off, which
    /// whoever started it hears of.
    fn finished(&self, count: usize) -> Vec<Done> {
        let going_on = |state: &mut State| state.tables.len() < count && !state.broken;
        let state = self.news.wait_while(lock(&self.done), going_on);
        let mut state = state.unwrap_or_else(PoisonError::into_inner);
        let mut tables = std::mem::take(&mut state.tables);
        tables.sort_by_key(|(index, _)| *index);
        tables.into_iter().map(|(_, table)| table).collect()
    }
}

/// From this many bytes of text on, tables are read in several threads: starting one costs about
/// as much as reading some kilobytes.
const WORTH_THREADS: usize = 32 << 10;

/// Reads all tables, in several threads where that pays; one of them is asked for help if there is
/// one to ask, the others are started. The results stand in the order of the tables.
pub(crate) fn read_all(
    waiting: Vec<Waiting>,
    context: Context,
    ask: Option<&dyn Fn(Arc<Queue>)>,
) -> Vec<Done> {
    let size: usize = waiting.iter().map(Waiting::size).sum();
    let count = waiting.len();
    let threads = if size < WORTH_THREADS {
        1
    } else {
        std::thread::available_parallelism().map_or(1, usize::from).min(count)
    };
    if threads < 2 {
        return waiting.into_iter().map(|waiting| waiting.read(&context)).collect();
    }
    let mut queue: Vec<(usize, Waiting)> = waiting.into_iter().enumerate().collect();
    queue.sort_by_key(|(index, waiting)| (waiting.size(), Reverse(*index)));
    let (waiting, done) = (Mutex::new(queue), Mutex::default());
    let queue = Arc::new(Queue { context, waiting, done, news: Condvar::new() });
    if let Some(ask) = ask {
        ask(queue.clone());
    }
    std::thread::scope(|scope| {
        for _ in 1 + usize::from(ask.is_some())..threads {
            scope.spawn(|| queue.help());
        }
        queue.help();
        queue.finished(count)
    })
}
