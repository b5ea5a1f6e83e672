//! Dates and times of day, without zones: the clock on the wall, as long as nobody changes it.

use std::fmt;

pub use jiff::civil::Date;
use jiff::{SignedDuration, civil};

/// Seconds of a day.
pub const DAY_S: f64 = 86_400.0;
/// Seconds of an hour.
pub const HOUR_S: f64 = 3_600.0;

/// A time of day, s after midnight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clock(pub f64);

impl Clock {
    /// Reads a time of day as people write it: `18:00`, `18.00`, `6 pm`, `6:30pm`, `6.30 p.m.`, `noon`, `midnight`, with a day
    /// or a part of it, as in `Saturday 21:00`, `tonight at 6`, `start tomorrow at 8:00`.
    pub fn read(text: &str) -> Result<Self, String> {
        let text = text.to_lowercase();
        let words = || text.split([' ', ',', '\t']).filter(|word| !word.is_empty());
        let part_of_day = words().find_map(|word| PARTS_OF_DAY.iter().find(|(part, _)| *part == word));
        let is_idle = |word: &&str| BESIDE_A_CLOCK.contains(word) || PARTS_OF_DAY.iter().any(|(part, _)| part == word);
        let clock = words().filter(|word| !is_idle(word)).collect::<Vec<_>>().join(" ");
        let read = match (clock.as_str(), half_of_day(&clock), part_of_day) {
            ("noon", ..) => Some(Self::at(12, 0)),
            ("midnight", ..) => Some(Self::at(0, 0)),
            (_, Some((clock, later)), _) => of_12_hours(clock, later),
            (clock, None, Some((part, later))) => {
                let at = of_12_hours(clock, *later);
                // 12 and 2 at night are after midnight
                let small = at.filter(|at| part.ends_with("night") && (12.0..18.0).contains(&(at.0 / HOUR_S)));
                small.map(|at| at.after(0.5 * DAY_S)).or(at).or_else(|| of_24_hours(clock))
            }
            (clock, None, None) => of_24_hours(clock),
        };
        read.ok_or_else(|| "write a time of day, such as 18:00 or 6 pm".into())
    }

    fn at(hour: i16, minute: i16) -> Self {
        Self(f64::from(hour) * HOUR_S + f64::from(minute) * 60.0)
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

/// A clock before `am` or `pm`, and how many hours later it is than it says.
fn half_of_day(text: &str) -> Option<(&str, i16)> {
    let halves = [("a.m.", 0), ("am", 0), ("p.m.", 12), ("pm", 12)];
    halves.iter().find_map(|(end, later)| Some((text.strip_suffix(end)?.trim(), *later)))
}

fn of_12_hours(clock: &str, later: i16) -> Option<Clock> {
    let [hour, minute] = hour_and_minute(clock).or_else(|| numbers(clock, ':', [2]).map(|[hour]| [hour, 0]))?;
    ((1..=12).contains(&hour) && minute < 60).then(|| Clock::at(hour % 12 + later, minute))
}

fn of_24_hours(clock: &str) -> Option<Clock> {
    let [hour, minute] = hour_and_minute(clock)?;
    (hour < 24 && minute < 60).then(|| Clock::at(hour, minute))
}

/// `18:00`, or `18.00` with both digits of the minutes.
fn hour_and_minute(clock: &str) -> Option<[i16; 2]> {
    let two_digits = |clock: &&str| clock.rsplit_once('.').is_some_and(|(_, minutes)| minutes.len() == 2);
    numbers(clock, ':', [2, 2]).or_else(|| numbers(Some(clock).filter(two_digits)?, '.', [2, 2]))
}

impl fmt::Display for Clock {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let minutes = (self.0 / 60.0).round() as i64 % (24 * 60);
        write!(f, "{:02}:{:02}", minutes / 60, minutes % 60)
    }
}

/// The day from which times are counted.
const EPOCH: Date = civil::date(1970, 1, 1);

/// The day of a time, s after 1970-01-01 00:00.
pub fn date_of(time_s: f64) -> Date {
    EPOCH.saturating_add(SignedDuration::from_secs(((time_s / DAY_S).floor() * DAY_S) as i64))
}

/// The midnight that begins a day, s after 1970-01-01 00:00.
pub fn start_s(date: Date) -> f64 {
    date.duration_since(EPOCH).as_secs_f64()
}

/// A day by its year, month and number, if there is one.
pub fn date([year, month, day]: [i16; 3]) -> Option<Date> {
    Date::new(year, month.try_into().ok()?, day.try_into().ok()?).ok()
}

/// Reads `2026-11-25`, if there is such a day.
pub fn read_date(text: &str) -> Option<Date> {
    numbers(text, '-', [4, 2, 2]).filter(|_| text.trim().find('-') == Some(4)).and_then(date)
}

/// Words beside a time of day that do not change it.
const BESIDE_A_CLOCK: [&str; 16] = [
    "monday",
    "tuesday",
    "wednesday",
    "thursday",
    "friday",
    "saturday",
    "sunday",
    "today",
    "tomorrow",
    "at",
    "on",
    "in",
    "the",
    "this",
    "start",
    "starting",
];
/// Parts of a day, and how many hours later than it says a clock of twelve hours is in them.
const PARTS_OF_DAY: [(&str, i16); 5] =
    [("morning", 0), ("afternoon", 12), ("evening", 12), ("night", 12), ("tonight", 12)];

/// Which day a cook means: `01-15`, or `1986-01-15` where a file holds several years.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Day {
    has_year: bool,
    date: Date,
}

