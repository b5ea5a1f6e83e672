//! `icefront pack` as a value: per food the packs, the water to add, the soaking, the oxygen, the bench and the order.

use icefront_core::aftercare::{
    ABSORBER_MARGIN, Bench, Dried, Fattiness, FilledPack, Keeping, PackRule, Packs, SEALABLE_ACTIVITY,
    SEALABLE_WET_FRAC, Soak, Wall, air_pressure_pa, eat_first_s, energy_j_per_kg, oxygen_left_frac, pickup_time_s,
    pouch_area_m2, recovery, soak,
};
use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_core::food::{Allergen, Band, Mixture};
use icefront_core::shape::Shape;
use icefront_core::units::UnitSystem;
use serde::Serialize;

use crate::Sheet;
use crate::pack::band::RunBand;
use crate::pack::batch::{Batch, Product};

/// A serving where neither the sheet nor the load says, kg. From memory.
const USUAL_SERVING_KG: f64 = 0.3;
/// A container over the food in it, where the sheet does not say, and the share of a given one that is filled. From memory.
const ROOM_OVER_FOOD: f64 = 1.25;
const FILLED_SHARE: f64 = 0.9;
/// Loose pieces in a measure over the same pieces without gaps: random packing of like pieces. From memory.
const LOOSE: Band = Band::new(0.45, 0.55, 0.65);
/// Cup weights differ by about this factor from cook to cook. From memory.
const CUP: Band = Band::new(0.8, 1.0, 1.25);
/// Just-boiled water poured over food, and tap water, K. From memory.
const HOT_K: f64 = ZERO_CELSIUS_K + 80.0;
const COLD_K: f64 = ZERO_CELSIUS_K + 15.0;
/// Water taken up from the air by which a tray should be packed: 1 g on 100 g (our judgement).
pub const PICKUP_FRAC: f64 = 0.01;
/// Oxygen that sachets on sale take up, m3 (common practice, no source).
const SACHETS_M3: [f64; 7] = [50e-6, 100e-6, 200e-6, 300e-6, 500e-6, 1000e-6, 2000e-6];
/// The sachet of the usual rule, one for up to a US gallon (Utah State University Extension).
pub const RULE_SACHET_M3: f64 = 300e-6;
/// Temperature at which the contents of a pack are reckoned, K.
const DRIED_K: f64 = ZERO_CELSIUS_K + 20.0;

/// The whole answer.
#[derive(Clone, Debug, Serialize)]
pub struct Packing {
    /// Foods in the order of the trays.
    pub foods: Vec<FoodPacks>,
    /// Room the packing is done in, K.
    pub room_k: f64,
    /// Units in which it is shown.
    #[serde(skip)]
    pub units: UnitSystem,
}

/// One food.
#[derive(Clone, Debug, Serialize)]
pub struct FoodPacks {
    /// As the sheet calls it.
    pub food: String,
    /// Names of its trays.
    pub trays: Vec<String>,
    /// Whether its trays were weighed after drying.
    pub weighed: bool,
    /// Masses of all of it.
    pub whole: Dried,
    /// All of it dried, with its range, kg.
    pub dried_kg: RunBand,
    /// Equal packs.
    pub packs: Packs,
    /// Dried food in one, with its range, kg.
    pub pack_dried_kg: RunBand,
    /// Water that brings one back, with its range, kg.
    pub pack_water_kg: RunBand,
    /// Servings in one.
    pub servings_per_pack: f64,
    /// One serving as it went on the tray, kg.
    pub serving_kg: f64,
    /// Whether neither sheet nor load say what a serving is.
    pub serving_assumed: bool,
    /// Food energy in one, kJ.
    pub pack_energy_kj: f64,
    /// Fat over dry matter.
    pub fat_per_dry: f64,
    /// Share of the water that it takes up again.
    pub recovery: Band,
    /// Thinnest side of a piece, or the depth of a layer, m.
    pub thickness_m: f64,
    /// Just-boiled water.
    pub soak_hot: Soak,
    /// Tap water.
    pub soak_cold: Soak,
    /// The closed pack.
    pub filled: FilledPack,
    /// Whether the sheet names the container.
    pub container_given: bool,
    /// Oxygen and what takes it up.
    pub oxygen: Oxygen,
    /// On the bench.
    pub bench: OnBench,
    /// Wettest spot of its trays at the end, water by weight.
    pub wettest_wet_frac: f64,
    /// Water activity there, by the class's isotherm.
    pub wettest_activity: f64,
    /// Whether the plan lets it be packed without oxygen at all.
    pub dry_enough: bool,
    /// How it is kept.
    pub keeping: Keeping,
    /// Packs to eat before others: time after packing, s.
    pub eat_first_s: f64,
    /// Allergens in the cook's words, else those that the food table knows; nothing is ruled out.
    pub allergens: Option<String>,
    /// Raw meat, fish, egg or flour is in it.
    pub raw: bool,
    /// The food table calls it unfit.
    pub poor: bool,
}

