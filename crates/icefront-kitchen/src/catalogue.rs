//! What can be chosen from: the foods of the table and the built-in dryers, as data.

use icefront_core::food::FoodEntry;
use serde::Serialize;

use crate::Failure;
use crate::sheet::dryer;

/// The answer of `icefront foods`.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Foods<'a> {
    /// What the words could mean, the best first; the whole table without words.
    pub foods: &'a [&'a FoodEntry],
}

/// The answer of `icefront dryers`.
#[derive(Clone, Debug, Serialize)]
pub struct Dryers {
    /// By shelf area; all are invented.
    pub dryers: Vec<Dryer>,
}

/// A built-in dryer.
#[derive(Clone, Debug, Serialize)]
pub struct Dryer {
    /// Its name in load sheets.
    pub name: String,
    /// What its file says about it.
    pub note: String,
    /// All shelves together.
    pub shelf_area_m2: f64,
    /// Number of shelves.
    pub shelves: usize,
    /// From shelf to shelf.
    pub clear_height_m: f64,
    /// What the shelves are heated to.
    pub set_point_k: f64,
    /// Surface of the condenser.
    pub condenser_area_m2: f64,
}

/// The built-in dryers.
///
/// # Errors
/// [`Failure`] if an embedded file is damaged.
pub fn dryers() -> Result<Dryers, Failure> {
    let of = |text| -> Result<Dryer, Failure> {
        let cabinet = dryer::read(&text)?;
        Ok(Dryer {
            name: cabinet.name,
            note: cabinet.note,
            shelf_area_m2: cabinet.shelf_area_m2,
            shelves: cabinet.shelves,
            clear_height_m: cabinet.clear_height_m,
            set_point_k: cabinet.heater.set_point.warmest_k(),
            condenser_area_m2: cabinet.condenser.area_m2,
        })
    };
    let texts = dryer::BUILT_IN.iter().filter_map(|(name, _)| dryer::built_in(name));
    Ok(Dryers { dryers: texts.map(of).collect::<Result<_, _>>()? })
}
