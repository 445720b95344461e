//! Letters of revisions, as ASME Y14.35 has them.

use std::fmt;
use std::str::FromStr;

use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// The letters that a revision may bear: those that are not taken for a digit, a zero or another
/// letter on a print are left out (I, O, Q, S, X, Z).
const ALPHABET: [u8; 20] = *b"ABCDEFGHJKLMNPRTUVWY";
/// The most letters of one revision: 168,420 revisions.
pub(crate) const LONGEST: usize = 4;

/// The letter of a revision: A to Y without I, O, Q, S, X and Z, then AA to AY, BA and so on.
///
/// ```
/// use setout_release::Letter;
/// let mut letter = Letter::FIRST;
/// assert_eq!(letter.to_string(), "A");
/// for _ in 0..20 {
///     letter = letter.next().unwrap();
/// }
/// assert_eq!(letter.to_string(), "AA");
/// assert!("Y".parse::<Letter>().unwrap() < letter);
/// assert!("I".parse::<Letter>().is_err());
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Letter(u32);

/// A text that is no letter of a revision.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoLetter(String);

impl Letter {
    /// The letter of what is released for the first time.
    pub const FIRST: Self = Self(1);

    /// The letter after this one; none after YYYY.
    pub fn next(self) -> Option<Self> {
        (self.0 < MOST).then_some(Self(self.0 + 1))
    }
}

/// The number of YYYY.
const MOST: u32 = {
    let (mut most, mut length) = (0, 0);
    while length < LONGEST {
        most = most * ALPHABET.len() as u32 + ALPHABET.len() as u32;
        length += 1;
    }
    most
};

impl fmt::Display for Letter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let base = ALPHABET.len() as u32;
        let (mut rest, mut letters) = (self.0, Vec::new());
        while rest > 0 {
            letters.push(char::from(ALPHABET[((rest - 1) % base) as usize]));
            rest = (rest - 1) / base;
        }
        f.pad(&letters.iter().rev().collect::<String>())
    }
}

impl FromStr for Letter {
    type Err = NoLetter;

    fn from_str(text: &str) -> Result<Self, NoLetter> {
        let digit = |byte: u8| ALPHABET.iter().position(|letter| *letter == byte);
        let number = text.bytes().try_fold(0, |number, byte| {
            Some(number * ALPHABET.len() as u32 + digit(byte)? as u32 + 1)
        });
        match number.filter(|_| (1..=LONGEST).contains(&text.len())) {
            Some(number) => Ok(Self(number)),
            None => Err(NoLetter(text.chars().take(2 * LONGEST).collect())),
        }
    }
}

impl fmt::Display for NoLetter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{:?} is no letter of a revision: A to Y without I, O, Q, S, X and Z, then AA",
            self.0
        )
    }
}

impl std::error::Error for NoLetter {}

impl Serialize for Letter {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Letter {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(D::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn letter(text: &str) -> Letter {
        text.parse().expect("a letter")
    }

    /// The first forty, written out by hand.
    #[test]
    fn letters_follow_one_another() {
        let written = "A B C D E F G H J K L M N P R T U V W Y \
                       AA AB AC AD AE AF AG AH AJ AK AL AM AN AP AR AT AU AV AW AY BA";
        let mut next = Some(Letter::FIRST);
        for text in written.split_whitespace() {
            let now = next.expect("there is a next one");
            assert_eq!(now.to_string(), text);
            assert_eq!(letter(text), now);
            next = now.next();
        }
        assert_eq!(letter("YY").next(), Some(letter("AAA")));
        assert_eq!(letter("YYYY").next(), None);
    }

    #[test]
    fn what_is_no_letter_is_none() {
        for text in ["", "I", "O", "Q", "S", "X", "Z", "a", "A1", "AI", "AAAAA", "Ä", " A", "A "] {
            assert!(text.parse::<Letter>().is_err(), "{text}");
        }
    }

    proptest::proptest! {
        #[test]
        fn every_letter_is_read_back_and_is_before_the_next(number in 1..MOST) {
            let one = Letter(number);
            let next = one.next().expect("there is one");
            proptest::prop_assert_eq!(letter(&one.to_string()), one);
            proptest::prop_assert!(one < next);
            let (a, b) = (one.to_string(), next.to_string());
            proptest::prop_assert!((a.len(), &a) < (b.len(), &b));
        }

        #[test]
        fn any_text_is_a_letter_or_not(text in ".{0,6}") {
            if let Ok(letter) = text.parse::<Letter>() {
                proptest::prop_assert_eq!(letter.to_string(), text);
            }
        }
    }
}
