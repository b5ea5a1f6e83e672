//! Unknowns of machine and foods in words a cook knows.

use icefront_core::food::DryingClass;
use statrs::distribution::{ContinuousCDF, Normal};

/// Keys of a dryer file whose meaning is not plain from the key.
const MACHINE: [(&str, &str); 20] = [
    ("heater.cutback_from", "pressure at which the heaters are held back"),
    ("refrigeration.wall_conductance_w_per_k", "heat passed from cold surface to refrigerant"),
    ("refrigeration.swept_m3_per_s", "size of the compressor"),
    ("refrigeration.hot_side_conductance_w_per_k", "heat passed from refrigerant to the room"),
    ("contact.gap", "gap between trays and shelves"),
    ("stack_to_cold_surface", "heat radiated from shelves to the cold surface"),
    ("heater.power_w_per_m2", "power of the heaters"),
    ("vacuum.leak_pa_m3_per_s", "air leaking in"),
    ("heat_leak_w_per_k", "heat leaking into the cabinet"),
    ("contact.direct_w_per_m2_k", "metal contact of trays and shelves"),
    ("condenser.deposit_conductivity_w_per_m_k", "heat passed through the condenser's ice"),
    ("contact.accommodation", "heat taken up by thin vapour"),
    ("contact.frozen_block_gap", "gap under food loaded frozen"),
    ("contact.lining_gap", "gap under a lining"),
    ("contact.emissivity_above", "heat radiated onto the food from above"),
    ("contact.emissivity_below", "heat radiated onto the tray from below"),
    ("vacuum.power", "power of the vacuum pump"),
    ("heater.set_point", "warmth at which the heaters rest"),
    ("convection", "heat carried by air while food freezes"),
    ("shelf_heat_capacity_j_per_m2_k", "metal of shelves and trays"),
];
const FOOD: [(&str, &str); 6] = [
    ("desorption_rate", "pace at which held water leaves"),
    ("desorption_activation", "how much warmth speeds held water"),
    ("permeability", "ease with which vapour passes"),
    ("conductivity", "heat passed through what is dry"),
    ("unfreezable_water", "water that never freezes"),
    ("fat_or_skin", "hindrance by fat or skin"),
];

/// An unknown by its name in files, in words: `gap between trays and shelves`, `cut fruit: ease with which vapour passes`.
pub fn words(name: &str) -> String {
    if let Some((_, words)) = MACHINE.iter().find(|(key, _)| *key == name) {
        return (*words).to_string();
    }
    let food = name.split_once('.').and_then(|(class, what)| {
        let class = DryingClass::ALL.into_iter().find(|c| c.id() == class)?;
        let (_, words) = FOOD.iter().find(|(key, _)| *key == what)?;
        Some(format!("{}: {words}", class.name()))
    });
    food.unwrap_or_else(|| name.to_string())
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
