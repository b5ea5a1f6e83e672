//! Oxygen in a closed pack, and the absorber that takes it up.
//!
//! # Main equations
//! ```text
//! gas     = container - dried food / density of its solids          its pores are gas too
//! oxygen  = 0.209 gas (P/P0)(T0/T)                                  at P0 = 101 325 Pa, T0 = 293.15 K
//! passing = rate x area x time x 0.209                              rate: for 1 atm of pure oxygen
//! left    = (oxygen - rating) / (gas - rating)                      same pressure
//! ```
//! # Assumptions and limits
//! Ideal gas. A rating in cm3 is taken at P0 and T0: a maker that means 0 degC gives 7 % more. Humidity of the air is not
//! taken off (1 % at 20 degC). Rates of films are good to a factor of two; seams and lids leak more than walls.
//!
//! # References
//! Oxygen in unsealed cans 20.9 % (storage studies of dry staples), 1 g of iron takes 300 cm3, single absorbers differ by a
//! factor of two, rates of films: `data/aftercare/packing.csv` with its sources. Pressure at altitude: ICAO standard
//! atmosphere.

use serde::Serialize;

use crate::constants::STANDARD_ATMOSPHERE_PA;
use crate::food::Band;

/// Oxygen in dry air by volume, as read in unsealed cans.
const OXYGEN_FRAC: f64 = 0.209;
/// Temperature that volumes of oxygen are stated at, K.
const REFERENCE_K: f64 = 293.15;
const YEAR_S: f64 = 365.0 * 86_400.0;

/// Rating to buy over oxygen inside: single absorbers differ by a factor of two, so 1.5 to 2 (absorption kinetics of six
/// scavengers, abstract).
pub const ABSORBER_MARGIN: f64 = 1.5;

/// Pressure of the air, Pa.
///
/// ```text
/// P = 101325 (1 - 2.25577e-5 h)^5.25588           h: altitude, m
/// ```
/// Valid: to 11 000 m. Source: ICAO standard atmosphere (Doc 7488), troposphere.
pub fn air_pressure_pa(altitude_m: f64) -> f64 {
    STANDARD_ATMOSPHERE_PA * libm::pow((1.0 - 2.255_77e-5 * altitude_m).max(0.0), 5.255_88)
}

/// Oxygen in a volume of air, m3 at 101 325 Pa and 20 degC.
pub fn oxygen_volume_m3(gas_m3: f64, pressure_pa: f64, temperature_k: f64) -> f64 {
    OXYGEN_FRAC * gas_m3 * pressure_pa / STANDARD_ATMOSPHERE_PA * REFERENCE_K / temperature_k
}

/// Share of oxygen in the gas that is left once an absorber has taken all it can; volumes at the same pressure.
pub fn oxygen_left_frac(oxygen_m3: f64, gas_m3: f64, rating_m3: f64) -> f64 {
    let taken = rating_m3.min(oxygen_m3);
    (oxygen_m3 - taken) / (gas_m3 - taken)
}

/// What a pack is made of: oxygen that passes its wall, m3 per m2 and second at 1 atm of pure oxygen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Wall {
    /// Glass or metal: nothing passes but through lid and seam.
    #[default]
    GlassOrMetal,
    /// Laminate with aluminium foil.
    Foil,
    /// Laminate with a film of metal.
    Metallised,
    /// Nylon and polyethylene, as vacuum bags.
    Nylon,
    /// Polyethylene, as freezer bags: low density, 25 um.
    Polyethylene,
}

impl Wall {
    /// Oxygen through it, m3/(m2 s) at 1 atm, lowest and highest published.
    pub fn rate_m_per_s(self) -> (f64, f64) {
        // cm3/(m2 day) to m/s
        let per_day = |low: f64, high: f64| (low * 1e-6 / 86_400.0, high * 1e-6 / 86_400.0);
        match self {
            Self::GlassOrMetal => (0.0, 0.0),
            Self::Foil => per_day(0.0, 0.006),
            Self::Metallised => per_day(0.6, 0.6),
            Self::Nylon => per_day(62.0, 78.0),
            Self::Polyethylene => per_day(4_650.0, 9_300.0),
        }
    }

    /// Oxygen that passes in a year from air, m3 at 1 atm.
    pub fn oxygen_per_year_m3(self, area_m2: f64) -> (f64, f64) {
        let (low, high) = self.rate_m_per_s();
        let all = area_m2 * YEAR_S * OXYGEN_FRAC;
        (low * all, high * all)
    }
}

/// Both sides of a flat pouch that holds this volume, m2: 0.1 m2 for about 1 L (20 cm by 25 cm), others alike in shape.
/// The litre is from memory.
pub fn pouch_area_m2(volume_m3: f64) -> f64 {
    10.0 * libm::pow(volume_m3, 2.0 / 3.0)
}

/// A pack with dried food in.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct FilledPack {
    /// Room in the closed pack, m3.
    pub container_m3: f64,
    /// Food with the air between its pieces, m3.
    pub bulk_m3: Band,
    /// Gas: what is not solid, m3.
    pub gas_m3: f64,
    /// Oxygen in it, m3 at 101 325 Pa and 20 degC.
    pub oxygen_m3: f64,
}

impl FilledPack {
    /// Dried food in a container in which it lies at `bulk_kg_per_m3`, in air at this pressure and temperature.
    pub fn new(
        dried_kg: f64,
        bulk_kg_per_m3: Band,
        solid_kg_per_m3: f64,
        container_m3: f64,
        pressure_pa: f64,
        temperature_k: f64,
    ) -> Self {
        let bulk = |density: f64| dried_kg / density;
        let gas_m3 = (container_m3 - dried_kg / solid_kg_per_m3).max(0.0);
        Self {
            container_m3,
            bulk_m3: Band::new(bulk(bulk_kg_per_m3.high), bulk(bulk_kg_per_m3.typical), bulk(bulk_kg_per_m3.low)),
            gas_m3,
            oxygen_m3: oxygen_volume_m3(gas_m3, pressure_pa, temperature_k),
        }
    }
}
