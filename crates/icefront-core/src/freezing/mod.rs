//! Freezing: one-dimensional enthalpy balance in the shape's own coordinate.
//!
//! [`mod@column`] holds the rows of one tray; [`surface`] the heat transfer to air, [`sky`] what is above; [`before`] runs
//! a tray that is set out in a freezer or outdoors; [`cooling`] times how fast it cooled. Freezing in the cabinet couples
//! all trays and is in [`crate::batch`].

pub mod before;
pub mod column;
pub mod cooling;
pub mod sky;
pub mod surface;
