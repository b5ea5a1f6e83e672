//! Why a batch takes so long: one tray looked at closely, everything that could be better tried, and its food thin and
//! thick, lean and fatty.

pub mod answer;
pub mod chart;
pub mod reasons;
pub mod text;
pub mod words;

pub use answer::{Explanation, explanation};
pub use chart::chart;
pub use reasons::{Answer, Beside, Changed, Side, explain};
pub use text::text;