/// Oxygen of one pack.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Oxygen {
    /// What the pack is made of.
    pub wall: Wall,
    /// Through its wall in a year, m3.
    pub passes_per_year_m3: Span,
    /// Whether the wall keeps it out: less passes in a year than was inside.
    pub kept_out: bool,
    /// Rating wanted in one pack, m3.
    pub rating_m3: f64,
    /// Rating of one absorber, as given or the smallest on sale that is enough, m3; 0: none used.
    pub absorber_m3: f64,
    /// Absorbers in one pack.
    pub absorbers: usize,
    /// Share of oxygen in the gas with the one sachet of the usual rule.
    pub rule_leaves_frac: f64,
}

/// Lowest and highest published.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Span {
    /// Lowest.
    pub low: f64,
    /// Highest.
    pub high: f64,
}

/// How long a tray may stand.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Pickup {
    /// In a draught.
    pub draught: f64,
    /// In still air.
    pub still_air: f64,
}

/// A tray of it in the kitchen.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct OnBench {
    /// Relative humidity, 0 to 1.
    pub humidity: f64,
    /// Until 1 g on 100 g is taken up, s; `None`: never in this air.
    pub pickup_s: Option<Pickup>,
    /// Water by weight that it ends at.
    pub ends_at_wet_frac: f64,
}

/// Packs each food of a batch.
pub fn pack<T>(sheet: &Sheet, batch: &Batch<T>) -> Packing {
    let fresh_kg: f64 = batch.products.iter().map(|p| p.typical.fresh_kg).sum();
    let load_serving_kg = sheet.load.servings.map(|servings| fresh_kg / servings);
    let foods = batch.products.iter().filter_map(|p| food_packs(sheet, batch, p, load_serving_kg)).collect();
    Packing { foods, room_k: sheet.load.room_k, units: sheet.load.units }
}

fn food_packs<T>(
    sheet: &Sheet,
    batch: &Batch<T>,
    product: &Product,
    load_serving_kg: Option<f64>,
) -> Option<FoodPacks> {
    let (dish, wishes, whole) = (&product.dish, &product.dish.pack, product.typical);
    let trays = || product.trays.iter().filter_map(|i| sheet.load.trays.get(*i));
    let results = || product.trays.iter().filter_map(|i| batch.result.trays.get(*i));
    let first = trays().next()?;
    let dried_kg = whole.dried_kg();

    let model = first.mean_model();
    let bulk_kg_per_m3 = bulk(product, model.density_kg_per_m3);
    let serving_kg = wishes.serving_kg.or(load_serving_kg).unwrap_or(USUAL_SERVING_KG);
    let count = rule(product, serving_kg, load_serving_kg, bulk_kg_per_m3.typical).count(&whole);
    let packs = Packs::of(&whole, count);
    let each = |of: fn(&Dried) -> f64| {
        RunBand::new(of(&whole) / count as f64, product.drawn.iter().map(|d| of(d) / count as f64))
    };

    let composition = dish.food.composition;
    let dried = composition.with_water((whole.water_left_kg / dried_kg).clamp(0.0, 0.9)).ok()?;
    let solid_kg_per_m3 = Mixture::unfrozen(&dried).density_kg_per_m3(DRIED_K);
    let container_m3 = wishes.container_m3.unwrap_or(ROOM_OVER_FOOD * packs.dried_kg / bulk_kg_per_m3.typical);
    let pressure_pa = air_pressure_pa(wishes.altitude_m);
    let filled =
        FilledPack::new(packs.dried_kg, bulk_kg_per_m3, solid_kg_per_m3, container_m3, pressure_pa, sheet.load.room_k);

    let wettest_wet_frac = results().map(|t| t.wettest_wet_frac).fold(0.0, f64::max);
    let isotherm = model.dried.isotherm;
    let wettest_activity = isotherm.activity(wettest_wet_frac / (1.0 - wettest_wet_frac));
    let dry_enough = wettest_wet_frac <= SEALABLE_WET_FRAC && wettest_activity <= SEALABLE_ACTIVITY;
    let oxygen = oxygen(product, &filled);
    let fat_per_dry = composition.fat / composition.dry();
    let keeping = Keeping {
        fat: Fattiness::of(fat_per_dry),
        without_oxygen: oxygen.kept_out && oxygen.absorbers > 0 && dry_enough,
        shelf_k: wishes.shelf_k,
    };
    let thickness_m = trays().map(|t| thickness_m(&t.shape)).fold(0.0, f64::max);

    let ends_at = isotherm.water_per_dry(wishes.humidity);
    let bench = Bench {
        dry_matter_kg: whole.dry_matter_kg,
        area_m2: trays().map(|t| t.area_m2).sum(),
        water_per_dry: whole.water_left_kg / whole.dry_matter_kg,
        air_k: sheet.load.room_k,
        humidity: wishes.humidity,
    };
    let pickup = pickup_time_s(&bench, &isotherm, PICKUP_FRAC * dried_kg / whole.dry_matter_kg);
    Some(FoodPacks {
        food: product.name.clone(),
        trays: trays().map(|t| t.name.clone()).collect(),
        weighed: product.weighed,
        whole,
        dried_kg: RunBand::new(dried_kg, product.drawn.iter().map(Dried::dried_kg)),
        packs,
        pack_dried_kg: each(Dried::dried_kg),
        pack_water_kg: each(Dried::water_to_add_kg),
        servings_per_pack: whole.fresh_kg / serving_kg / count as f64,
        serving_kg,
        serving_assumed: wishes.serving_kg.or(load_serving_kg).is_none(),
        pack_energy_kj: 1e-3 * energy_j_per_kg(&composition) / composition.dry() * whole.dry_matter_kg / count as f64,
        fat_per_dry,
        recovery: recovery(dish.food.class),
        thickness_m,
        soak_hot: soak(thickness_m, HOT_K),
        soak_cold: soak(thickness_m, COLD_K),
        filled,
        container_given: wishes.container_m3.is_some(),
        oxygen,
        bench: OnBench {
            humidity: wishes.humidity,
            pickup_s: Some(Pickup { draught: pickup.0, still_air: pickup.1 }).filter(|p| p.still_air.is_finite()),
            ends_at_wet_frac: ends_at / (1.0 + ends_at),
        },
        wettest_wet_frac,
        wettest_activity,
        dry_enough,
        keeping,
        eat_first_s: eat_first_s(&keeping),
        allergens: wishes.allergens.clone().or_else(|| contains(&dish.allergens)),
        raw: dish.raw,
        poor: dish.poor,
    })
}

