//! How right the model is: the evidence, and references written apart from the solver. Not published; nothing published
//! depends on it.
//!
//! [`evidence`] predicts what was published and writes the table that `icefront evidence` shows.
//! [`resolved`] computes one layer with profiles in depth, as a reference for the sharp fronts of the batch.

pub mod evidence;
pub mod resolved;
