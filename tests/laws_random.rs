//! Laws that every run keeps, over random loads of every kind. The loads are invented.
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests, not only test functions")]

use crate::common;

use icefront_core::food::FoodModel;
use icefront_core::load::{EndRule, Freezing, Load, Tray};
use icefront_core::machine::{Above, Dryer};
use icefront_core::plan;
use icefront_core::result::{BatchResult, Flag, Sample, Warning};
use icefront_core::shape::{PieceForm, Shape};
use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed};

/// Foods from lean to fatty to sugary: water, unfreezable share of the dry matter, freezing point, permeability.
fn food() -> impl Strategy<Value = FoodModel> {
    (0.1..0.95f64, 0.05..0.5f64, -4.0..-0.2f64, -9.0..-7.3f64, 0.02..0.08f64, 0.0..0.8f64).prop_map(
        |(water, bound_per_dry, freezing_point_c, log_permeability, conductivity, fat)| {
            let unfreezable = (bound_per_dry * (1.0 - water)).min(0.9 * water);
            let mut model = common::food(water, unfreezable, freezing_point_c);
            model.dried.permeability_kg_per_m_s_pa = 10f64.powf(log_permeability);
            model.dried.conductivity_vacuum_w_per_m_k = conductivity;
            model.fat_per_dry = fat;
            model
        },
    )
}

fn form() -> impl Strategy<Value = PieceForm> {
    prop_oneof![
        (0.004..0.03f64).prop_map(|diameter_m| PieceForm::Sphere { diameter_m }),
        (0.004..0.03f64, 0.01..0.1f64).prop_map(|(diameter_m, length_m)| PieceForm::Cylinder { diameter_m, length_m }),
        (0.004..0.06f64, 0.004..0.06f64, 0.002..0.03f64).prop_map(|(length_m, width_m, height_m)| PieceForm::Brick {
            length_m,
            width_m,
            height_m
        }),
    ]
}

fn shape() -> impl Strategy<Value = Shape> {
    prop_oneof![
        (0.001..0.08f64).prop_map(|depth_m| Shape::Layer { depth_m }),
        (form(), 1..4usize, 0.2..1.0f64).prop_map(|(form, layers, coverage)| Shape::Pieces { form, layers, coverage }),
    ]
}

fn freezing() -> impl Strategy<Value = Freezing> {
    prop_oneof![
        (275.0..335.0f64).prop_map(|loaded_k| Freezing::InMachine { loaded_k }),
        (235.0..265.0f64).prop_map(|loaded_k| Freezing::Frozen { loaded_k }),
        (275.0..300.0f64, 230.0..262.0f64, 0.0..6.0f64, 0.5..20.0f64, any::<bool>()).prop_map(
            |(start_k, air_k, wind_m_per_s, hours, outdoors)| Freezing::Before {
                start_k,
                air_k,
                wind_m_per_s,
                time_s: 3_600.0 * hours,
                outdoors
            }
        ),
    ]
}

fn tray() -> impl Strategy<Value = Tray> {
    (food(), shape(), 0.03..0.3f64, freezing(), any::<bool>()).prop_map(|(model, shape, area_m2, freezing, lined)| {
        let mut tray = common::layer(model, 0.01, area_m2);
        tray.shape = shape;
        tray.freezing = freezing;
        tray.lined = lined;
        tray
    })
}

fn dryer() -> impl Strategy<Value = Dryer> {
    let above = prop_oneof![Just(Above::HeatedShelf), Just(Above::ColdWall), Just(Above::Insulated)];
    prop_oneof![
        3 => (0.2..1.5f64, above, 30.0..65.0f64, any::<bool>(), 0.3..2.0f64).prop_map(
            |(shelf_area_m2, above, set_point_c, limited, strength)| {
                let mut cabinet = common::cabinet(shelf_area_m2);
                cabinet.above_top_tray = above;
                cabinet.heater.set_point_k = 273.15 + set_point_c;
                cabinet.refrigeration.swept_m3_per_s *= strength;
                cabinet.shelves = 1;
                if !limited {
                    cabinet.heater.cutback_from_pa = f64::INFINITY;
                    cabinet.heater.cutback_to_pa = f64::INFINITY;
                }
                Dryer::Cabinet(Box::new(cabinet))
            }
        ),
        1 => (10.0..60.0f64, 5.0..150.0f64).prop_map(|(shelf_c, vapour_pa)| common::rig(shelf_c, vapour_pa)),
    ]
}

