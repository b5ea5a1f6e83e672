//! A published run as inputs: what is published, and the range of what is missing.

use serde::Deserialize;

use icefront_core::constants::{STEFAN_BOLTZMANN_W_PER_M2_K4, ZERO_CELSIUS_K};
use icefront_core::food::{Composition, DryingClass, Food, FoodError, FoodTable};
use icefront_core::load::{ContactOverride, EndRule, Freezing, Load, Tariff, Tray};
use icefront_core::machine::heat_paths::gas_gap_w_per_m2_k;
use icefront_core::machine::{Contact, Dryer, MOST_UNEVEN, Prescribed, PrescribedPoint};
use icefront_core::shape::{PieceForm, Shape};

use icefront_core::units::UnitSystem;

use crate::evidence::EvidenceError;
use crate::evidence::case::{Case, read};
use crate::evidence::draws::Pick;
use crate::evidence::drying::log;

const RUNS: &str = include_str!("../../../data/published/drying_cases.csv");
const RIG: &str = include_str!("../../../data/published/rig_defaults.csv");

/// One run of `drying_cases.csv`, in the units of the file.
#[derive(Clone, Debug, Deserialize)]
pub struct Run {
    /// Name.
    pub case: String,
    food: String,
    water_low: f64,
    water_high: f64,
    shape: String,
    size_mm_low: f64,
    size_mm_high: f64,
    layers_low: Option<f64>,
    layers_high: Option<f64>,
    loading_kg_m2: Option<f64>,
    shelf_c_low: Option<f64>,
    shelf_c_high: Option<f64>,
    /// Shelf over time: blank for constant, `minutes:degC` pairs, or the name of a log.
    pub schedule: String,
    pressure_pa_low: Option<f64>,
    pressure_pa_high: Option<f64>,
    vapour_share_low: f64,
    vapour_share_high: f64,
    heat: String,
    skin: String,
    frozen_c_low: f64,
    frozen_c_high: f64,
    final_wet_low: f64,
    final_wet_high: f64,
    /// Inputs that the source does not give.
    pub missing: String,
}

#[derive(Deserialize)]
struct RigDefault {
    name: String,
    low: f64,
    typical: f64,
    high: f64,
}

/// All runs.
pub fn runs() -> Result<Vec<Run>, EvidenceError> {
    read("drying_cases.csv", RUNS)
}

/// The run with this name.
pub fn run_named(case: &Case, name: &str) -> Result<Run, EvidenceError> {
    let key = || EvidenceError::Key { id: case.id.clone(), key: name.into() };
    runs()?.into_iter().find(|run| run.case == name).ok_or_else(key)
}

/// A run with every number chosen.
#[derive(Clone, Debug)]
pub struct RunInputs {
    /// The input of `plan`.
    pub load: Load,
    /// Whether something warm may lie above the food.
    pub may_be_heated_above: bool,
    /// Mean moisture at which the run counts as done, wet basis.
    pub final_wet_frac: f64,
    /// Share of the ice that is gone when the front passes the deepest of three probes whose places are not told.
    pub slowest_probe: f64,
}

impl RunInputs {
    /// Water that leaves until the run counts as done, kg.
    pub fn water_removed_kg(&self) -> f64 {
        let removed = |tray: &Tray| {
            let (model, per_dry) = (&tray.model, self.final_wet_frac / (1.0 - self.final_wet_frac));
            let food_kg = model.density_kg_per_m3 * tray.shape.volume_per_area_m() * tray.area_m2;
            food_kg * (model.water_frac() - model.dry_frac() * per_dry)
        };
        self.load.trays.iter().map(removed).sum()
    }
}

/// Trays of a laboratory dryer, all together: only the rate of a whole batch depends on it.
const TRAYS_M2: (f64, f64) = (0.1, 0.4);
/// Slices of a bed: width, and share of the tray that one layer covers (invented, ordinary slices).
const SLICE_M: f64 = 0.04;
const SLICE_COVERAGE: f64 = 0.8;
/// The same for chunks, loosely laid.
const CHUNK_COVERAGE: f64 = 0.7;
/// Heat transfer coefficient so large that the outer face has the temperature of the plate, W/(m2 K).
const HELD_W_PER_M2_K: f64 = 1e4;
/// Lamp of the infrared runs, W/m2, and the room it stands in, K.
const LAMP_W_PER_M2: f64 = 1_600.0;
const ROOM_K: f64 = ZERO_CELSIUS_K + 20.0;
/// Walls of a chamber in that room, degC.
const ROOM_C: (f64, f64) = (15.0, 25.0);

