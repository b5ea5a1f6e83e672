//! Do the readings fit the model at all, and if not, what would explain them?
//!
//! # Main equations
//! With the straight line `y = a + B z` near the readings, prior z standard normal and errors of covariance R (tools, model, and
//! what the line leaves over), the readings have covariance `V = B B^T + R` and
//! ```text
//! D^2 = (y - a)^T V^-1 (y - a)                                chi-squared with as many degrees as readings
//! ```
//! D^2 is also the least sum of squared errors and squared unknowns that any run of the model reaches; its chance is a mean over
//! the sizes that the model error may have. A suspect that would move the readings by s per unit explains
//! ```text
//! gain = (s^T V^-1 (y - a))^2 / (1 + s^T V^-1 s)              of D^2, with amount s^T V^-1 (y - a) / (1 + s^T V^-1 s)
//! ```
//!
//! # Assumptions and limits
//! Linear near the readings: a misfit is distinguished from bad luck, one cause from another only where they move readings
//! differently.

use super::{Reading, Updated, chance_of_larger};
use crate::error::ModelError;
use crate::load::{Load, Tray};
use crate::machine::Dryer;
use crate::numerics::linear::{Column, Matrix, Whitener};
use crate::shape::Shape;

/// Chance below which readings are said not to fit.
const TOO_UNLIKELY: f64 = 0.01;
/// A suspect must explain at least this share of the misfit.
const WORTH_NAMING: f64 = 0.25;

/// Something that is not as it was entered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Suspect {
    /// More (or less) food on a tray.
    TrayHeavier {
        /// Position of the tray.
        tray: usize,
    },
    /// Air leaks in.
    AirLeak,
    /// The room is warmer (or colder).
    WarmRoom,
    /// Less (or more) heat reaches the shelves.
    WeakHeaters,
    /// Less (or more) cold is made.
    WeakRefrigeration,
}

/// A suspect with what it explains.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cause {
    /// What.
    pub suspect: Suspect,
    /// Whether it is more than entered (`false`: less).
    pub more: bool,
    /// Share of the misfit it explains, 0 to 1.
    pub explains: f64,
}

/// The test and what explains a failure.
#[derive(Clone, Debug, PartialEq)]
pub struct Misfit {
    /// D^2.
    pub squared: f64,
    /// Number of readings.
    pub readings: usize,
    /// Chance of as large a D^2 if the model, the sheet and the stated errors are right.
    pub chance: f64,
    /// Whether the readings fit.
    pub fits: bool,
    /// Likely causes where they do not, the best first.
    pub causes: Vec<Cause>,
}

/// Tests the readings that were used against the draws.
///
/// # Errors
/// [`ModelError`] where a suspect's run cannot be computed at all for the load as entered.
pub fn misfit(load: &Load, readings: &[Reading], updated: &Updated) -> Result<Misfit, ModelError> {
    let (near, errors) = updated.near.as_ref().ok_or(ModelError::Empty { what: "the list of readings" })?;
    let readings: Vec<Reading> = updated.used.iter().map(|&i| readings[i]).collect();
    let apart = Column::from_iterator(readings.len(), readings.iter().map(|r| r.value)) - &near.level;
    let spread = near.spread();
    let (mut chance, mut squared) = (0.0, 0.0);
    for (weight, covariance) in errors.with(&spread) {
        let whitener = Whitener::of(&covariance).ok_or(ModelError::Empty { what: "the error of a tool" })?;
        let of_size = whitener.squared_length(&apart);
        chance += weight * chance_of_larger(of_size, readings.len());
        squared += weight * of_size;
    }
    let fits = chance >= TOO_UNLIKELY;
    let whitener =
        Whitener::of(&(errors.median() + spread)).ok_or(ModelError::Empty { what: "the error of a tool" })?;
    let causes = if fits { Vec::new() } else { causes(load, &readings, &whitener, &apart, squared)? };
    Ok(Misfit { squared, readings: readings.len(), chance, fits, causes })
}

fn causes(
    load: &Load,
    readings: &[Reading],
    whitener: &Whitener,
    apart: &Column,
    squared: f64,
) -> Result<Vec<Cause>, ModelError> {
    let as_entered = crate::plan(load)?;
    let white = |x: &Column| whitener.whiten(&Matrix::from_column_slice(x.len(), 1, x.as_slice()));
    let Some(apart) = white(apart) else { return Ok(Vec::new()) };
    let mut causes = Vec::new();
    for (suspect, other) in suspects(load) {
        let Ok(result) = crate::plan(&other) else { continue };
        let moved = readings.iter().map(|r| r.predicted(&other, &result) - r.predicted(load, &as_entered));
        let moved = Column::from_iterator(readings.len(), moved);
        let Some(moved) = white(&moved).filter(|m| m.iter().all(|x| x.is_finite())) else { continue };
        let along = moved.dot(&apart);
        let explains = along * along / (1.0 + moved.norm_squared()) / squared;
        if explains >= WORTH_NAMING {
            causes.push(Cause { suspect, more: along > 0.0, explains: explains.min(1.0) });
        }
    }
    causes.sort_by(|a, b| b.explains.total_cmp(&a.explains));
    Ok(causes)
}

/// Loads in which one thing is not as entered.
fn suspects(load: &Load) -> Vec<(Suspect, Load)> {
    let changed = |suspect: Suspect, change: &dyn Fn(&mut Load)| {
        let mut other = load.clone();
        change(&mut other);
        (suspect, other)
    };
    let mut all: Vec<(Suspect, Load)> = (0..load.trays.len())
        .map(|tray| changed(Suspect::TrayHeavier { tray }, &|l| heavier(&mut l.trays[tray])))
        .collect();
    if let Dryer::Cabinet(_) = load.dryer {
        all.push(changed(Suspect::WarmRoom, &|l| l.room_k += 8.0));
        let mut machine = |suspect, change: fn(&mut crate::machine::Cabinet)| {
            all.push(changed(suspect, &|l| {
                if let Dryer::Cabinet(cabinet) = &mut l.dryer {
                    change(cabinet);
                }
            }));
        };
        machine(Suspect::AirLeak, |c| c.vacuum.leak_pa_m3_per_s *= 5.0);
        machine(Suspect::WeakHeaters, |c| c.heater.power_w_per_m2 *= 0.6);
        machine(Suspect::WeakRefrigeration, |c| {
            c.refrigeration.swept_m3_per_s *= 0.7;
            c.refrigeration.wall_conductance_w_per_k *= 0.7;
        });
    }
    all
}

/// A fifth more food: a deeper layer, or more in the same pieces.
fn heavier(tray: &mut Tray) {
    const MORE: f64 = 1.2;
    match &mut tray.shape {
        Shape::Layer { depth_m } => *depth_m *= MORE,
        Shape::Pieces { .. } => tray.model.density_kg_per_m3 *= MORE,
    }
}
