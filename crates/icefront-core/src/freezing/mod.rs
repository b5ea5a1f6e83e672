//! Freezing: one-dimensional enthalpy balance in the shape's own coordinate.
//!
//! [`column`] holds the rows of one tray; [`surface`] the heat transfer to air; [`before`] runs a tray that is set
//! out in a freezer or outdoors. Freezing in the cabinet couples all trays and is in [`crate::batch`].

pub mod before;
pub mod column;
pub mod surface;
