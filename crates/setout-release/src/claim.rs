//! What a bundle promises.

/// One thing that a bundle promises.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Claim {
    /// What is promised.
    pub what: Proved,
    /// What differs from it, as clauses; nothing if it is true.
    pub differs: Vec<String>,
}

/// The sorts of claims.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Proved {
    /// The record in it is the one that is kept in the repository.
    Record,
    /// Its files are those of the record.
    Files,
    /// Its bytes are those that are packed from these files.
    Packing,
    /// Its tables give the design of the record.
    Design,
    /// They give the parts of the record.
    Parts,
    /// They give the verdicts, the cost and the mass of the record.
    Verdicts,
    /// They give the exports in it.
    Exports,
    /// They give the list of parts in it.
    PartList,
    /// The record gives the change list in it.
    ChangeText,
    /// Its letters and its change list follow from the release before.
    Changes,
}

impl Proved {
    /// The word by which programs know it.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Record => "record",
            Self::Files => "files",
            Self::Packing => "packing",
            Self::Design => "design",
            Self::Parts => "parts",
            Self::Verdicts => "verdicts",
            Self::Exports => "exports",
            Self::PartList => "part-list",
            Self::ChangeText => "change-text",
            Self::Changes => "changes",
        }
    }

    /// The claim, as a clause.
    pub fn claim(self) -> &'static str {
        match self {
            Self::Record => "its record is the one that is kept in this repository",
            Self::Files => "every file has its hash; none is missing and none is more",
            Self::Packing => "its bytes are those that setout packs from these files",
            Self::Design => "its tables, evaluated anew, have the fingerprint of the release",
            Self::Parts => "its parts, their numbers and fingerprints come out of the tables",
            Self::Verdicts => "so do the verdicts, the cost and the mass",
            Self::Exports => "so do the exports, drawn anew",
            Self::PartList => "so does parts.csv",
            Self::ChangeText => "changes.txt says what its record says",
            Self::Changes => "the letters and the change list follow from what was released before",
        }
    }
}
