//! Why it takes so long, told to people (`text`), to programs (`json`), and in one picture (`chart`).

mod chart;
mod json;
mod text;
mod words;

pub use chart::chart;
pub use json::json;
pub use text::text;
