//! State of the stack while it dries: extensive quantities of each drying element, shelf temperatures, the machine.

use crate::numerics::components::components_by_field;

/// Depths at which sorbed water is resolved, per drying element.
pub const DEPTHS: usize = 10;

/// Fraction of an element's dry matter ahead of its front below which it holds no ice.
const NO_ICE_FRAC: f64 = 1e-6;

/// State of one drying element: a front with the frozen food ahead of it and the dried layer behind it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ElementState {
    /// Dry matter behind the front, kg.
    pub passed_kg: f64,
    /// Ice sublimed, kg.
    pub sublimed_kg: f64,
    /// Heat of the frozen part and of half of the dried layer, J.
    pub front_heat_j: f64,
    /// Heat of the other half of the dried layer, J.
    pub surface_heat_j: f64,
    /// Temperature of the front, K.
    pub front_k: f64,
    /// Temperature of the dried surface, K.
    pub surface_k: f64,
    /// Front rate in the last step: dry matter, kg/s.
    pub front_rate_kg_per_s: f64,
    /// Ice sublimed in the last step, kg/s.
    pub sublimation_kg_per_s: f64,
    /// Sorbed water by depth from the surface, kg.
    pub sorbed_kg: [f64; DEPTHS],
}

components_by_field!(ElementState {
    passed_kg,
    sublimed_kg,
    front_heat_j,
    surface_heat_j,
    front_k,
    surface_k,
    front_rate_kg_per_s,
    sublimation_kg_per_s,
    sorbed_kg,
});

impl ElementState {
    /// Whether an element with this much dry matter still holds ice.
    pub fn has_ice(&self, dry_kg: f64) -> bool {
        self.passed_kg < dry_kg * (1.0 - NO_ICE_FRAC)
    }

    /// Sorbed water at all depths, kg.
    pub fn total_sorbed_kg(&self) -> f64 {
        self.sorbed_kg.iter().sum()
    }

    /// All water, kg: ahead of the front what the food was loaded with, behind it what is sorbed.
    pub fn water_kg(&self, dry_kg: f64, loaded_per_dry: f64) -> f64 {
        (dry_kg - self.passed_kg) * loaded_per_dry + self.total_sorbed_kg()
    }

    /// Largest local moisture, kg/kg dry; while ice is left, that of the food as loaded.
    pub fn largest_moisture_per_dry(&self, dry_kg: f64, loaded_per_dry: f64) -> f64 {
        if self.has_ice(dry_kg) {
            return loaded_per_dry;
        }
        let depth_kg = dry_kg / DEPTHS as f64;
        self.sorbed_kg.iter().fold(0.0, |largest: f64, sorbed| largest.max(sorbed / depth_kg))
    }
}

/// State of condenser, chamber and pump, with the sums over the run so far.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MachineState {
    /// Condenser coil (its metal), K.
    pub coil_k: f64,
    /// Ice on the condenser, kg.
    pub ice_kg: f64,
    /// Deposition rate, kg/s.
    pub deposition_kg_per_s: f64,
    /// Water removed by the pump, kg.
    pub pumped_kg: f64,
    /// Electric energy of the compressor, J.
    pub compressor_j: f64,
    /// Electric energy of the heaters (in a rig: heat from the shelves), J.
    pub heaters_j: f64,
    /// Heat removed by the refrigerant, J.
    pub cooled_j: f64,
    /// Heat leaked in from the room, J.
    pub leaked_j: f64,
    /// Latent heat of sublimation and desorption, with the heat that warmed the vapour, J.
    pub latent_j: f64,
    /// Enthalpy transferred from frozen food to the dried layer, less what that layer counts, J.
    pub transferred_j: f64,
    /// Heat released on the condenser, J.
    pub deposited_j: f64,
    /// Time with heaters limited by pressure, s.
    pub limited_s: f64,
    /// Vapour pressure in the chamber, Pa.
    pub vapour_pa: f64,
}

components_by_field!(MachineState {
    coil_k,
    ice_kg,
    deposition_kg_per_s,
    pumped_kg,
    compressor_j,
    heaters_j,
    cooled_j,
    leaked_j,
    latent_j,
    transferred_j,
    deposited_j,
    limited_s,
    vapour_pa,
});

/// State of the whole stack.
#[derive(Clone, Debug, PartialEq)]
pub struct DryingState {
    /// Drying elements: by tray from the bottom up, in it by zone, in that from the bottom up.
    pub elements: Vec<ElementState>,
    /// Shelves from the bottom up, K.
    pub shelf_k: Vec<f64>,
    /// Condenser, chamber and pump.
    pub machine: MachineState,
}

components_by_field!(DryingState { elements, shelf_k, machine });

impl DryingState {
    /// All zeros.
    pub fn new(elements: usize, shelves: usize) -> Self {
        Self {
            elements: vec![ElementState::default(); elements],
            shelf_k: vec![0.0; shelves],
            machine: MachineState::default(),
        }
    }
}
