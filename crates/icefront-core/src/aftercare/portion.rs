//! From the dried food to equal packs. What is divided is the whole, so masses close to round-off.

use serde::Serialize;

/// One food of a batch, before and after.
///
/// ```text
/// fresh = dry matter + water            dried = dry matter + water left            to add back = fresh - dried
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Dried {
    /// Food as it was loaded, kg.
    pub fresh_kg: f64,
    /// Its dry matter, kg.
    pub dry_matter_kg: f64,
    /// Water left in it after drying, kg.
    pub water_left_kg: f64,
}

impl Dried {
    /// Food after drying, kg.
    pub fn dried_kg(&self) -> f64 {
        self.dry_matter_kg + self.water_left_kg
    }

    /// Water that left, and that brings the food back to what it was, kg.
    pub fn water_to_add_kg(&self) -> f64 {
        self.fresh_kg - self.dried_kg()
    }

    /// The same food weighed after drying: a scale beats a table. Of what it weighs less than expected, dry matter and
    /// water left each keep their share.
    pub fn weighed(&self, dried_kg: f64) -> Self {
        let factor = dried_kg / self.dried_kg();
        Self {
            dry_matter_kg: self.dry_matter_kg * factor,
            water_left_kg: self.water_left_kg * factor,
            fresh_kg: self.fresh_kg,
        }
    }

    /// Two trays of the same food.
    pub fn plus(&self, other: &Self) -> Self {
        Self {
            fresh_kg: self.fresh_kg + other.fresh_kg,
            dry_matter_kg: self.dry_matter_kg + other.dry_matter_kg,
            water_left_kg: self.water_left_kg + other.water_left_kg,
        }
    }
}

/// How big a pack is to be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PackRule {
    /// So many servings in one pack.
    Servings {
        /// Servings in one pack.
        each: f64,
        /// One serving as it was loaded (and will be eaten), kg.
        serving_kg: f64,
    },
    /// At most so much dried food in one pack, kg.
    Mass(f64),
    /// At most so much volume of dried food, pieces and the air between them, in one pack, m3.
    Volume {
        /// Room for food in one pack, m3.
        room_m3: f64,
        /// Bulk density of the dried food, kg/m3.
        bulk_kg_per_m3: f64,
    },
}

/// Equal packs of one food.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Packs {
    /// How many, at least 1.
    pub count: usize,
    /// Dried food in each, kg.
    pub dried_kg: f64,
    /// Water that brings each back, kg.
    pub water_to_add_kg: f64,
}

/// A step beyond a whole number of packs that is round-off.
const SLACK: f64 = 1e-9;

impl PackRule {
    /// How many packs the food makes: servings to the nearest whole pack, mass and volume never over what is allowed.
    pub fn count(&self, food: &Dried) -> usize {
        let packs = match *self {
            Self::Servings { each, serving_kg } => (food.fresh_kg / serving_kg / each).round(),
            Self::Mass(most_kg) => (food.dried_kg() / most_kg - SLACK).ceil(),
            Self::Volume { room_m3, bulk_kg_per_m3 } => (food.dried_kg() / bulk_kg_per_m3 / room_m3 - SLACK).ceil(),
        };
        packs.max(1.0) as usize
    }
}

impl Packs {
    /// The food in `count` equal packs.
    pub fn of(food: &Dried, count: usize) -> Self {
        let each = |whole: f64| whole / count as f64;
        Self { count, dried_kg: each(food.dried_kg()), water_to_add_kg: each(food.water_to_add_kg()) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn packs_are_as_many_as_a_cook_would_count() {
        let food = Dried { fresh_kg: 1.2, dry_matter_kg: 0.3, water_left_kg: 0.006 };
        // 1.2 kg in servings of 0.35 kg are 3.43: three packs of one, two packs of two (1.7)
        let servings = |each| PackRule::Servings { each, serving_kg: 0.35 }.count(&food);
        assert_eq!((servings(1.0), servings(2.0), servings(100.0)), (3, 2, 1));
        assert_eq!((PackRule::Mass(0.102).count(&food), PackRule::Mass(0.1).count(&food)), (3, 4));
        assert_eq!(PackRule::Volume { room_m3: 0.001, bulk_kg_per_m3: 200.0 }.count(&food), 2);
    }

    #[test]
    fn packs_and_water_are_the_food_again() {
        let food = Dried { fresh_kg: 1.237, dry_matter_kg: 0.3, water_left_kg: 0.0061 };
        for count in 1..50 {
            let packs = Packs::of(&food, count);
            let back = packs.count as f64 * (packs.dried_kg + packs.water_to_add_kg);
            approx::assert_relative_eq!(back, food.fresh_kg, max_relative = 1e-14);
        }
        let weighed = food.weighed(0.28);
        approx::assert_relative_eq!(weighed.dried_kg(), 0.28, max_relative = 1e-14);
        approx::assert_relative_eq!(
            weighed.dried_kg() + weighed.water_to_add_kg(),
            food.fresh_kg,
            max_relative = 1e-14
        );
    }
}
