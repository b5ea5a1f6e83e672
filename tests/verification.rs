//! The batch against solvers written apart from it, and against itself on finer steps and cells (verification: our
//! arithmetic, not nature). `docs/verification.md` holds the tables these tests print.

use crate::common;

use icefront_core::batch::{Precision, plan_with};
use icefront_core::food::FoodModel;
use icefront_core::load::{EndRule, Load, Tray};
use icefront_core::machine::{Cabinet, Dryer};
use icefront_core::plan;
use icefront_core::result::BatchResult;
use icefront_core::shape::{PieceForm, Shape};
use icefront_core::water;
use icefront_validation::ideal::{Ball, Chamber, Heat, Layer, dry_ball, dry_layer};
use icefront_validation::resolved::{self, Resolution};

const HOUR_S: f64 = 3_600.0;
/// Shelf and surface above, K: no front of these tests comes near melting.
const WARM_K: f64 = 298.15;
const START_K: f64 = 248.15;

fn layer(model: &FoodModel, depth_m: f64, vapour_pa: f64) -> Layer<'_> {
    Layer {
        model,
        depth_m,
        below: Heat { from_k: WARM_K, w_per_m2_k: 15.0, emissivity: 0.0 },
        above: Heat { from_k: WARM_K, w_per_m2_k: 0.0, emissivity: 0.7 },
        chamber: Chamber { vapour_pa, air_pa: 0.0 },
    }
}

/// A tray in a rig with the surroundings of a single layer or ball.
fn in_rig(tray: Tray, shelf_k: f64, chamber: Chamber, end: EndRule) -> Load {
    let mut load = common::load(common::rig(shelf_k - 273.15, chamber.vapour_pa), vec![tray]);
    load.end = end;
    load
}

fn layer_in_rig(layer: &Layer<'_>) -> Load {
    let mut tray = common::layer(layer.model.clone(), layer.depth_m, 1.0);
    tray.contact.below_w_per_m2_k = Some(layer.below.w_per_m2_k);
    tray.contact.emissivity_above = Some(layer.above.emissivity);
    tray.contact.gas_above_w_per_m2_k = Some(layer.above.w_per_m2_k);
    in_rig(tray, layer.below.from_k, layer.chamber, EndRule::FixedTime { time_s: 80.0 * HOUR_S })
}

fn run(load: &Load) -> BatchResult {
    let result = plan(load).unwrap();
    assert!(result.balance.mass_rel < 1e-9, "water: {:e}", result.balance.mass_rel);
    assert!(result.balance.energy_rel < 1e-6, "heat: {:e}", result.balance.energy_rel);
    result
}

fn last_ice_s(result: &BatchResult) -> f64 {
    result.trays.iter().map(|t| t.ice_gone_at_s.unwrap()).fold(0.0, f64::max)
}

/// Water held at the last ice, kg/kg dry.
fn held_at_last_ice(result: &BatchResult) -> f64 {
    let gone_s = last_ice_s(result);
    // at the end of the step that took it: before, ice counts as water too
    result.history.iter().find(|s| s.time_s >= gone_s).unwrap().trays[0].water_per_dry
}

#[test]
fn resolved_layer_converges_and_keeps_water_and_heat() {
    let model = common::food(0.75, 0.07, -1.0);
    let layer = layer(&model, 0.015, 50.0);
    let time_s = |dried, frozen, tolerance| {
        let result = resolved::dry(&layer, START_K, &Resolution { dried, frozen, tolerance }).unwrap();
        assert!(result.mass_rel < 1e-9, "water: {:e}", result.mass_rel);
        assert!(result.energy_rel < 1e-6, "heat: {:e}", result.energy_rel);
        result.ice_gone_s
    };
    let best_s = time_s(96, 48, 1e-6);
    let off = |seconds: f64| (seconds / best_s - 1.0).abs();
    let default = Resolution::default();
    let default_off = off(time_s(default.dried, default.frozen, default.tolerance));
    let cells = [6, 12].map(|n| off(time_s(2 * n, n, 1e-6)));
    let steps = [1e-4, 1e-5].map(|tolerance| off(time_s(96, 48, tolerance)));
    println!("resolved: default {default_off:.1e}, 12 and 24 cells {cells:?}, tolerance 1e-4 and 1e-5 {steps:?}");
    assert!(default_off < 1e-3, "{default_off}");
    // second order: a quarter for half the cell, a tenth for a tenth of the tolerance
    assert!(cells[1] < 0.35 * cells[0] && cells[0] < 1e-3, "{cells:?}");
    assert!(steps[1] < 0.25 * steps[0] && steps[0] < 1e-3, "{steps:?}");
}

