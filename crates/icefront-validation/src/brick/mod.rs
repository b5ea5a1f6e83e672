//! Bricks that freeze and dry in three dimensions: the reference for what the core computes with one.
//!
//! [`exact`] gives the time at which a front reaches the middle, [`drying`] the course of it, [`freezing`] the freezing of a
//! food with all that it stores. [`table`] is what `cargo run --release -p icefront-validation -- bricks` writes to
//! `data/bricks`.

pub mod drying;
pub mod exact;
pub mod freezing;
pub mod octant;
pub mod table;
