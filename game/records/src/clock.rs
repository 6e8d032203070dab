//! Times as they are written.

use training::text::number;

/// A moment of the attempt in minutes, seconds and tenths: `12:03.4`.
pub fn moment(seconds: f64) -> String {
    if !seconds.is_finite() {
        return number(seconds, 0);
    }
    let tenths = (seconds.max(0.0) * 10.0).round();
    let minutes = (tenths / 600.0).floor();
    let rest = tenths - 600.0 * minutes;
    let whole = (rest / 10.0).floor();
    format!(
        "{}:{:0>2}.{}",
        number(minutes, 0),
        number(whole, 0),
        number(rest - 10.0 * whole, 0)
    )
}

/// A moment of the attempt in minutes and seconds: `12:03`.
pub fn minutes(seconds: f64) -> String {
    let written = moment(seconds.round());
    match written.split_once('.') {
        Some((whole, _)) => whole.to_owned(),
        None => written,
    }
}

/// A date and a time of day in universal time, from seconds since 1970-01-01
/// 00:00: `2031-05-02 08:15`.
pub fn utc(unix_s: i64) -> String {
    let (day, second) = (unix_s.div_euclid(86_400), unix_s.rem_euclid(86_400));
    let (year, month, day) = date(day);
    format!(
        "{year:04}-{month:02}-{day:02} {:02}:{:02}",
        second / 3600,
        second / 60 % 60
    )
}

/// Year, month and day of the Gregorian calendar, from days since 1970-01-01.
fn date(days: i64) -> (i64, i64, i64) {
    // 400 years always have this many days. Whole turns are taken off at once;
    // what is left is counted year by year and month by month.
    const TURN: i64 = 146_097;
    let (turns, mut left) = (days.div_euclid(TURN), days.rem_euclid(TURN));
    let mut year = 1970;
    while left >= length_of_year(year) {
        left -= length_of_year(year);
        year += 1;
    }
    let mut month = 1;
    while left >= length_of_month(year, month) {
        left -= length_of_month(year, month);
        month += 1;
    }
    (year + 400 * turns, month, left + 1)
}

fn is_leap(year: i64) -> bool {
    year % 4 == 0 && (year % 100 != 0 || year % 400 == 0)
}

fn length_of_year(year: i64) -> i64 {
    365 + i64::from(is_leap(year))
}

fn length_of_month(year: i64, month: i64) -> i64 {
    match month {
        2 => 28 + i64::from(is_leap(year)),
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moments_carry_over_into_the_minute() {
        assert_eq!(moment(0.0), "0:00.0");
        assert_eq!(moment(59.97), "1:00.0");
        assert_eq!(moment(723.44), "12:03.4");
        assert_eq!(moment(-1.0), "0:00.0");
        assert_eq!(moment(f64::NAN), "-");
        assert_eq!(minutes(119.6), "2:00");
    }

    #[test]
    fn dates_are_those_of_the_calendar() {
        // POSIX.1, "Seconds Since the Epoch", starts at the first; the others
        // are the dates that are widely given for these counts (from memory).
        assert_eq!(utc(0), "1970-01-01 00:00");
        assert_eq!(utc(951_782_400), "2000-02-29 00:00");
        assert_eq!(utc(1_234_567_890), "2009-02-13 23:31");
        assert_eq!(utc(2_147_483_647), "2038-01-19 03:14");
        assert_eq!(utc(-1), "1969-12-31 23:59");
        assert_eq!(utc(-2_203_891_200), "1900-03-01 00:00");
    }

    #[test]
    fn no_count_of_seconds_does_harm() {
        assert!(!utc(i64::MAX).is_empty() && !utc(i64::MIN).is_empty());
    }
}