fn end() -> impl Strategy<Value = EndRule> {
    prop_oneof![
        4 => (0.02..0.08f64).prop_map(|moisture_wet_frac| EndRule::WettestSpot { moisture_wet_frac }),
        1 => (1.0..60.0f64).prop_map(|hours| EndRule::FixedTime { time_s: 3_600.0 * hours }),
        1 => (1.0..5.0f64).prop_map(|delta_k| EndRule::TemperaturesMeet { delta_k }),
        1 => (1e-3..2e-2f64, 0.5..3.0f64)
            .prop_map(|(loss_kg, hours)| EndRule::WeightConstant { loss_kg, over_s: 3_600.0 * hours }),
    ]
}

fn load() -> impl Strategy<Value = Load> {
    (dryer(), prop::collection::vec(tray(), 1..=8), 253.15..318.15f64, end()).prop_map(|(dryer, trays, room_k, end)| {
        let mut load = common::load(dryer, trays);
        load.room_k = room_k;
        load.end = end;
        load
    })
}

/// Every number of a result that is one.
fn numbers(result: &BatchResult) -> Vec<f64> {
    let mut all = vec![result.total_s(), result.energy_j().total(), result.water.left_kg, result.water.removed_kg];
    all.extend([result.machine.mean_pressure_pa, result.machine.max_pressure_pa, result.machine.ice_thickness_m]);
    for t in &result.trays {
        all.extend([t.water_left_kg, t.mean_wet_frac, t.wettest_wet_frac, t.warm_time_s]);
        all.extend(t.ice_gone_at_s.iter().chain(&t.dry_at_s).chain(&t.frozen_at_s));
    }
    for s in &result.history {
        all.extend([s.time_s, s.chamber_pressure_pa, s.condenser_k, s.ice_surface_k, s.condenser_ice_kg]);
        all.extend([s.power_w.total(), s.energy_j.total()]);
        for t in &s.trays {
            all.extend([t.ice_left_frac, t.front_k, t.shelf_k, t.surface_k, t.water_per_dry, t.vapour_kg_per_s]);
        }
    }
    all
}

/// Water that a step may give back by its own error, kg/kg dry.
const UPTAKE_PER_DRY: f64 = 1e-3;

/// What a run of `load` must keep; what it does not, in words.
fn broken(load: &Load) -> Option<String> {
    let result = match plan(load) {
        Ok(result) => result,
        Err(problem) => return Some(format!("no answer: {problem}")),
    };
    let balance = result.balance;
    if !(balance.mass_rel <= 1e-6 && balance.energy_rel <= 1e-6) {
        return Some(format!("balances {balance:?}"));
    }
    if numbers(&result).iter().any(|x| !x.is_finite()) {
        return Some("a number that is none".into());
    }
    if result.history.iter().flat_map(|s| &s.trays).any(|t| t.vapour_kg_per_s < 0.0) {
        return Some("vapour flows back into the food".into());
    }
    let falls = |pick: &dyn Fn(&Sample) -> f64| {
        result.history.windows(2).any(|w| pick(&w[1]) < pick(&w[0]) - 1e-9 * pick(&w[0]).abs())
    };
    // a rig's cold shelf takes heat back, a cabinet pays for all
    let cabinet = matches!(load.dryer, Dryer::Cabinet(_));
    if falls(&|s| s.time_s) || (cabinet && falls(&|s| s.energy_j.total())) {
        return Some("time or energy runs backwards".into());
    }
    for (i, t) in result.trays.iter().enumerate() {
        let water = |s: &Sample| s.trays[i].water_per_dry;
        let grows = result.history.windows(2).position(|w| water(&w[1]) > water(&w[0]) + UPTAKE_PER_DRY);
        if let Some(at) = grows {
            return Some(format!("{} takes up water at {} s", t.name, result.history[at].time_s));
        }
        if t.ice_gone_at_s.is_none() != t.flags.contains(&Flag::IceLeft) {
            return Some(format!("{}: ice left without a word", t.name));
        }
    }
    // finished as the rule asks, or a warning says why not
    let given_up = result.warnings.iter().any(|w| matches!(w, Warning::RunTooLong { .. } | Warning::AirTooHigh { .. }));
    let wet = result.trays.iter().any(|t| t.dry_at_s.is_none());
    if matches!(load.end, EndRule::WettestSpot { .. }) && wet && !given_up {
        return Some("ended wet without a word".into());
    }
    None
}

proptest! {
    #![proptest_config(Config {
        cases: CASES,
        rng_seed: RngSeed::Fixed(20_240_611),
        failure_persistence: None,
        max_shrink_iters: 200,
        ..Config::default()
    })]

    #[test]
    fn any_load_keeps_its_sums_and_comes_to_an_end(load in load()) {
        let problem = broken(&load);
        prop_assert!(problem.is_none(), "{}", problem.unwrap_or_default());
    }
}

/// Enough to meet each kind several times.
const CASES: u32 = 500;
