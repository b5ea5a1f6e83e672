//! Dried food on the bench: water it takes up from the air of a kitchen.
//!
//! # Main equations
//! ```text
//! m dX/dt = h_m A [rho_s(T)(RH - a(X))]         X: water per dry matter, a: isotherm turned round
//! h_m     = h/(rho c Le^(2/3))                  h: heat transfer of still to moving air
//! ```
//! # Assumptions and limits
//! The film of air over the tray is taken to set the pace, so that the food's own resistance only makes it slower: the
//! times are on the short side. No measured uptake rate of a freeze-dried food was found; the range comes from the film
//! alone (2 to 10 W/(m2 K), from memory), and food still warm from the shelf takes up less. Weigh a tray to know yours.
//! Isotherms are those of the food's class at about 40 degC, as in drying; at 25 degC potato holds 2 % more.
//!
//! # References
//! Analogy of heat and mass transfer: Chilton and Colburn 1934. Isotherms: `data/aftercare/gab.csv`.

use serde::Serialize;

use crate::constants::{GAS_CONSTANT_J_PER_MOL_K, WATER_MOLAR_MASS_KG_PER_MOL};
use crate::food::Gab;
use crate::secondary::saturation_estimate_pa;

/// Below this water activity nothing grows; target of a university food-processing centre for home freeze-dried food
/// (`data/aftercare/storage.csv`, S1 and S4).
pub const SEALABLE_ACTIVITY: f64 = 0.60;
/// Most water by weight in food that is packed without oxygen: guidance on longer-term storage (storage.csv, S3).
pub const SEALABLE_WET_FRAC: f64 = 0.10;

/// Air that moves past a tray: heat transfer, W/(m2 K), still and in a draught. From memory.
const FILM_W_PER_M2_K: (f64, f64) = (2.0, 10.0);
/// rho c Le^(2/3) of room air, J/(m3 K): 1.2 kg/m3, 1005 J/(kg K), Le 0.87. From memory.
const FILM_J_PER_M3_K: f64 = 1.2 * 1005.0 * 0.911;
/// Slices of the content over which the time is summed.
const SLICES: usize = 64;

/// A tray of dried food in a kitchen.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Bench {
    /// Dry matter, kg.
    pub dry_matter_kg: f64,
    /// Tray, m2.
    pub area_m2: f64,
    /// Water in the food, kg/kg dry.
    pub water_per_dry: f64,
    /// Air, K.
    pub air_k: f64,
    /// Relative humidity, 0 to 1.
    pub humidity: f64,
}

/// Time until the food has taken up `added_per_dry`, s, in a draught and in still air; infinite where it never holds so
/// much in this air.
pub fn pickup_time_s(bench: &Bench, isotherm: &Gab, added_per_dry: f64) -> (f64, f64) {
    let saturated_kg_per_m3 =
        saturation_estimate_pa(bench.air_k) * WATER_MOLAR_MASS_KG_PER_MOL / (GAS_CONSTANT_J_PER_MOL_K * bench.air_k);
    let slice = added_per_dry / SLICES as f64;
    let slices = (0..SLICES).map(|i| {
        let content = bench.water_per_dry + (i as f64 + 0.5) * slice;
        let drive = saturated_kg_per_m3 * (bench.humidity - isotherm.activity(content));
        if drive > 0.0 { slice / drive } else { f64::INFINITY }
    });
    // kg of water per (kg/m3 of drive)
    let resisted = bench.dry_matter_kg / bench.area_m2 * slices.sum::<f64>();
    let time = |film: f64| resisted / (film / FILM_J_PER_M3_K);
    (time(FILM_W_PER_M2_K.1), time(FILM_W_PER_M2_K.0))
}

impl Gab {
    /// Water activity over food that holds this much, kg/kg dry: the isotherm turned round, at most 1.
    ///
    /// ```text
    /// x = 2X/{b + [b^2 + 4(C - 1)X^2]^(1/2)},   b = X_m C - (C - 2)X,   a = x/K
    /// ```
    pub fn activity(&self, water_per_dry: f64) -> f64 {
        let (x, c) = (water_per_dry.max(0.0), self.c);
        let b = self.monolayer_per_dry * c - (c - 2.0) * x;
        let root = (b * b + 4.0 * (c - 1.0) * x * x).max(0.0).sqrt();
        (2.0 * x / (b + root) / self.k).min(1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const POTATO: Gab = Gab { monolayer_per_dry: 0.0955, c: 36.9, k: 0.660 };
    const APPLE: Gab = Gab { monolayer_per_dry: 0.0694, c: 3.70, k: 0.990 };

    #[test]
    fn activity_is_the_isotherm_turned_round() {
        for gab in [POTATO, APPLE, Gab { monolayer_per_dry: 0.05, c: 0.6, k: 0.8 }] {
            for activity in [0.01, 0.1, 0.3, 0.6, 0.9] {
                approx::assert_relative_eq!(gab.activity(gab.water_per_dry(activity)), activity, max_relative = 1e-9);
            }
        }
        assert_eq!(POTATO.activity(0.0), 0.0);
    }

    #[test]
    fn uptake_goes_with_the_drive_and_stops_at_the_isotherm() {
        let bench = Bench { dry_matter_kg: 0.18, area_m2: 0.1, water_per_dry: 0.0, air_k: 293.15, humidity: 0.5 };
        let (fast, slow) = pickup_time_s(&bench, &POTATO, 0.01);
        approx::assert_relative_eq!(slow / fast, 5.0, max_relative = 1e-12);
        // by hand: 1.8 g on 0.1 m2; 17.3 g/m3 saturated at 20 degC, half of it the drive; h_m = 10/1099 m/s
        let by_hand = 1.8e-3 / 0.1 / (10.0 / 1099.0 * 0.5 * 17.3e-3);
        approx::assert_relative_eq!(fast, by_hand, max_relative = 0.02);
        let ends_at = POTATO.water_per_dry(0.5);
        assert!(pickup_time_s(&bench, &POTATO, 0.99 * ends_at).1.is_finite());
        assert!(pickup_time_s(&bench, &POTATO, 1.01 * ends_at).0.is_infinite());
    }
}
