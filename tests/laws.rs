//! Laws every run must keep, and the directions a practitioner would expect. The loads are invented.

use crate::common;

use icefront_core::load::{EndRule, Load};
use icefront_core::machine::{Cabinet, Dryer};
use icefront_core::plan;
use icefront_core::result::{BatchResult, Stage};
use icefront_core::shape::{PieceForm, Shape};

fn run(load: &Load) -> BatchResult {
    let result = plan(load).unwrap();
    assert!(result.balance.mass_rel <= 1e-6, "water: {:e}", result.balance.mass_rel);
    assert!(result.balance.energy_rel <= 1e-6, "heat: {:e}", result.balance.energy_rel);
    result
}

fn with(change: impl Fn(&mut Cabinet)) -> Load {
    let mut load = common::five_layers();
    let Dryer::Cabinet(cabinet) = &mut load.dryer else { unreachable!() };
    change(cabinet);
    load
}

fn no_limit(cabinet: &mut Cabinet) {
    cabinet.heater.cutback = None;
}

fn last_ice_h(result: &BatchResult) -> f64 {
    result.trays.iter().map(|t| t.ice_gone_at_s.unwrap()).fold(0.0, f64::max) / 3600.0
}

#[test]
fn twice_as_deep_takes_two_to_four_times_as_long_in_a_fixed_rig() {
    // linear where the heat to the front limits, square where the dried layer does: 2 to 4 between them
    let hours = |depth_m: f64| {
        let tray = common::layer(common::food(0.75, 0.07, -1.0), depth_m, 0.1);
        let mut load = common::load(common::rig(40.0, 50.0), vec![tray]);
        load.end = EndRule::FixedTime { time_s: 60.0 * 3600.0 };
        last_ice_h(&run(&load))
    };
    for depth_m in [0.006, 0.010, 0.015] {
        let ratio = hours(2.0 * depth_m) / hours(depth_m);
        assert!((2.0..=4.0).contains(&ratio), "{depth_m} m: ratio {ratio}");
    }
}

#[test]
fn a_warm_room_costs_more_compressor_energy_and_more_time() {
    let mut load = common::five_layers();
    let cool = run(&load);
    load.room_k += 15.0;
    let warm = run(&load);
    assert!(warm.energy_j().compressor > cool.energy_j().compressor);
    assert!(warm.food_ready_s() > cool.food_ready_s());
}

#[test]
fn better_refrigeration_lowers_the_pressure_when_nothing_holds_the_heaters_back() {
    let base = run(&with(no_limit)).machine.mean_pressure_pa;
    let stronger = run(&with(|c| {
        no_limit(c);
        c.refrigeration.swept_m3_per_s *= 1.3;
        c.refrigeration.power_limit_w *= 1.3;
    }));
    let conducting = run(&with(|c| {
        no_limit(c);
        c.refrigeration.wall_conductance_w_per_k *= 1.5;
    }));
    assert!(stronger.machine.mean_pressure_pa < base, "{} {base}", stronger.machine.mean_pressure_pa);
    assert!(conducting.machine.mean_pressure_pa < base, "{} {base}", conducting.machine.mean_pressure_pa);
}

#[test]
fn twice_the_tray_area_overloads_by_pressure_or_by_time() {
    let twice = |load: &mut Load| load.trays.iter_mut().for_each(|t| t.area_m2 *= 2.0);
    let (single, mut double) = (with(no_limit), with(no_limit));
    twice(&mut double);
    let (a, b) = (run(&single), run(&double));
    // with half of its ice gone: the warmest depends on how near to its end a step happens to stop
    let front =
        |r: &BatchResult| (0..r.trays.len()).map(|tray| common::ice_share_at(r, tray, 0.5).1).fold(0.0, f64::max);
    assert!(b.machine.mean_pressure_pa > a.machine.mean_pressure_pa);
    assert!(front(&b) > front(&a));
    let (single, mut double) = (common::five_layers(), common::five_layers());
    twice(&mut double);
    let (a, b) = (run(&single), run(&double));
    let limited_h = |r: &BatchResult| r.machine.time_limited_frac * r.stage_s[Stage::PrimaryDrying] / 3600.0;
    assert!(limited_h(&b) > limited_h(&a), "{} {}", limited_h(&b), limited_h(&a));
}

