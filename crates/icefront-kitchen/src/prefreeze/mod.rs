//! Three ways to get a load frozen, side by side: outdoors, in a freezer, in the machine. Each is followed tray by tray
//! and then planned to its end.

pub mod advice;
pub mod advice_text;
pub mod answer;
pub mod cautions;
pub mod chart;
pub mod course;
pub mod limits;
pub mod night_csv;
pub mod table;
pub mod text;
pub mod way;
pub mod ways;
pub mod words;

pub use advice::{Advice, Reason};
pub use advice_text::advice;
pub use answer::prefreezing;
pub use chart::chart;
pub use course::Course;
pub use night_csv::night_csv;
pub use text::text;
pub use way::{FREEZER_HEAT_PER_WORK, Place, Way};
pub use ways::{Answer, FROZEN_ENOUGH, Question, Unfit};
