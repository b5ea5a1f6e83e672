//! Density, heat capacity and conductivity of a mixture of components.
//!
//! # Main equations
//! In `docs/model.md`: F1 and F2.
//! ```text
//! 1/rho = sum x_i/rho_i        c = sum x_i c_i        e_i = (x_i/rho_i) rho
//! parallel: k = sum e_i k_i    series: 1/k = sum e_i/k_i
//! dispersed phase d in a continuous one c (Maxwell-Eucken), r = k_d/k_c:
//! k = k_c [2 + r - 2 F (1 - r)]/[2 + r + F (1 - r)]                     F = e_d
//! Levy: the same with F = [b - sqrt(b^2 - 8 e_d/s)]/2,  b = 2/s - 1 + 2 e_d,  s = (k_d - k_c)^2/[(k_d + k_c)^2 + k_d k_c/2]
//! ```
//! Conductivity of food: solids dispersed in the water, fat in that, then ice (Levy), each by volume.
//!
//! # Assumptions and limits
//! No pores here: [`with_pores`] adds them. Heat capacity is that of the parts; melting is the freezing curve's.
//!
//! # Checked against
//! Sweat, Haugh and Stadelman 1973 (chicken, -40 to 20 degC); Levy's F is symmetric in the two phases; parallel and
//! series bound every result (`tests/properties.rs`).
//!
//! # References
//! Levy 1981, J. Food Technol. 16, and Maxwell-Eucken, as in ASHRAE Handbook - Refrigeration, thermal properties of foods.

use super::Composition;
use super::components::Component;

/// A composition with some of its water frozen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mixture {
    /// Mass fraction of each component; they sum to 1.
    parts: [(Component, f64); 7],
}

impl Mixture {
    /// Without ice.
    pub fn unfrozen(composition: &Composition) -> Self {
        Self::with_ice(composition, 0.0)
    }

    /// With this much ice, kg per kg of food (cut to the water there is).
    pub fn with_ice(composition: &Composition, ice_frac: f64) -> Self {
        let c = composition;
        let ice = ice_frac.clamp(0.0, c.water);
        Self {
            parts: [
                (Component::Water, c.water - ice),
                (Component::Ice, ice),
                (Component::Protein, c.protein),
                (Component::Fat, c.fat),
                (Component::Carbohydrate, c.carbohydrate),
                (Component::Fibre, c.fibre),
                (Component::Ash, c.ash),
            ],
        }
    }

    /// Density without pores, kg/m3.
    pub fn density_kg_per_m3(&self, temperature_k: f64) -> f64 {
        1.0 / self.parts.iter().map(|(part, x)| x / part.density_kg_per_m3(temperature_k)).sum::<f64>()
    }

    /// Heat capacity, J/(kg K).
    pub fn heat_capacity_j_per_kg_k(&self, temperature_k: f64) -> f64 {
        self.parts.iter().map(|(part, x)| x * part.heat_capacity_j_per_kg_k(temperature_k)).sum()
    }

    /// Conductivity without pores, W/(m K).
    pub fn conductivity_w_per_m_k(&self, temperature_k: f64) -> f64 {
        let solids = |part: Component| !matches!(part, Component::Water | Component::Ice | Component::Fat);
        let mut phase = Phase::of(self, temperature_k, |part| part == Component::Water);
        phase = phase.with_dispersed(Phase::of(self, temperature_k, solids), maxwell_eucken);
        phase = phase.with_dispersed(Phase::of(self, temperature_k, |part| part == Component::Fat), maxwell_eucken);
        phase.with_dispersed(Phase::of(self, temperature_k, |part| part == Component::Ice), levy).conductivity
    }

    /// Upper bound of the conductivity: all parts side by side, W/(m K).
    pub fn conductivity_parallel_w_per_m_k(&self, temperature_k: f64) -> f64 {
        Phase::of(self, temperature_k, |_| true).conductivity
    }

    /// Lower bound: all parts one behind the other, W/(m K).
    pub fn conductivity_series_w_per_m_k(&self, temperature_k: f64) -> f64 {
        let rho = self.density_kg_per_m3(temperature_k);
        let resistance = |(part, x): &(Component, f64)| {
            x * rho / (part.density_kg_per_m3(temperature_k) * part.conductivity_w_per_m_k(temperature_k))
        };
        1.0 / self.parts.iter().map(resistance).sum::<f64>()
    }
}

/// Some of the mixture as one phase: its volume (per kg of food) and its conductivity.
#[derive(Clone, Copy)]
struct Phase {
    volume: f64,
    conductivity: f64,
}

impl Phase {
    /// The chosen components side by side.
    fn of(mixture: &Mixture, temperature_k: f64, chosen: impl Fn(Component) -> bool) -> Self {
        let mut volume = 0.0;
        let mut sum = 0.0;
        for (part, x) in mixture.parts.iter().filter(|(part, _)| chosen(*part)) {
            let v = x / part.density_kg_per_m3(temperature_k);
            volume += v;
            sum += v * part.conductivity_w_per_m_k(temperature_k);
        }
        Self { volume, conductivity: if volume > 0.0 { sum / volume } else { 0.0 } }
    }

    /// This phase with another dispersed in it.
    fn with_dispersed(self, other: Self, law: fn(f64, f64, f64) -> f64) -> Self {
        let volume = self.volume + other.volume;
        if other.volume <= 0.0 {
            return self;
        }
        if self.volume <= 0.0 {
            return other;
        }
        Self { volume, conductivity: law(self.conductivity, other.conductivity, other.volume / volume) }
    }
}

/// Conductivity of a continuous phase with a dispersed one of volume share `dispersed` (Maxwell-Eucken), W/(m K).
pub fn maxwell_eucken(continuous_w_per_m_k: f64, dispersed_w_per_m_k: f64, dispersed: f64) -> f64 {
    let r = dispersed_w_per_m_k / continuous_w_per_m_k;
    continuous_w_per_m_k * (2.0 + r - 2.0 * dispersed * (1.0 - r)) / (2.0 + r + dispersed * (1.0 - r))
}

/// The same by Levy, who makes the two phases equal partners, W/(m K).
pub fn levy(continuous_w_per_m_k: f64, dispersed_w_per_m_k: f64, dispersed: f64) -> f64 {
    let (k_c, k_d) = (continuous_w_per_m_k, dispersed_w_per_m_k);
    let s = (k_d - k_c).powi(2) / ((k_d + k_c).powi(2) + k_d * k_c / 2.0);
    if s < 1e-12 {
        return maxwell_eucken(k_c, k_d, dispersed); // equal phases: F is the volume share
    }
    let b = 2.0 / s - 1.0 + 2.0 * dispersed;
    let f = 0.5 * (b - (b * b - 8.0 * dispersed / s).sqrt());
    maxwell_eucken(k_c, k_d, f)
}

/// Conductivity of a food with air pores of this volume share in it, W/(m K).
pub fn with_pores(solid_w_per_m_k: f64, porosity: f64) -> f64 {
    maxwell_eucken(solid_w_per_m_k, AIR_CONDUCTIVITY_W_PER_M_K, porosity)
}

/// Air at 0 degC, W/(m K), from memory.
const AIR_CONDUCTIVITY_W_PER_M_K: f64 = 0.0244;
