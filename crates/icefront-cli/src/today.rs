//! Days: the one place that looks at the computer's clock, and days as the user writes them.

use icefront_kitchen::weather::clock::{Date, read_date};

/// Today's date where the computer is: its own time zone, or the one that the variable `TZ` names.
pub fn today() -> Date {
    jiff::ZonedDateTime::now().date()
}

/// A day as the user writes it.
pub fn day(text: &str) -> Result<Date, String> {
    read_date(text).ok_or_else(|| "write the day as 2026-11-25".to_string())
}
