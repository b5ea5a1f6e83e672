//! Freezing: exact solutions, the methods of Plank and Pham, worked examples and measured times.

mod cooling;
mod exact;
mod times;

pub use exact::{cases as exact_cases, predict as exact};
pub use times::{cases as time_cases, predict as time};
