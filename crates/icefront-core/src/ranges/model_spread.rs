//! The model's own unknowns: food parameters shared by class, machine parameters shared by all trays.
//!
//! A food's band comes with its class ([`crate::food::ClassDefaults`]); foods of one class share one draw, since what
//! is not known is the class. A machine's bands are those of `data/dryers/README.md`, per quantity as a factor on the
//! dryer file's number; a quantity that carries a spread of its own in the file (or is said to be exact) is left out.

use std::collections::BTreeSet;
use std::fmt;

use super::{OWN_FIRST, Point, Spread};
use crate::food::{Band, DryingClass};
use crate::food::{CONDUCTIVITY_HALF_PRESSURE_PA, DESORPTION_ACTIVATION_J_PER_MOL, FAT_ON_PERMEABILITY};
use crate::load::Load;
use crate::machine::{Cabinet, Dryer, MOST_UNEVEN, UNEVEN};

/// A parameter of the machine that is not known exactly.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MachineParameter {
    /// Pressure from which heaters are held back.
    CutbackPressure,
    /// Condenser coil to refrigerant.
    WallConductance,
    /// Swept volume of the compressor, with its power and loss.
    CompressorSize,
    /// Refrigerant to room.
    HotSideConductance,
    /// Gap between tray and shelf.
    ContactGap,
    /// Radiation from the stack to the cold surface.
    StackToColdSurface,
    /// Power of the heaters.
    HeaterPower,
    /// Air leaking in.
    Leak,
    /// Heat leaking in from the room.
    HeatLeak,
    /// Metal-to-metal contact of tray and shelf.
    DirectContact,
    /// Conductivity of the ice on the condenser.
    DepositConductivity,
    /// Thermal accommodation of vapour on the surfaces.
    Accommodation,
    /// Gap under food loaded frozen.
    FrozenBlockGap,
    /// Gap that a lining adds.
    LiningGap,
    /// Power of the vacuum pump.
    PumpPower,
    /// Heat capacity of shelf and tray.
    ShelfHeatCapacity,
    /// Emissivity of the surface above the food.
    EmissivityAbove,
    /// Set point of the shelves: where the sensor sits, and the swing of a thermostat, 3 K to either side.
    SetPoint,
    /// Heat carried by air while food freezes.
    Convection,
    /// Emissivity of tray and shelf below the food.
    EmissivityBelow,
    /// How unevenly trays lie on their shelves.
    UnevenContact,
}

/// A parameter of a class of foods that is not known exactly, in the order of their numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FoodParameter {
    /// Rate at which bound water leaves.
    DesorptionRate,
    /// How much that rate rises with temperature.
    DesorptionActivation,
    /// Permeability of the dried layer.
    Permeability,
    /// Conductivity of the dried layer.
    Conductivity,
    /// Water that never freezes.
    UnfreezableWater,
    /// Hindrance by fat or skin.
    FatOrSkin,
    /// Front temperature up to which the structure stays intact.
    StructureLimit,
}

/// A parameter of the model that is not known exactly: what identifies an unknown of machine or foods.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Parameter {
    /// Of the machine.
    Machine(MachineParameter),
    /// Of a class of foods.
    Food(DryingClass, FoodParameter),
}

impl MachineParameter {
    /// Its key in a dryer file: `contact.gap`.
    pub fn key(self) -> &'static str {
        MACHINE[self as usize].1
    }

    /// The parameter of such a key.
    pub fn of_key(key: &str) -> Option<Self> {
        MACHINE.iter().find(|row| row.1 == key).map(|row| row.0)
    }
}

impl Parameter {
    /// The parameter that files call so: `contact.gap`, `cut-fruit.permeability`.
    pub fn of_name(name: &str) -> Option<Self> {
        let food = || {
            let (class, what) = name.split_once('.')?;
            let class = DryingClass::ALL.into_iter().find(|known| known.id() == class)?;
            PER_CLASS.iter().find(|(_, known)| *known == what).map(|(parameter, _)| Self::Food(class, *parameter))
        };
        MachineParameter::of_key(name).map(Self::Machine).or_else(food)
    }
}

/// Its name in files: `refrigeration.wall_conductance_w_per_k` as in a dryer file, `cut-fruit.permeability` for a class
/// of food.
impl fmt::Display for Parameter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Machine(parameter) => f.write_str(parameter.key()),
            Self::Food(class, parameter) => write!(f, "{}.{}", class.id(), PER_CLASS[*parameter as usize].1),
        }
    }
}

