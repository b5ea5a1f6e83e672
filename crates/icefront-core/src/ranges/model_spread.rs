//! The model's own unknowns: food parameters shared by class, machine parameters shared by all trays.
//!
//! A food's band comes with its class ([`crate::food::ClassDefaults`]); foods of one class share one draw, since what
//! is not known is the class. A machine's bands are those of `data/dryers/README.md`, per quantity as a factor on the
//! dryer file's number; a quantity that carries a spread of its own in the file (or is said to be exact) is left out.

use std::collections::BTreeSet;

use super::{Point, Spread};
use crate::food::{Band, DryingClass};
use crate::food::{CONDUCTIVITY_HALF_PRESSURE_PA, DESORPTION_ACTIVATION_J_PER_MOL, FAT_ON_PERMEABILITY};
use crate::load::Load;
use crate::machine::{Cabinet, Dryer};

/// One unknown of the machine.
struct MachineUnknown {
    /// Key in a dryer file.
    key: &'static str,
    /// Band as factors on the file's number; `from memory` unless said otherwise.
    low: f64,
    high: f64,
    apply: fn(&mut Cabinet, f64),
}

/// Bands per `data/dryers/README.md`. The compressor's is backed by five published curves (290 to 770 W against 400 W at
/// -30/40 degC), those of the emissivities by handbook tables (paint 0.90 to 0.97, anodised 0.55; clean steel 0.16, worn 0.3;
/// aluminium 0.09 to 0.33), that of convection by how far the correlations differ (45 % for a warm tray in cold air, and
/// they are for open plates); all others are from memory.
const MACHINE: [MachineUnknown; 20] = [
    MachineUnknown {
        key: "heater.cutback_from",
        low: 0.65,
        high: 1.4,
        apply: |c, f| {
            if let Some(cutback) = &mut c.heater.cutback {
                cutback.scale(f);
            }
        },
    },
    MachineUnknown {
        key: "refrigeration.wall_conductance_w_per_k",
        low: 0.5,
        high: 2.0,
        apply: |c, f| c.refrigeration.wall_conductance_w_per_k *= f,
    },
    MachineUnknown {
        key: "refrigeration.swept_m3_per_s",
        low: 0.75,
        high: 1.5,
        apply: |c, f| {
            c.refrigeration.swept_m3_per_s *= f;
            c.refrigeration.loss_w *= f;
            c.refrigeration.power_limit_w *= f;
        },
    },
    MachineUnknown {
        key: "refrigeration.hot_side_conductance_w_per_k",
        low: 0.67,
        high: 1.55,
        apply: |c, f| c.refrigeration.hot_side_conductance_w_per_k *= f,
    },
    MachineUnknown { key: "contact.gap", low: 0.5, high: 2.25, apply: |c, f| c.contact.gap_m *= f },
    MachineUnknown {
        key: "stack_to_cold_surface",
        low: 0.28,
        high: 1.9,
        apply: |c, f| c.stack_to_cold_surface_m2 *= f,
    },
    MachineUnknown { key: "heater.power_w_per_m2", low: 0.64, high: 1.45, apply: |c, f| c.heater.power_w_per_m2 *= f },
    MachineUnknown {
        key: "vacuum.leak_pa_m3_per_s",
        low: 0.25,
        high: 5.0,
        apply: |c, f| c.vacuum.leak_pa_m3_per_s *= f,
    },
    MachineUnknown { key: "heat_leak_w_per_k", low: 0.57, high: 2.1, apply: |c, f| c.heat_leak_w_per_k *= f },
    MachineUnknown {
        key: "contact.direct_w_per_m2_k",
        low: 0.33,
        high: 2.0,
        apply: |c, f| c.contact.direct_w_per_m2_k *= f,
    },
    MachineUnknown {
        key: "condenser.deposit_conductivity_w_per_m_k",
        low: 0.4,
        high: 1.25,
        apply: |c, f| c.condenser.deposit_conductivity_w_per_m_k *= f,
    },
    MachineUnknown {
        key: "contact.accommodation",
        low: 0.75,
        high: 1.2,
        apply: |c, f| c.contact.accommodation = (c.contact.accommodation * f).min(1.0),
    },
    MachineUnknown {
        key: "contact.frozen_block_gap",
        low: 0.6,
        high: 2.0,
        apply: |c, f| c.contact.frozen_block_gap_m *= f,
    },
    MachineUnknown { key: "contact.lining_gap", low: 0.5, high: 1.5, apply: |c, f| c.contact.lining_gap_m *= f },
    MachineUnknown { key: "vacuum.power", low: 0.6, high: 1.6, apply: |c, f| c.vacuum.power_w *= f },
    MachineUnknown {
        key: "shelf_heat_capacity_j_per_m2_k",
        low: 0.62,
        high: 1.5,
        apply: |c, f| c.shelf_heat_capacity_j_per_m2_k *= f,
    },
    MachineUnknown {
        key: "contact.emissivity_above",
        low: 0.75,
        high: 1.5,
        apply: |c, f| c.contact.emissivity_above = (c.contact.emissivity_above * f).min(0.97),
    },
    // 3 K to either side: where the sensor sits, and the swing of a thermostat
    MachineUnknown { key: "heater.set_point", low: 0.99, high: 1.01, apply: |c, f| c.heater.set_point_k *= f },
    MachineUnknown { key: "convection", low: 0.7, high: 1.4, apply: |c, f| c.convection_times *= f },
    MachineUnknown {
        key: "contact.emissivity_below",
        low: 0.56,
        high: 2.0,
        apply: |c, f| c.contact.emissivity_below = (c.contact.emissivity_below * f).min(0.97),
    },
];

