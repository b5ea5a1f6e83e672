//! A load: what is on the trays, how it was frozen, in which dryer, and when the run ends. Checked, in SI.

use serde::{Deserialize, Serialize};

use crate::constants::ZERO_CELSIUS_K;
use crate::cuts::Cuts;
use crate::food::{Food, FoodError, FoodModel, FoodSpread};
use crate::machine::Dryer;
use crate::shape::{LOOSE_COVERAGE, PieceForm, Shape};
use crate::units::{Area, DateOrder, Length, Temperature, UnitSystem};

/// Room in which a load is dried, and in which its food lies before, unless stated otherwise: 20 degC.
const ROOM_K: f64 = ZERO_CELSIUS_K + 20.0;
/// Moisture of the wettest spot at which food is dry unless stated otherwise, wet basis.
const DRY_WET_FRAC: f64 = 0.03;
/// Floor of a household tray, m2 (ours).
const TRAY_M2: f64 = 0.1;

fn one() -> f64 {
    1.0
}

/// All that one run of the model needs.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Load {
    /// The dryer, or a rig with prescribed conditions.
    pub dryer: Dryer,
    /// Room temperature, K.
    pub room_k: f64,
    /// Trays from the bottom of the cabinet to its top.
    pub trays: Vec<Tray>,
    /// What ends the run.
    pub end: EndRule,
    /// Electricity price.
    pub tariff: Tariff,
    /// Servings the load makes, if the cook states them.
    pub servings: Option<f64>,
    /// Units in which the cook reads the answer; the model itself computes in SI.
    #[serde(default)]
    pub units: UnitSystem,
    /// How the cook writes dates with slashes; where it is not known, a date that could be two days is refused.
    #[serde(default)]
    pub dates: Option<DateOrder>,
}

impl Load {
    /// These trays from the bottom up, in a room of 20 degC, until no spot holds more than 3 % water; no price.
    pub fn new(dryer: Dryer, trays: impl IntoIterator<Item = Tray>) -> Self {
        let named = |(i, tray): (usize, Tray)| Tray { name: format!("tray {}", i + 1), ..tray };
        Self {
            dryer,
            room_k: ROOM_K,
            trays: trays.into_iter().enumerate().map(named).collect(),
            end: EndRule::WettestSpot { moisture_wet_frac: DRY_WET_FRAC },
            tariff: Tariff { price_per_kwh: None, currency: String::new() },
            servings: None,
            units: UnitSystem::Metric,
            dates: None,
        }
    }
}

/// One loaded tray.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Tray {
    /// Name on the report: `tray 1` if none was given.
    pub name: String,
    /// Food on it, as the cook calls it.
    pub food: String,
    /// Its properties.
    pub model: FoodModel,
    /// How well those are known; `None` where they were given directly.
    pub spread: Option<FoodSpread>,
    /// Layer or pieces.
    pub shape: Shape,
    /// Floor of the tray, m2.
    pub area_m2: f64,
    /// How it is frozen.
    pub freezing: Freezing,
    /// Baking paper or a mat between food and tray.
    pub lined: bool,
    /// Numbers given directly that replace the dryer's contact formulas.
    pub contact: ContactOverride,
    /// Pieces of another food in the layer: meat in a stew. Ignored where the food itself lies in pieces.
    #[serde(default)]
    pub embedded: Option<Embedded>,
    /// Cuts that part a layer into portions. Ignored where the food lies in pieces.
    #[serde(default)]
    pub cuts: Option<Cuts>,
    /// How unevenly it lies on its shelf, as [`crate::machine::Contact::uneven_frac`]; `None`: as any tray in this dryer.
    #[serde(default)]
    pub uneven_frac: Option<f64>,
    /// Its gap to the shelf over that of the dryer's trays: 1 unless drawn.
    #[serde(default = "one")]
    pub gap_times: f64,
}

impl Tray {
    /// An even layer of a food on a bare tray of 0.1 m2, loaded at 5 degC and frozen in the machine.
    ///
    /// # Errors
    /// [`FoodError`] of a food that cannot be freeze-dried.
    pub fn layer(food: &Food, depth: Length) -> Result<Self, FoodError> {
        Self::of(food, Shape::Layer { depth_m: depth.metres() })
    }

    /// Loose pieces of a food, otherwise as [`Tray::layer`].
    ///
    /// # Errors
    /// [`FoodError`] of a food that cannot be freeze-dried.
    pub fn pieces(food: &Food, form: PieceForm, layers: usize) -> Result<Self, FoodError> {
        Self::of(food, Shape::Pieces { form, layers, coverage: LOOSE_COVERAGE })
    }

    fn of(food: &Food, shape: Shape) -> Result<Self, FoodError> {
        let tray = Self::of_model(food.name.clone(), food.model()?, shape, TRAY_M2);
        Ok(Self { spread: Some(food.spread()), ..tray })
    }

    /// The same on a tray of another size.
    pub fn on(self, floor: Area) -> Self {
        Self { area_m2: floor.square_metres(), ..self }
    }

    /// The same, loaded frozen through at this temperature.
    pub fn frozen(self, at: Temperature) -> Self {
        Self { freezing: Freezing::Frozen { loaded_k: at.kelvin() }, ..self }
    }

