//! What can be wrong with a food, as data.

use thiserror::Error;

use crate::constants::ZERO_CELSIUS_K;

/// A food that cannot be used, or cannot be found.
#[derive(Clone, Debug, PartialEq, Error)]
#[non_exhaustive]
pub enum FoodError {
    /// A mass fraction outside 0 to 1, or not a number.
    #[error("{which} is {value}, outside 0 to 1")]
    Fraction {
        /// Which fraction.
        which: &'static str,
        /// Its value.
        value: f64,
    },
    /// The fractions do not sum to 1.
    #[error("water, protein, fat, carbohydrate, fibre and ash sum to {sum}, not 1 (within {tolerance})")]
    Sum {
        /// Their sum.
        sum: f64,
        /// Largest distance from 1 that is evened out.
        tolerance: f64,
    },
    /// A part is larger than the whole it belongs to.
    #[error("{part} {value} is more than {whole} {of}, of which it is a part")]
    PartOfWhole {
        /// The part.
        part: &'static str,
        /// Its mass fraction.
        value: f64,
        /// The whole.
        whole: &'static str,
        /// Its mass fraction.
        of: f64,
    },
    /// All the water is held by the dry matter, or there is none: nothing would freeze.
    #[error(
        "{food}: of its {:.1} % water none freezes (up to {:.1} % stays liquid), so there is no ice to dry off",
        100.0 * .water_frac, 100.0 * .unfreezable_frac
    )]
    NothingFreezes {
        /// Name of the food.
        food: String,
        /// Water, kg/kg.
        water_frac: f64,
        /// Water that never freezes, kg/kg.
        unfreezable_frac: f64,
    },
    /// The water is so full of sugar or salt that it freezes at no temperature in reach.
    #[error(
        "{food} begins to freeze only at {:.1} degC; allowed: {:.0} degC or warmer",
        .freezing_point_k - ZERO_CELSIUS_K, .limit_k - ZERO_CELSIUS_K
    )]
    FreezesTooCold {
        /// Name of the food.
        food: String,
        /// Initial freezing point, K.
        freezing_point_k: f64,
        /// Lowest one we take, K.
        limit_k: f64,
    },
    /// Water alone: there is nothing to dry.
    #[error("{food} has no dry matter")]
    NothingToDry {
        /// Name of the food.
        food: String,
    },
    /// A recipe without parts, or with a mass that is not positive.
    #[error("{recipe}: the mass of {part} is {mass_kg} kg")]
    RecipeMass {
        /// Name of the recipe.
        recipe: String,
        /// The part, or `all parts`.
        part: String,
        /// Its mass, kg.
        mass_kg: f64,
    },
    /// No such food in the table.
    #[error("`{query}` is not in the food table")]
    UnknownFood {
        /// What was looked for.
        query: String,
        /// Names that look most like it, best first; empty if none is close.
        nearest: Vec<String>,
    },
    /// The table has no such household measure for this food.
    #[error("no measure `{query}` for {food}")]
    UnknownMeasure {
        /// The food.
        food: String,
        /// What was looked for.
        query: String,
        /// Measures it has.
        known: Vec<String>,
    },
    /// The embedded table cannot be read.
    #[error("food table, line {line}: cannot read `{what}`")]
    Table {
        /// Line, from 1.
        line: u64,
        /// Column or file.
        what: String,
    },
}
