//! A design in one input: what stands before the first line `>>> PATH` is `lid.yaml`, what stands
//! behind such a line is the file of that path.

use setout::Memory;
use std::collections::BTreeMap;

/// The files of a design, by path.
pub(super) type Files = BTreeMap<String, Vec<u8>>;

/// More are no other design, only a slower one.
const MOST_FILES: usize = 12;
const MARK: &[u8] = b">>> ";

/// The files in an input. There is a `design.yaml` in any case.
pub(super) fn files(input: &[u8]) -> Files {
    let mut files = Files::new();
    let mut path = "lid.yaml".to_owned();
    let mut text = Vec::new();
    for line in input.split_inclusive(|byte| *byte == b'\n') {
        match line.strip_prefix(MARK) {
            Some(next) if files.len() < MOST_FILES => {
                let next = String::from_utf8_lossy(next).trim_end().to_owned();
                files.insert(std::mem::replace(&mut path, next), std::mem::take(&mut text));
            }
            _ => text.extend_from_slice(line),
        }
    }
    files.insert(path, text);
    let is_common = |path: &String| path.rsplit('/').next() == Some("design.yaml");
    if !files.keys().any(is_common) {
        files.insert("design.yaml".to_owned(), COMMON.into());
    }
    files
}

/// Where an input brings none: money and two processes, so that tables may name them.
const COMMON: &str = "setout: 1\nname: a lid\ncurrency: GBP\nrates: { EUR: 0.85 GBP }\nprocesses:\n  \
                      printed: { tolerance: ±0.20 mm }\n  cut: { tolerance: +0.1 -0.3 mm }\n";

/// The two sides of an input, apart at a line `===`.
pub(super) fn sides(input: &[u8]) -> Option<(&[u8], &[u8])> {
    let mark = b"\n===\n";
    let at = input.windows(mark.len()).position(|window| window == mark)?;
    Some((&input[..=at], &input[at + mark.len()..]))
}

/// The files as a source.
pub(super) fn source(files: &Files) -> Memory {
    Memory::new(files.clone())
}
