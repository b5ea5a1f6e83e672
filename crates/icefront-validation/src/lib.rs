//! How right the model is: the evidence, and references written apart from the solver. Not published; nothing published
//! depends on it.
//!
//! [`evidence`] predicts what was published and writes the table that `icefront evidence` shows.
//! [`ideal`] is the ideal layer of the textbooks: a sharp front under fixed conditions, nothing stored.
//! [`resolved`] computes one layer with profiles in depth, as a reference for the sharp fronts of the batch.
//! [`brick`] freezes and dries bricks in three dimensions, as a reference for the one dimension of the batch.
//! [`cabinet`] integrates drying of a whole stack anew; [`comparison`] compares the batch solver with it.

pub mod brick;
pub mod cabinet;
pub mod comparison;
pub mod comparison_table;
pub mod evidence;
pub mod ideal;
pub mod ode;
pub mod resolved;
