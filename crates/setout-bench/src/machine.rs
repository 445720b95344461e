//! The machine and the versions of what was measured.

use std::fs;
use std::path::Path;
use std::process::Command;

/// What was measured on and with, as lines of a list in Markdown.
pub fn told(root: &Path, python: &Path) -> String {
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let load = fs::read_to_string("/proc/loadavg").unwrap_or_default();
    let load = load.split(' ').next().unwrap_or("unknown").to_owned();
    let packages = "import numpy, numexpr, pint; \
        print(f'numpy {numpy.__version__}, numexpr {numexpr.__version__}, pint {pint.__version__}')";
    let lines = [
        format!("machine: {}, {cores} cores, vectors of {}", processor(), vectors()),
        format!("load when it began: {load}"),
        format!(
            "revision: {}",
            said(Command::new("git").arg("-C").arg(root).args(["describe", "--always", "--dirty"]))
        ),
        format!(
            "programs: {}, {}, {}",
            said(Command::new("rustc").arg("--version")),
            said(Command::new("git").arg("--version")),
            said(Command::new(python).arg("--version"))
        ),
        format!("packages of Python: {}", said(Command::new(python).args(["-c", packages]))),
        format!("crates: {}", crates(root)),
    ];
    lines.map(|line| format!("- {line}\n")).concat()
}

/// What a program says in one line; that it says nothing, if so.
fn said(command: &mut Command) -> String {
    let output = command.output().ok().filter(|output| output.status.success());
    let text = output.map(|output| String::from_utf8_lossy(&output.stdout).trim().to_owned());
    text.unwrap_or_else(|| "unknown".to_owned())
}

fn processor() -> String {
    let told = fs::read_to_string("/proc/cpuinfo").unwrap_or_default();
    let model = told.lines().find_map(|line| line.strip_prefix("model name"));
    let name = model.map(|rest| rest.trim_start_matches([' ', '\t', ':']).to_owned());
    name.unwrap_or_else(|| std::env::consts::ARCH.to_owned())
}

/// The widest vectors that the processor has.
#[cfg(target_arch = "x86_64")]
pub fn vectors() -> &'static str {
    if std::arch::is_x86_feature_detected!("avx512f") {
        "512 bits (AVX-512)"
    } else if std::arch::is_x86_feature_detected!("avx2") {
        "256 bits (AVX2)"
    } else {
        "128 bits"
    }
}

/// The widest vectors that the processor has.
#[cfg(not(target_arch = "x86_64"))]
pub fn vectors() -> &'static str {
    "128 bits"
}

/// The peers among the crates, as they are locked.
fn crates(root: &Path) -> String {
    const PEERS: [&str; 5] = ["saphyr-parser", "yaml_serde", "evalexpr", "petgraph", "fasteval"];
    let lock = fs::read_to_string(root.join("Cargo.lock")).unwrap_or_default();
    let version = |name: &str| {
        let (_, rest) = lock.split_once(&format!("name = \"{name}\"\nversion = \""))?;
        Some(format!("{name} {}", rest.split('"').next()?))
    };
    PEERS.iter().filter_map(|name| version(name)).collect::<Vec<_>>().join(", ")
}