impl Run {
    /// Chooses what is missing by one draw. Two runs take the same numbers from the same draw, in the same order.
    pub fn inputs(&self, pick: &Pick) -> Result<RunInputs, EvidenceError> {
        let key = |what: &str| EvidenceError::Key { id: self.case.clone(), key: what.into() };
        let foods: Vec<&str> = self.food.split('|').collect();
        let food = pick.one_of(&foods).ok_or_else(|| key("food"))?;
        let food = table_food(food)?.with_water(pick.even(self.water_low, self.water_high))?;
        let mut model = food.model()?;
        if self.skin == "n" {
            model.dried.skin_resistance_m2_s_pa_per_kg = 0.0;
        }
        let size_m = pick.even(self.size_mm_low, self.size_mm_high) / 1e3;
        let layers = pick.even(self.layers_low.unwrap_or(1.0), self.layers_high.unwrap_or(1.0) + 1.0) as usize;
        let width = pick.even(1.5, 2.5);
        let between = |low: Option<f64>, high: Option<f64>| pick.even(low.unwrap_or(0.0), high.unwrap_or(0.0));
        let shelf_k = between(self.shelf_c_low, self.shelf_c_high) + ZERO_CELSIUS_K;
        let pressure_pa = between(self.pressure_pa_low, self.pressure_pa_high);
        let vapour_share = pick.even(self.vapour_share_low, self.vapour_share_high);
        let frozen_k = pick.even(self.frozen_c_low, self.frozen_c_high) + ZERO_CELSIUS_K;
        let final_wet_frac = pick.even(self.final_wet_low, self.final_wet_high);
        let lamp_share = pick.even(0.3, 0.9);
        let mut contact = drawn_contact(pick)?;
        let heats: Vec<&str> = self.heat.split('|').collect();
        let heat = pick.one_of(&heats).ok_or_else(|| key("heat"))?;
        let frozen_on_tray = pick.even(0.0, 1.0) < 0.5 && self.shape == "layer";
        let radiant = rig_default("emissivity_radiant", pick)?.min(0.98);
        let area_m2 = pick.even(TRAYS_M2.0, TRAYS_M2.1);
        let surroundings_k = pick.even(ROOM_C.0, ROOM_C.1) + ZERO_CELSIUS_K;
        // the largest of three even numbers
        let slowest_probe = pick.even(0.0, 1.0).cbrt();

        if matches!(*heat, "above" | "faces") {
            contact.emissivity_above = radiant;
        }
        let layers = layers.min(self.layers_high.unwrap_or(1.0) as usize).max(1);
        let shape = self.shape(size_m, layers, width, model.density_kg_per_m3).ok_or_else(|| key(&self.shape))?;
        let (shape, given, sides) = heated(heat, shape, &contact, pressure_pa).ok_or_else(|| key(heat))?;
        let shelf_k = if *heat == "lamp" {
            (lamp_share * LAMP_W_PER_M2 / STEFAN_BOLTZMANN_W_PER_M2_K4 + ROOM_K.powi(4)).powf(0.25)
        } else {
            shelf_k
        };
        let schedule = self.schedule(shelf_k, pressure_pa, vapour_share)?;
        let tray = Tray {
            name: self.case.clone(),
            spread: Some(food.spread()),
            // a layer that froze on its tray has no gap to it
            freezing: if frozen_on_tray {
                Freezing::InMachine { loaded_k: frozen_k }
            } else {
                Freezing::Frozen { loaded_k: frozen_k }
            },
            contact: given,
            ..Tray::of_model(food.name.clone(), model, shape, area_m2)
        };
        let dryer = Dryer::Prescribed(Prescribed {
            name: self.case.clone(),
            schedule,
            contact,
            heated_below: sides.below,
            heated_above: sides.above,
            surroundings_k: Some(surroundings_k),
        });
        let mut load = load(dryer, tray, final_wet_frac);
        pick.food(&mut load);
        if self.schedule == FASTEST {
            as_hot_as_ice_stands(&mut load)?;
        }
        Ok(RunInputs { load, final_wet_frac, slowest_probe, may_be_heated_above: self.heat != "below" })
    }

