//! A revision made known: its record, the letters of its parts, the list of what changed, and the
//! bundle that holds all of it. Pure: bytes in, bytes out; no disk, no git, no clock.
//!
//! [`draw_up`] takes a design as it was committed, and the records of all releases before it, to a
//! [`Release`]: the next letter, a letter for each part, what changed in plain sentences, and all
//! files of the bundle. The same commit gives the same bytes on every machine. [`verify`] takes a
//! bundle apart again, from whomever it comes, and proves it against its record by evaluating the
//! tables in it anew.
//!
//! ```
//! use setout_design::{Design, Memory};
//! use setout_assess::Work;
//! use setout_release::{Commit, Moment, Past, Wishes, draw_up, verify};
//!
//! let texts = Memory::new([
//!     ("params/design.yaml", "setout: 1\nname: A lid\n"),
//!     ("params/lid.yaml", "dimensions: { width: 62 mm }\n\
//!                          parts: { lid: { made: bought, uses: [width] } }\n"),
//! ]);
//! let evaluation = Design::read(&texts).evaluate();
//! let commit = Commit { id: "8dcc611d9a4f6e0a2f0b7f3f35a1c9b1d7f7a0aa", date: Moment::new(0, 0) };
//! let first = Past { records: &[], last: None };
//! let (wishes, work) = (Wishes::default(), Work::default());
//! let release = draw_up(&texts, &evaluation, &first, &commit, &wishes, &work)?;
//! assert_eq!(release.record.release.to_string(), "A");
//! assert_eq!(release.record.parts[0].letter.to_string(), "A");
//!
//! let mut bundle = release.bundle()?;
//! assert!(verify(&bundle)?.is_proven());
//! // Any byte that is not as it was is found.
//! let at = bundle.windows(5).position(|bytes| bytes == b"62 mm").unwrap();
//! bundle[at] = b'7';
//! assert!(!verify(&bundle).is_ok_and(|proof| proof.is_proven()));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # What a bundle holds
//!
//! | file | is |
//! | --- | --- |
//! | `record.yaml` | the [`Record`], byte for byte as it is kept in the repository |
//! | `changes.txt` | what changed, to be read |
//! | `parts.csv` | the list of parts |
//! | `design/…` | the tables, the models with what they include, and the exports, under the paths that they have from the root, so that models find the exports |
//!
//! # Why so
//! Files are stored and not compressed. What a compressor makes differs from one version of it to
//! the next, and a bundle is to be told by its bytes in ten years' time; and what is not compressed
//! cannot swell. zip stands behind `archive`, serde_yaml behind `record`.

mod archive;
mod assemble;
mod change_text;
mod changes;
mod claim;
mod digest;
mod drawn;
mod edited;
mod fault;
mod follow;
mod letter;
mod moment;
mod names;
mod number;
mod part_list;
mod parts;
mod record;
mod told;
mod unpacked;
mod verify;
mod written;

pub use archive::{BundleFault, LARGEST_BUNDLE, MOST_FILES};
pub use claim::{Claim, Proved};
pub use digest::sha256;
pub use drawn::{Commit, Past, Release, Wishes, draw_up};
pub use fault::ReleaseFault;
pub use letter::{Letter, NoLetter};
pub use moment::Moment;
pub use names::{bundle_path, record_letter, record_path, releases_folder};
pub use number::Number;
pub use parts::{ReleasedPart, Turn};
pub use record::{
    Record, RecordFault, RecordedExport, RecordedFile, RecordedMeasure, RecordedPart, Verdicts,
};
pub use verify::{Proof, released_design, verify};