/// Deviation of the batch's last ice from the resolved one; prints a row of the table in the docs.
fn deviation(layer: &Layer<'_>) -> f64 {
    let resolved = resolved::dry(layer, START_K, &Resolution::default()).unwrap();
    assert!(resolved.mass_rel < 1e-9 && resolved.energy_rel < 1e-6);
    let batch = run(&layer_in_rig(layer));
    let deviation = last_ice_s(&batch) / resolved.ice_gone_s - 1.0;
    println!(
        "| {:.0} | {:.0} | {:.0} | {:.2} | {:+.2} % | {:.3} | {:.3} |",
        layer.below.from_k - 273.15,
        1e3 * layer.depth_m,
        layer.chamber.vapour_pa,
        resolved.ice_gone_s / HOUR_S,
        100.0 * deviation,
        resolved.held_per_dry,
        held_at_last_ice(&batch)
    );
    deviation
}

#[test]
fn batch_agrees_with_the_resolved_layer_within_3_percent() {
    let model = common::food(0.75, 0.07, -1.0);
    println!("| shelf degC | depth mm | Pa | resolved h | batch | held, resolved | held, batch |");
    for depth_m in [0.005, 0.010, 0.015, 0.020, 0.030, 0.040] {
        for vapour_pa in [10.0, 50.0, 100.0, 200.0] {
            let off = deviation(&layer(&model, depth_m, vapour_pa));
            assert!(off.abs() < 0.03, "{depth_m} m, {vapour_pa} Pa: {off}");
        }
    }
    // as warm as a household shelf; deeper layers would melt
    for depth_m in [0.005, 0.010, 0.015] {
        for vapour_pa in [10.0, 50.0, 100.0] {
            let warm = Heat { from_k: 318.15, w_per_m2_k: 25.0, emissivity: 0.0 };
            let above = Heat { w_per_m2_k: 0.0, emissivity: 0.7, ..warm };
            let off = deviation(&Layer { below: warm, above, ..layer(&model, depth_m, vapour_pa) });
            assert!(off.abs() < 0.03, "45 degC, {depth_m} m, {vapour_pa} Pa: {off}");
        }
    }
}

/// Moisture at which the layers below count as dry, wet basis.
const DRY_FRAC: f64 = 0.03;

#[test]
fn batch_is_dry_when_the_resolved_layer_is() {
    let model = common::food(0.75, 0.07, -1.0);
    println!("| shelf degC | depth mm | Pa | resolved h | of it without ice h | batch |");
    let mut worst: f64 = 0.0;
    for (shelf_c, depth_m, vapour_pa) in [
        (30.0, 0.008, 20.0),
        (30.0, 0.025, 150.0),
        (30.0, 0.040, 50.0),
        (40.0, 0.015, 50.0),
        (40.0, 0.025, 20.0),
        (50.0, 0.008, 50.0),
        (50.0, 0.015, 20.0),
        (50.0, 0.025, 50.0),
    ] {
        let warm = Heat { from_k: shelf_c + 273.15, w_per_m2_k: 12.0, emissivity: 0.0 };
        let above = Heat { w_per_m2_k: 0.0, emissivity: 0.7, ..warm };
        let layer = Layer { below: warm, above, ..layer(&model, depth_m, vapour_pa) };
        let resolved = resolved::dry(&layer, START_K, &Resolution::default()).unwrap();
        assert!(resolved.mass_rel < 1e-9 && resolved.energy_rel < 1e-6, "{resolved:?}");
        let mut load = layer_in_rig(&layer);
        load.end = EndRule::WettestSpot { moisture_wet_frac: DRY_FRAC };
        let batch_s = run(&load).trays[0].dry_at_s.unwrap();
        let dry_s = resolved.dry_s(DRY_FRAC);
        let off = batch_s / dry_s - 1.0;
        println!(
            "| {shelf_c:.0} | {:.0} | {vapour_pa:.0} | {:.2} | {:.2} | {:+.2} % |",
            1e3 * depth_m,
            dry_s / HOUR_S,
            (dry_s - resolved.ice_gone_s) / HOUR_S,
            100.0 * off
        );
        worst = worst.max(off.abs());
    }
    assert!(worst < 0.015, "{worst}");
}

