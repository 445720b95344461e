//! A bundle as the bytes of an archive, and back. The crate zip stands behind this module.

use std::collections::BTreeMap;
use std::fmt;
use std::io::{Cursor, Read, Write};

use setout_design::LARGEST_FILE;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, System, ZipArchive, ZipWriter};

use crate::Moment;

/// The files of a bundle by name.
pub(crate) type Files = BTreeMap<String, Vec<u8>>;

/// The most files of a bundle. A design may have 10,000 tables.
pub const MOST_FILES: usize = 20_000;
/// The most bytes of all files of a bundle together.
pub const LARGEST_BUNDLE: u64 = 512 << 20;
/// The longest name of a file in a bundle, in bytes.
const LONGEST_NAME: usize = 4_096;
/// What an archive takes beside its files: two heads a file with its name in each, and an end.
const MOST_BESIDE: u64 = 64 << 20;

/// Why some bytes are no bundle, or some files make none.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum BundleFault {
    /// It has more files, or more bytes, than a bundle may have.
    TooLarge {
        /// What there is too much of, as a clause.
        what: String,
    },
    /// It is no archive, or a damaged one.
    NoArchive {
        /// What is wrong, as a clause.
        reason: &'static str,
    },
    /// It holds something that no bundle holds.
    Entry {
        /// The name of the entry, fit to be shown.
        name: String,
        /// What is wrong with it, as a clause.
        reason: &'static str,
    },
    /// It holds no record.
    NoRecord,
    /// Its record cannot be read.
    Record(crate::RecordFault),
}

impl fmt::Display for BundleFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooLarge { what } => write!(f, "the bundle is too large: {what}"),
            Self::NoArchive { reason } => write!(f, "it is no archive, or a damaged one: {reason}"),
            Self::Entry { name, reason } => write!(f, "{name} in it {reason}"),
            Self::NoRecord => f.write_str("it holds no record.yaml"),
            Self::Record(fault) => write!(f, "its record cannot be read: {fault}"),
        }
    }
}

impl std::error::Error for BundleFault {}

impl BundleFault {
    /// What would mend it, as a sentence without its full stop.
    pub fn help(&self) -> &'static str {
        match self {
            Self::TooLarge { .. } => "keep what is no scripted model out of `cad`",
            Self::Record(crate::RecordFault::Later { .. }) => "use a later setout",
            _ => "get the bundle anew from whoever published it",
        }
    }
}

/// The archive of these files: in the order of their names, stored as they are, dated by the
/// commit in UTC, without anything that another machine would do otherwise.
pub(crate) fn pack(files: &Files, date: Moment) -> Result<Vec<u8>, BundleFault> {
    check_sizes(files)?;
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Stored)
        .last_modified_time(archived(date))
        .system(System::Unix)
        .unix_permissions(0o644);
    let failed =
        |_: zip::result::ZipError| BundleFault::NoArchive { reason: "its files cannot be packed" };
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        archive.start_file(name, options).map_err(failed)?;
        archive.write_all(bytes).map_err(|error| failed(error.into()))?;
    }
    let done = archive.finish().map_err(failed)?;
    Ok(done.into_inner())
}

fn check_sizes(files: &Files) -> Result<(), BundleFault> {
    if files.len() > MOST_FILES {
        return Err(too_many(files.len()));
    }
    let bytes = files.values().map(|bytes| bytes.len() as u64).sum();
    if bytes > LARGEST_BUNDLE { Err(too_much(bytes)) } else { Ok(()) }
}

fn too_many(files: usize) -> BundleFault {
    BundleFault::TooLarge { what: format!("{files} files; {MOST_FILES} are the most") }
}

fn too_much(bytes: u64) -> BundleFault {
    let what = format!("{bytes} bytes in its files; {LARGEST_BUNDLE} are the most");
    BundleFault::TooLarge { what }
}

/// An archive knows the years 1980 to 2107, in steps of two seconds.
fn archived(date: Moment) -> DateTime {
    let (day, of_day) = date.utc();
    let part = |number: i64| number as u8;
    let made = u16::try_from(day.year).ok().and_then(|year| {
        let (hour, minute) = (part(of_day / 3600), part(of_day / 60 % 60));
        let second = part(of_day % 60);
        DateTime::from_date_and_time(year, part(day.month), part(day.day), hour, minute, second)
            .ok()
    });
    made.unwrap_or(DateTime::DEFAULT)
}

/// The files of an archive, from whomever it comes: bounded in number and size, and none of them
/// a link, a folder, encrypted, compressed, or named so that it would leave its folder.
pub(crate) fn unpack(bytes: &[u8]) -> Result<Files, BundleFault> {
    if bytes.len() as u64 > LARGEST_BUNDLE + MOST_BESIDE {
        return Err(too_much(bytes.len() as u64));
    }
    let failed = |reason: &'static str| BundleFault::NoArchive { reason };
    let mut archive = ZipArchive::new(Cursor::new(bytes)).map_err(|_| failed(NO_LIST))?;
    if archive.len() > MOST_FILES {
        return Err(too_many(archive.len()));
    }
    if archive.has_duplicate_names() {
        return Err(failed("two files have the same name"));
    }
    let mut files = Files::new();
    let mut left = LARGEST_BUNDLE;
    for index in 0..archive.len() {
        let (name, size) = entry(&archive, index)?;
        if size > left.min(LARGEST_FILE) {
            return Err(too_much(size));
        }
        let file = archive.by_index(index).map_err(|_| failed(DAMAGED))?;
        let content = read(file, size).ok_or(failed(DAMAGED))?;
        left -= size;
        files.insert(name, content);
    }
    Ok(files)
}

