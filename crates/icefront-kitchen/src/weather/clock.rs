//! Dates and times of day, without zones: the clock on the wall, as long as nobody changes it.

use std::fmt;

use serde::{Serialize, Serializer};

/// Seconds of a day.
pub const DAY_S: f64 = 86_400.0;
/// Seconds of an hour.
pub const HOUR_S: f64 = 3_600.0;

/// A time of day, s after midnight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clock(pub f64);

impl Clock {
    /// Reads `18:00`, from 00:00 to 23:59.
    pub fn read(text: &str) -> Result<Self, String> {
        let wrong = || "write the hour of a 24-hour clock, such as 18:00".to_string();
        let (hour, minute) = text.trim().split_once(':').ok_or_else(wrong)?;
        let (hour, minute) = (whole(hour, 2).ok_or_else(wrong)?, whole(minute, 2).ok_or_else(wrong)?);
        if hour > 23 || minute > 59 { Err(wrong()) } else { Ok(Self((60 * hour + minute) as f64 * 60.0)) }
    }

    /// The clock this long after it, s.
    pub fn after(self, time_s: f64) -> Self {
        Self((self.0 + time_s).rem_euclid(DAY_S))
    }

    /// From this clock to the next `other`, s: more than 0, at most a day.
    pub fn until(self, other: Self) -> f64 {
        let ahead_s = other.0 - self.0;
        if ahead_s > 0.0 { ahead_s } else { ahead_s + DAY_S }
    }
}

impl fmt::Display for Clock {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let minutes = (self.0 / 60.0).round() as i64 % (24 * 60);
        write!(f, "{:02}:{:02}", minutes / 60, minutes % 60)
    }
}

/// A day of the calendar. Serialised as it is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date {
    /// Year.
    pub year: i64,
    /// Month, 1 to 12.
    pub month: i64,
    /// Day, 1 to 31.
    pub day: i64,
}

impl Date {
    /// A day, if there is one.
    pub fn new(year: i64, month: i64, day: i64) -> Option<Self> {
        let date = Self { year, month, day };
        ((1..=12).contains(&month) && day >= 1 && Self::of(date.start_s()) == date).then_some(date)
    }

    /// Reads `2026-11-25`, if there is such a day.
    pub fn read(text: &str) -> Option<Self> {
        let parts: Vec<&str> = text.trim().split('-').collect();
        let [year, month, day] = parts[..] else { return None };
        let year = whole(year, 4).filter(|_| year.len() == 4)?;
        Self::new(year, whole(month, 2)?, whole(day, 2)?)
    }

    /// The day of a time, s after 1970-01-01 00:00.
    pub fn of(time_s: f64) -> Self {
        // days in cycles of 400 years (146 097 days) that begin on 1 March, so that a leap day ends its year
        let days = (time_s / DAY_S).floor() as i64 + 719_468;
        let (cycle, day) = (days.div_euclid(146_097), days.rem_euclid(146_097));
        let year = (day - day / 1_460 + day / 36_524 - day / 146_096) / 365;
        let day_of_year = day - (365 * year + year / 4 - year / 100);
        let month = (5 * day_of_year + 2) / 153;
        let day = day_of_year - (153 * month + 2) / 5 + 1;
        let (month, next) = if month < 10 { (month + 3, 0) } else { (month - 9, 1) };
        Self { year: 400 * cycle + year + next, month, day }
    }

