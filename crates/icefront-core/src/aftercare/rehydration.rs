//! Bringing dried food back: how much of its water it takes up, and how long that takes.
//!
//! # Main equations
//! ```text
//! t = t5 (d/5 mm)^2 / f(T)          d: thinnest side of a piece, T: water
//! f = exp[-(E/R)(1/T - 1/293 K)]    E = 19.2 kJ/mol
//! ```
//! # Assumptions and limits
//! Water is sucked into the pores: its depth goes with the root of time, so the time goes with thickness squared (liquid
//! imbibition in freeze-dried carrot). The rapid phase of freeze-dried fruit pieces lasts about 30 s in water at room
//! temperature; t5, 1 to 2 min for 5 mm to be wet to the core, is our judgement built on that. The effect of temperature
//! was measured on air-dried mushroom, where diffusion rules; where suction rules it is smaller, so the range reaches from
//! no effect to that one. No rate constants of a freeze-dried meal, rice, egg or fish were found.
//!
//! # References
//! J. Food Eng. 72 (2006) 16 (fruits: share regained, rapid phase); Garcia-Pascual et al., J. Sci. Food Agric. 85 (2005)
//! 1397 (activation energy); `data/aftercare/rehydration.csv`.

use serde::Serialize;

use crate::constants::GAS_CONSTANT_J_PER_MOL_K;
use crate::food::{Band, DryingClass};

/// Time for pieces of 5 mm to be wet to the core in water at 20 degC, s: our judgement (see above).
const WET_5MM_S: (f64, f64) = (60.0, 120.0);
const REFERENCE_M: f64 = 0.005;
const REFERENCE_K: f64 = 293.15;
/// Garcia-Pascual et al. 2005, air-dried mushroom at 25 to 70 degC.
const ACTIVATION_J_PER_MOL: f64 = 19_200.0;

/// Time to soak, s.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Soak {
    /// Soonest, s.
    pub low_s: f64,
    /// By then most pieces are wet to the core, s.
    pub high_s: f64,
}

/// Time until pieces whose thinnest side is `thickness_m` are wet to the core in water at `water_k`.
pub fn soak(thickness_m: f64, water_k: f64) -> Soak {
    let square = (thickness_m / REFERENCE_M).powi(2);
    let faster = libm::exp(-ACTIVATION_J_PER_MOL / GAS_CONSTANT_J_PER_MOL_K * (1.0 / water_k - 1.0 / REFERENCE_K));
    Soak { low_s: WET_5MM_S.0 * square / faster.max(1.0), high_s: WET_5MM_S.1 * square / faster.min(1.0) }
}

/// Share of the water that left which a food takes up again.
///
/// Fruit and vegetable pieces regain up to 0.9 (J. Food Eng. 72 (2006) 16); chicken does not rehydrate fully (South Dakota
/// State University thesis, 1970), 0.7 to 0.8 from memory; dishes in their own sauce keep what is poured in. All other
/// numbers are from memory.
pub fn recovery(class: DryingClass) -> Band {
    match class {
        DryingClass::CutFruit | DryingClass::SkinBerry | DryingClass::Vegetable => Band::new(0.75, 0.85, 0.9),
        DryingClass::LeanMeatOrFish => Band::new(0.65, 0.75, 0.85),
        DryingClass::Starchy | DryingClass::MinceOrStew => Band::new(0.85, 0.9, 1.0),
        DryingClass::DairyOrEgg | DryingClass::Extract | DryingClass::SyrupOrJuice => Band::new(0.95, 1.0, 1.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn twice_as_thick_soaks_four_times_as_long() {
        for water_k in [283.15, 293.15, 363.15] {
            let (thin, thick) = (soak(0.006, water_k), soak(0.012, water_k));
            approx::assert_relative_eq!(thick.low_s, 4.0 * thin.low_s, max_relative = 1e-12);
            approx::assert_relative_eq!(thick.high_s, 4.0 * thin.high_s, max_relative = 1e-12);
        }
    }

    #[test]
    fn heat_hastens_by_no_more_than_was_measured() {
        // 1.3 times per 10 K near room temperature, 3.8 times from 20 to 80 degC: 19.2 kJ/mol evaluated by hand
        let (cold, warm, hot) = (soak(0.01, 283.15), soak(0.01, 293.15), soak(0.01, 353.15));
        approx::assert_relative_eq!(cold.high_s / warm.high_s, 1.32, max_relative = 0.01);
        approx::assert_relative_eq!(warm.low_s / hot.low_s, 3.81, max_relative = 0.01);
        assert_eq!((warm.high_s, warm.low_s), (hot.high_s, cold.low_s));
    }
}
