//! The one place that looks at the computer's clock.

use icefront_kitchen::weather::clock::Date;

/// Today's date where the computer is: its own time zone, or the one that the variable `TZ` names.
pub fn today() -> Date {
    let date = jiff::ZonedDateTime::now().date();
    Date { year: date.year().into(), month: date.month().into(), day: date.day().into() }
}
