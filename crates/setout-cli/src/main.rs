//! The command `setout`. Everything it does is in the library beside it; here the process is
//! asked who listens.

use std::io::{IsTerminal, stderr, stdin, stdout};
use std::process::ExitCode;

use mimalloc::MiMalloc;
use setout_cli::{Io, Signals};

// A design is a great many small things: see docs/decisions.
#[global_allocator]
static MEMORY: MiMalloc = MiMalloc;

fn main() -> ExitCode {
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
    setout_cli::run(std::env::args_os(), &mut io).into()
}