#[test]
fn fat_in_the_food_and_a_skin_slow_it_down() {
    let hours = |permeability: f64, skin: f64| {
        let mut model = common::food(0.75, 0.07, -1.0);
        model.dried.permeability_kg_per_m_s_pa = permeability;
        model.dried.skin_resistance_m2_s_pa_per_kg = skin;
        let mut load = common::load(common::rig(40.0, 50.0), vec![common::layer(model, 0.012, 0.1)]);
        load.end = EndRule::FixedTime { time_s: 60.0 * 3600.0 };
        last_ice_h(&run(&load))
    };
    assert!(hours(1e-8, 0.0) > hours(2e-8, 0.0));
    assert!(hours(2e-8, 4e5) > hours(2e-8, 0.0));
}

#[test]
fn small_pieces_dry_before_large_ones_and_before_a_bed_of_them() {
    let hours = |edge_m: f64, layers: usize| {
        let mut tray = common::layer(common::food(0.75, 0.07, -1.0), 0.01, 0.1);
        let form = PieceForm::Brick { length_m: edge_m, width_m: edge_m, height_m: edge_m };
        tray.shape = Shape::Pieces { form, layers, coverage: 0.8 };
        let mut load = common::load(common::rig(40.0, 50.0), vec![tray]);
        load.end = EndRule::FixedTime { time_s: 120.0 * 3600.0 };
        last_ice_h(&run(&load))
    };
    let (small, large, bed) = (hours(0.010, 1), hours(0.020, 1), hours(0.010, 3));
    assert!(small < large && small < bed, "{small} {large} {bed}");
}

#[test]
fn tray_order_does_not_change_the_sums_of_like_trays() {
    let mut load = common::five_layers();
    load.trays[1].area_m2 = 0.08;
    let a = run(&load);
    load.trays.swap(1, 2);
    let b = run(&load);
    let rel = (a.food_ready_s() - b.food_ready_s()).abs() / a.food_ready_s();
    assert!(rel < 0.02, "{rel}");
    assert!((a.water.loaded_kg - b.water.loaded_kg).abs() < 1e-12);
}

#[test]
fn the_same_load_gives_the_same_bits() {
    let load = common::five_layers();
    let (a, b) = (run(&load), run(&load));
    assert_eq!(a.food_ready_s().to_bits(), b.food_ready_s().to_bits());
    assert_eq!(a.energy_j().total().to_bits(), b.energy_j().total().to_bits());
}

#[test]
fn every_end_rule_ends_and_says_when() {
    let mut load = common::five_layers();
    for end in [
        EndRule::WettestSpot { moisture_wet_frac: 0.04 },
        EndRule::FixedTime { time_s: 10.0 * 3600.0 },
        EndRule::TemperaturesMeet { delta_k: 3.0 },
        EndRule::WeightConstant { loss_kg: 0.01, over_s: 3600.0 },
    ] {
        load.end = end;
        let result = run(&load);
        assert!(result.food_ready_s() > 8.0 * 3600.0 && result.food_ready_s() < 60.0 * 3600.0, "{end:?}");
        if let EndRule::FixedTime { time_s } = end {
            let under_vacuum: f64 = result.food_ready_s() - result.stage_s[Stage::Freezing];
            assert!((under_vacuum - time_s).abs() < 1.0);
            assert!(result.trays[0].ice_gone_at_s.is_none());
        }
        if let EndRule::WettestSpot { moisture_wet_frac } = end {
            for tray in &result.trays {
                assert!(tray.wettest_wet_frac <= moisture_wet_frac * 1.001, "{}", tray.wettest_wet_frac);
            }
        }
    }
}
