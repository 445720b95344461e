//! Two states of a design that are read together are what each is when it is read alone.

use std::path::PathBuf;

use setout_design::{Comparison, Design, Evaluation, Memory, Source, SourceError};

/// The project's own sample, which has some of everything.
fn sample() -> Memory {
    let root: PathBuf = [env!("CARGO_MANIFEST_DIR"), "../.."].iter().collect();
    let mut texts = Memory::default();
    for folder in ["params", "examples/badger"] {
        for entry in std::fs::read_dir(root.join(folder)).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_name().and_then(|name| name.to_str()).unwrap();
            if let Ok(text) = std::fs::read_to_string(&path) {
                texts.insert(format!("{folder}/{name}"), text);
            }
        }
    }
    texts
}

/// Numbers from a seed: xorshift64, with the shifts 13, 7 and 17 (Marsaglia, *Xorshift RNGs*, 2003).
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, end: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % end as u64) as usize
    }
}

/// The text with a number, a word or a line of it changed.
fn edited(text: &str, numbers: &mut Numbers) -> String {
    let part = |char: char| char.is_ascii_alphanumeric() || "_.±".contains(char);
    let starts =
        text.char_indices().filter(|(at, char)| part(*char) && !text[..*at].ends_with(part));
    let starts: Vec<usize> = starts.map(|(at, _)| at).collect();
    let word = |start: usize| {
        let end = text[start..].find(|char| !part(char)).map_or(text.len(), |end| start + end);
        &text[start..end]
    };
    let is_number =
        |start: &&usize| text[**start..].starts_with(|char: char| char.is_ascii_digit());
    let plain: Vec<usize> = starts.iter().filter(is_number).copied().collect();
    let (start, to) = match numbers.below(8) {
        0 => (starts[numbers.below(starts.len())], word(starts[numbers.below(starts.len())])),
        1 => (0, "# a remark\n"),
        2 => (plain[numbers.below(plain.len())], word(plain[numbers.below(plain.len())])),
        3 => (plain[numbers.below(plain.len())], "0"),
        _ => (plain[numbers.below(plain.len())], ["7", "12.5", "61", "3"][numbers.below(4)]),
    };
    let end = if start == 0 { 0 } else { start + word(start).len() };
    format!("{}{to}{}", &text[..start], &text[end..])
}

fn whole(design: &Design) -> String {
    let of = design.evaluate();
    format!(
        "{:?}",
        (
            (of.dimensions(), of.schedules(), of.parts(), of.checks(), of.limits(), of.faults()),
            (design.warnings(), of.fingerprint(), of.cost(), of.mass(), of.models()),
        )
    )
}

#[test]
fn the_sample_with_random_edits_is_the_same_read_together_and_alone() {
    let before = sample();
    let tables: Vec<String> = before.list().unwrap();
    let mut numbers = Numbers(0x5e70_0075_e700_0001);
    let (mut good, mut told) = (0, 0);
    for round in 0..120 {
        let mut after = before.clone();
        for _ in 0..=numbers.below(3) {
            let table = &tables[numbers.below(tables.len())];
            let text = String::from_utf8(after.read(table).unwrap()).unwrap();
            after.insert(table.clone(), edited(&text, &mut numbers));
        }
        let (one, other) = if round % 2 == 0 { (&before, &after) } else { (&after, &before) };
        let (old, new) = Design::read_both(one, other);
        let alone = [Design::read(one), Design::read(other)];
        assert!(whole(&old) == whole(&alone[0]), "round {round}");
        assert!(whole(&new) == whole(&alone[1]), "round {round}");
        let found = Comparison::of(&old.evaluate(), &new.evaluate());
        let known = Comparison::of(&alone[0].evaluate(), &alone[1].evaluate());
        assert!(format!("{found:?}") == format!("{known:?}"), "round {round}");
        good += usize::from(old.faults().is_empty() && new.faults().is_empty());
        told += usize::from(!found.is_empty());
    }
    // Enough of them are designs that can be computed, and differ in what they mean.
    assert!(good > 60 && told > 60, "{good} without faults, {told} that differ");
}

/// Texts of which some break the thread that reads them.
struct Breaking(Memory, &'static str);

impl Source for Breaking {
    fn list(&self) -> Result<Vec<String>, SourceError> {
        self.0.list()
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SourceError> {
        assert!(!path.ends_with(self.1), "this source breaks");
        self.0.read(path)
    }
}

#[test]
fn what_cannot_be_opened_is_told_and_what_breaks_breaks_the_whole() {
    let sample = sample();
    let found = Evaluation::read_both_opening(|| Err::<Memory, _>("no such revision"), &sample);
    assert_eq!(found.err(), Some("no such revision"));
    let found = Evaluation::read_both_opening(|| Ok::<_, ()>(sample.clone()), &sample);
    let (source, old, new) = found.unwrap();
    assert_eq!(source.list(), sample.list());
    assert_eq!((old.fingerprint(), old.faults()), (new.fingerprint(), new.faults()));
    // Whichever thread breaks off, none waits for it for ever.
    for path in ["design.yaml", "jaw.yaml", "jaw.scad"] {
        let (good, bad) = (sample.clone(), Breaking(sample.clone(), path));
        assert!(std::panic::catch_unwind(|| Design::read_both(&bad, &good)).is_err(), "{path}");
        assert!(std::panic::catch_unwind(|| Design::read_both(&good, &bad)).is_err(), "{path}");
    }
    let breaks = || -> Result<Memory, ()> { panic!("this opening breaks") };
    let both = || Evaluation::read_both_opening(breaks, &sample).is_ok();
    assert!(std::panic::catch_unwind(both).is_err());
}
