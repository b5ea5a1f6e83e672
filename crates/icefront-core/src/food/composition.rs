//! Composition of a food by mass.

use serde::{Deserialize, Serialize};

use super::FoodError;

/// Mass fractions of a food; water + protein + fat + carbohydrate + fibre + ash = 1.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Composition {
    /// Water.
    pub water: f64,
    /// Protein.
    pub protein: f64,
    /// Fat.
    pub fat: f64,
    /// Carbohydrate without fibre, sugars included.
    pub carbohydrate: f64,
    /// Dietary fibre.
    pub fibre: f64,
    /// Ash, salt included.
    pub ash: f64,
    /// Sugars, a part of `carbohydrate`.
    pub sugars: f64,
    /// Salt (sodium chloride), a part of `ash`.
    pub salt: f64,
}

impl Composition {
    /// Distance of the sum from 1 that is rounding and gets evened out.
    pub const SUM_TOLERANCE: f64 = 0.02;
    /// By how much a part may exceed its whole before it is an error: both are rounded and measured apart.
    const PART_TOLERANCE: f64 = 0.005;

    /// Sum of the six main fractions.
    pub fn sum(&self) -> f64 {
        self.water + self.protein + self.fat + self.carbohydrate + self.fibre + self.ash
    }

    /// Dry matter, fat included.
    pub fn dry(&self) -> f64 {
        1.0 - self.water
    }

    /// Dry matter without fat: what holds water.
    pub fn fat_free_dry(&self) -> f64 {
        (1.0 - self.water - self.fat).max(0.0)
    }

    /// Carbohydrate that is neither sugar nor fibre, mostly starch.
    pub fn starch(&self) -> f64 {
        (self.carbohydrate - self.sugars).max(0.0)
    }

    /// The composition with fractions that sum to 1 exactly, or what is wrong with it.
    pub fn check(&self) -> Result<Self, FoodError> {
        let names = ["water", "protein", "fat", "carbohydrate", "fibre", "ash", "sugars", "salt"];
        let mut named = names.into_iter().zip(self.fractions());
        if let Some((which, value)) = named.find(|(_, value)| !(0.0..=1.0).contains(value)) {
            return Err(FoodError::Fraction { which, value });
        }
        let sum = self.sum();
        if (sum - 1.0).abs() > Self::SUM_TOLERANCE {
            return Err(FoodError::Sum { sum, tolerance: Self::SUM_TOLERANCE });
        }
        for (part, value, whole, of) in
            [("sugars", self.sugars, "carbohydrate", self.carbohydrate), ("salt", self.salt, "ash", self.ash)]
        {
            if value > of + Self::PART_TOLERANCE {
                return Err(FoodError::PartOfWhole { part, value, whole, of });
            }
        }
        Ok(self.normalised())
    }

    /// Scaled to a sum of 1, parts cut to their wholes.
    pub(super) fn normalised(&self) -> Self {
        let c = self.scaled(1.0 / self.sum());
        Self { sugars: c.sugars.min(c.carbohydrate), salt: c.salt.min(c.ash), ..c }
    }

    /// Another water content; the dry matter keeps its proportions.
    pub fn with_water(&self, water: f64) -> Result<Self, FoodError> {
        let dry = share("water", water, self.dry())?;
        Ok(Self { water, ..self.scaled(dry) })
    }

    /// Another fat content; all else keeps its proportions.
    pub fn with_fat(&self, fat: f64) -> Result<Self, FoodError> {
        let rest = share("fat", fat, 1.0 - self.fat)?;
        Ok(Self { fat, ..self.scaled(rest) })
    }

    /// All fractions, in the order of the fields.
    fn fractions(&self) -> [f64; 8] {
        let Self { water, protein, fat, carbohydrate, fibre, ash, sugars, salt } = *self;
        [water, protein, fat, carbohydrate, fibre, ash, sugars, salt]
    }

    /// From all fractions, in the order of the fields.
    fn of([water, protein, fat, carbohydrate, fibre, ash, sugars, salt]: [f64; 8]) -> Self {
        Self { water, protein, fat, carbohydrate, fibre, ash, sugars, salt }
    }

    /// All fractions times a factor.
    fn scaled(&self, factor: f64) -> Self {
        Self::of(self.fractions().map(|fraction| fraction * factor))
    }

    /// Fraction by fraction sum.
    fn plus(&self, other: &Self) -> Self {
        let (own, others) = (self.fractions(), other.fractions());
        Self::of(std::array::from_fn(|i| own[i] + others[i]))
    }

    /// Mass-weighted mean of some compositions.
    pub fn mean(parts: impl IntoIterator<Item = (Self, f64)>) -> Self {
        let sum = parts.into_iter().fold(Self::default(), |sum, (c, mass)| sum.plus(&c.scaled(mass)));
        sum.normalised()
    }
}

/// Factor for the rest when one fraction is set to `value` and the rest was `rest`.
fn share(which: &'static str, value: f64, rest: f64) -> Result<f64, FoodError> {
    if !(0.0..1.0).contains(&value) || rest <= 0.0 {
        return Err(FoodError::Fraction { which, value });
    }
    Ok((1.0 - value) / rest)
}
