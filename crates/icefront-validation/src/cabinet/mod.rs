//! The independent cabinet: primary and secondary drying of a whole stack, written apart from the batch solver.
//!
//! # What it is for
//! A reference for `icefront_core`'s batch solver. It states the same equations (`docs/model.md`, sections 6 to 9) anew,
//! with its own state, right-hand side and integration in time, so that an error in assembling, linearising or stepping
//! the one does not repeat in the other. Shared with the core are properties only: water and ice, the food's freezing
//! curve and matrix, size numbers of pieces, coefficients of a single gap, the compressor's formula, the dryer's data.
//!
//! # Main equations
//! `A1` to `A6` in [`balance`], `R1` to `R6` in [`rates`], `G` in [`geometry`], heat paths in [`stack`], both heat
//! exchangers of the refrigeration in [`refrigeration`].
//!
//! # How it differs from the batch solver
//! | | batch | here |
//! | --- | --- | --- |
//! | time | implicit Euler, extrapolated, steps to 40 min | Dormand and Prince 5(4), steps of seconds to minutes |
//! | coefficients, permeability | of the start of a step | of the moment |
//! | sublimation | quadratic over a step, capped by the ice left | of the moment; last ice bracketed |
//! | desorption | linear in temperature within a step | of the moment |
//! | heat of the outer half of the dried part | exchanged at the surface | exchanged at the front (`balance`) |
//! | refrigeration | table of 2 K in evaporating temperature, read at 1 K | 0.1 K |
//! | pressure limit of the heaters | damped by long steps | as it is: it hunts |
//!
//! # Start
//! The end of evacuation as the batch found it: the first sample of primary drying in its history holds temperatures of
//! food, shelves and coil. The shelf above the last tray, which the history does not hold, starts as warm as the one
//! below it, as in the batch.
//!
//! # Assumptions and limits
//! Cabinets only; trays with layers, pieces and beds, lined or not, with even or uneven contact. Embedded pieces, cut
//! layers, end criteria other than the wettest spot, and prescribed conditions are refused. Freezing, evacuation and
//! defrost are not computed. Shelf programmes that begin below about 10 degC end in an error: fronts then begin and cease to
//! sublime, and the explicit method does not get past such a corner.
//!
//! # References
//! Method: Hairer, Norsett and Wanner 1993, Solving Ordinary Differential Equations I, 2nd ed., section II.4.

pub mod balance;
pub mod geometry;
pub mod integrate;
pub mod rates;
pub mod refrigeration;
mod root;
mod run;
pub mod stack;
pub mod state;

pub use run::{Accuracy, Outcome, Pressures, TrayOutcome, dry};

/// Why the reference gives no answer.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CabinetError {
    /// Something in the load that the reference does not cover.
    #[error("the independent cabinet does not cover {what}")]
    Unsupported {
        /// What.
        what: &'static str,
    },
    /// The batch result does not hold the start of drying.
    #[error("the batch result has no sample at the start of primary drying with {trays} trays")]
    NoStart {
        /// Trays of the load.
        trays: usize,
    },
    /// The algebraic balances did not settle.
    #[error("temperatures and pressure were not found, {at_s} s after the start of drying")]
    NotSettled {
        /// Time from the start of drying, s.
        at_s: f64,
    },
    /// The integrator gave up.
    #[error("the integrator gave up, {at_s} s into a span")]
    NotIntegrated {
        /// Time from the start of the span, s.
        at_s: f64,
    },
    /// The load was not dry after the longest time.
    #[error("not dry after {limit_s} s of drying")]
    TooLong {
        /// That time, s.
        limit_s: f64,
    },
}
