//! `icefront bill` as a value: ingredients, electricity by the hour, packs; and the same bill for other ways to run.

use icefront_core::ModelError;
use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_core::load::{Freezing, Load};
use icefront_core::machine::Dryer;
use icefront_core::ranges::Draws;
use icefront_core::tariff::{Rates, Start};
use icefront_core::units::UnitSystem;
use serde::Serialize;

use crate::Sheet;
use crate::pack::band::RunBand;
use crate::pack::batch::{self, DryMatter};
use crate::pack::packing::{FoodPacks, Packing, pack};
use crate::prefreeze::FREEZER_HEAT_PER_WORK;

/// Air and food of the freezer that the bill compares with, K.
pub const FREEZER_K: f64 = ZERO_CELSIUS_K - 18.0;

/// What is to be reckoned.
#[derive(Clone, Copy, Debug)]
pub struct Question<'a> {
    /// The load with its prices.
    pub sheet: &'a Sheet,
    /// Draws for the range.
    pub draws: &'a Draws,
    /// When the machine is started, s after midnight.
    pub start_s: f64,
}

/// Why there is no bill.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Unfit {
    /// A rig.
    #[error("a `[rig]` uses no electricity; give a `dryer`")]
    Rig,
    /// No price.
    #[error("it has no price of electricity; give `[tariff]` with `price_per_kwh` and `currency`")]
    NoTariff,
}

/// The whole bill.
#[derive(Clone, Debug, Serialize)]
pub struct Bill {
    /// As the cook writes it.
    pub currency: String,
    /// Units in which it is shown.
    #[serde(skip)]
    pub units: UnitSystem,
    /// Prices of electricity.
    pub rates: Rates,
    /// The start it is reckoned for.
    pub start: Start,
    /// Electricity, J.
    pub energy_j: RunBand,
    /// Its cost.
    pub electricity: RunBand,
    /// Ingredients with a price.
    pub ingredients: Vec<Ingredient>,
    /// Ingredients without.
    pub unpriced: Vec<String>,
    /// Foods in the order of their packs.
    pub foods: Vec<FoodBill>,
    /// All of it.
    pub total: RunBand,
    /// Servings of all foods.
    pub servings: f64,
    /// Cost at each full hour.
    pub starts: Vec<Start>,
    /// Other ways to run the load, the load as given first.
    pub ways: Vec<Way>,
}

/// One ingredient of the load.
#[derive(Clone, Debug, Serialize)]
pub struct Ingredient {
    /// Name.
    pub name: String,
    /// Used, kg.
    pub used_kg: f64,
    /// Share of one purchase (over 1: more than one).
    pub share: f64,
    /// Cost of that share.
    pub cost: f64,
}

/// One food.
#[derive(Clone, Debug, Serialize)]
pub struct FoodBill {
    /// Name.
    pub food: String,
    /// Packs.
    pub packs: usize,
    /// Servings in all of them.
    pub servings: f64,
    /// Ingredients with a price; `None` where none has one.
    pub ingredients: Option<f64>,
    /// Its share of the electricity, by the water taken out.
    pub electricity: f64,
    /// Empty packs; `None` without a price.
    pub containers: Option<f64>,
    /// Absorbers; `None` without a price.
    pub absorbers: Option<f64>,
}

impl FoodBill {
    /// Empty packs and absorbers, as far as their prices are known.
    pub fn packing(&self) -> Option<f64> {
        [self.containers, self.absorbers].into_iter().flatten().reduce(|a, b| a + b)
    }

    /// All of it.
    pub fn total(&self) -> f64 {
        let known = [self.ingredients, Some(self.electricity), self.containers, self.absorbers];
        known.into_iter().flatten().fold(0.0, |sum, cost| sum + cost)
    }
}

