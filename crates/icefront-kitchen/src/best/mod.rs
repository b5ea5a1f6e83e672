//! A better arrangement of a load, and what it is worth against the sheet's own.

pub mod answer;
pub mod search;
pub mod text;

pub use answer::arrangement;
pub use search::{Aim, Answer, Drawn, Shelves, find, suits};
pub use text::text;
