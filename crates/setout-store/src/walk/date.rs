//! Dates as ISO 8601 writes them.

use std::fmt;

use crate::revision::Date;

/// `2024-05-01T14:30:00+02:00`: by the clock of the author, with what that was ahead of UTC.
/// Years before 0 and after 9999 have a sign and more digits, as the standard has it.
impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let local = i128::from(self.seconds) + i128::from(self.offset_minutes) * 60;
        let (days, seconds) = (local.div_euclid(86_400), local.rem_euclid(86_400));
        let (year, month, day) = civil(days);
        if (0..=9999).contains(&year) {
            write!(f, "{year:04}")?;
        } else {
            write!(f, "{year:+07}")?;
        }
        let (hour, minute, second) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
        let sign = if self.offset_minutes < 0 { '-' } else { '+' };
        let ahead = self.offset_minutes.unsigned_abs();
        write!(f, "-{month:02}-{day:02}T{hour:02}:{minute:02}:{second:02}")?;
        write!(f, "{sign}{:02}:{:02}", ahead / 60, ahead % 60)
    }
}

/// The year, month and day of a day, counted from the beginning of 1970. Years are counted from
/// March, so that the leap day is their last; 146,097 days are 400 of them.
fn civil(days: i128) -> (i128, i128, i128) {
    let from_march = days + 719_468;
    let (era, day) = (from_march.div_euclid(146_097), from_march.rem_euclid(146_097));
    let year = (day - day / 1460 + day / 36_524 - day / 146_096) / 365;
    let day = day - (365 * year + year / 4 - year / 100);
    let month = (5 * day + 2) / 153;
    let day_of_month = day - (153 * month + 2) / 5 + 1;
    let (year, month) = (year + era * 400, if month < 10 { month + 3 } else { month - 9 });
    (year + i128::from(month <= 2), month, day_of_month)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_are_those_of_the_authors_clock() {
        // As `date -u -d @SECONDS` and `TZ` give them.
        for (seconds, offset_minutes, text) in [
            (0, 0, "1970-01-01T00:00:00+00:00"),
            (1_700_000_000, -150, "2023-11-14T19:43:20-02:30"),
            (951_782_400, 60, "2000-02-29T01:00:00+01:00"),
            (-1, 0, "1969-12-31T23:59:59+00:00"),
            (-62_135_596_800, 0, "0001-01-01T00:00:00+00:00"),
            (253_402_300_800, 0, "+010000-01-01T00:00:00+00:00"),
            (1_709_164_800, 840, "2024-02-29T14:00:00+14:00"),
            (-2_203_891_200, 0, "1900-03-01T00:00:00+00:00"),
        ] {
            assert_eq!(Date { seconds, offset_minutes }.to_string(), text);
        }
    }

    #[test]
    fn no_date_is_too_far_away() {
        for seconds in [i64::MIN, i64::MAX] {
            assert!(Date { seconds, offset_minutes: 899 }.to_string().contains('T'));
        }
    }
}
