//! Heat between two surfaces in thin vapour: gas gap, radiation, direct contact.
//!
//! # Main equations
//! In `docs/model.md`: H1 and H2.
//! ```text
//! h_gas = 1/[d/lambda + 1/(a_e L0 p)]        gap d, free-molecular conductance L0, total pressure p
//! L0    = (g+1)/(g-1) sqrt[R/(8 pi M T)]      g = 1.33
//! a_e   = 1/(2/a - 1)                         accommodation a on both faces
//! h_rad = e_eff sigma (T1^2 + T2^2)(T1 + T2)  e_eff = 1/(1/e1 + 1/e2 - 1)
//! ```
//! # Assumptions and limits
//! Plane gap; the series form is within 2.5 % of measurements for 0.02 < Kn < 50 (Dybbs 1965, monatomic gases).
//! Vapour conductivity at the gap's mean temperature.
//!
//! # References
//! Pikal, Roy and Shah 1984 (pressure form of the shelf coefficient); Dybbs, MIT thesis 1965; conductivity of
//! vapour IAPWS R15-11; `data/published/shelf_heat_transfer.csv`.

use std::f64::consts::PI;

use crate::constants::{GAS_CONSTANT_J_PER_MOL_K, STEFAN_BOLTZMANN_W_PER_M2_K4, WATER_MOLAR_MASS_KG_PER_MOL};
use crate::machine::STACK_TO_WALL_M;
use crate::water;

/// Ratio of heat capacities of water vapour near 0 degC. Source: ideal-gas value used by vacuum handbooks.
const HEAT_CAPACITY_RATIO: f64 = 1.33;

/// Free-molecular conductance between parallel plates at full accommodation, W/(m2 K Pa).
pub fn free_molecular_w_per_m2_k_pa(temperature_k: f64) -> f64 {
    (HEAT_CAPACITY_RATIO + 1.0) / (HEAT_CAPACITY_RATIO - 1.0)
        * (GAS_CONSTANT_J_PER_MOL_K / (8.0 * PI * WATER_MOLAR_MASS_KG_PER_MOL * temperature_k)).sqrt()
}

/// Vapour at one pressure and temperature, as what conducts in a gap.
#[derive(Clone, Copy, Debug)]
pub struct ThinGas {
    conductivity_w_per_m_k: f64,
    molecular_w_per_m2_k: f64,
}

impl ThinGas {
    /// Vapour between faces of this accommodation.
    pub fn new(pressure_pa: f64, temperature_k: f64, accommodation: f64) -> Self {
        let effective = 1.0 / (2.0 / accommodation - 1.0);
        Self {
            conductivity_w_per_m_k: water::vapour_conductivity_w_per_m_k(temperature_k),
            molecular_w_per_m2_k: effective * free_molecular_w_per_m2_k_pa(temperature_k) * pressure_pa,
        }
    }

    /// Conductance of a gap, W/(m2 K).
    pub fn gap_w_per_m2_k(&self, gap_m: f64) -> f64 {
        if self.molecular_w_per_m2_k <= 0.0 {
            return 0.0;
        }
        1.0 / (gap_m / self.conductivity_w_per_m_k + 1.0 / self.molecular_w_per_m2_k)
    }
}

/// Conductance of a gap filled with vapour, W/(m2 K).
pub fn gas_gap_w_per_m2_k(gap_m: f64, pressure_pa: f64, temperature_k: f64, accommodation: f64) -> f64 {
    ThinGas::new(pressure_pa, temperature_k, accommodation).gap_w_per_m2_k(gap_m)
}

/// From the shelves to the cold wall beside them, per area of the stack that faces it: black radiation, and vapour across
/// [`STACK_TO_WALL_M`], W/(m2 K).
pub fn stack_to_wall_w_per_m2_k(total_pa: f64, shelf_k: f64, wall_k: f64, accommodation: f64) -> f64 {
    radiation_w_per_m2_k(1.0, shelf_k, wall_k)
        + gas_gap_w_per_m2_k(STACK_TO_WALL_M, total_pa, 0.5 * (shelf_k + wall_k), accommodation)
}

/// Effective emissivity of two large parallel grey plates.
pub fn effective_emissivity(first: f64, second: f64) -> f64 {
    1.0 / (1.0 / first + 1.0 / second - 1.0)
}

/// Radiation coefficient between two temperatures: exact when multiplied by their difference, W/(m2 K).
pub fn radiation_w_per_m2_k(effective_emissivity: f64, first_k: f64, second_k: f64) -> f64 {
    effective_emissivity
        * STEFAN_BOLTZMANN_W_PER_M2_K4
        * (first_k * first_k + second_k * second_k)
        * (first_k + second_k)
}