/// A food that stores no heat and gives off no held water: what the single front leaves out.
fn bare_food() -> FoodModel {
    let mut model = common::food(0.75, 0.04, -0.5);
    model.curve.heat_capacity_frozen_j_per_kg_k = 1.0;
    model.dried.heat_capacity_j_per_kg_k = 0.0;
    model.dried.desorption_rate_40c_per_s = 0.0;
    model
}

#[test]
fn batch_agrees_with_the_single_front_of_a_layer() {
    let model = bare_food();
    for (depth_m, vapour_pa) in [(0.005, 10.0), (0.0125, 50.0), (0.02, 50.0), (0.03, 100.0)] {
        let layer = layer(&model, depth_m, vapour_pa);
        let single_s = dry_layer(&layer).unwrap().last().unwrap().time_s;
        let batch_s = last_ice_s(&run(&layer_in_rig(&layer)));
        println!(
            "layer {depth_m} m {vapour_pa} Pa: {:.3} h, batch {:+.3} %",
            single_s / HOUR_S,
            100.0 * (batch_s / single_s - 1.0)
        );
        assert!((batch_s / single_s - 1.0).abs() < 5e-3, "{depth_m} m, {vapour_pa} Pa: {batch_s} against {single_s}");
    }
}

/// Balls on a tray, heated all round by `w_per_m2_k` of their surface.
fn balls_in_rig(ball: &Ball<'_>) -> Load {
    let mut tray = common::layer(ball.model.clone(), 0.01, 1.0);
    let coverage = 0.5;
    tray.shape = Shape::Pieces { form: PieceForm::Sphere { diameter_m: ball.diameter_m }, layers: 1, coverage };
    // surface of a ball over its footprint is 4
    tray.contact.below_w_per_m2_k = Some(0.5 * 4.0 * coverage * ball.around.w_per_m2_k);
    tray.contact.gas_above_w_per_m2_k = Some(0.5 * 4.0 * coverage * ball.around.w_per_m2_k);
    tray.contact.emissivity_above = Some(0.0);
    in_rig(tray, ball.around.from_k, ball.chamber, EndRule::FixedTime { time_s: 80.0 * HOUR_S })
}

#[test]
fn batch_agrees_with_the_single_front_of_a_ball() {
    let model = bare_food();
    for (diameter_m, vapour_pa) in [(0.008, 50.0), (0.015, 50.0), (0.025, 20.0)] {
        let ball = Ball {
            model: &model,
            diameter_m,
            around: Heat { from_k: WARM_K, w_per_m2_k: 6.0, emissivity: 0.0 },
            chamber: Chamber { vapour_pa, air_pa: 0.0 },
        };
        let single_s = dry_ball(&ball).unwrap().last().unwrap().time_s;
        let load = balls_in_rig(&ball);
        let fine = plan_with(&load, &Precision { tolerance: 1.0 / 64.0, ..Precision::default() }).unwrap();
        let off = [last_ice_s(&fine) / single_s - 1.0, last_ice_s(&run(&load)) / single_s - 1.0];
        println!(
            "ball {diameter_m} m: {:.3} h, batch {:+.2} %, with its default steps {:+.2} %",
            single_s / HOUR_S,
            100.0 * off[0],
            100.0 * off[1]
        );
        // the batch holds the shell of the last 8 % of the radius constant
        assert!(off[0].abs() < 5e-3 && off[1].abs() < 1e-2, "{diameter_m} m: {off:?}");
    }
}

#[test]
fn the_single_front_refuses_what_does_not_dry() {
    let model = common::food(0.75, 0.07, -1.0);
    let cold = Heat { from_k: 240.15, w_per_m2_k: 15.0, emissivity: 0.0 };
    let frozen_shelf = Layer { below: cold, above: cold, ..layer(&model, 0.01, 50.0) };
    assert!(dry_layer(&frozen_shelf).is_err(), "shelf below the frost point");
    let hot = Heat { from_k: 353.15, w_per_m2_k: 200.0, emissivity: 0.0 };
    let molten = Layer { below: hot, ..layer(&model, 0.03, 50.0) };
    assert!(dry_layer(&molten).is_err(), "ice melts");
}