/// A row: parameter, key in a dryer file, band as factors on the file's number, and what a factor does.
type MachineRow = (MachineParameter, &'static str, f64, f64, fn(&mut Cabinet, f64));

/// Bands per `data/dryers/README.md`. The compressor's is backed by five published curves (290 to 770 W against 400 W at
/// -30/40 degC), those of the emissivities by handbook tables (paint 0.90 to 0.97, anodised 0.55; clean steel 0.16, worn 0.3;
/// aluminium 0.09 to 0.33), that of convection by how far the correlations differ (45 % for a warm tray in cold air, and
/// they are for open plates); all others are from memory.
#[rustfmt::skip]
const MACHINE: [MachineRow; 21] = [
    (MachineParameter::CutbackPressure, "heater.cutback_from", 0.65, 1.4, |c, f| c.heater.cutback.iter_mut().for_each(|cutback| cutback.scale(f))),
    (MachineParameter::WallConductance, "refrigeration.wall_conductance_w_per_k", 0.5, 2.0, |c, f| c.refrigeration.wall_conductance_w_per_k *= f),
    (MachineParameter::CompressorSize, "refrigeration.swept_m3_per_s", 0.75, 1.5, |c, f| c.refrigeration.scale(f)),
    (MachineParameter::HotSideConductance, "refrigeration.hot_side_conductance_w_per_k", 0.67, 1.55, |c, f| c.refrigeration.hot_side_conductance_w_per_k *= f),
    (MachineParameter::ContactGap, "contact.gap", 0.6, 1.8, |c, f| c.contact.gap_m *= f),
    (MachineParameter::StackToColdSurface, "stack_to_cold_surface", 0.28, 1.9, |c, f| c.stack_to_cold_surface_m2 *= f),
    (MachineParameter::HeaterPower, "heater.power_w_per_m2", 0.64, 1.45, |c, f| c.heater.power_w_per_m2 *= f),
    (MachineParameter::Leak, "vacuum.leak_pa_m3_per_s", 0.25, 5.0, |c, f| c.vacuum.leak_pa_m3_per_s *= f),
    (MachineParameter::HeatLeak, "heat_leak_w_per_k", 0.57, 2.1, |c, f| c.heat_leak_w_per_k *= f),
    (MachineParameter::DirectContact, "contact.direct_w_per_m2_k", 0.33, 2.0, |c, f| c.contact.direct_w_per_m2_k *= f),
    (MachineParameter::DepositConductivity, "condenser.deposit_conductivity_w_per_m_k", 0.4, 1.25, |c, f| c.condenser.deposit_conductivity_w_per_m_k *= f),
    (MachineParameter::Accommodation, "contact.accommodation", 0.75, 1.2, |c, f| c.contact.accommodation = (c.contact.accommodation * f).min(1.0)),
    (MachineParameter::FrozenBlockGap, "contact.frozen_block_gap", 0.33, 2.7, |c, f| c.contact.frozen_block_gap_m *= f),
    (MachineParameter::LiningGap, "contact.lining_gap", 0.5, 1.5, |c, f| c.contact.lining_gap_m *= f),
    (MachineParameter::PumpPower, "vacuum.power", 0.6, 1.6, |c, f| c.vacuum.power_w *= f),
    (MachineParameter::ShelfHeatCapacity, "shelf_heat_capacity_j_per_m2_k", 0.62, 1.5, |c, f| c.shelf_heat_capacity_j_per_m2_k *= f),
    (MachineParameter::EmissivityAbove, "contact.emissivity_above", 0.75, 1.5, |c, f| c.contact.emissivity_above = (c.contact.emissivity_above * f).min(0.97)),
    (MachineParameter::SetPoint, "heater.set_point", 0.99, 1.01, |c, f| c.heater.set_point.scale(f)),
    (MachineParameter::Convection, "convection", 0.7, 1.4, |c, f| c.convection_times *= f),
    (MachineParameter::EmissivityBelow, "contact.emissivity_below", 0.56, 2.0, |c, f| c.contact.emissivity_below = (c.contact.emissivity_below * f).min(0.97)),
    (MachineParameter::UnevenContact, "contact.uneven", UNEVEN.low / UNEVEN.typical, UNEVEN.high / UNEVEN.typical, |c, f| c.contact.uneven_frac = (c.contact.uneven_frac * f).min(MOST_UNEVEN)),
];

/// Gap of one tray over that of the dryer's trays: from one tray to the next it varies as much as from one dryer to the
/// next, so that both together span a factor of 0.5 to 2.25. From memory.
const OWN_GAP: Band = Band::new(0.6, 1.0, 1.8);

/// Parameters of each food class with their names in files, in the order of their numbers.
const PER_CLASS: [(FoodParameter, &str); 7] = [
    (FoodParameter::DesorptionRate, "desorption_rate"),
    (FoodParameter::DesorptionActivation, "desorption_activation"),
    (FoodParameter::Permeability, "permeability"),
    (FoodParameter::Conductivity, "conductivity"),
    (FoodParameter::UnfreezableWater, "unfreezable_water"),
    (FoodParameter::FatOrSkin, "fat_or_skin"),
    (FoodParameter::StructureLimit, "structure_limit"),
];

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
            Dryer::Cabinet(_) => (0..MACHINE.len()).filter(|&i| !known.contains(MACHINE[i].1)).collect(),
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

    /// The unknowns in the order of their numbers. A machine's are all there, those known otherwise without effect.
    pub fn parameters(&self) -> Vec<Parameter> {
        let of_class = |what: FoodParameter| self.classes.iter().map(move |class| Parameter::Food(*class, what));
        let machine = MACHINE.iter().filter(|_| !self.machine.is_empty()).map(|row| Parameter::Machine(row.0));
        PER_CLASS.iter().flat_map(|(what, _)| of_class(*what)).chain(machine).collect()
    }

    /// Puts one point's values into a load; `first` is the number of the first unknown.
    pub fn apply(&self, load: &mut Load, point: &Point, first: usize) {
        // what matters most comes first: the first dimensions of the sequence are its best
        let machine_first = first + PER_CLASS.len() * self.classes.len();
        if let Dryer::Cabinet(cabinet) = &mut load.dryer {
            for &i in &self.machine {
                let (_, _, low, high, apply) = MACHINE[i];
                let spread = Spread::of_band(Band::new(low, 1.0, high));
                apply(cabinet, spread.quantile(point.unit(machine_first + i)));
            }
            if self.machine.contains(&(MachineParameter::ContactGap as usize)) {
                for (i, tray) in load.trays.iter_mut().enumerate() {
                    tray.gap_times = Spread::of_band(OWN_GAP).quantile(point.unit(OWN_FIRST + i));
                }
            }
        }
        for (model, spread) in load.trays.iter_mut().flat_map(|tray| tray.foods_mut()) {
            let Some(spread) = spread else { continue };
            let Some(class) = self.classes.iter().position(|c| *c == spread.class) else { continue };
            let unit = |what: FoodParameter| point.unit(first + self.classes.len() * what as usize + class);
            let factor = |band: Band, what: FoodParameter| {
                Spread::of_band(Band::new(band.low / band.typical, 1.0, band.high / band.typical)).quantile(unit(what))
            };
            let matrix = &mut model.dried;
            let fat = Spread::of_band(FAT_ON_PERMEABILITY).quantile(unit(FoodParameter::FatOrSkin))
                - FAT_ON_PERMEABILITY.typical;
            matrix.permeability_kg_per_m_s_pa *=
                factor(spread.permeability, FoodParameter::Permeability) * libm::exp(-fat * model.fat_per_dry);
            matrix.conductivity_vacuum_w_per_m_k *= factor(spread.conductivity, FoodParameter::Conductivity);
            // a looser matrix has wider pores: half pressure falls where the permeability rises
            matrix.conductivity_half_pressure_pa /= Spread::of_band(CONDUCTIVITY_HALF_PRESSURE_PA)
                .quantile(unit(FoodParameter::Permeability))
                / CONDUCTIVITY_HALF_PRESSURE_PA.typical;
            if spread.skin.typical > 0.0 {
                matrix.skin_resistance_m2_s_pa_per_kg *= factor(spread.skin, FoodParameter::FatOrSkin);
            }
            let curve = &mut model.curve;
            curve.unfreezable_frac = (curve.unfreezable_frac
                * factor(spread.unfreezable, FoodParameter::UnfreezableWater))
            .min(0.9 * curve.water_frac);
            let limit_c = Spread::of_band(spread.collapse_c).quantile(unit(FoodParameter::StructureLimit));
            model.limit.collapse_k += limit_c - spread.collapse_c.typical;
            matrix.desorption_rate_40c_per_s *= factor(spread.desorption, FoodParameter::DesorptionRate);
            matrix.desorption_activation_j_per_mol *=
                factor(DESORPTION_ACTIVATION_J_PER_MOL, FoodParameter::DesorptionActivation);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_parameter_stands_in_its_row_and_is_found_by_its_name() {
        for (at, (parameter, key, ..)) in MACHINE.into_iter().enumerate() {
            assert_eq!((parameter as usize, Parameter::of_name(key)), (at, Some(Parameter::Machine(parameter))));
        }
        for (at, (parameter, _)) in PER_CLASS.into_iter().enumerate() {
            let food = Parameter::Food(DryingClass::ALL[0], parameter);
            assert_eq!((parameter as usize, Parameter::of_name(&food.to_string())), (at, Some(food)));
        }
    }
}
