//! Temperature at which ice begins to form, from what is dissolved in the water.
//!
//! # Main equations
//! In `docs/model.md`: F3.
//! ```text
//! t_f = K ln[ n_w/(n_w + n_s) ]       n_w = (x_w - x_b)/M_w       n_s = sum x_i/M_i       K = 1860/18.015 K
//! ```
//! (degC, mole fractions; Raoult, in Chen's form with the water that never freezes taken off the solvent).
//!
//! # Assumptions and limits
//! Ideal solution, effective molar masses. Good to about 0.4 K (1 s.d.) for fruit, vegetables and milk down to -2 degC;
//! for sugar solutions to -12 degC within 7 %. Organic acids are not in the composition: sour fruit (lemon, sour
//! cherry) freezes 0.5 to 1 K lower than said. Sugars bound in starchy or unripe tissue (banana, corn, mango) count in
//! full: those freeze 0.6 to 1.3 K higher than said. Below about -15 degC an order of magnitude only. Handbook values for
//! meat and fish (-1.7 to -2.2 degC) lie below the -1 degC of the fish source used here; nothing settles which.
//!
//! # Checked against
//! Handbook values and measured glucose and sucrose solutions, bias and spread printed: `tests/properties.rs`.
//!
//! # References
//! Chen 1985; Grajales-Lagunes et al. 2018, doi:10.1016/j.jfoodeng.2018.02.025 (the form with unfreezable water);
//! Pham 1996, J. Food Eng. 30 (ash).

use super::{Composition, DryingClass};
use crate::constants::{WATER_MOLAR_MASS_KG_PER_MOL, ZERO_CELSIUS_K};

/// Cryoscopic constant of water, K kg/mol. Source: Chen 1985 (1.86 K per molal).
const CRYOSCOPIC_K_KG_PER_MOL: f64 = 1.86;
/// Glucose and fructose, kg/mol. Source: formula C6H12O6.
const HEXOSE_KG_PER_MOL: f64 = 0.180_16;
/// Sucrose and lactose, kg/mol. Source: formula C12H22O11.
const DISACCHARIDE_KG_PER_MOL: f64 = 0.342_30;
/// Share of sucrose in the sugars of fruit and vegetables, from memory (0.1 in berries to 0.7 in carrots).
const SUCROSE_SHARE: f64 = 0.25;
/// Ash, per mole of dissolved particles, kg/mol. Source: Pham 1996: 46.4 K per ash/water ratio, so 1.86/46.4.
const ASH_KG_PER_MOL: f64 = CRYOSCOPIC_K_KG_PER_MOL / 46.4;
/// Salt per mole of particles, kg/mol: 58.44 g/mol in two ions, osmotic coefficient 0.93. Source: formula; the
/// coefficient from memory.
const SALT_KG_PER_MOL: f64 = 0.058_44 / (2.0 * 0.93);
/// Small molecules that come with muscle protein, kg protein per mole: set so that lean fish begins to freeze at -1.0
/// degC. Source of that: FAO Fisheries Technical Paper 340, ch. 19.
const MUSCLE_PROTEIN_KG_PER_MOL: f64 = 1.7;

/// Initial freezing point of a food of this class, K. `unfreezable_frac` is kg per kg of food, below its water.
pub fn initial_freezing_point_k(composition: &Composition, class: DryingClass, unfreezable_frac: f64) -> f64 {
    let c = composition;
    let sugars = match class {
        DryingClass::DairyOrEgg => c.sugars / DISACCHARIDE_KG_PER_MOL,
        _ => c.sugars * ((1.0 - SUCROSE_SHARE) / HEXOSE_KG_PER_MOL + SUCROSE_SHARE / DISACCHARIDE_KG_PER_MOL),
    };
    let muscle = match class {
        DryingClass::LeanMeatOrFish | DryingClass::MinceOrStew => c.protein / MUSCLE_PROTEIN_KG_PER_MOL,
        _ => 0.0,
    };
    let minerals = (c.ash - c.salt) / ASH_KG_PER_MOL + c.salt / SALT_KG_PER_MOL;
    solution_freezing_point_k(c.water - unfreezable_frac, sugars + minerals + muscle)
}

/// Freezing point of an ideal solution, K: free water (kg) and what is dissolved in it (mol), both per kg of food.
pub fn solution_freezing_point_k(free_water_frac: f64, solute_mol_per_kg: f64) -> f64 {
    let solvent_mol_per_kg = free_water_frac / WATER_MOLAR_MASS_KG_PER_MOL;
    let depression_per_ln_k = CRYOSCOPIC_K_KG_PER_MOL / WATER_MOLAR_MASS_KG_PER_MOL;
    ZERO_CELSIUS_K + depression_per_ln_k * libm::log(solvent_mol_per_kg / (solvent_mol_per_kg + solute_mol_per_kg))
}
