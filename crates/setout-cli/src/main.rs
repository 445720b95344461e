//! The command `setout`. Everything it does is in the library beside it; here the process is
//! asked who listens.

use std::io::{IsTerminal, Write, stderr, stdin, stdout};

use mimalloc::MiMalloc;
use setout_cli::{Io, Signals};

// A design is a great many small things: see docs/decisions.
#[global_allocator]
static MEMORY: MiMalloc = MiMalloc;

fn main() {
    let here = std::env::current_dir().unwrap_or_else(|_| ".".into());
    let mut io = Io::new(stdout(), stderr(), here);
    io.stdin = Box::new(stdin());
    io.stdout.terminal = stdout().is_terminal();
    io.stderr.terminal = stderr().is_terminal();
    if let Some((terminal_size::Width(width), _)) = terminal_size::terminal_size() {
        io.width = usize::from(width);
    }
    io.ends = true;
    io.heed(|name| std::env::var_os(name));
    // Where the system does not let us, they end the process at once, as ever.
    io.signals = Signals::of_process().unwrap_or_default();
    let status = setout_cli::run(std::env::args_os(), &mut io);
    drop(io);
    // All that was to be told is told, and who does not listen any more was heard of.
    let _ = (stdout().flush(), stderr().flush());
    // The system takes back all memory at once; the allocator would do so page by page.
    signal_hook::low_level::exit(status.into())
}