    /// Its midnight, s after 1970-01-01 00:00.
    pub fn start_s(self) -> f64 {
        let year = if self.month > 2 { self.year } else { self.year - 1 };
        let (cycle, of_cycle) = (year.div_euclid(400), year.rem_euclid(400));
        let month = (self.month + 9) % 12;
        let day_of_year = (153 * month + 2) / 5 + self.day - 1;
        let day = 365 * of_cycle + of_cycle / 4 - of_cycle / 100 + day_of_year;
        (146_097 * cycle + day - 719_468) as f64 * DAY_S
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

impl Serialize for Date {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

/// Which day a cook means: `01-15`, or `1986-01-15` where a file holds several years.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Day {
    year: Option<i64>,
    month: i64,
    day: i64,
}

impl Day {
    /// Reads it.
    pub fn read(text: &str) -> Result<Self, String> {
        let wrong = || "write month and day, such as 01-15, or 1986-01-15".to_string();
        let parts: Vec<&str> = text.trim().split('-').collect();
        let (year, month, day) = match parts[..] {
            [month, day] => (None, month, day),
            [year, month, day] => (Some(whole(year, 4).ok_or_else(wrong)?), month, day),
            _ => return Err(wrong()),
        };
        let (month, day) = (whole(month, 2).ok_or_else(wrong)?, whole(day, 2).ok_or_else(wrong)?);
        // 2000 had a 29 February
        Date::new(year.unwrap_or(2000), month, day).ok_or_else(wrong)?;
        Ok(Self { year, month, day })
    }

    /// Whether it is this date.
    pub fn is(self, date: Date) -> bool {
        self.year.is_none_or(|year| year == date.year) && (self.month, self.day) == (date.month, date.day)
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(year) = self.year {
            write!(f, "{year:04}-")?;
        }
        write!(f, "{:02}-{:02}", self.month, self.day)
    }
}

/// Reads `2026-01-15 18:00`, with `T` for the blank, seconds if they are given, and 24:00 for the midnight that ends a
/// day; s after 1970-01-01 00:00.
pub fn read_stamp(text: &str) -> Result<f64, &'static str> {
    let wrong = "not a time such as 2026-01-15 18:00";
    let (date, time) = text.split_once(['T', ' ']).ok_or(wrong)?;
    if time.ends_with(['Z', 'z']) || time.contains(['+', '-']) {
        return Err("a time with a zone; write local standard time without one");
    }
    let parts: Vec<&str> = date.split('-').collect();
    let [year, month, day] = parts[..] else { return Err(wrong) };
    let number = |text: &str, digits| whole(text, digits).ok_or(wrong);
    let date = Date::new(number(year, 4)?, number(month, 2)?, number(day, 2)?).ok_or("no such day")?;
    let parts: Vec<&str> = time.trim().split(':').collect();
    let [hour, minute, second] = match parts[..] {
        [hour, minute] => [hour, minute, "00"],
        [hour, minute, second] => [hour, minute, second],
        _ => return Err(wrong),
    };
    let (hour, minute, second) = (number(hour, 2)?, number(minute, 2)?, number(second, 2)?);
    let of_day_s = 3600 * hour + 60 * minute + second;
    if minute > 59 || second > 59 || of_day_s > 86_400 {
        return Err("no such time of day");
    }
    Ok(date.start_s() + of_day_s as f64)
}

/// A whole number of at most so many digits.
fn whole(text: &str, digits: usize) -> Option<i64> {
    let plain = !text.is_empty() && text.len() <= digits && text.bytes().all(|b| b.is_ascii_digit());
    if plain { text.parse().ok() } else { None }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_and_seconds_are_exact_inverses() {
        // 2000-03-01 was day 11 017 after 1970-01-01; 1970 to 2100 holds leap years and 2100, which is none
        assert_eq!(Date { year: 2000, month: 3, day: 1 }.start_s(), 11_017.0 * DAY_S);
        let mut before = Date::of(-DAY_S);
        for day in 0..47_600 {
            let date = Date::of(f64::from(day) * DAY_S);
            assert_eq!(date.start_s(), f64::from(day) * DAY_S);
            assert!(date > before && (1..=31).contains(&date.day));
            before = date;
        }
        assert_eq!((Date::new(2023, 2, 29), Date::new(2100, 2, 29), Date::new(2024, 13, 1)), (None, None, None));
    }

    #[test]
    fn stamps_are_read_or_refused() {
        let midnight = read_stamp("2026-01-16 00:00").unwrap();
        assert_eq!(read_stamp("2026-01-15 24:00"), Ok(midnight));
        assert_eq!(read_stamp("2026-01-16T00:00:00"), Ok(midnight));
        assert_eq!(read_stamp("2026-01-16 7:30"), Ok(midnight + 7.5 * HOUR_S));
        for bad in ["2026-01-15", "18:00", "15/01/2026 18:00", "2026-02-30 18:00", "2026-01-15 24:30", "", "NaN"] {
            assert!(read_stamp(bad).is_err(), "{bad}");
        }
        assert!(read_stamp("2026-01-15T18:00+01:00").unwrap_err().contains("zone"));
    }

    #[test]
    fn a_clock_goes_round() {
        let (evening, morning) = (Clock::read("18:00").unwrap(), Clock::read("07:00").unwrap());
        assert_eq!(evening.until(morning), 13.0 * HOUR_S);
        assert_eq!(evening.until(evening), DAY_S);
        assert_eq!(evening.after(13.5 * HOUR_S).to_string(), "07:30");
        assert_eq!(Clock(DAY_S - 1.0).to_string(), "00:00");
        for bad in ["24:00", "18", "6 pm", "18:60", "-1:00"] {
            assert!(Clock::read(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn a_day_may_leave_the_year_open() {
        let date = Date { year: 1986, month: 1, day: 15 };
        assert!(Day::read("01-15").unwrap().is(date) && Day::read("1986-01-15").unwrap().is(date));
        assert!(!Day::read("1987-01-15").unwrap().is(date));
        assert!(Day::read("02-30").is_err() && Day::read("15 January").is_err());
    }
}