/// A way to run a load, with its electricity.
#[derive(Clone, Debug, Serialize)]
pub struct Way {
    /// Which.
    pub kind: WayKind,
    /// Food loaded, kg.
    pub fresh_kg: f64,
    /// Until the food is ready, s; `None`: it does not get dry.
    pub food_ready_s: Option<f64>,
    /// Electricity of the dryer, J.
    pub energy_j: f64,
    /// Electricity of a freezer before, J.
    pub freezer_energy_j: f64,
    /// Cost of both, the freezer's at the price outside all periods.
    pub cost: f64,
    /// That cost over the servings of this load.
    pub per_serving: f64,
}

/// Ways that the bill compares.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum WayKind {
    /// As the sheet says.
    AsGiven,
    /// Frozen in a freezer before.
    FrozenBefore,
    /// Every second tray left out.
    HalfTheTrays,
    /// The trays again, until every shelf has one.
    EveryShelf,
}

/// Reckons the bill, and the packing it rests on.
///
/// # Errors
/// [`ModelError`] as the model gives it.
pub fn bill(question: &Question<'_>) -> Result<(Bill, Packing), ModelError> {
    let Question { sheet, draws, start_s } = *question;
    let rates = rates(sheet);
    let batch = batch::run(sheet, draws, DryMatter::AsGiven, |result| {
        (result.energy_j().total(), rates.cost(&result.history, start_s))
    })?;
    let packing = pack(sheet, &batch);
    let cost = rates.cost(&batch.result.history, start_s);
    let electricity = RunBand::new(cost, batch.kept.iter().map(|(_, cost)| *cost));

    let parts = parts(sheet, &batch);
    let ingredients: Vec<Ingredient> = parts.iter().filter_map(|(name, kg)| ingredient(sheet, name, *kg)).collect();
    let unpriced = parts.into_iter().map(|(name, _)| name).filter(|name| !sheet.prices.contains_key(name)).collect();
    let water_kg: f64 = packing.foods.iter().map(|f| f.whole.water_to_add_kg()).sum();
    let foods: Vec<FoodBill> = packing
        .foods
        .iter()
        .zip(&batch.products)
        .map(|(food, product)| {
            let spent =
                |(name, share): &(String, f64)| Some(ingredient(sheet, name, share * food.whole.fresh_kg)?.cost);
            FoodBill {
                ingredients: product.dish.parts.iter().filter_map(spent).reduce(|a, b| a + b),
                electricity: cost * food.whole.water_to_add_kg() / water_kg,
                ..packs_of(food, product.dish.pack.price, product.dish.pack.absorber_price)
            }
        })
        .collect();
    let servings: f64 = foods.iter().map(|f| f.servings).sum();
    let besides: f64 = foods.iter().map(|f| f.total() - f.electricity).sum();
    let starts = rates.starts(&batch.result.history);
    let bill = Bill {
        currency: sheet.load.tariff.currency.clone(),
        units: sheet.load.units,
        start: Start { of_day_s: start_s, cost },
        energy_j: RunBand::new(batch.result.energy_j().total(), batch.kept.iter().map(|(energy_j, _)| *energy_j)),
        total: electricity.plus(besides),
        electricity,
        ingredients,
        unpriced,
        foods,
        servings,
        starts,
        ways: ways(question, &batch.load, &rates, servings)?,
        rates,
    };
    Ok((bill, packing))
}

/// Checks that there is something to reckon.
///
/// # Errors
/// [`Unfit`] for a rig and without a price.
pub fn check(sheet: &Sheet) -> Result<(), Unfit> {
    match (&sheet.load.dryer, sheet.load.tariff.price_per_kwh) {
        (Dryer::Prescribed(_), _) => Err(Unfit::Rig),
        (_, None) => Err(Unfit::NoTariff),
        _ => Ok(()),
    }
}

fn rates(sheet: &Sheet) -> Rates {
    Rates { base_per_kwh: sheet.load.tariff.price_per_kwh.unwrap_or(0.0), periods: sheet.periods.clone() }
}

