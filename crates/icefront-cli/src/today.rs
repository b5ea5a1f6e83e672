//! The one place that looks at the computer's clock.

use icefront_kitchen::weather::clock::Date;

/// Today's date where the computer is: its own time zone, or the one that the variable `TZ` names.
pub fn today() -> Date {
    jiff::ZonedDateTime::now().date()
}