    fn shape(&self, size_m: f64, layers: usize, width: f64, density_kg_per_m3: f64) -> Option<Shape> {
        Some(match self.shape.as_str() {
            "layer" => Shape::Layer { depth_m: size_m },
            "sphere" => {
                Shape::Pieces { form: PieceForm::Sphere { diameter_m: size_m }, layers, coverage: SLICE_COVERAGE }
            }
            "chunks" => {
                let edge_m = width * size_m;
                let form = PieceForm::Brick { length_m: edge_m, width_m: edge_m, height_m: size_m };
                Shape::Pieces { form, layers, coverage: CHUNK_COVERAGE }
            }
            "bed" => {
                let form = PieceForm::Brick { length_m: SLICE_M, width_m: SLICE_M, height_m: size_m };
                let per_layer_kg_per_m2 = density_kg_per_m3 * size_m * SLICE_COVERAGE;
                let layers = (self.loading_kg_m2? / per_layer_kg_per_m2).round().max(1.0) as usize;
                // the coverage of a layer makes up for the rounding
                let coverage = self.loading_kg_m2? / (layers as f64 * density_kg_per_m3 * size_m);
                Shape::Pieces { form, layers, coverage: coverage.min(1.0) }
            }
            _ => return None,
        })
    }

    /// Constant, by a list of `minutes:degC`, or by a log.
    fn schedule(
        &self,
        shelf_k: f64,
        pressure_pa: f64,
        vapour_share: f64,
    ) -> Result<Vec<PrescribedPoint>, EvidenceError> {
        let point = |time_s: f64, shelf_k: f64, pressure_pa: f64| PrescribedPoint {
            time_s,
            shelf_k,
            vapour_pressure_pa: vapour_share * pressure_pa,
            air_pressure_pa: (1.0 - vapour_share) * pressure_pa,
        };
        if self.schedule.is_empty() || self.schedule == FASTEST {
            return Ok(vec![point(0.0, shelf_k, pressure_pa)]);
        }
        if self.schedule.starts_with("log-") {
            let points = log::schedule(&self.schedule)?.into_iter();
            return Ok(points.map(|p| point(p.time_s, p.shelf_k, p.gauge_pa)).collect());
        }
        let key = || EvidenceError::Key { id: self.case.clone(), key: self.schedule.clone() };
        let pairs = self.schedule.split(';').map(|pair| {
            let (minutes, celsius) = pair.split_once(':')?;
            let (minutes, celsius): (f64, f64) = (minutes.parse().ok()?, celsius.parse().ok()?);
            Some(point(60.0 * minutes, celsius + ZERO_CELSIUS_K, pressure_pa))
        });
        pairs.collect::<Option<_>>().ok_or_else(key)
    }
}

/// Which sides of the food something at shelf temperature faces. A side that is not heated faces the surroundings.
struct Heated {
    below: bool,
    above: bool,
}

/// Shape, heat transfer and heated sides for a way of heating.
fn heated(heat: &str, shape: Shape, contact: &Contact, pressure_pa: f64) -> Option<(Shape, ContactOverride, Heated)> {
    let formula = ContactOverride::default();
    let closed_below = ContactOverride { below_w_per_m2_k: Some(0.0), ..formula };
    let (below, above) = (Heated { below: true, above: false }, Heated { below: false, above: true });
    let both = Heated { below: true, above: true };
    // both faces alike: half the thickness, adiabatic in the middle
    let half = |shape: Shape| match shape {
        Shape::Layer { depth_m } => Some(Shape::Layer { depth_m: 0.5 * depth_m }),
        Shape::Pieces { .. } => None,
    };
    Some(match heat {
        "below" => (shape, formula, below),
        "both" => (shape, formula, both),
        "above" => (shape, formula, above),
        "lamp" => (shape, ContactOverride { emissivity_above: Some(1.0), ..formula }, above),
        "faces" => (half(shape)?, closed_below, both),
        "plates" => {
            let gap = |gap_m| gas_gap_w_per_m2_k(gap_m, pressure_pa, ZERO_CELSIUS_K, contact.accommodation);
            let resistance =
                1.0 / (contact.direct_w_per_m2_k + gap(contact.gap_m)) + 1.0 / gap(contact.frozen_block_gap_m);
            (half(shape)?, ContactOverride { gas_above_w_per_m2_k: Some(1.0 / resistance), ..closed_below }, both)
        }
        "surface" => {
            let held = ContactOverride {
                gas_above_w_per_m2_k: Some(HELD_W_PER_M2_K),
                emissivity_above: Some(0.0),
                ..closed_below
            };
            (shape, held, both)
        }
        _ => return None,
    })
}

/// Shelf that is set by the ice: as hot as it stands without melting.
const FASTEST: &str = "fastest";
/// Hottest and coldest shelf that is tried for it, degC, and how closely it is found, K.
const HOTTEST_C: f64 = 120.0;
const COLDEST_C: f64 = 0.0;
const FOUND_K: f64 = 2.0;
/// The ice stays this far below the melting point, K.
const BELOW_MELTING_K: f64 = 0.5;

