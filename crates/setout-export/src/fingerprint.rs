//! The fingerprint that a file carries of what is in it.

use sha2::{Digest, Sha256};

/// One value as it stands in a file: its name, its value and its unit, each in the spelling of
/// the format. That spelling is what is fingerprinted, so that a file can be checked against
/// its own fingerprint without the design it came from.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Entry {
    /// The exported name.
    pub name: String,
    /// The value as written.
    pub value: String,
    /// The unit as written.
    pub unit: String,
}

/// How many hexadecimal digits of the digest are kept: 128 bits.
const DIGITS: usize = 32;

/// The fingerprint of these entries in this format: the first 32 hexadecimal digits of a
/// SHA-256. The order of the entries is of no account. Each text goes in behind its length, so
/// that no two lists of entries are spelt alike.
pub fn fingerprint(format: &str, entries: &[Entry]) -> String {
    let mut sorted: Vec<&Entry> = entries.iter().collect();
    sorted.sort();
    let mut hasher = Sha256::new();
    let mut take = |text: &str| {
        hasher.update((text.len() as u64).to_le_bytes());
        hasher.update(text);
    };
    take(format);
    for entry in sorted {
        take(&entry.name);
        take(&entry.value);
        take(&entry.unit);
    }
    let mut hex: String = hasher.finalize().iter().map(|byte| format!("{byte:02x}")).collect();
    hex.truncate(DIGITS);
    hex
}

/// The text, if it could be a fingerprint of ours.
pub(crate) fn as_fingerprint(text: &str) -> Option<String> {
    let fits = text.len() == DIGITS
        && text.bytes().all(|b| b.is_ascii_digit() || (b'a'..=b'f').contains(&b));
    fits.then(|| text.to_owned())
}