/// `contains egg, milk`; nothing where the table knows none, which is not to say that there is none.
fn contains(allergens: &[Allergen]) -> Option<String> {
    let names: Vec<&str> = allergens.iter().map(|known| known.name()).collect();
    (!names.is_empty()).then(|| format!("contains {}", names.join(", ")))
}

/// How the sheet wants it divided.
fn rule(product: &Product, serving_kg: f64, load_serving_kg: Option<f64>, bulk_kg_per_m3: f64) -> PackRule {
    let wishes = &product.dish.pack;
    let by_serving = wishes.servings.is_some() || wishes.serving_kg.is_some() || load_serving_kg.is_some();
    match (wishes.size_kg, wishes.container_m3) {
        (Some(size_kg), _) => PackRule::Mass(size_kg),
        (None, Some(container_m3)) if !by_serving => {
            PackRule::Volume { room_m3: FILLED_SHARE * container_m3, bulk_kg_per_m3 }
        }
        _ => PackRule::Servings { each: wishes.servings.unwrap_or(1.0), serving_kg },
    }
}

/// Bulk density of the dried food, kg/m3. Freeze-dried food keeps its shape (US Army Natick TR 72-4-FL, 1971), so it is that
/// of the fresh pieces less the water.
fn bulk(product: &Product, density_kg_per_m3: f64) -> Band {
    let without_gaps = Mixture::unfrozen(&product.dish.food.composition).density_kg_per_m3(DRIED_K);
    let fresh = match product.dish.cup_kg_per_m3 {
        // a cup of pieces holds air; a cup of yogurt tells nothing of its dried crumbs
        Some(cup) if cup < 0.95 * without_gaps => CUP.times(cup),
        _ => LOOSE.times(density_kg_per_m3),
    };
    fresh.times(product.typical.dried_kg() / product.typical.fresh_kg)
}

fn thickness_m(shape: &Shape) -> f64 {
    match shape {
        Shape::Layer { depth_m } => *depth_m,
        Shape::Pieces { form, .. } => 2.0 * form.core().radius_m,
    }
}

fn oxygen(product: &Product, filled: &FilledPack) -> Oxygen {
    let wishes = &product.dish.pack;
    let (low, high) = wishes.wall.oxygen_per_year_m3(pouch_area_m2(filled.container_m3));
    let kept_out = high < filled.oxygen_m3;
    let inside = filled.oxygen_m3 + if kept_out { high } else { 0.0 };
    let rating_m3 = ABSORBER_MARGIN * inside;
    let largest = SACHETS_M3.into_iter().fold(0.0, f64::max);
    let absorber_m3 =
        wishes.absorber_m3.unwrap_or_else(|| SACHETS_M3.into_iter().find(|s| *s >= rating_m3).unwrap_or(largest));
    let absorbers = if absorber_m3 > 0.0 && kept_out { (rating_m3 / absorber_m3).ceil() as usize } else { 0 };
    Oxygen {
        wall: wishes.wall,
        passes_per_year_m3: Span { low, high },
        kept_out,
        rating_m3,
        absorber_m3,
        absorbers,
        rule_leaves_frac: oxygen_left_frac(filled.oxygen_m3, filled.gas_m3, RULE_SACHET_M3),
    }
}