/// Loads of every kind: layers, beds, cubes; in a cabinet and in a rig.
fn kinds() -> Vec<(&'static str, Load)> {
    let five = common::five_layers();
    let with = |change: &dyn Fn(&mut Tray)| {
        let mut load = common::five_layers();
        load.trays.iter_mut().for_each(change);
        load
    };
    let mut free = common::five_layers();
    let Dryer::Cabinet(cabinet) = &mut free.dryer else { unreachable!() };
    no_limit(cabinet);
    let balls = Shape::Pieces { form: PieceForm::Sphere { diameter_m: 0.012 }, layers: 2, coverage: 0.7 };
    let cube = PieceForm::Brick { length_m: 0.015, width_m: 0.015, height_m: 0.015 };
    let cubes = Shape::Pieces { form: cube, layers: 1, coverage: 0.7 };
    vec![
        ("five layers, pressure-limited", five),
        ("five layers, no limit", free),
        ("beds of balls", with(&|t| t.shape = balls)),
        ("cubes", with(&|t| t.shape = cubes)),
        (
            "layer in a rig",
            common::load(common::rig(40.0, 50.0), vec![common::layer(common::food(0.75, 0.07, -1.0), 0.012, 0.1)]),
        ),
    ]
}

fn no_limit(cabinet: &mut Cabinet) {
    cabinet.heater.cutback = None;
}

/// Last ice, whole time to dry food, and energy.
fn answers(load: &Load, precision: Precision) -> [f64; 3] {
    let result = plan_with(load, &precision).unwrap();
    [last_ice_s(&result), result.food_ready_s(), result.energy_j().total()]
}

#[test]
fn the_default_answer_is_within_0_6_percent_of_the_converged_one() {
    println!("| load | last ice | food ready | energy |");
    for (name, load) in kinds() {
        let best = answers(&load, Precision { tolerance: 1.0 / 256.0, freezing_cells: 40, ..Precision::default() });
        let default = answers(&load, Precision::default());
        let off: Vec<f64> = default.iter().zip(best).map(|(a, b)| 100.0 * (a / b - 1.0)).collect();
        println!("| {name} | {:+.2} % | {:+.2} % | {:+.2} % |", off[0], off[1], off[2]);
        assert!(off.iter().all(|o| o.abs() < 0.6), "{name}: {off:?} %");
    }
}

#[test]
fn the_error_falls_with_the_tolerance() {
    let model = common::food(0.75, 0.07, -1.0);
    let layer = layer(&model, 0.015, 50.0);
    let mut load = layer_in_rig(&layer);
    load.end = EndRule::FixedTime { time_s: 8.0 * HOUR_S };
    let water = |tolerance| plan_with(&load, &Precision { tolerance, ..Precision::default() }).unwrap().water.left_kg;
    let best = water(1e-6);
    let error = |tolerance| (water(tolerance) / best - 1.0).abs();
    let coarse = error(1.0 / 16.0);
    assert!(coarse < 1e-3, "{coarse}");
    let errors = [1.0 / 64.0, 1.0 / 256.0, 1.0 / 1024.0, 1.0 / 4096.0].map(error);
    println!("water left after 8 h: {coarse:e}, {errors:?}");
    assert!(errors[0] < 1e-3, "{errors:?}");
    // second order in the step: the error goes as the tolerance
    assert!(errors.windows(2).all(|e| e[1] < 0.35 * e[0]), "{errors:?}");
}

/// Last ice (s), and the front where half the ice is left (K), of slices 12 mm thick that cover a tray of the rig.
fn slices(width_m: f64) -> (f64, f64) {
    let model = common::food(0.75, 0.07, -1.0);
    let mut load = layer_in_rig(&layer(&model, 0.012, 50.0));
    let form = PieceForm::Brick { length_m: width_m, width_m, height_m: 0.012 };
    load.trays[0].shape = Shape::Pieces { form, layers: 1, coverage: 1.0 };
    let result = run(&load);
    (last_ice_s(&result), common::ice_share_at(&result, 0, 0.5).1)
}

#[test]
fn the_wider_slices_are_the_more_they_are_a_layer() {
    let model = common::food(0.75, 0.07, -1.0);
    let as_layer = last_ice_s(&run(&layer_in_rig(&layer(&model, 0.012, 50.0))));
    let off = [0.3, 1.0, 3.0, 10.0].map(|width_m| slices(width_m).0 / as_layer - 1.0);
    println!("slices against a layer: {off:?}");
    assert!(off.windows(2).all(|pair| pair[1].abs() < 0.5 * pair[0].abs()) && off[0].abs() < 0.01, "{off:?}");
}