    /// Food on it, kg.
    pub fn loaded_kg(&self) -> f64 {
        self.mean_model().density_kg_per_m3 * self.area_m2 * self.shape.volume_per_area_m()
    }

    /// The food of the tray on average, embedded pieces included: it freezes as one.
    pub fn mean_model(&self) -> FoodModel {
        match (&self.embedded, &self.shape) {
            (Some(embedded), Shape::Layer { .. }) => self.model.in_series(&embedded.model, embedded.share_frac),
            _ => self.model.clone(),
        }
    }

    /// What lies between its embedded pieces as a layer of its own volume, and the pieces as a loose bed on a tray like
    /// it; `None` without embedded pieces. Volume, water and fat of the two together are those of the tray.
    pub fn apart(&self) -> Option<(Self, Self)> {
        let embedded = self.embedded.as_ref()?;
        let Shape::Layer { depth_m } = self.shape else { return None };
        let share = embedded.share_frac;
        let base = Self { shape: Shape::Layer { depth_m: depth_m * (1.0 - share) }, embedded: None, ..self.clone() };
        let pieces = Self {
            name: format!("{} of {}", embedded.food, self.name),
            food: embedded.food.clone(),
            model: embedded.model.clone(),
            spread: embedded.spread,
            shape: Shape::loose(embedded.form, depth_m * share),
            contact: ContactOverride::default(),
            ..base.clone()
        };
        Some((base, pieces))
    }

    /// Food with these properties on a bare tray, loaded at 5 degC; everything else is empty, to be set field by field.
    pub fn of_model(food: String, model: FoodModel, shape: Shape, area_m2: f64) -> Self {
        Self {
            name: String::new(),
            food,
            model,
            spread: None,
            shape,
            area_m2,
            freezing: Freezing::InMachine { loaded_k: ZERO_CELSIUS_K + 5.0 },
            lined: false,
            contact: ContactOverride::default(),
            embedded: None,
            cuts: None,
            uneven_frac: None,
            gap_times: 1.0,
        }
    }

    /// Its foods with what is known of each: its own, and that of embedded pieces.
    pub fn foods(&self) -> impl Iterator<Item = (&FoodModel, Option<FoodSpread>)> {
        let embedded = self.embedded.iter().map(|e| (&e.model, e.spread));
        std::iter::once((&self.model, self.spread)).chain(embedded)
    }

    /// The same, to be changed.
    pub fn foods_mut(&mut self) -> impl Iterator<Item = (&mut FoodModel, Option<FoodSpread>)> {
        let embedded = self.embedded.iter_mut().map(|e| (&mut e.model, e.spread));
        std::iter::once((&mut self.model, self.spread)).chain(embedded)
    }
}

/// Pieces embedded in a layer.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Embedded {
    /// Food of the pieces, as the cook calls it.
    pub food: String,
    /// Its properties.
    pub model: FoodModel,
    /// How well those are known.
    pub spread: Option<FoodSpread>,
    /// Form of a piece.
    pub form: PieceForm,
    /// Share of the layer's volume that the pieces take, 0 to 1.
    pub share_frac: f64,
}

/// Heat-transfer numbers given directly (expert input); `None` means by formula.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct ContactOverride {
    /// Shelf to food, W/(m2 K).
    pub below_w_per_m2_k: Option<f64>,
    /// Effective emissivity between the surface above and the food, 0 to 1.
    pub emissivity_above: Option<f64>,
    /// Gas conduction from above, W/(m2 K).
    pub gas_above_w_per_m2_k: Option<f64>,
    /// Heat capacity of the vapour on its way out, J/(kg K).
    pub vapour_heat_capacity_j_per_kg_k: Option<f64>,
}

/// How the food comes to be frozen.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Freezing {
    /// Loaded unfrozen at this temperature; the machine freezes it.
    InMachine {
        /// Temperature at loading, K.
        loaded_k: f64,
    },
    /// Loaded already frozen through at this temperature.
    Frozen {
        /// Temperature at loading, K.
        loaded_k: f64,
    },
    /// Set out before loading in a freezer or outdoors for a stated time; the state reached is loaded.
    Before {
        /// Temperature when set out, K.
        start_k: f64,
        /// Air temperature there, K.
        air_k: f64,
        /// Air speed, m/s (0 for still air).
        wind_m_per_s: f64,
        /// Time there, s.
        time_s: f64,
        /// Whether the tray lies under open sky.
        outdoors: bool,
    },
}

/// What ends the run.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum EndRule {
    /// The wettest spot of every tray is under this moisture, kg water per kg of food (wet basis).
    WettestSpot {
        /// Target moisture, wet basis.
        moisture_wet_frac: f64,
    },
    /// A fixed time under vacuum, s.
    FixedTime {
        /// Time from the start of evacuation, s.
        time_s: f64,
    },
    /// Food and shelf within this difference on every tray, K.
    TemperaturesMeet {
        /// Largest difference, K.
        delta_k: f64,
    },
    /// The whole load loses less than this mass in this time.
    WeightConstant {
        /// Loss, kg.
        loss_kg: f64,
        /// Over this time, s.
        over_s: f64,
    },
}

/// Price of electricity.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Tariff {
    /// Price, currency units per kWh. `None`: not known, so no cost is reported.
    pub price_per_kwh: Option<f64>,
    /// Currency as the cook writes it, such as `EUR`.
    pub currency: String,
}