impl Day {
    /// Reads it.
    pub fn read(text: &str) -> Result<Self, String> {
        // 2000 had a 29 February
        let of_any_year = || numbers(text, '-', [2, 2]).and_then(|[month, day]| date([2000, month, day]));
        let of_year = numbers(text, '-', [4, 2, 2]).and_then(date);
        let day = of_year.or_else(of_any_year).map(|date| Self { has_year: of_year.is_some(), date });
        day.ok_or_else(|| "write month and day, such as 01-15, or 1986-01-15".to_string())
    }

    /// Whether it is this date.
    pub fn is(self, date: Date) -> bool {
        let (year, own) = (date.year(), self.date);
        (!self.has_year || own.year() == year) && (own.month(), own.day()) == (date.month(), date.day())
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.has_year { self.date.fmt(f) } else { f.write_str(&day_of_year(self.date)) }
    }
}

/// A day as any year has it: `01-15`.
pub fn day_of_year(date: Date) -> String {
    format!("{:02}-{:02}", date.month(), date.day())
}

/// Reads `2026-01-15 18:00`, with `T` for the blank, seconds if they are given, and 24:00 for the midnight that ends a
/// day; s after 1970-01-01 00:00.
pub fn read_stamp(text: &str) -> Result<f64, &'static str> {
    let wrong = "not a time such as 2026-01-15 18:00";
    let (day, time) = text.split_once(['T', ' ']).ok_or(wrong)?;
    if time.ends_with(['Z', 'z']) || time.contains(['+', '-']) {
        return Err("a time with a zone; write local standard time without one");
    }
    let day = date(numbers(day, '-', [4, 2, 2]).ok_or(wrong)?).ok_or("no such day")?;
    let time =
        numbers(time, ':', [2, 2, 2]).or_else(|| numbers(time, ':', [2, 2]).map(|[hour, minute]| [hour, minute, 0]));
    let [hour, minute, second] = time.ok_or(wrong)?.map(f64::from);
    let of_day_s = hour * HOUR_S + minute * 60.0 + second;
    if minute > 59.0 || second > 59.0 || of_day_s > DAY_S {
        return Err("no such time of day");
    }
    Ok(start_s(day) + of_day_s)
}

/// Whole numbers with a sign between them, each of at most so many digits.
fn numbers<const N: usize>(text: &str, between: char, digits: [usize; N]) -> Option<[i16; N]> {
    let parts: [&str; N] = text.trim().split(between).collect::<Vec<_>>().try_into().ok()?;
    let plain = |part: &str, digits| part.len() <= digits && part.bytes().all(|b| b.is_ascii_digit());
    let read = parts.iter().zip(digits).map(|(part, digits)| part.parse().ok().filter(|_| plain(part, digits)));
    read.collect::<Option<Vec<i16>>>()?.try_into().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_and_seconds_are_exact_inverses() {
        // 2000-03-01 was day 11 017 after 1970-01-01; 1970 to 2100 holds leap years and 2100, which is none
        assert_eq!(start_s(civil::date(2000, 3, 1)), 11_017.0 * DAY_S);
        let mut before = date_of(-DAY_S);
        for day in 0..47_600 {
            let date = date_of(f64::from(day) * DAY_S);
            assert_eq!(start_s(date), f64::from(day) * DAY_S);
            assert!(date > before && (1..=31).contains(&date.day()));
            before = date;
        }
        assert_eq!([[2023, 2, 29], [2100, 2, 29], [2024, 13, 1]].map(date), [None; 3]);
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
        for bad in ["24:00", "18", "13 pm", "18:60", "-1:00", "7.5", "0 am", "7.5 pm", ""] {
            assert!(Clock::read(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn a_time_of_day_is_read_as_people_write_it() {
        for (text, wanted) in [
            ("6 pm", "18:00"),
            ("8pm", "20:00"),
            ("7.30pm", "19:30"),
            ("7.30 PM", "19:30"),
            ("19.30", "19:30"),
            ("7:05 a.m.", "07:05"),
            ("12 am", "00:00"),
            ("12:15 pm", "12:15"),
            ("noon", "12:00"),
            ("7:00", "07:00"),
            ("tonight at 6", "18:00"),
            ("at 6 tonight", "18:00"),
            ("tonight, 21:30", "21:30"),
            ("start tomorrow 8:00", "08:00"),
            ("starting this evening at 9", "21:00"),
            ("8 in the morning", "08:00"),
            ("tonight at 12", "00:00"),
            ("2 at night", "02:00"),
            ("Saturday at 7 pm", "19:00"),
        ] {
            assert_eq!(Clock::read(text).map(|clock| clock.to_string()), Ok(wanted.to_string()), "{text}");
        }
    }

    #[test]
    fn a_day_may_leave_the_year_open() {
        let date = civil::date(1986, 1, 15);
        assert!(Day::read("01-15").unwrap().is(date) && Day::read("1986-01-15").unwrap().is(date));
        assert!(!Day::read("1987-01-15").unwrap().is(date));
        assert!(Day::read("02-30").is_err() && Day::read("15 January").is_err());
    }
}
