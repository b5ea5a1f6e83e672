//! Dried food of a load: trays of one food and one packing together, with what draws make of their masses.

use icefront_core::ModelError;
use icefront_core::aftercare::Dried;
use icefront_core::food::{Band, FoodModel};
use icefront_core::load::Load;
use icefront_core::ranges::{Cloud, Draws, Outcome, Point, Spread, by_index};
use icefront_core::result::BatchResult;

use crate::sheet::{Dish, Sheet};

/// Dry matter of a food over what the table says: two national tables, 60 pairs of the same food, one in ten below and one
/// above (`data/aftercare/table_pairs.csv`).
pub const DRY_MATTER: Band = Band::new(0.88, 1.0, 1.14);

/// Whether the samples vary what a food weighs once it is dry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DryMatter {
    /// By what food tables differ in: for packs and the water to add to them.
    Drawn,
    /// As given: the samples are those of the plan, with the same time, electricity and cost.
    AsGiven,
}

/// One food of the batch.
#[derive(Clone, Debug)]
pub struct Product {
    /// Food as the sheet calls it.
    pub name: String,
    /// Its trays by position.
    pub trays: Vec<usize>,
    /// What it is; that of its first tray.
    pub dish: Dish,
    /// Whether all its trays were weighed after drying.
    pub weighed: bool,
    /// Masses with typical numbers.
    pub typical: Dried,
    /// Masses of each draw.
    pub drawn: Vec<Dried>,
}

/// A batch with its foods.
#[derive(Clone, Debug)]
pub struct Batch<T> {
    /// The load of the run that stands for all.
    pub load: Load,
    /// That run: of all draws the nearest to the median; without samples that of typical inputs.
    pub result: BatchResult,
    /// The run with typical inputs: what is weighed and packed.
    pub typical: BatchResult,
    /// Foods in the order of their first trays.
    pub products: Vec<Product>,
    /// What was kept of each draw's run.
    pub kept: Vec<T>,
}

/// Runs a load, typical and drawn; `keep` says what is kept of each draw's run.
///
/// # Errors
/// [`ModelError`] as the model gives it.
pub fn run<T: Send>(
    sheet: &Sheet,
    draws: &Draws,
    dry_matter: DryMatter,
    keep: impl Fn(&BatchResult) -> T + Sync,
) -> Result<Batch<T>, ModelError> {
    let groups = groups(sheet);
    let run = |index: usize| {
        let point = Point::new(index, draws.seed);
        let (load, dishes) = match dry_matter {
            DryMatter::Drawn => drawn(sheet, &groups, &point)?,
            DryMatter::AsGiven => sheet.drawn(&point)?,
        };
        let result = icefront_core::plan(&load)?;
        Ok((load, dishes, result))
    };
    let one = |index: usize| {
        let (load, dishes, result) = run(index)?;
        let masses: Vec<Dried> = groups.iter().map(|group| together(group, &dishes, &result)).collect();
        let mut outcome = Outcome::of(&load, &result, &[]);
        outcome.draw = index;
        Ok((outcome, (masses, keep(&result))))
    };
    let mut answers = Vec::with_capacity(draws.count);
    let outcomes = by_index(draws.count, draws.threads, one).into_iter().map(|drawn| {
        let (outcome, answer) = drawn?;
        answers.push(answer);
        Ok(outcome)
    });
    let cloud = Cloud::of(outcomes.collect())?;
    let (masses, kept): (Vec<_>, Vec<_>) = answers.into_iter().unzip();
    let typical = icefront_core::plan(&sheet.load)?;
    let (load, result) = match cloud.representative() {
        Some(outcome) => {
            let (load, _, result) = run(outcome.draw)?;
            (load, result)
        }
        None => (sheet.load.clone(), typical.clone()),
    };
    let product = |(number, trays): (usize, &Vec<usize>)| {
        let first = *trays.first()?;
        let (tray, dish) = (sheet.load.trays.get(first)?, sheet.dishes.get(first)?);
        Some(Product {
            name: tray.food.clone(),
            trays: trays.clone(),
            dish: dish.clone(),
            weighed: trays.iter().all(|i| sheet.dishes.get(*i).is_some_and(|d| d.dried_kg.is_some())),
            typical: together(trays, &sheet.dishes, &typical),
            drawn: masses.iter().filter_map(|of_draw: &Vec<Dried>| of_draw.get(number).copied()).collect(),
        })
    };
    let products = groups.iter().enumerate().filter_map(product).collect();
    Ok(Batch { load, result, typical, products, kept })
}

/// Trays that are packed together, by position.
fn groups(sheet: &Sheet) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    let key = |i: usize| {
        let dish = sheet.dishes.get(i)?;
        Some((&sheet.load.trays.get(i)?.food, dish.food.composition, &dish.pack))
    };
    for tray in 0..sheet.load.trays.len() {
        match groups.iter_mut().find(|group| group.first().is_some_and(|first| key(*first) == key(tray))) {
            Some(group) => group.push(tray),
            None => groups.push(vec![tray]),
        }
    }
    groups
}

/// The load of a point, the dry matter of each food drawn too unless its water is given.
fn drawn(sheet: &Sheet, groups: &[Vec<usize>], point: &Point) -> Result<(Load, Vec<Dish>), ModelError> {
    let (mut load, dishes) = sheet.drawn(point)?;
    let first = sheet.unknowns();
    for (number, group) in groups.iter().enumerate() {
        let factor = Spread::of_band(DRY_MATTER).quantile(point.unit(first + number));
        for &i in group {
            let (Some(tray), Some(dish)) = (load.trays.get_mut(i), dishes.get(i)) else { continue };
            if dish.water_given {
                continue;
            }
            for (FoodModel { curve, .. }, _) in tray.foods_mut() {
                curve.water_frac = (1.0 - factor * (1.0 - curve.water_frac)).clamp(0.05, 0.99);
                curve.unfreezable_frac = curve.unfreezable_frac.min(0.9 * curve.water_frac);
            }
        }
    }
    Ok((load, dishes))
}

/// Masses of some trays together; a weighed tray weighs what it weighs.
fn together(trays: &[usize], dishes: &[Dish], result: &BatchResult) -> Dried {
    let of_tray = |i: &usize| {
        let (tray, dish) = (result.trays.get(*i)?, dishes.get(*i)?);
        let computed =
            Dried { fresh_kg: tray.loaded_kg, dry_matter_kg: tray.dry_matter_kg, water_left_kg: tray.water_left_kg };
        Some(dish.dried_kg.map_or(computed, |dried_kg| computed.weighed(dried_kg)))
    };
    trays.iter().filter_map(of_tray).fold(Dried::default(), |sum, tray| sum.plus(&tray))
}