const NO_LIST: &str = "the list of its files is not where it should be";
const DAMAGED: &str = "a file in it is not what its checksum says, or is cut off";

/// The name and the size of an entry that may be read. Nothing of it has been read yet.
fn entry(archive: &ZipArchive<Cursor<&[u8]>>, index: usize) -> Result<(String, u64), BundleFault> {
    let entry = archive.by_index_data(index);
    let entry = entry.map_err(|_| BundleFault::NoArchive { reason: NO_LIST })?;
    let raw = entry.name_raw();
    let shown: String = String::from_utf8_lossy(raw).chars().take(80).collect();
    let refuse = |reason| Err(BundleFault::Entry { name: setout_export::one_line(&shown), reason });
    if entry.is_symlink() {
        return refuse("is a link");
    }
    if entry.is_dir() || !entry.is_file() {
        return refuse("is no file");
    }
    if entry.encrypted() {
        return refuse("is encrypted");
    }
    if entry.compression() != CompressionMethod::Stored || entry.compressed_size() != entry.size() {
        return refuse("is compressed, which setout never does");
    }
    match std::str::from_utf8(raw) {
        Ok(name) if is_plain(name) => Ok((name.to_owned(), entry.size())),
        _ => refuse("has a name that no file of a bundle has"),
    }
}

/// Whether a name stays in the folder that an archive is unpacked to, on any system.
fn is_plain(name: &str) -> bool {
    let odd = |c: char| c.is_control() || c == '\\';
    name.len() <= LONGEST_NAME
        && !name.contains(odd)
        && name.split('/').all(|part| !matches!(part, "" | "." | ".."))
}

/// The bytes of an entry: as many as it states, whose checksum the library compares at their end.
fn read(file: impl Read, size: u64) -> Option<Vec<u8>> {
    let mut bytes = Vec::new();
    // One more than there should be, so that the end is reached.
    file.take(size + 1).read_to_end(&mut bytes).ok()?;
    (bytes.len() as u64 == size).then_some(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::digest::sha256;

    fn files() -> Files {
        let file = |(name, text): (&str, &str)| (name.to_owned(), text.as_bytes().to_vec());
        [("design/a.yaml", "a"), ("design/Größe.scad", "cube(1);\n"), ("parts.csv", "")]
            .map(file)
            .into()
    }

    /// These bytes must stay: bundles that are published are compared with them. If a version of
    /// the library changes them, it is not for us.
    #[test]
    fn an_archive_has_the_bytes_that_it_always_had() {
        let packed = pack(&files(), Moment::new(1_700_000_001, 90)).expect("packed");
        assert_eq!(sha256(&packed), GOLDEN);
        assert_eq!(unpack(&packed), Ok(files()));
    }

    const GOLDEN: &str = "ffff8b249efe3e0fcc42989a526fd74b8016bf803e56f7dfbeaae091895651d5";

    #[test]
    fn dates_that_an_archive_does_not_know_are_its_first() {
        for seconds in [0, i64::MAX] {
            let packed = pack(&files(), Moment::new(seconds, 0)).expect("packed");
            assert_eq!(packed[10..14], [0, 0, 0x21, 0], "1980-01-01 00:00");
        }
    }

    #[test]
    fn names_that_leave_their_folder_are_refused() {
        let long = "a".repeat(LONGEST_NAME + 1);
        for name in ["../a", "/a", "a/../b", "a//b", "a/./b", "a\\b", "a\nb", "", &long] {
            assert!(!is_plain(name), "{name:?}");
        }
        assert!(is_plain("design/params/..a/Größe 1.scad"));
    }

    proptest::proptest! {
        #![proptest_config(proptest::prelude::ProptestConfig::with_cases(2_000))]

        /// Bytes that were changed anywhere, or cut off, are read or refused; nothing hangs or
        /// panics.
        #[test]
        fn a_damaged_archive_is_no_danger(
            at in proptest::prelude::any::<proptest::sample::Index>(),
            to in proptest::prelude::any::<[u8; 4]>(),
            cut in proptest::option::of(proptest::prelude::any::<proptest::sample::Index>()),
        ) {
            let mut packed = pack(&files(), Moment::new(1_700_000_001, 90)).expect("packed");
            let at = at.index(packed.len());
            for (byte, to) in packed[at..].iter_mut().zip(to) {
                *byte = to;
            }
            if let Some(cut) = cut {
                packed.truncate(cut.index(packed.len()));
            }
            if let Ok(files) = unpack(&packed) {
                let bytes: usize = files.values().map(Vec::len).sum();
                proptest::prop_assert!(bytes <= packed.len() * files.len());
            }
        }
    }
}