/// Ingredients of the whole load with their masses, in the order they are met.
fn parts<T>(sheet: &Sheet, batch: &batch::Batch<T>) -> Vec<(String, f64)> {
    let mut parts: Vec<(String, f64)> = Vec::new();
    for (dish, tray) in sheet.dishes.iter().zip(&batch.typical.trays) {
        for (name, share) in &dish.parts {
            let used_kg = share * tray.loaded_kg;
            match parts.iter_mut().find(|(known, _)| known == name) {
                Some((_, kg)) => *kg += used_kg,
                None => parts.push((name.clone(), used_kg)),
            }
        }
    }
    parts
}

fn ingredient(sheet: &Sheet, name: &str, used_kg: f64) -> Option<Ingredient> {
    let price = sheet.prices.get(name)?;
    let share = used_kg / price.gives_kg;
    Some(Ingredient { name: name.into(), used_kg, share, cost: share * price.paid })
}

/// Packs and absorbers of a food.
fn packs_of(food: &FoodPacks, price: Option<f64>, absorber_price: Option<f64>) -> FoodBill {
    let packs = food.packs.count;
    FoodBill {
        food: food.food.clone(),
        packs,
        servings: food.servings_per_pack * packs as f64,
        ingredients: None,
        electricity: 0.0,
        containers: price.map(|price| price * packs as f64),
        absorbers: absorber_price.map(|price| price * (packs * food.oxygen.absorbers) as f64),
    }
}

/// The load as given and what could be done otherwise, each planned to its end with the numbers of the run that stands for
/// the answer.
fn ways(question: &Question<'_>, load: &Load, rates: &Rates, servings: f64) -> Result<Vec<Way>, ModelError> {
    let fresh_kg = fresh_kg(load);
    let mut others = vec![(WayKind::AsGiven, load.clone(), 0.0)];
    if load.trays.iter().any(|t| matches!(t.freezing, Freezing::InMachine { .. })) {
        let (frozen, heat_j) = frozen_before(load);
        others.push((WayKind::FrozenBefore, frozen, heat_j / FREEZER_HEAT_PER_WORK.1));
    }
    if load.trays.len() > 1 {
        let trays = load.trays.iter().step_by(2).cloned().collect();
        others.push((WayKind::HalfTheTrays, Load { trays, ..load.clone() }, 0.0));
    }
    if let Dryer::Cabinet(cabinet) = &load.dryer
        && load.trays.len() < cabinet.shelves
    {
        let trays = load.trays.iter().cycle().take(cabinet.shelves).cloned().collect();
        others.push((WayKind::EveryShelf, Load { trays, ..load.clone() }, 0.0));
    }
    let way = |(kind, load, freezer_energy_j): (WayKind, Load, f64)| {
        let result = icefront_core::plan(&load)?;
        let own_kg = self::fresh_kg(&load);
        let cost = rates.cost(&result.history, question.start_s) + rates.base_per_kwh * freezer_energy_j / 3.6e6;
        let is_dry = result.trays.iter().all(|t| t.dry_at_s.is_some());
        Ok(Way {
            kind,
            fresh_kg: own_kg,
            food_ready_s: is_dry.then(|| result.food_ready_s()),
            energy_j: result.energy_j().total(),
            freezer_energy_j,
            cost,
            per_serving: cost / (servings * own_kg / fresh_kg),
        })
    };
    others.into_iter().map(way).collect()
}

fn fresh_kg(load: &Load) -> f64 {
    load.trays.iter().map(|t| t.model.density_kg_per_m3 * t.shape.volume_per_area_m() * t.area_m2).sum()
}

/// The load with its trays frozen in a freezer, and the heat that takes, J.
fn frozen_before(load: &Load) -> (Load, f64) {
    let mut frozen = load.clone();
    let mut heat_j = 0.0;
    for tray in &mut frozen.trays {
        let Freezing::InMachine { loaded_k } = tray.freezing else { continue };
        let mass_kg = tray.model.density_kg_per_m3 * tray.shape.volume_per_area_m() * tray.area_m2;
        let curve = &tray.model.curve;
        heat_j += mass_kg * (curve.enthalpy_j_per_kg(loaded_k) - curve.enthalpy_j_per_kg(FREEZER_K));
        tray.freezing = Freezing::Frozen { loaded_k: FREEZER_K };
    }
    (frozen, heat_j)
}
