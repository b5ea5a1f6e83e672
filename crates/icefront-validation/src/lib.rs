//! How right the model is: the evidence, and references written apart from the solver. Not published; nothing published
//! depends on it.
//!
//! [`evidence`] predicts what was published and writes the table that `icefront evidence` shows.

pub mod evidence;
