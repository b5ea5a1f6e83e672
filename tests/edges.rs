//! Extreme but possible loads: each is finished or given a verdict, with finite numbers and sums that close. Foods are
//! from the table (USDA SR28) or pure; machines are invented. Laws of physics are all that is asked.

use crate::common;

use icefront_core::food::{Composition, DryingClass, Food, FoodModel, FoodTable};
use icefront_core::load::{Freezing, Load, Tray};
use icefront_core::machine::{Cabinet, Cutback, Dryer, Gauge};
use icefront_core::result::{BatchResult, Warning};
use icefront_core::shape::{PieceForm, Shape};
use icefront_core::{ModelError, plan};

/// Samples of a run: a bound on its work. A usual batch has a hundred.
const MOST_SAMPLES: usize = 3_000;

fn of_table(name: &str) -> Food {
    FoodTable::embedded().unwrap().find(name).unwrap().food()
}

/// Cooking brine, saturated at room temperature nearly.
fn brine() -> Food {
    let composition = Composition { water: 0.8, ash: 0.2, salt: 0.2, ..Composition::default() };
    Food::new("brine", "invented", composition, DryingClass::Extract)
}

fn cabinet(change: impl FnOnce(&mut Cabinet)) -> Dryer {
    let mut cabinet = common::cabinet(0.2);
    change(&mut cabinet);
    Dryer::Cabinet(Box::new(cabinet))
}

fn tray(model: FoodModel, shape: Shape, freezing: Freezing) -> Tray {
    Tray { shape, freezing, ..common::layer(model, 0.01, 0.1) }
}

const FROM_FRIDGE: Freezing = Freezing::InMachine { loaded_k: 278.15 };
const LAYER: fn(f64) -> Shape = |depth_m| Shape::Layer { depth_m };

fn cubes(edge_m: f64) -> Shape {
    let form = PieceForm::Brick { length_m: edge_m, width_m: edge_m, height_m: edge_m };
    Shape::Pieces { form, layers: 1, coverage: 0.5 }
}

/// Every number of an answer is one; the sums close; what is not dry has a reason.
fn sound(result: &BatchResult, what: &str) {
    let e = result.energy_j();
    let numbers = [result.total_s(), e.compressor, e.vacuum_pump, e.heaters, e.other, result.water.removed_kg];
    assert!(numbers.iter().all(|x| x.is_finite() && *x >= -1e-9), "{what}: {numbers:?}");
    for t in &result.trays {
        let numbers = [t.water_left_kg, t.front_max_k, t.dried_max_k, t.wettest_wet_frac, t.mean_wet_frac];
        assert!(numbers.iter().all(|x| x.is_finite()), "{what}: {t:?}");
        assert!(t.water_left_kg <= t.water_kg * (1.0 + 1e-9), "{what}: water came from nowhere");
    }
    assert!(result.history.len() < MOST_SAMPLES, "{what}: {} samples", result.history.len());
    let balance = &result.balance;
    assert!(balance.mass_rel.abs() < 1e-9 && balance.energy_rel.abs() < 1e-6, "{what}: {balance:?}");
    let reason = result.warnings.iter().any(|w| {
        matches!(
            w,
            Warning::RunTooLong { .. }
                | Warning::CondenserTooWeak { .. }
                | Warning::AirTooHigh { .. }
                | Warning::AboveTriplePoint { .. }
                | Warning::FreezingNotReached { .. }
        )
    });
    let dry = result.trays.iter().all(|t| t.dry_at_s.is_some());
    assert!(dry || reason, "{what}: not dry, and nothing says why: {:?}", result.warnings);
}

/// Runs a load; a refusal must name a quantity.
fn verdict(load: &Load, what: &str) -> Option<BatchResult> {
    match plan(load) {
        Ok(result) => {
            sound(&result, what);
            Some(result)
        }
        Err(refused @ (ModelError::OutOfRange { .. } | ModelError::Empty { .. })) => {
            println!("{what}: {refused}");
            None
        }
        Err(other) => panic!("{what}: {other}"),
    }
}

#[test]
fn extreme_foods_at_any_depth_get_a_verdict() {
    let jam = of_table("Jams and preserves");
    let foods = [
        ("brine", brine()),
        ("jam", jam),
        ("butter", of_table("Butter, without salt")),
        ("rice", of_table("cooked rice")),
        ("nearly water", of_table("cooked rice").with_water(0.99).unwrap()),
    ];
    for (name, food) in foods {
        for depth_m in [0.001, 0.005, 0.02, 0.08] {
            let trays = vec![tray(food.model().unwrap(), LAYER(depth_m), FROM_FRIDGE); 2];
            let mut dryer = common::cabinet(0.2);
            dryer.clear_height_m = 0.1;
            let load = common::load(Dryer::Cabinet(Box::new(dryer)), trays);
            assert!(verdict(&load, &format!("{name}, {depth_m} m")).is_some(), "{name}, {depth_m} m was refused");
        }
    }
}