/// From cube to slice nothing jumps: steps of 2 % in width are less than 1 % in time, and less than 0.1 K where half the ice
/// is left.
#[test]
fn slices_and_cubes_meet() {
    let mut before = slices(0.012);
    let mut width_m = 0.012;
    while width_m < 0.06 {
        width_m *= 1.02;
        let now = slices(width_m);
        assert!((now.0 / before.0 - 1.0).abs() < 0.01, "{width_m} m: {before:?}, {now:?}");
        assert!((now.1 - before.1).abs() < 0.1, "{width_m} m: {before:?}, {now:?}");
        before = now;
    }
}

#[test]
fn a_flat_piece_heated_all_round_is_half_a_slab() {
    // a disc 200 mm across and 2 mm thick: dimension 1 + 2 x 2/200
    let model = bare_food();
    let (thickness_m, w_per_m2_k) = (0.002, 8.0);
    let form = PieceForm::Cylinder { diameter_m: 0.2, length_m: thickness_m };
    let core = form.core();
    let chamber = Chamber { vapour_pa: 30.0, air_pa: 0.0 };
    let mut tray = common::layer(model.clone(), 0.01, 1.0);
    tray.shape = Shape::Pieces { form, layers: 1, coverage: 0.5 };
    let surface_per_tray = 0.5 * core.surface_m2 / core.lying.footprint_m2;
    tray.contact.below_w_per_m2_k = Some(0.5 * surface_per_tray * w_per_m2_k);
    tray.contact.gas_above_w_per_m2_k = Some(0.5 * surface_per_tray * w_per_m2_k);
    tray.contact.emissivity_above = Some(0.0);
    let discs_s = last_ice_s(&run(&in_rig(tray, WARM_K, chamber, EndRule::FixedTime { time_s: 20.0 * HOUR_S })));
    let half = Layer {
        model: &model,
        depth_m: 0.5 * thickness_m,
        below: Heat { from_k: WARM_K, w_per_m2_k: 1e-9, emissivity: 0.0 },
        above: Heat { from_k: WARM_K, w_per_m2_k, emissivity: 0.0 },
        chamber,
    };
    let half_s = dry_layer(&half).unwrap().last().unwrap().time_s;
    // its time goes as volume over surface
    approx::assert_relative_eq!(discs_s * core.dimension, half_s, max_relative = 5e-3);
}

#[test]
fn all_ice_leaves_no_water_behind() {
    let model = common::food(0.75, 0.0, 0.0);
    let result = run(&layer_in_rig(&layer(&model, 0.01, 50.0)));
    let held = held_at_last_ice(&result);
    // of 3 kg/kg: the model lets all water hold as much as depresses its freezing point by 0.01 K, and the front stays
    // below -15 degC
    assert!(held < 3.0 * 0.01 / 15.0, "{held}");
    assert!(result.trays[0].least_ice_share > 1.0 - 0.01 / 15.0);
}

#[test]
fn very_little_water_is_gone_at_once() {
    let mut model = common::food(0.03, 0.02, -3.0);
    model.density_kg_per_m3 = 400.0;
    let mut load = layer_in_rig(&layer(&model, 0.01, 50.0));
    load.end = EndRule::WettestSpot { moisture_wet_frac: 0.02 };
    let result = run(&load);
    assert!(last_ice_s(&result) < 0.3 * HOUR_S);
}

#[test]
fn the_front_starts_regular() {
    let model = bare_food();
    let layer = layer(&model, 0.01, 50.0);
    let first = dry_layer(&layer).unwrap()[0];
    // short first steps
    let fine = Precision { tolerance: 1e-3, ..Precision::default() };
    let result = plan_with(&layer_in_rig(&layer), &fine).unwrap();
    // nothing resists yet but the ice's own surface; heat sets the rate
    let start = &result.history[1].trays[0];
    approx::assert_relative_eq!(start.vapour_kg_per_s, first.vapour_kg_per_m2_s, max_relative = 0.05);
    approx::assert_abs_diff_eq!(start.front_k, first.front_k, epsilon = 0.1);
    assert!(first.front_k - water::frost_point_k(50.0) < 1.0 && first.vapour_kg_per_m2_s > 0.0);
}