/// Unknowns of each food class, in the order of their numbers.
const PER_CLASS: [&str; 6] =
    ["desorption_rate", "desorption_activation", "permeability", "conductivity", "unfreezable_water", "fat_or_skin"];

/// The model's unknowns of one load.
#[derive(Clone, Debug)]
pub struct ModelSpread {
    machine: Vec<usize>,
    classes: Vec<DryingClass>,
}

impl ModelSpread {
    /// Unknowns of a load; `known` holds dryer-file keys (`contact.gap`) that carry a spread of their own.
    pub fn of(load: &Load, known: &BTreeSet<String>) -> Self {
        let machine = match &load.dryer {
            Dryer::Cabinet(_) => (0..MACHINE.len()).filter(|&i| !known.contains(MACHINE[i].key)).collect(),
            Dryer::Prescribed(_) => Vec::new(),
        };
        let classes: BTreeSet<DryingClass> =
            load.trays.iter().flat_map(|t| t.foods()).filter_map(|(_, spread)| Some(spread?.class)).collect();
        Self { machine, classes: classes.into_iter().collect() }
    }

    /// Takes in the food classes of another load, so that both give the same number of a point to the same unknown.
    pub fn join(&mut self, other: &Self) {
        let classes: BTreeSet<DryingClass> = self.classes.iter().chain(&other.classes).copied().collect();
        self.classes = classes.into_iter().collect();
    }

    /// Number of unknowns.
    pub fn len(&self) -> usize {
        self.machine.len() + PER_CLASS.len() * self.classes.len()
    }

    /// Whether nothing is unknown.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Names of the unknowns in the order of their numbers: `refrigeration.wall_conductance_w_per_k` as in a dryer file,
    /// `cut-fruit.permeability` for a class of food. A machine's are all there, those known otherwise without effect.
    pub fn names(&self) -> Vec<String> {
        let food = PER_CLASS.iter().flat_map(|what| self.classes.iter().map(move |c| format!("{}.{what}", c.id())));
        let machine = MACHINE.iter().filter(|_| !self.machine.is_empty()).map(|unknown| unknown.key.to_string());
        food.chain(machine).collect()
    }

    /// Puts one point's values into a load; `first` is the number of the first unknown.
    pub fn apply(&self, load: &mut Load, point: &Point, first: usize) {
        // what matters most comes first: the first dimensions of the sequence are its best
        let machine_first = first + PER_CLASS.len() * self.classes.len();
        if let Dryer::Cabinet(cabinet) = &mut load.dryer {
            for &i in &self.machine {
                let unknown = &MACHINE[i];
                let spread = Spread::of_band(Band::new(unknown.low, 1.0, unknown.high));
                (unknown.apply)(cabinet, spread.quantile(point.unit(machine_first + i)));
            }
        }
        for (model, spread) in load.trays.iter_mut().flat_map(|tray| tray.foods_mut()) {
            let Some(spread) = spread else { continue };
            let Some(class) = self.classes.iter().position(|c| *c == spread.class) else { continue };
            let unit = |k: usize| point.unit(first + self.classes.len() * k + class);
            let factor = |band: Band, k: usize| {
                Spread::of_band(Band::new(band.low / band.typical, 1.0, band.high / band.typical)).quantile(unit(k))
            };
            let matrix = &mut model.dried;
            let fat = Spread::of_band(FAT_ON_PERMEABILITY).quantile(unit(5)) - FAT_ON_PERMEABILITY.typical;
            matrix.permeability_kg_per_m_s_pa *= factor(spread.permeability, 2) * (-fat * model.fat_per_dry).exp();
            matrix.conductivity_vacuum_w_per_m_k *= factor(spread.conductivity, 3);
            // a looser matrix has wider pores: half pressure falls where the permeability rises
            matrix.conductivity_half_pressure_pa /= Spread::of_band(CONDUCTIVITY_HALF_PRESSURE_PA).quantile(unit(2))
                / CONDUCTIVITY_HALF_PRESSURE_PA.typical;
            if spread.skin.typical > 0.0 {
                matrix.skin_resistance_m2_s_pa_per_kg *= factor(spread.skin, 5);
            }
            let curve = &mut model.curve;
            curve.unfreezable_frac =
                (curve.unfreezable_frac * factor(spread.unfreezable, 4)).min(0.9 * curve.water_frac);
            matrix.desorption_rate_40c_per_s *= factor(spread.desorption, 0);
            matrix.desorption_activation_j_per_mol *= factor(DESORPTION_ACTIVATION_J_PER_MOL, 1);
        }
    }
}
