//! A better arrangement of a load, and what it is worth against the sheet's own.

pub mod json;
pub mod rows;
pub mod search;
pub mod text;

pub use json::json;
pub use search::{Aim, Answer, HELD, find, suits};
pub use text::text;
