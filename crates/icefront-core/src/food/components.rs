//! Density, conductivity and heat capacity of what food is made of.
//!
//! # Main equations
//! Each property is `c0 + c1 t + c2 t^2` with t in degC.
//!
//! # Assumptions and limits
//! Valid from -40 to 150 degC (ice: -40 to 0 degC); temperatures outside are clamped to that range.
//!
//! # Checked against
//! `data/properties/choi_okos.csv` in `tests/properties.rs`.
//!
//! # References
//! Choi and Okos 1986, as in ASHRAE Handbook - Refrigeration, thermal properties of foods, tables 1 and 2. Of the
//! misprints in circulation these are corrected: conductivity of fat has the slope -2.7604e-4 (not e-3, which turns it
//! negative near 65 degC); heat capacity of water above 0 degC starts at 4.1762 (not 4.1289, 1 % low).

use crate::constants::ZERO_CELSIUS_K;

/// A component of food.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Component {
    /// Liquid water, supercooled below 0 degC.
    Water,
    /// Ice.
    Ice,
    /// Protein.
    Protein,
    /// Fat.
    Fat,
    /// Carbohydrate without fibre.
    Carbohydrate,
    /// Fibre.
    Fibre,
    /// Ash.
    Ash,
}

impl Component {
    /// Density, kg/m3.
    pub fn density_kg_per_m3(self, temperature_k: f64) -> f64 {
        self.at(temperature_k, |[density, _, _]| density)
    }

    /// Conductivity, W/(m K).
    pub fn conductivity_w_per_m_k(self, temperature_k: f64) -> f64 {
        self.at(temperature_k, |[_, conductivity, _]| conductivity)
    }

    /// Heat capacity, J/(kg K).
    pub fn heat_capacity_j_per_kg_k(self, temperature_k: f64) -> f64 {
        self.at(temperature_k, |[_, _, heat_capacity]| heat_capacity)
    }

    fn at(self, temperature_k: f64, property: fn([[f64; 3]; 3]) -> [f64; 3]) -> f64 {
        let t = self.celsius(temperature_k);
        let [c0, c1, c2] = property(self.coefficients(t));
        c0 + t * (c1 + t * c2)
    }

    /// `c0`, `c1` and `c2` of density, conductivity and heat capacity.
    fn coefficients(self, t: f64) -> [[f64; 3]; 3] {
        match self {
            Self::Water => {
                let heat_capacity = if t < 0.0 { [4081.7, -5.3062, 0.995_16] } else { [4176.2, -0.090_864, 5.4731e-3] };
                [[997.18, 3.1439e-3, -3.7574e-3], [0.571_09, 1.7625e-3, -6.7036e-6], heat_capacity]
            }
            Self::Ice => [[916.89, -0.130_71, 0.0], [2.2196, -6.2489e-3, 1.0154e-4], [2062.3, 6.0769, 0.0]],
            Self::Protein => [[1329.9, -0.5184, 0.0], [0.178_81, 1.1958e-3, -2.7178e-6], [2008.2, 1.2089, -1.3129e-3]],
            Self::Fat => [[925.59, -0.417_57, 0.0], [0.180_71, -2.7604e-4, -1.7749e-7], [1984.2, 1.4733, -4.8008e-3]],
            Self::Carbohydrate => {
                [[1599.1, -0.310_46, 0.0], [0.201_41, 1.3874e-3, -4.3312e-6], [1548.8, 1.9625, -5.9399e-3]]
            }
            Self::Fibre => [[1311.5, -0.365_89, 0.0], [0.183_31, 1.2497e-3, -3.1683e-6], [1845.9, 1.8306, -4.6509e-3]],
            Self::Ash => [[2423.8, -0.280_63, 0.0], [0.329_62, 1.4011e-3, -2.9069e-6], [1092.6, 1.8896, -3.6817e-3]],
        }
    }

    fn celsius(self, temperature_k: f64) -> f64 {
        let high = if self == Self::Ice { 0.0 } else { 150.0 };
        (temperature_k - ZERO_CELSIUS_K).clamp(-40.0, high)
    }
}
