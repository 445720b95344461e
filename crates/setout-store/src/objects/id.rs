//! The names of objects.

use std::fmt;

/// The name of an object: the hash of what it is.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Id {
    Sha1([u8; 20]),
    Sha256([u8; 32]),
}

impl Id {
    /// From a hash as it stands in a tree.
    pub(crate) fn from_bytes(bytes: &[u8]) -> Option<Self> {
        let sha1 = || bytes.try_into().ok().map(Self::Sha1);
        sha1().or_else(|| bytes.try_into().ok().map(Self::Sha256))
    }

    /// From all of its hexadecimal digits.
    pub(crate) fn from_hex(digits: &[u8]) -> Option<Self> {
        let mut bytes = [0; 32];
        let (pairs, []) = digits.as_chunks::<2>() else { return None };
        let bytes = bytes.get_mut(..pairs.len())?;
        for (byte, pair) in bytes.iter_mut().zip(pairs) {
            *byte = digit(pair[0])? << 4 | digit(pair[1])?;
        }
        Self::from_bytes(bytes)
    }

    pub(crate) fn as_bytes(&self) -> &[u8] {
        match self {
            Self::Sha1(bytes) => bytes,
            Self::Sha256(bytes) => bytes,
        }
    }
}

fn digit(hex: u8) -> Option<u8> {
    char::from(hex).to_digit(16).and_then(|digit| u8::try_from(digit).ok())
}

impl fmt::Display for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        const DIGITS: &[u8; 16] = b"0123456789abcdef";
        let mut hex = [0; 64];
        let bytes = self.as_bytes();
        for (pair, byte) in hex.chunks_exact_mut(2).zip(bytes) {
            pair[0] = DIGITS[usize::from(byte >> 4)];
            pair[1] = DIGITS[usize::from(byte & 15)];
        }
        f.pad(std::str::from_utf8(&hex[..2 * bytes.len()]).unwrap_or_default())
    }
}

impl fmt::Debug for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_come_back_as_they_were() {
        for digits in ["00ff17".repeat(6) + "a1b2", "00ff17a9".repeat(8)] {
            let id = Id::from_hex(digits.as_bytes()).expect("a name");
            assert_eq!(id.to_string(), digits);
            assert_eq!(Id::from_bytes(id.as_bytes()), Some(id));
            assert_eq!(Id::from_hex(digits.to_uppercase().as_bytes()), Some(id));
        }
    }

    #[test]
    fn other_lengths_and_letters_are_no_names() {
        for digits in
            [String::new(), "0".repeat(39), "0".repeat(42), "0".repeat(66), "g".repeat(40)]
        {
            assert_eq!(Id::from_hex(digits.as_bytes()), None, "{digits}");
        }
    }
}