#[test]
fn food_without_ice_or_without_dry_matter_is_refused_by_name() {
    let mut foods = vec![Food::water()];
    foods.extend(["Honey", "Lard", "Salt", "Tomato powder"].map(of_table));
    for food in foods {
        let said = food.model().unwrap_err().to_string();
        assert!(said.starts_with(&food.name), "{said}");
        assert!(said.contains("no ice") || said.contains("no dry matter"), "{said}");
    }
}

#[test]
fn pieces_from_2_to_60_mm() {
    let mut last_s = 0.0;
    for edge_m in [0.002, 0.005, 0.02, 0.06] {
        let mut dryer = common::cabinet(0.2);
        dryer.clear_height_m = 0.1;
        let trays = vec![tray(common::food(0.75, 0.07, -1.0), cubes(edge_m), FROM_FRIDGE); 2];
        let result = verdict(&common::load(Dryer::Cabinet(Box::new(dryer)), trays), &format!("{edge_m} m")).unwrap();
        let dry_s = result.trays[0].dry_at_s.unwrap_or(f64::INFINITY);
        assert!(dry_s > last_s, "{edge_m} m: {dry_s} s is no longer than smaller pieces take");
        last_s = dry_s;
    }
}

#[test]
fn rooms_from_hard_frost_to_a_hot_attic() {
    let mut energy_j = 0.0;
    for room_c in [-20.0, 0.0, 20.0, 45.0] {
        let trays = vec![tray(common::food(0.75, 0.07, -1.0), LAYER(0.012), FROM_FRIDGE); 2];
        let load = Load { room_k: 273.15 + room_c, ..common::load(cabinet(|_| ()), trays) };
        let Some(result) = verdict(&load, &format!("room {room_c} C")) else { continue };
        // the compressor lifts heat further: it costs more per run (Carnot)
        if result.trays.iter().all(|t| t.dry_at_s.is_some()) {
            assert!(result.energy_j().compressor > energy_j, "room {room_c} C");
            energy_j = result.energy_j().compressor;
        }
    }
    assert!(energy_j > 0.0);
}

#[test]
fn weak_machines_get_a_verdict() {
    let trays = || vec![tray(common::food(0.85, 0.05, -1.0), LAYER(0.015), FROM_FRIDGE); 2];
    let weak = |name: &str, change: fn(&mut Cabinet)| {
        let load = common::load(cabinet(change), trays());
        verdict(&load, name)
    };
    type Change = (&'static str, fn(&mut Cabinet));
    let changes: [Change; 7] = [
        ("compressor of a hundredth", |c| c.refrigeration.swept_m3_per_s *= 0.01),
        ("compressor of a fifth", |c| c.refrigeration.swept_m3_per_s *= 0.2),
        ("heaters held back from 15 Pa", |c| {
            c.heater.cutback = Some(Cutback { from_pa: 15.0, to_pa: 20.0, gauge: Gauge::Absolute })
        }),
        ("no heat but the room's", |c| c.heater.power_w_per_m2 = 1.0),
        ("a leak", |c| c.vacuum.leak_pa_m3_per_s = 1.0),
        ("an opening of 1 cm2", |c| c.condenser.opening_m2 = 1e-4),
        ("a condenser of a tenth", |c| c.condenser.area_m2 *= 0.1),
    ];
    let mut unfinished = 0;
    for (name, change) in changes {
        let result = weak(name, change);
        unfinished += usize::from(result.is_none_or(|r| r.trays.iter().any(|t| t.dry_at_s.is_none())));
    }
    assert!(unfinished >= 1, "a hundredth of a compressor dried it all");
}

#[test]
fn one_tray_and_sixty() {
    for count in [1_usize, 60] {
        let trays = vec![tray(common::food(0.75, 0.07, -1.0), LAYER(0.008), FROM_FRIDGE); count];
        let mut dryer = common::cabinet(0.1 * count as f64);
        dryer.shelves = count;
        let result = verdict(&common::load(Dryer::Cabinet(Box::new(dryer)), trays), &format!("{count} trays")).unwrap();
        assert_eq!(result.trays.len(), count);
        assert!(result.trays.iter().all(|t| t.dry_at_s.is_some()), "{count} trays");
    }
}
