//! Sheets and variations of them side by side, on common draws.

pub mod apart;
pub mod chart;
pub mod json;
pub mod loads;
pub mod tables;
pub mod text;
pub mod words;

pub use chart::chart;
pub use json::json;
pub use loads::{Answer, HELD, Named, Question, loads};
pub use text::text;
