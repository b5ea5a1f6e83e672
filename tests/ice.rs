//! Ice fronts as they are reported: each drying element is judged by its own ice, and a run is given up only when it
//! cannot end. Foods, loads and machines are invented; what is checked follows from the equations alone.

use crate::common;

use icefront_core::decide::compare;
use icefront_core::decide::trouble::Trouble;
use icefront_core::load::{EndRule, Freezing, Load};
use icefront_core::machine::{Cabinet, Dryer, PrescribedPoint, Refrigeration};
use icefront_core::plan;
use icefront_core::result::{Flag, Stage, Warning};
use icefront_core::shape::{PieceForm, Shape};

/// Six trays of cubes in one cabinet.
fn cubes(edge_m: f64, layers: usize) -> Load {
    let mut load = common::five_layers();
    for tray in &mut load.trays {
        let form = PieceForm::Brick { length_m: edge_m, width_m: edge_m, height_m: edge_m };
        tray.shape = Shape::Pieces { form, layers, coverage: 0.8 };
    }
    load
}

#[test]
fn a_bed_is_no_warmer_than_its_ice() {
    let (single, bed) = (plan(&cubes(0.012, 1)).unwrap(), plan(&cubes(0.006, 2)).unwrap());
    for (one, two) in single.trays.iter().zip(&bed.trays) {
        assert!(!two.flags.contains(&Flag::Melts), "{} K, {}", two.front_max_k, two.least_ice_share);
        // as much food, as deep: its outer layer is dry and at shelf temperature while the inner one still holds ice; single
        // cubes, whose last ice lies on the tray, may be warmer
        assert!(two.front_max_k < one.front_max_k + 6.0, "{} {}", two.front_max_k, one.front_max_k);
        assert!(two.front_max_k < 258.15, "{}", two.front_max_k);
    }
    // the two layers of a bed do not dry alike, and the history tells both
    let apart = bed.history.iter().flat_map(|s| &s.trays).any(|t| t.front_warmest_k > t.front_k + 0.5);
    assert!(apart);
}

#[test]
fn a_bed_is_not_called_melted_where_loads_are_compared() {
    let variants = compare::typical(&[cubes(0.006, 2)], None).unwrap();
    assert!(variants[0].chance(Trouble::Melts) < 0.5, "{}", variants[0].chance(Trouble::Melts));
}

#[test]
fn a_run_is_not_given_up_while_its_rig_is_about_to_warm_up() {
    // held cold for two days, then heated: nothing sublimes before
    let mut load =
        common::load(common::rig(40.0, 50.0), vec![common::layer(common::food(0.75, 0.07, -1.0), 0.01, 0.1)]);
    let Dryer::Prescribed(rig) = &mut load.dryer else { unreachable!() };
    let point = |hours: f64, shelf_c: f64| PrescribedPoint {
        time_s: 3_600.0 * hours,
        shelf_k: 273.15 + shelf_c,
        vapour_pressure_pa: 50.0,
        air_pressure_pa: 0.0,
    };
    rig.schedule = vec![point(0.0, -35.0), point(48.0, -35.0), point(50.0, 40.0)];
    let result = plan(&load).unwrap();
    assert!(result.warnings.is_empty(), "{:?}", result.warnings);
    assert!(result.trays[0].dry_at_s.unwrap() > 50.0 * 3_600.0);
}

#[test]
fn a_rig_that_stays_cold_is_given_up_early() {
    let mut load =
        common::load(common::rig(-35.0, 50.0), vec![common::layer(common::food(0.75, 0.07, -1.0), 0.01, 0.1)]);
    load.end = EndRule::WettestSpot { moisture_wet_frac: 0.03 };
    let result = plan(&load).unwrap();
    assert!(matches!(result.warnings[..], [Warning::RunTooLong { .. }]), "{:?}", result.warnings);
    assert!(result.total_s() < 48.0 * 3_600.0, "{} h", result.total_s() / 3_600.0);
}

