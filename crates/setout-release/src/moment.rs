//! The date of a commit, as ISO 8601 has it, and as an archive has it.

use std::fmt;
use std::str::FromStr;

use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// A moment with the offset of the clock that told it: never of a clock that is read here.
///
/// ```
/// use setout_release::Moment;
/// let moment = Moment::new(1_700_000_000, 90);
/// assert_eq!(moment.to_string(), "2023-11-14T23:43:20+01:30");
/// assert_eq!("2023-11-14T23:43:20+01:30".parse(), Ok(moment));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Moment {
    seconds: i64,
    offset_minutes: i32,
}

/// A day, counted in the Gregorian calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Day {
    pub(crate) year: i64,
    pub(crate) month: i64,
    pub(crate) day: i64,
}

const A_DAY: i64 = 86_400;
/// The beginning of the year 1 and of the year 9999, both with a day to spare for offsets.
const SPAN: [i64; 2] = [-62_135_510_400, 253_370_678_400];
/// The largest offset that is written, in minutes.
const LARGEST_OFFSET: i32 = 24 * 60 - 1;

impl Moment {
    /// Seconds since the beginning of 1970, UTC, and what the clock was ahead of UTC in minutes.
    /// What lies outside of the years 1 to 9998 is moved to their end: there is no such commit,
    /// but one can be made.
    pub fn new(seconds: i64, offset_minutes: i32) -> Self {
        Self {
            seconds: seconds.clamp(SPAN[0], SPAN[1]),
            offset_minutes: offset_minutes.clamp(-LARGEST_OFFSET, LARGEST_OFFSET),
        }
    }

    /// The day on the clock that told it, as in `2023-11-14`.
    pub fn day(&self) -> String {
        let Day { year, month, day } = Day::of(self.local().div_euclid(A_DAY));
        format!("{year:04}-{month:02}-{day:02}")
    }

    fn local(&self) -> i64 {
        self.seconds + i64::from(self.offset_minutes) * 60
    }

    /// The day and the seconds of that day in UTC.
    pub(crate) fn utc(&self) -> (Day, i64) {
        (Day::of(self.seconds.div_euclid(A_DAY)), self.seconds.rem_euclid(A_DAY))
    }
}

impl Day {
    /// The day so many days after 1970-01-01. Counted in years that begin in March, so that the
    /// leap day is the last of a year, and in eras of 400 years, of 146,097 days each.
    fn of(days: i64) -> Self {
        let days = days + 719_468;
        let (era, in_era) = (days.div_euclid(146_097), days.rem_euclid(146_097));
        let in_era_year = (in_era - in_era / 1_460 + in_era / 36_524 - in_era / 146_096) / 365;
        let in_year = in_era - (365 * in_era_year + in_era_year / 4 - in_era_year / 100);
        let from_march = (5 * in_year + 2) / 153;
        let day = in_year - (153 * from_march + 2) / 5 + 1;
        let month = if from_march < 10 { from_march + 3 } else { from_march - 9 };
        Self { year: in_era_year + era * 400 + i64::from(month <= 2), month, day }
    }

    fn days(self) -> i64 {
        let year = if self.month <= 2 { self.year - 1 } else { self.year };
        let (era, in_era_year) = (year.div_euclid(400), year.rem_euclid(400));
        let from_march = (self.month + 9) % 12;
        let in_year = (153 * from_march + 2) / 5 + self.day - 1;
        era * 146_097 + in_era_year * 365 + in_era_year / 4 - in_era_year / 100 + in_year - 719_468
    }
}

impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let of_day = self.local().rem_euclid(A_DAY);
        let (sign, offset) = (if self.offset_minutes < 0 { '-' } else { '+' }, self.offset_minutes);
        write!(
            f,
            "{}T{:02}:{:02}:{:02}{sign}{:02}:{:02}",
            self.day(),
            of_day / 3600,
            of_day / 60 % 60,
            of_day % 60,
            offset.abs() / 60,
            offset.abs() % 60
        )
    }
}