/// Sets the shelf of a rig to the hottest constant temperature at which no ice front gets as warm as the food's melting point.
fn as_hot_as_ice_stands(load: &mut Load) -> Result<(), EvidenceError> {
    let melts_k = load.trays.iter().map(|tray| tray.model.curve.freezing_point_k).fold(f64::INFINITY, f64::min);
    let (mut low_k, mut high_k) = (COLDEST_C + ZERO_CELSIUS_K, HOTTEST_C + ZERO_CELSIUS_K);
    while high_k - low_k > FOUND_K {
        let middle_k = 0.5 * (low_k + high_k);
        set_shelf(load, middle_k);
        // a shelf at which a run fails is too hot or too cold to be that of the publication
        let warmest_k = icefront_core::plan(load)
            .map_or(f64::INFINITY, |result| result.trays.iter().map(|tray| tray.front_max_k).fold(0.0, f64::max));
        if warmest_k < melts_k - BELOW_MELTING_K { low_k = middle_k } else { high_k = middle_k }
    }
    set_shelf(load, low_k);
    Ok(())
}

fn set_shelf(load: &mut Load, shelf_k: f64) {
    if let Dryer::Prescribed(rig) = &mut load.dryer {
        rig.schedule.iter_mut().for_each(|point| point.shelf_k = shelf_k);
    }
}

/// A load of one tray, run until its wettest spot is as dry as the mean should be.
fn load(dryer: Dryer, tray: Tray, final_wet_frac: f64) -> Load {
    Load {
        dryer,
        room_k: ROOM_K,
        trays: vec![tray],
        end: EndRule::WettestSpot { moisture_wet_frac: final_wet_frac },
        tariff: Tariff { price_per_kwh: None, currency: String::new() },
        servings: None,
        units: UnitSystem::Metric,
        dates: None,
    }
}

/// A food of a run by its name there.
fn table_food(name: &str) -> Result<Food, FoodError> {
    let table = FoodTable::embedded()?;
    let entry = |ndb: &str| {
        let found = table.by_id(ndb);
        found.map(|entry| entry.food()).ok_or(FoodError::UnknownFood { query: ndb.into(), nearest: Vec::new() })
    };
    match name {
        "apple" => entry("09004"),
        "banana" => entry("09040"),
        "strawberry" => entry("09316"),
        "blueberry" => entry("09050"),
        "citron" => entry("09150"), // lemon without peel
        "rhubarb" => entry("09307"),
        "mushroom" => entry("11260"),
        "carrot" => entry("11124"),
        "beef" => entry("13418"),
        "ham" => entry("10153"),
        "cod" => entry("15016"),
        "clam" => entry("15159"),
        "yogurt" => entry("01293"),
        "chicken" => entry("05064"),
        "rice" => entry("20053"),
        _ => Ok(Food::new("coffee extract", "invented", COFFEE_EXTRACT, DryingClass::Extract)),
    }
}

/// Invented; only density and freezing curve depend on it.
const COFFEE_EXTRACT: Composition = Composition {
    water: 0.74,
    protein: 0.03,
    fat: 0.0,
    carbohydrate: 0.204,
    fibre: 0.0,
    ash: 0.026,
    sugars: 0.02,
    salt: 0.0,
};

/// Tray on shelf, drawn from `rig_defaults.csv`.
fn drawn_contact(pick: &Pick) -> Result<Contact, EvidenceError> {
    Ok(Contact {
        gap_m: 1e-3 * rig_default("gap", pick)?,
        direct_w_per_m2_k: rig_default("direct", pick)?,
        accommodation: rig_default("accommodation", pick)?.min(1.0),
        lining_gap_m: 0.0,
        frozen_block_gap_m: 1e-3 * rig_default("frozen_block_gap", pick)?,
        emissivity_above: rig_default("emissivity_above", pick)?.min(0.98),
        emissivity_below: rig_default("emissivity_below", pick)?.min(0.98),
        uneven_frac: rig_default("uneven", pick)?.min(MOST_UNEVEN),
    })
}

/// One number of `rig_defaults.csv`, drawn, in the unit of the file.
fn rig_default(name: &str, pick: &Pick) -> Result<f64, EvidenceError> {
    let key = || EvidenceError::Key { id: "rig_defaults.csv".into(), key: name.into() };
    let defaults: Vec<RigDefault> = read("rig_defaults.csv", RIG)?;
    let found = defaults.iter().find(|default| default.name == name).ok_or_else(key)?;
    Ok(pick.factor(found.low, found.typical, found.high))
}