#[test]
fn a_run_whose_pressure_stays_above_the_triple_point_is_given_up() {
    // twenty times less refrigeration than the heaters ask for, and nothing that holds the heaters back
    let mut cabinet = common::cabinet(0.5);
    cabinet.refrigeration.swept_m3_per_s /= 20.0;
    cabinet.heater.cutback = None;
    let mut load = common::load(
        Dryer::Cabinet(Box::new(cabinet)),
        vec![common::layer(common::food(0.75, 0.07, -1.0), 0.01, 0.1); 4],
    );
    for tray in &mut load.trays {
        tray.freezing = Freezing::Frozen { loaded_k: 253.15 };
    }
    let result = plan(&load).unwrap();
    let flooded = |w: &Warning| matches!(w, Warning::AboveTriplePoint { pressure_pa } if *pressure_pa > 612.0);
    assert!(result.warnings.iter().any(flooded), "{:?}", result.warnings);
    assert!(result.trays.iter().all(|t| t.dry_at_s.is_none()));
    let drying_s = result.stage_s[Stage::PrimaryDrying];
    assert!(drying_s < 12.0 * 3_600.0, "{} h", drying_s / 3_600.0);
}

/// No results are colder, K.
const LEAST_COIL_K: f64 = 150.0;

/// A compressor far too large for its coil, with as little clearance as a load may have.
fn oversized() -> Refrigeration {
    Refrigeration {
        swept_m3_per_s: 3.784e-3,
        clearance: 0.01,
        isentropic_efficiency: 0.667,
        loss_w: 42.65,
        power_limit_w: 235.4,
        wall_conductance_w_per_k: 48.0,
        hot_side_conductance_w_per_k: 54.0,
    }
}

#[test]
fn a_small_coil_behind_a_large_compressor_does_not_fall_without_end() {
    let change = |cabinet: &mut Cabinet| {
        cabinet.refrigeration = oversized();
        cabinet.condenser.area_m2 = 0.0126;
        cabinet.condenser.heat_capacity_j_per_k = 100.0;
        cabinet.shelf_heat_capacity_j_per_m2_k = 583.0;
        cabinet.heat_leak_w_per_k = 3.25e-3;
    };
    let mut cabinet = common::cabinet(0.36);
    change(&mut cabinet);
    let mut tray = common::layer(common::food(0.7, 0.07, -2.0), 0.039, 0.06);
    tray.freezing = Freezing::InMachine { loaded_k: 278.15 };
    let result = plan(&common::load(Dryer::Cabinet(Box::new(cabinet)), vec![tray])).unwrap();
    assert!(result.machine.condenser_min_k >= LEAST_COIL_K, "{} K", result.machine.condenser_min_k);
    assert!(result.history.iter().all(|s| s.condenser_k >= LEAST_COIL_K));
    assert!(result.history.len() < 3_000, "{}", result.history.len());
}

/// Warm small balls in a rig at 5 Pa: within the first steps they give off vapour until they are as cold as its saturation.
#[test]
fn a_front_is_not_extrapolated_to_where_no_step_led() {
    let mut model = common::food(0.465_368_098_003_809_57, 0.189_719_034_938_157_42, -2.401_639_318_187_1);
    model.dried.permeability_kg_per_m_s_pa = 10f64.powf(-7.3);
    model.dried.conductivity_vacuum_w_per_m_k = 0.02;
    let mut tray = common::layer(model, 0.01, 0.03);
    let form = PieceForm::Sphere { diameter_m: 0.004 };
    tray.shape = Shape::Pieces { form, layers: 1, coverage: 0.938_060_337_957_161_4 };
    tray.freezing = Freezing::InMachine { loaded_k: 317.869_333_438_966_75 };
    let mut load = common::load(common::rig(10.0, 5.0), vec![tray]);
    load.room_k = 253.15;
    // a result with a front below 150 K would be refused
    let result = plan(&load).unwrap();
    assert!(result.trays[0].dry_at_s.is_some(), "{:?}", result.warnings);
}
