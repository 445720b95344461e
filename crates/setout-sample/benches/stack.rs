//! How long a million samples of a stack take, as a ratio to the faster of numpy and numexpr.
//!
//! `cargo bench -p setout-sample --bench stack` draws 20 normal inputs and evaluates a formula of
//! them, by turns with `benches/stack.py`, all on one core. numpy and numexpr have several ways to
//! choose from, and each of ours and theirs stands with the median of its rounds, all of them in
//! this one run. Only ratios are printed as results, since times are of a machine. The exit status
//! says whether the goal was met. numpy and numexpr are put into `.tools/bench`, unless the variable
//! `SETOUT_PYTHON` names a Python that has them.

#![expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]

use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdout, Command, ExitCode, Stdio};
use std::time::Instant;

use setout_formula::{BlockMachine, Code, Formula, Meaning, Samples, Texts, Type};
use setout_quantity::{Kind, Units};
use setout_sample::{Spread, Stream, Width};

const SAMPLES: usize = 1_000_000;
const INPUTS: usize = 20;
const BLOCK: usize = 1024;
const ROUNDS: usize = 7;

fn main() -> ExitCode {
    let mut peer = Peer::start();
    let inputs: Vec<(Stream, Spread)> = (0..INPUTS).map(input).collect();
    let widest = if is_avx512() { Goal { with: "AVX-512", times: 7.0 } } else { AVX2 };
    let mut met = true;
    for (name, text) in [("sum", sum()), ("root", root())] {
        for (width, goal) in [(Width::Widest, widest), (Width::Avx2, AVX2)] {
            met &= compare(&mut peer, name, &code(&text), &inputs, width, goal);
        }
    }
    if met { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

/// How many times as fast it is to be, with what vectors.
#[derive(Clone, Copy)]
struct Goal {
    with: &'static str,
    times: f64,
}

const AVX2: Goal = Goal { with: "AVX2", times: 3.5 };

#[cfg(target_arch = "x86_64")]
fn is_avx512() -> bool {
    std::arch::is_x86_feature_detected!("avx512f")
}

#[cfg(not(target_arch = "x86_64"))]
fn is_avx512() -> bool {
    false
}

/// The input of an index, as `stack.py` has it.
fn input(index: usize) -> (Stream, Spread) {
    let spread = Spread::normal(10.0 + index as f64, 0.01 * (1 + index % 5) as f64);
    (Stream::new(1, &format!("x{index}")), spread.expect("a spread"))
}

fn sum() -> String {
    let names: Vec<String> = (0..INPUTS).map(|index| format!("x{index}")).collect();
    names.join(" + ")
}

fn root() -> String {
    let pair = |index| format!("x{index} * x{}", index + 1);
    let pairs: Vec<String> = (0..INPUTS).step_by(2).map(pair).collect();
    format!("sqrt({})", pairs.join(" + "))
}

fn code(text: &str) -> Code {
    let units = Units::standard();
    let formula = Formula::read(text, &units).0.expect("a formula");
    let of = Type::Quantity(Kind::LENGTH);
    let slot = |name: &str| name.trim_start_matches('x').parse().expect("an index");
    let names = formula.names().iter();
    let names: Vec<Meaning<'_>> =
        names.map(|name| Meaning::Value { slot: slot(&name.name), of }).collect();
    formula.compile(&names, &units, &mut Texts::default()).expect("code").code
}

/// A million samples, block by block.
fn ours(code: &Code, inputs: &[(Stream, Spread)], width: Width, values: &mut [f64]) {
    let mut machine = BlockMachine::default();
    let mut drawn = vec![[0.0; BLOCK]; INPUTS];
    for (index, values) in values.chunks_mut(BLOCK).enumerate() {
        for ((stream, spread), drawn) in inputs.iter().zip(&mut drawn) {
            let start = (index * BLOCK) as u64;
            stream.with_width(width).fill(*spread, start, &mut drawn[..values.len()]);
        }
        let slots: Vec<Samples<'_>> = drawn.iter().map(|drawn| Samples::Each(drawn)).collect();
        machine.run(code, &slots, values);
    }
}

fn compare(
    peer: &mut Peer,
    name: &str,
    code: &Code,
    inputs: &[(Stream, Spread)],
    width: Width,
    goal: Goal,
) -> bool {
    let mut times = Vec::new();
    let mut others = vec![Vec::new(); peer.ways.len()];
    for round in 0..=ROUNDS {
        for (way, others) in others.iter_mut().enumerate() {
            let mut values = vec![0.0; SAMPLES];
            let start = Clock::start();
            ours(code, inputs, width, &mut values);
            let time = start.seconds();
            let other = peer.turn(way, name);
            is_same_stack(&values, &other);
            // A first round only warms up.
            if round > 0 {
                times.push(time);
                others.push(other.seconds);
            }
        }
    }
    let least = least(others.iter().flatten()) / least(&times);
    let ours = median(times);
    let medians = others.into_iter().map(median).zip(&peer.ways);
    let (other, way) = medians.min_by(|a, b| a.0.total_cmp(&b.0)).expect("a way");
    let ratio = other / ours;
    let met = ratio >= goal.times;
    println!(
        "{name} of {INPUTS} normal inputs with {}: {ratio:.2} times as fast as {way} (goal {}: {}); \
         {least:.2} by the least times of all; here {:.1} ms and {:.1} ms",
        goal.with,
        goal.times,
        if met { "met" } else { "NOT MET" },
        ours * 1e3,
        other * 1e3
    );
    met
}

/// The processor's time where the system tells it, as Python's `process_time` does; else the time
/// that passes. What else the machine has to do counts for neither side.
struct Clock {
    processor: Option<f64>,
    start: Instant,
}

impl Clock {
    fn start() -> Self {
        Self { processor: Self::processor(), start: Instant::now() }
    }

    /// On Linux, in seconds.
    fn processor() -> Option<f64> {
        let told = std::fs::read_to_string("/proc/self/schedstat").ok()?;
        let nanoseconds: f64 = told.split(' ').next()?.parse().ok()?;
        Some(nanoseconds / 1e9)
    }

    fn seconds(&self) -> f64 {
        match (self.processor, Self::processor()) {
            (Some(start), Some(end)) => end - start,
            _ => self.start.elapsed().as_secs_f64(),
        }
    }
}

fn least<'a>(times: impl IntoIterator<Item = &'a f64>) -> f64 {
    times.into_iter().copied().fold(f64::INFINITY, f64::min)
}

fn median(mut times: Vec<f64>) -> f64 {
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

/// Both sides have to come to the same mean and deviation, within some standard errors.
fn is_same_stack(values: &[f64], other: &Turn) {
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    let deviation = (values.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / count).sqrt();
    let room = 9.0 * deviation / count.sqrt();
    for (ours, theirs) in [(mean, other.mean), (deviation, other.deviation)] {
        assert!((ours - theirs).abs() < room, "ours came to {ours}, the other to {theirs}");
    }
}

/// What one turn of the other side came to.
struct Turn {
    seconds: f64,
    mean: f64,
    deviation: f64,
}

/// The Python program, which waits for its turn.
struct Peer {
    child: Child,
    answers: BufReader<ChildStdout>,
    /// In how many ways it can do it.
    ways: Vec<String>,
}

impl Peer {
    fn start() -> Self {
        let here = Path::new(env!("CARGO_MANIFEST_DIR"));
        let python =
            std::env::var_os("SETOUT_PYTHON").map_or_else(|| installed(here), PathBuf::from);
        let mut command = Command::new(python);
        command.arg(here.join("benches/stack.py")).stdin(Stdio::piped()).stdout(Stdio::piped());
        let mut child = command.spawn().expect("Python with numpy and numexpr; see above");
        let answers = BufReader::new(child.stdout.take().expect("a pipe"));
        let mut peer = Self { child, answers, ways: Vec::new() };
        peer.ways = peer.words();
        peer
    }

    fn words(&mut self) -> Vec<String> {
        let mut line = String::new();
        self.answers.read_line(&mut line).expect("Python answers");
        line.trim().split('\t').map(str::to_owned).collect()
    }

    fn turn(&mut self, way: usize, stack: &str) -> Turn {
        let mut to = self.child.stdin.as_ref().expect("a pipe");
        writeln!(to, "{}\t{stack}", self.ways[way]).expect("Python listens");
        let numbers: Vec<f64> =
            self.words().iter().map(|word| word.parse().expect("a number")).collect();
        Turn { seconds: numbers[0], mean: numbers[1], deviation: numbers[2] }
    }
}

/// A Python with what `requirements.txt` names.
fn installed(here: &Path) -> PathBuf {
    let folder = here.join("../../.tools/bench");
    let python = folder.join("bin/python");
    let has_both = |python: &Path| {
        let mut command = Command::new(python);
        command.args(["-c", "import numexpr, numpy"]).stderr(Stdio::null());
        command.status().is_ok_and(|status| status.success())
    };
    if !has_both(&python) {
        let run = |command: &mut Command| {
            let done = command.status().expect("python3 with its module venv");
            assert!(done.success(), "{command:?}: {done}");
        };
        run(Command::new("python3").args(["-m", "venv", "--clear"]).arg(&folder));
        run(Command::new(&python)
            .args(["-m", "pip", "install", "--quiet", "--disable-pip-version-check"])
            .args(["--require-hashes", "-r"])
            .arg(here.join("benches/requirements.txt")));
    }
    python
}

impl Drop for Peer {
    fn drop(&mut self) {
        // Without an input it comes to its end.
        drop(self.child.stdin.take());
        self.child.wait().expect("Python ends");
    }
}
