//! The time of a reading as people write it: `18:30`, `6 PM`, `2026-01-15 18:30`, `1/15/2026 6:30 PM`, `15.1.2026 18:30`,
//! `after 7 h`, `2 h after pump start`.

use icefront_core::units::{DateOrder, Duration};

use crate::weather::clock::{Clock, HOUR_S, date, read_stamp, start_s};

/// What a time counts from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum When {
    /// Time of day, s after midnight.
    OfDay(f64),
    /// Day and time, s after 1970-01-01 00:00.
    Stamp(f64),
    /// From the start of the run, s.
    SinceStart(f64),
    /// From the start of the pump, s.
    SincePump(f64),
}

/// How times may be written.
pub const HELP: &str =
    "such as 18:30, 6:30 PM, 2026-01-15 18:30, 1/15/2026 6:30 PM, after 7 h, or 2 h after pump start";

impl When {
    /// Reads a time.
    ///
    /// # Errors
    /// What cannot be understood, to be shown beside the text.
    pub fn read(text: &str, dates: Option<DateOrder>) -> Result<Self, String> {
        let text = text.trim().to_lowercase();
        if let Some(since) = since(&text) {
            return since;
        }
        if let Ok(Clock(of_day_s)) = Clock::read(&text) {
            return Ok(Self::OfDay(of_day_s));
        }
        let Some((day, time)) = text.split_once([' ', 't']).map(|(day, time)| (day, time.trim())) else {
            return Err("not a time".into());
        };
        let day = day.trim_end_matches(',');
        if day.contains('-') && !time.ends_with("am") && !time.ends_with("pm") {
            return read_stamp(&text.replacen(' ', "T", 1).to_uppercase()).map(Self::Stamp).map_err(String::from);
        }
        let Clock(of_day_s) = Clock::read(time)?;
        Ok(Self::Stamp(start_s(day_of(day, time.ends_with('m'), dates)?) + of_day_s))
    }
}

/// `after 7 h`, `7 h`, `2 h after pump start`; `None` where the text is no such time.
fn since(text: &str) -> Option<Result<When, String>> {
    let (rest, pump) = match text.split_once("after") {
        Some((before, after)) if after.contains("pump") => (before.trim(), true),
        Some((before, after)) if before.trim().is_empty() => (after.trim(), false),
        // "7 h after the start", "7 h after freezing began"
        Some((before, _)) => (before.trim(), false),
        None => (text, false),
    };
    let duration = rest.parse::<Duration>().ok()?;
    let s = duration.seconds();
    let far = "not between 0 and 400 h";
    Some(if !(0.0..=400.0 * HOUR_S).contains(&s) {
        Err(far.into())
    } else if pump {
        Ok(When::SincePump(s))
    } else {
        Ok(When::SinceStart(s))
    })
}

/// A day: `2026-01-15`, `15.1.2026`, and `1/15/2026` where month and day cannot be taken for each other, it is known which
/// comes first, or the clock is a 12-hour one.
fn day_of(text: &str, twelve_hours: bool, dates: Option<DateOrder>) -> Result<crate::weather::clock::Date, String> {
    let numbers = |sign: char| -> Option<[i16; 3]> {
        let parts: Option<Vec<i16>> = text.split(sign).map(|part| part.parse().ok()).collect();
        parts?.try_into().ok()
    };
    let none = || "no such day".to_string();
    if let Some([year, month, day]) = numbers('-') {
        return date([year, month, day]).ok_or_else(none);
    }
    if let Some([day, month, year]) = numbers('.') {
        return date([year, month, day]).ok_or_else(none);
    }
    let Some([first, second, year]) = numbers('/') else { return Err("not a day such as 2026-01-15".into()) };
    match (first, second, dates) {
        (13.., 1..=12, _) => date([year, second, first]).ok_or_else(none),
        (1..=12, 13.., _) => date([year, first, second]).ok_or_else(none),
        (day, month, Some(DateOrder::DayFirst)) => date([year, month, day]).ok_or_else(none),
        (month, day, Some(DateOrder::MonthFirst)) => date([year, month, day]).ok_or_else(none),
        (a, b, None) if a == b || twelve_hours => date([year, a, b]).ok_or_else(none),
        _ => Err(format!("day or month first? write {year}-{first:02}-{second:02} or {year}-{second:02}-{first:02}")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_read_as_people_write_them() {
        let h = HOUR_S;
        for (text, wanted) in [
            ("18:30", When::OfDay(18.5 * h)),
            ("6:30 PM", When::OfDay(18.5 * h)),
            ("6 pm", When::OfDay(18.0 * h)),
            ("7.30pm", When::OfDay(19.5 * h)),
            ("12 am", When::OfDay(0.0)),
            ("12:15 p.m.", When::OfDay(12.25 * h)),
            ("noon", When::OfDay(12.0 * h)),
            ("after 7 h", When::SinceStart(7.0 * h)),
            ("7 h 30 min", When::SinceStart(7.5 * h)),
            ("7 h after the start", When::SinceStart(7.0 * h)),
            ("2 h after pump start", When::SincePump(2.0 * h)),
        ] {
            assert_eq!(When::read(text, None), Ok(wanted), "{text}");
        }
        let stamp = read_stamp("2026-01-15 18:30").unwrap();
        for text in [
            "2026-01-15 18:30",
            "2026-01-15T18:30",
            "1/15/2026 6:30 PM",
            "15/1/2026 18:30",
            "15.1.2026 18:30",
            "2026-01-15 6:30 pm",
        ] {
            assert_eq!(When::read(text, None), Ok(When::Stamp(stamp)), "{text}");
        }
    }

    #[test]
    fn what_could_be_two_days_is_not_guessed() {
        let [april, march] = DateOrder::ALL.map(|order| When::read("3/4/2026 18:30", Some(order)));
        assert_eq!(april, When::read("2026-04-03 18:30", None));
        assert_eq!(march, When::read("2026-03-04 18:30", None));
        assert_eq!(When::read("15/1/2026 18:30", Some(DateOrder::MonthFirst)), When::read("2026-01-15 18:30", None));
        assert!(When::read("3/4/2026 18:30", None).unwrap_err().contains("2026-03-04 or 2026-04-03"));
        for text in ["", "soon", "25:00", "13 pm", "2026-02-30 10:00", "after 900 h", "6:70 pm", "2026-01-15 18:30Z"] {
            assert!(When::read(text, None).is_err(), "{text}");
        }
    }
}
