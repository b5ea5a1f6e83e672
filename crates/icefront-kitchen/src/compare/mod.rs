//! Sheets and variations of them side by side, on common draws.

pub mod answer;
pub mod apart;
pub mod chart;
pub mod loads;
pub mod tables;
pub mod text;
pub mod words;

pub use answer::{Comparison, comparison};
pub use chart::chart;
pub use loads::{AgainstFirst, Answer, Named, Question, loads};
pub use text::text;
