//! The pantry: packs put in and taken out, a line each, in a CSV file that a spreadsheet may open and save.
//!
//! ```text
//! file -> table (layout, cells) -> entries -> lots (what is left of each)
//! change: lock -> read and check all -> whole file with the new lines beside it -> rename over it
//! ```
//! `docs/guide/after.md` describes the columns. Lines are only ever added: what is there stays byte for byte.

pub mod cell;
pub mod entry;
pub mod file;
pub mod layout;
pub mod lots;
pub mod moves;
pub mod table;
pub mod text;

pub use entry::{Entry, Put};
pub use file::PantryFile;
pub use lots::{ByFood, Lot, Sum, Take, by_food, left, sums, take_oldest};
pub use moves::{celsius, choose, entries, packs_of_load};
pub use table::read as parse;
