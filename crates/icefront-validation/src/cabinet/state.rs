//! The differential state by name, and its scaled vector for the integrator.

/// State of one drying element.
#[derive(Clone, Debug, Default)]
pub struct ElementState {
    /// Share of the dry matter that the front has passed, 0 to 1.
    pub passed_frac: f64,
    /// Heat of frozen and dried part together, J; dried matter counts from 0 degC, frozen food from its freezing point.
    pub heat_j: f64,
    /// Sorbed water by depth, kg per kg of dry matter of the whole depth.
    pub sorbed_per_dry: Vec<f64>,
}

/// State of the cabinet.
#[derive(Clone, Debug, Default)]
pub struct State {
    /// Elements of all columns in their order.
    pub elements: Vec<ElementState>,
    /// Shelves from the bottom up, K.
    pub shelves_k: Vec<f64>,
    /// Condenser coil, K.
    pub coil_k: f64,
    /// Ice on the coil, kg.
    pub ice_kg: f64,
    /// Water that went through the pump, kg.
    pub pumped_kg: f64,
    /// Electric energy of the compressor since the start of drying, J.
    pub compressor_j: f64,
    /// Electric energy of the heaters since the start of drying, J.
    pub heaters_j: f64,
}

/// What one unit of the scaled vector stands for: one tolerance serves all components, so each is of order one.
#[derive(Clone, Debug)]
pub struct Scales {
    /// Heat of each element, J.
    pub element_heat_j: Vec<f64>,
}

const TEMPERATURE_K: f64 = 50.0;
const ICE_KG: f64 = 5.0;
const ENERGY_J: f64 = 1e7;
const ZERO_K: f64 = 273.15;

impl State {
    /// Components of the vector.
    pub fn components(&self) -> usize {
        self.elements.iter().map(|e| 2 + e.sorbed_per_dry.len()).sum::<usize>() + self.shelves_k.len() + 5
    }

    /// Every number with its place in physical units (`scale`, `origin`), in the order of the vector.
    fn each(&mut self, scales: &Scales, mut f: impl FnMut(&mut f64, f64, f64)) {
        for (element, heat_j) in self.elements.iter_mut().zip(&scales.element_heat_j) {
            f(&mut element.passed_frac, 1.0, 0.0);
            f(&mut element.heat_j, *heat_j, 0.0);
            element.sorbed_per_dry.iter_mut().for_each(|x| f(x, 1.0, 0.0));
        }
        self.shelves_k.iter_mut().for_each(|k| f(k, TEMPERATURE_K, ZERO_K));
        f(&mut self.coil_k, TEMPERATURE_K, ZERO_K);
        f(&mut self.ice_kg, ICE_KG, 0.0);
        f(&mut self.pumped_kg, ICE_KG, 0.0);
        f(&mut self.compressor_j, ENERGY_J, 0.0);
        f(&mut self.heaters_j, ENERGY_J, 0.0);
    }

    /// Reads a scaled vector.
    pub fn read(&mut self, scales: &Scales, vector: &[f64]) {
        let mut values = vector.iter();
        self.each(scales, |x, scale, origin| *x = values.next().map_or(f64::NAN, |v| origin + scale * v));
    }

    /// Writes itself as a scaled vector.
    pub fn write(&mut self, scales: &Scales, vector: &mut [f64]) {
        let mut values = vector.iter_mut();
        self.each(scales, |x, scale, origin| {
            if let Some(v) = values.next() {
                *v = (*x - origin) / scale;
            }
        });
    }

    /// Writes itself, holding rates of change per second, as a scaled vector.
    pub fn write_rates(&mut self, scales: &Scales, vector: &mut [f64]) {
        let mut values = vector.iter_mut();
        self.each(scales, |x, scale, _| {
            if let Some(v) = values.next() {
                *v = *x / scale;
            }
        });
    }
}
