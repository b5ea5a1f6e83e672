//! Quantities that are not known exactly: which they are, as data, and in words a cook knows.

use icefront_core::food::DryingClass;
use icefront_core::ranges::{FoodParameter, MachineParameter, Parameter};
use statrs::distribution::{ContinuousCDF, Normal};

use crate::quantity::KeyPath;

/// Which quantity is not known exactly.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unknown {
    /// A key of the sheet with a distribution of its own.
    Sheet(KeyPath),
    /// A key of the dryer file with a distribution of its own.
    Dryer(KeyPath),
    /// A parameter of the model.
    Model(Parameter),
}

impl Unknown {
    /// Its name in files: `contact.gap`, `cut-fruit.permeability`.
    pub fn name(&self) -> String {
        match self {
            Self::Sheet(path) => path.to_string(),
            Self::Dryer(path) => path.dotted(),
            Self::Model(parameter) => parameter.to_string(),
        }
    }

    /// In words: `gap between trays and shelves`, `cut fruit: ease with which vapour passes`.
    pub fn words(&self) -> String {
        match self {
            Self::Sheet(path) => path.to_string(),
            Self::Dryer(path) => words(&path.dotted()),
            Self::Model(Parameter::Machine(parameter)) => machine(*parameter).into(),
            Self::Model(Parameter::Food(class, parameter)) => food(*class, *parameter),
        }
    }
}

/// Words for an unknown by its name in files; a name that is none of the model's stands for itself.
pub fn words(name: &str) -> String {
    Parameter::of_name(name).map_or_else(|| name.into(), |parameter| Unknown::Model(parameter).words())
}

fn machine(parameter: MachineParameter) -> &'static str {
    match parameter {
        MachineParameter::CutbackPressure => "pressure at which the heaters are held back",
        MachineParameter::WallConductance => "heat passed from cold surface to refrigerant",
        MachineParameter::CompressorSize => "size of the compressor",
        MachineParameter::HotSideConductance => "heat passed from refrigerant to the room",
        MachineParameter::ContactGap => "gap between trays and shelves",
        MachineParameter::StackToColdSurface => "heat radiated from shelves to the cold surface",
        MachineParameter::HeaterPower => "power of the heaters",
        MachineParameter::Leak => "air leaking in",
        MachineParameter::HeatLeak => "heat leaking into the cabinet",
        MachineParameter::DirectContact => "metal contact of trays and shelves",
        MachineParameter::DepositConductivity => "heat passed through the condenser's ice",
        MachineParameter::Accommodation => "heat taken up by thin vapour",
        MachineParameter::FrozenBlockGap => "gap under food loaded frozen",
        MachineParameter::LiningGap => "gap under a lining",
        MachineParameter::EmissivityAbove => "heat radiated onto the food from above",
        MachineParameter::EmissivityBelow => "heat radiated onto the tray from below",
        MachineParameter::PumpPower => "power of the vacuum pump",
        MachineParameter::SetPoint => "warmth at which the heaters rest",
        MachineParameter::Convection => "heat carried by air while food freezes",
        MachineParameter::ShelfHeatCapacity => "metal of shelves and trays",
    }
}

fn food(class: DryingClass, parameter: FoodParameter) -> String {
    let what = match parameter {
        FoodParameter::DesorptionRate => "pace at which held water leaves",
        FoodParameter::DesorptionActivation => "how much warmth speeds held water",
        FoodParameter::Permeability => "ease with which vapour passes",
        FoodParameter::Conductivity => "heat passed through what is dry",
        FoodParameter::UnfreezableWater => "water that never freezes",
        FoodParameter::FatOrSkin => "hindrance by fat or skin",
    };
    format!("{}: {what}", class.name())
}

/// Share of all such things that are lower, for a coordinate in standard deviations.
pub fn rank(z: f64) -> f64 {
    Normal::standard().cdf(z)
}

/// "high (higher than 9 in 10)"
pub fn rank_words(rank: f64) -> String {
    let tenths = |share: f64| (10.0 * share).floor().clamp(5.0, 9.0);
    if rank >= 0.5 {
        format!("high (above {:.0} in 10 such)", tenths(rank))
    } else {
        format!("low (below {:.0} in 10 such)", tenths(1.0 - rank))
    }
}