impl FromStr for Moment {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let wrong = || format!("{:?} is no date as 2026-11-28T09:12:33+01:00", shortened(text));
        let moment = read(text).ok_or_else(wrong)?;
        // Each moment has one spelling: no 31st of February, no -00:00.
        if moment.to_string() == text { Ok(moment) } else { Err(wrong()) }
    }
}

fn shortened(text: &str) -> String {
    text.chars().take(40).collect()
}

fn read(text: &str) -> Option<Moment> {
    const SHAPE: &[u8; 25] = b"0000-00-00T00:00:00+00:00";
    let bytes: &[u8; 25] = text.as_bytes().try_into().ok()?;
    let fits = |(byte, shape): (&u8, &u8)| match shape {
        b'0' => byte.is_ascii_digit(),
        b'+' => matches!(byte, b'+' | b'-'),
        shape => byte == shape,
    };
    bytes.iter().zip(SHAPE).all(fits).then_some(())?;
    let number = |from: usize, to: usize| text.get(from..to)?.parse::<i64>().ok();
    let day = Day { year: number(0, 4)?, month: number(5, 7)?, day: number(8, 10)? };
    (1..=12).contains(&day.month).then_some(())?;
    let of_day = number(11, 13)? * 3600 + number(14, 16)? * 60 + number(17, 19)?;
    let offset = number(20, 22)? * 60 + number(23, 25)?;
    let offset = if bytes[19] == b'-' { -offset } else { offset };
    let seconds = day.days() * A_DAY + of_day - offset * 60;
    Some(Moment::new(seconds, i32::try_from(offset).ok()?))
}

impl Serialize for Moment {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Moment {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(D::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// From `date --utc --date=@SECONDS`, and by hand for the offsets.
    #[test]
    fn dates_are_those_of_the_calendar() {
        for (seconds, offset, text) in [
            (0, 0, "1970-01-01T00:00:00+00:00"),
            (951_782_400, 0, "2000-02-29T00:00:00+00:00"),
            (1_700_000_000, -150, "2023-11-14T19:43:20-02:30"),
            (4_107_542_399, 0, "2100-02-28T23:59:59+00:00"),
            (4_107_542_400, 0, "2100-03-01T00:00:00+00:00"),
            (-1, 0, "1969-12-31T23:59:59+00:00"),
        ] {
            let moment = Moment::new(seconds, offset);
            assert_eq!(moment.to_string(), text);
            assert_eq!(text.parse(), Ok(moment));
        }
    }

    #[test]
    fn no_commit_is_too_odd_for_a_date() {
        for seconds in [i64::MIN, i64::MAX] {
            for offset in [i32::MIN, 0, i32::MAX] {
                let moment = Moment::new(seconds, offset);
                assert_eq!(moment.to_string().parse(), Ok(moment), "{moment}");
            }
        }
    }

    #[test]
    fn each_moment_has_one_spelling() {
        for text in [
            "",
            "2023-11-14",
            "2023-11-14 23:43:20+01:30",
            "2023-02-31T00:00:00+00:00",
            "2023-13-01T00:00:00+00:00",
            "2023-11-14T24:00:00+00:00",
            "2023-11-14T00:00:00-00:00",
            "2023-11-14T00:00:00+00:60",
            "2023-11-14T00:00:00Z",
            "+023-11-14T00:00:00+00:00",
            "2023-11-14T00:00:00+00:0é",
        ] {
            assert!(text.parse::<Moment>().is_err(), "{text}");
        }
    }

    proptest::proptest! {
        #[test]
        fn every_moment_is_read_back(seconds in SPAN[0]..SPAN[1], offset in -1439..1440) {
            let moment = Moment::new(seconds, offset);
            proptest::prop_assert_eq!(moment.to_string().parse(), Ok(moment));
            let (day, _) = moment.utc();
            proptest::prop_assert_eq!(day.days(), seconds.div_euclid(A_DAY));
        }
    }
}
