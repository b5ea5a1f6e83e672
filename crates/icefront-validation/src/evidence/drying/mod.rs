//! Published drying runs, computed by the same [`plan`](icefront_core::plan) as any batch.

mod cloud;
mod course;
mod curves;
mod inputs;
mod log;
mod ranges;
mod ratios;
mod worked;

pub use cloud::Clouds;
pub use curves::{cases as curve_cases, predict as curve};
pub use ranges::{cases as range_cases, predict as range};
pub use ratios::{cases as ratio_cases, predict as ratio};
pub use worked::{cases as worked_cases, predict as worked};
