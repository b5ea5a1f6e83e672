//! The answer of `icefront best`, as data.

use icefront_core::decide::compare::{Quantity, Variant};
use icefront_core::decide::grade::Grade;
use icefront_core::machine::SetPointAt;
use icefront_core::ranges::Quantiles;
use serde::Serialize;

use crate::best::search::{Against, Aim, Answer, Drawn};
use crate::best::text::loaded_kg;
use crate::compare::words::per_kwh;

/// A better arrangement.
#[derive(Clone, Debug, Serialize)]
pub struct Arrangement<'a> {
    /// `hours`, `cost-per-kg` or `ready-by`.
    pub goal: &'static str,
    /// Time until the food must be ready; only with `ready-by`.
    pub ready_within_s: Option<f64>,
    /// Trays from the bottom.
    pub trays: Vec<Place<'a>>,
    /// The sheet's own load.
    pub as_given: Yield,
    /// The arranged load.
    pub arranged: Yield,
    /// What to heat the shelves to.
    pub shelves: Option<ShelvesOf>,
    /// Ratios of the arranged load to the sheet's own over the samples, and what they say.
    pub against_given: &'a Against,
}

/// One place in the dryer.
#[derive(Clone, Debug, Serialize)]
pub struct Place<'a> {
    /// Number of the tray in the sheet.
    pub sheet_tray: usize,
    /// Its name.
    pub tray: &'a str,
    /// Food on it.
    pub food: &'a str,
    /// Food on it, over the sheet's.
    pub fill: f64,
    /// Size of its pieces, over the sheet's.
    pub cut: f64,
    /// Height of the food.
    pub height_m: f64,
    /// Food on it.
    pub food_kg: f64,
}

/// What a load gives and takes.
#[derive(Clone, Debug, Serialize)]
pub struct Yield {
    /// Until the food can be taken out; `null`: never.
    pub food_ready_s: Quantiles,
    /// Electricity.
    pub energy_j: Quantiles,
    /// Dried food.
    pub dried_kg: Quantiles,
    /// Dried food per electricity.
    pub dried_kg_per_kwh: Quantiles,
    /// Chance of any grave trouble, 0 to 1.
    pub grave_chance: f64,
}

/// The answer as data.
pub fn arrangement(aim: Aim, answer: &Answer) -> Arrangement<'_> {
    Arrangement {
        goal: match aim {
            Aim::Hours => "hours",
            Aim::CostPerKg => "cost-per-kg",
            Aim::ReadyBy { .. } => "ready-by",
        },
        ready_within_s: answer.limit_s,
        trays: answer
            .rows()
            .map(|(number, given, found)| Place {
                sheet_tray: number + 1,
                tray: &given.name,
                food: &given.food,
                fill: answer.arranged.fill[number],
                cut: answer.arranged.cut[number],
                height_m: found.shape.height_m(),
                food_kg: loaded_kg(found),
            })
            .collect(),
        as_given: Yield::of(&answer.given),
        arranged: Yield::of(&answer.found),
        shelves: answer.shelves.as_ref().map(|shelves| ShelvesOf {
            as_given: ShelfSetting::of(&shelves.given),
            gentlest: ShelfSetting::of(&shelves.gentlest),
            fastest: ShelfSetting::of(&shelves.fastest),
        }),
        against_given: &answer.difference,
    }
}

/// Settings of the shelves.
#[derive(Clone, Debug, Serialize)]
pub struct ShelvesOf {
    /// As the load has it.
    pub as_given: ShelfSetting,
    /// The coldest ice fronts.
    pub gentlest: ShelfSetting,
    /// Ready soonest of all in which no tray comes out worse than in the gentlest.
    pub fastest: ShelfSetting,
}

/// One setting of the shelves.
#[derive(Clone, Debug, Serialize)]
pub struct ShelfSetting {
    /// Its points; the temperature is linear between them.
    pub programme: Vec<SetPointAt>,
    /// Until the food can be taken out; `null`: never.
    pub food_ready_s: Quantiles,
    /// How each tray comes out with typical numbers, from the bottom.
    pub grades: Vec<Grade>,
}

impl ShelfSetting {
    fn of(drawn: &Drawn) -> Self {
        Self {
            programme: drawn.setting.set_point.points().to_vec(),
            food_ready_s: drawn.variant.quantiles(Quantity::ReadyS),
            grades: drawn.setting.grades.clone(),
        }
    }
}

impl Yield {
    fn of(variant: &Variant) -> Self {
        Self {
            food_ready_s: variant.quantiles(Quantity::ReadyS),
            energy_j: variant.quantiles(Quantity::EnergyJ),
            dried_kg: variant.quantiles(Quantity::DriedKg),
            dried_kg_per_kwh: variant.quantiles(Quantity::DriedKgPerJ).map(per_kwh),
            grave_chance: variant.grave_chance(),
        }
    }
}
