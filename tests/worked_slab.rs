//! One slab in a prescribed rig against an independent solver (a receding-front balance written and run apart from
//! this code, level 0: nothing fitted).

use crate::common;

use icefront_core::load::{EndRule, Freezing};
use icefront_core::plan;

/// 12.5 mm, 1000 kg/m3, 75 % water of which 4 % never freezes, bottom 25 W/(m2 K), 40 degC, 50 Pa, 2e-8 kg/(m s Pa).
fn slab(frozen_j_per_kg_k: f64, vapour_j_per_kg_k: f64, loaded_c: f64) -> (f64, f64, f64) {
    let mut model = common::food(0.75, 0.04, 0.0);
    model.curve.heat_capacity_frozen_j_per_kg_k = frozen_j_per_kg_k;
    model.dried.knudsen_share = 1.0;
    model.dried.conductivity_vacuum_w_per_m_k = 0.05;
    model.dried.conductivity_gas_w_per_m_k = 0.0;
    model.dried.heat_capacity_j_per_kg_k = 0.0;
    model.dried.heat_of_desorption_j_per_kg = 0.0;
    let mut tray = common::layer(model, 0.0125, 1.0);
    tray.freezing = Freezing::Frozen { loaded_k: 273.15 + loaded_c };
    tray.contact.below_w_per_m2_k = Some(25.0);
    tray.contact.emissivity_above = Some(0.7);
    tray.contact.gas_above_w_per_m2_k = Some(0.0);
    tray.contact.vapour_heat_capacity_j_per_kg_k = Some(vapour_j_per_kg_k);
    let mut load = common::load(common::rig(40.0, 50.0), vec![tray]);
    load.end = EndRule::FixedTime { time_s: 8.0 * 3600.0 };
    let result = plan(&load).unwrap();
    assert!(result.balance.mass_rel < 1e-9 && result.balance.energy_rel < 1e-6, "{:?}", result.balance);
    let (half_s, front_k) = common::ice_share_at(&result, 0, 0.5);
    (half_s / 3600.0, front_k - 273.15, result.trays[0].ice_gone_at_s.unwrap() / 3600.0)
}

fn near(what: &str, got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "{what}: got {got:.3}, expected {expected} within {tolerance:.3}");
}

#[test]
fn bare_balance() {
    let (half_h, front_c, gone_h) = slab(1.0, 0.0, -13.0);
    println!("{half_h} {front_c} {gone_h}");
    near("half the ice, h", half_h, 2.38, 0.02 * 2.38);
    near("front then, degC", front_c, -12.9, 0.5);
    near("last ice, h", gone_h, 5.05, 0.02 * 5.05);
}

#[test]
fn with_warming_of_frozen_part_and_vapour() {
    let (half_h, front_c, gone_h) = slab(1_900.0, 1_860.0, -25.0);
    println!("{half_h} {front_c} {gone_h}");
    near("half the ice, h", half_h, 2.45, 0.02 * 2.45);
    near("last ice, h", gone_h, 5.14, 0.02 * 5.14);
}
