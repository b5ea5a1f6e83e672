//! The mildest change after which a load goes well, found by running samples of it again.
//!
//! # Assumptions and limits
//! A change counts if the samples go well after it ([`Samples::go_well`]): a few of them, so that what is offered is likely,
//! not certain, to hold. The order is that of a cook: what changes the food first, the machine's setting next.

use crate::error::ModelError;
use crate::load::{Freezing, Load, Tray};
use crate::machine::Dryer;
use crate::shape::{LEAST_HEIGHT_M, PieceForm, Shape};

use super::limits::fullest;
use super::samples::Samples;
use super::trouble::Trouble;

/// A change of a load.
#[derive(Clone, Debug, PartialEq)]
pub enum Remedy {
    /// These trays are loaded hard frozen.
    Frozen {
        /// Their places.
        places: Vec<usize>,
    },
    /// On these trays layers are so much less deep, and pieces cut so much smaller.
    Thinner {
        /// Their places.
        places: Vec<usize>,
        /// Of depth or size.
        share: f64,
    },
    /// The shelves are kept so much colder.
    Colder {
        /// By how much, K.
        by_k: f64,
    },
    /// Both of these at once.
    ThinnerAndColder {
        /// Places of the thinner trays.
        places: Vec<usize>,
        /// Of depth or size.
        share: f64,
        /// By how much the shelves are colder, K.
        by_k: f64,
    },
    /// Every tray holds so much less.
    Less {
        /// Of all food.
        share: f64,
    },
    /// These trays are left out.
    Without {
        /// Their places.
        places: Vec<usize>,
    },
}

/// Trays are tried so much thinner.
const SMALLER: [f64; 2] = [0.75, 0.5];
/// Less food on every tray is offered in portions that can be judged by eye. A load smaller than the last is no help, but
/// another load; less than [`MUCH_LESS`] is offered only where nothing else helps.
const PORTIONS: [f64; 7] = [0.9, 0.75, 2.0 / 3.0, MUCH_LESS, 1.0 / 3.0, 0.25, 1.0 / 6.0];
const MUCH_LESS: f64 = 0.5;
/// Shelves are tried so much colder, K.
const COLDER_K: [f64; 4] = [10.0, 20.0, 30.0, 40.0];
/// No cook's machine keeps its shelves colder while it dries, K (`common practice, no source`).
const COLDEST_K: f64 = 273.15;
/// A household freezer, K: -18 degC is its usual rating.
const FREEZER_K: f64 = 255.15;

impl Remedy {
    /// The load after the change; `None` where it cannot be made.
    pub fn of(&self, load: &Load) -> Option<Load> {
        let mut load = load.clone();
        match self {
            Self::Frozen { places } => {
                for place in places {
                    let tray = load.trays.get_mut(*place)?;
                    if let Freezing::Frozen { .. } = tray.freezing {
                        return None;
                    }
                    tray.freezing = Freezing::Frozen { loaded_k: FREEZER_K };
                }
            }
            Self::Thinner { places, share } => {
                for place in places {
                    let shape = &mut load.trays.get_mut(*place)?.shape;
                    *shape = thinner(shape, *share)?;
                }
            }
            Self::Colder { by_k } => {
                let Dryer::Cabinet(cabinet) = &mut load.dryer else { return None };
                cabinet.heater.set_point.lower(*by_k);
                if cabinet.heater.set_point.warmest_k() < COLDEST_K {
                    return None;
                }
            }
            Self::ThinnerAndColder { places, share, by_k } => {
                let thinner = Self::Thinner { places: places.clone(), share: *share };
                return Self::Colder { by_k: *by_k }.of(&thinner.of(&load)?);
            }
            Self::Less { share } => load.trays.iter_mut().for_each(|tray| tray.shape = tray.shape.filled(*share)),
            Self::Without { places } => {
                let rest = load.trays.iter().enumerate().filter(|(place, _)| !places.contains(place));
                let rest: Vec<Tray> = rest.map(|(_, tray)| tray.clone()).collect();
                if rest.is_empty() || rest.len() == load.trays.len() {
                    return None;
                }
                load.trays = rest;
            }
        }
        Some(load)
    }
}

/// A layer less deep, pieces cut smaller; whole fruit stays whole, and lies less deep.
fn thinner(shape: &Shape, share: f64) -> Option<Shape> {
    let thin = match shape {
        Shape::Layer { .. } | Shape::Pieces { form: PieceForm::Sphere { .. }, .. } => shape.filled(share),
        Shape::Pieces { .. } => shape.cut(share),
    };
    (thin.height_m() > 2.0 * LEAST_HEIGHT_M).then_some(thin)
}

/// The first change after which the load goes well: the trays at fault frozen first where they freeze too slowly, or made
/// thinner, all shelves colder, up to half of everything less, the worst tray left out, trays thinner and shelves colder at once,
/// all at fault or half of the trays left out, still less of everything.
///
/// # Errors
/// [`ModelError`] as the model gives it.
pub fn remedy(samples: &Samples, at_fault: &[usize], trouble: Trouble) -> Result<Option<Remedy>, ModelError> {
    let first = |changes: &mut dyn Iterator<Item = Remedy>| {
        for change in changes {
            if samples.go_well(|load| change.of(load))? {
                return Ok(Some(change));
            }
        }
        Ok(None)
    };
    let places = || at_fault.to_vec();
    let frozen = (trouble == Trouble::NotFrozen).then(|| Remedy::Frozen { places: places() });
    let own = frozen
        .into_iter()
        .chain(SMALLER.map(|share| Remedy::Thinner { places: places(), share }))
        .filter(|_| !at_fault.is_empty());
    let all = COLDER_K.map(|by_k| Remedy::Colder { by_k }).into_iter();
    if let Some(change) = first(&mut own.chain(all))? {
        return Ok(Some(change));
    }
    let fullest = fullest(samples, false)?.share;
    let less = PORTIONS.into_iter().find(|portion| *portion <= fullest).map(|share| Remedy::Less { share });
    if fullest >= MUCH_LESS {
        return Ok(less);
    }
    let everywhere: Vec<usize> = (0..samples.loads.first().map_or(0, |load| load.trays.len())).collect();
    let both = |places: &[usize]| {
        let ([.., share], places) = (SMALLER, places.to_vec());
        COLDER_K.map(|by_k| Remedy::ThinnerAndColder { places: places.clone(), share, by_k })
    };
    // those at fault go first, the worst before the others
    let others = everywhere.iter().filter(|place| !at_fault.contains(place));
    let order: Vec<usize> = at_fault.iter().chain(others).copied().collect();
    let without = |count: usize| order.get(..count).map(|places| Remedy::Without { places: places.to_vec() });
    let mut several = vec![at_fault.len(), order.len() / 2];
    several.retain(|count| *count > 1);
    several.sort_unstable();
    several.dedup();
    let mut more = (without(1).into_iter())
        .chain(Some(both(at_fault)).filter(|_| !at_fault.is_empty()).into_iter().flatten())
        .chain(Some(both(&everywhere)).filter(|_| at_fault.len() < everywhere.len()).into_iter().flatten())
        .chain(several.into_iter().filter_map(without));
    first(&mut more).map(|change| change.or(less))
}
