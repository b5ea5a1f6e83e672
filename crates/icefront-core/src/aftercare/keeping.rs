//! What to eat first: an order among packs, by fat, oxygen and the temperature of the shelf. Not a storage life.
//!
//! # Main equations
//! ```text
//! mark = base(fat, oxygen) / Q10^((T - 20 degC)/10)      warmer than 20 degC; colder counts as 20 degC
//! ```
//! # Assumptions and limits
//! A base of 12 months for lean food without oxygen stays under what was measured: dried staples changed colour little in
//! 24 months at 10 and 21 degC and visibly by 6 months at 29.5 degC (Utah State University thesis etd 5494); many items of a
//! space-food menu stayed acceptable for about 2 years. No rates for freeze-dried meat, fish or meals against oxygen and
//! temperature were found: the bases of fatty food and of food in air are our judgement on the short side. Q10 is that of
//! the browning of dried apple, 2.4 (Lavelli 2009); oxidation of fat with oxygen present goes less with temperature (coffee: 1.1
//! to 1.2). Real keeping differs by a factor of three either way.
//!
//! # References
//! `data/aftercare/storage.csv`.

use serde::Serialize;

use crate::constants::ZERO_CELSIUS_K;

/// Fat in the dry matter, as far as keeping goes. The limits are our judgement; the upper one is that of
/// [`Flag::Fatty`](crate::result::Flag::Fatty).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fattiness {
    /// Under 5 %.
    Lean,
    /// 5 to 25 %.
    Some,
    /// More.
    Fatty,
}

impl Fattiness {
    /// Class of a fat content, kg per kg of dry matter.
    pub fn of(fat_per_dry: f64) -> Self {
        match fat_per_dry {
            f if f < 0.05 => Self::Lean,
            f if f < 0.25 => Self::Some,
            _ => Self::Fatty,
        }
    }
}

/// How a pack is kept.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Keeping {
    /// Fat.
    pub fat: Fattiness,
    /// Whether an absorber took the oxygen and the wall keeps it out.
    pub without_oxygen: bool,
    /// Shelf, K.
    pub shelf_k: f64,
}

const MONTH_S: f64 = 365.25 / 12.0 * 86_400.0;
const REFERENCE_K: f64 = ZERO_CELSIUS_K + 20.0;
/// Browning of dried apple between 20 and 30 degC: the same after 120 and 50 days (Lavelli 2009).
const Q10: f64 = 2.4;

/// Time after packing that is printed as the date to eat a pack by before others, s.
pub fn eat_first_s(keeping: &Keeping) -> f64 {
    let months = match (keeping.fat, keeping.without_oxygen) {
        (Fattiness::Lean, true) => 12.0,
        (Fattiness::Lean, false) | (Fattiness::Some, true) => 6.0,
        (Fattiness::Some, false) | (Fattiness::Fatty, true) => 3.0,
        (Fattiness::Fatty, false) => 1.0,
    };
    let warmer_k = (keeping.shelf_k - REFERENCE_K).max(0.0);
    months * MONTH_S / libm::pow(Q10, warmer_k / 10.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fat_oxygen_and_warmth_come_first() {
        let at = |fat, without_oxygen, celsius: f64| {
            eat_first_s(&Keeping { fat, without_oxygen, shelf_k: 273.15 + celsius }) / MONTH_S
        };
        assert!(at(Fattiness::Fatty, true, 20.0) < at(Fattiness::Some, true, 20.0));
        assert!(at(Fattiness::Lean, false, 20.0) < at(Fattiness::Lean, true, 20.0));
        // the published cans: visible browning by 6 months at 29.5 degC, little in 24 months at 21 degC
        assert!(at(Fattiness::Lean, true, 29.5) < 6.0 && at(Fattiness::Lean, true, 21.0) < 24.0);
        assert_eq!(at(Fattiness::Lean, true, 5.0), at(Fattiness::Lean, true, 20.0));
    }
}
