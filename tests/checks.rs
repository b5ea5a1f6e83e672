//! What the core refuses before a run and after it, and what it must not refuse. Machines and foods are invented.

use crate::common;

use std::num::NonZeroUsize;

use icefront_core::food::{Food, FoodTable, mix};
use icefront_core::load::{EndRule, Freezing, Load};
use icefront_core::machine::{Cabinet, Cutback, Dryer, Gauge, Prescribed, SetPoint};
use icefront_core::ranges::{Draws, draw};
use icefront_core::result::{BatchResult, Stage};
use icefront_core::{ModelError, plan};

fn in_cabinet(change: impl FnOnce(&mut Cabinet)) -> Load {
    let mut load = common::two_drawn_layers();
    let Dryer::Cabinet(cabinet) = &mut load.dryer else { panic!("a cabinet") };
    change(cabinet);
    load
}

fn in_rig(change: impl FnOnce(&mut Prescribed)) -> Load {
    let mut load = common::load(common::rig(40.0, 50.0), common::two_drawn_layers().trays);
    let Dryer::Prescribed(rig) = &mut load.dryer else { panic!("a rig") };
    change(rig);
    load
}

fn with_end(end: EndRule) -> Load {
    Load { end, ..common::two_drawn_layers() }
}

#[test]
fn a_load_is_refused_with_quantity_value_unit_and_range() {
    let refused: Vec<(&str, f64, &str, Load)> = vec![
        ("chamber volume", f64::NAN, "m3", in_cabinet(|c| c.vacuum.volume_m3 = f64::NAN)),
        ("number of shelves", 0.0, "shelves", in_cabinet(|c| c.shelves = 0)),
        ("shelf set point", 0.0, "K", in_cabinet(|c| c.heater.set_point = SetPoint::constant(0.0))),
        ("clearance", 0.0, "-", in_cabinet(|c| c.refrigeration.clearance = 0.0)),
        ("accommodation", -1.0, "-", in_cabinet(|c| c.contact.accommodation = -1.0)),
        ("density of the deposit", 0.0, "kg/m3", in_cabinet(|c| c.condenser.deposit_density_kg_per_m3 = 0.0)),
        (
            "air that the pump leaves in the chamber",
            1_002.0,
            "Pa",
            in_cabinet(|c| {
                (c.vacuum.ultimate_pa, c.vacuum.leak_pa_m3_per_s, c.vacuum.speed_m3_per_s) = (2.0, 1.0, 1e-3);
            }),
        ),
        (
            "pressure at which heaters are off",
            80.0,
            "Pa",
            in_cabinet(|c| {
                c.heater.cutback = Some(Cutback { from_pa: 80.0, to_pa: 80.0, gauge: Gauge::Absolute });
            }),
        ),
        ("vapour pressure of the rig", -5.0, "Pa", in_rig(|r| r.schedule[0].vapour_pressure_pa = -5.0)),
        ("shelf of the rig", 0.0, "K", in_rig(|r| r.schedule[0].shelf_k = 0.0)),
        ("time of a point of the rig", -1.0, "s", in_rig(|r| r.schedule[0].time_s = -1.0)),
        ("target moisture", 3.0, "-", with_end(EndRule::WettestSpot { moisture_wet_frac: 3.0 })),
        ("time under vacuum", -1.0, "s", with_end(EndRule::FixedTime { time_s: -1.0 })),
        (
            "loss of weight",
            f64::INFINITY,
            "kg",
            with_end(EndRule::WeightConstant { loss_kg: f64::INFINITY, over_s: 60.0 }),
        ),
        ("difference of food and shelf", 0.0, "K", with_end(EndRule::TemperaturesMeet { delta_k: 0.0 })),
    ];
    for (name, wrong, of, load) in refused {
        match load.check() {
            Err(ModelError::OutOfRange { quantity, value, unit, low, high }) => {
                assert_eq!((quantity, unit), (name, of));
                assert!((value - wrong).abs() < 1e-9 || value.to_bits() == wrong.to_bits(), "{name}: {value}");
                assert!(low < high, "{name}");
            }
            other => panic!("{name}: {other:?}"),
        }
        assert!(plan(&load).is_err(), "{name} was planned");
    }
    assert_eq!(common::two_drawn_layers().check(), Ok(()));
    assert_eq!(in_rig(|_| ()).check(), Ok(()));
    let nothing = in_rig(|r| r.schedule.clear());
    assert_eq!(nothing.check(), Err(ModelError::Empty { what: "the schedule of the rig" }));
}

#[test]
fn a_pump_slower_than_a_day_is_refused() {
    let load =
        in_cabinet(|c| (c.vacuum.volume_m3, c.vacuum.speed_m3_per_s, c.vacuum.leak_pa_m3_per_s) = (20.0, 1e-3, 0.0));
    let refused = load.check().unwrap_err();
    assert!(refused.to_string().starts_with("time to pump the chamber down = "), "{refused}");
}

/// A result with one number spoilt.
fn spoilt(result: &BatchResult, spoil: impl FnOnce(&mut BatchResult)) -> Result<(), ModelError> {
    let mut result = result.clone();
    spoil(&mut result);
    result.check()
}

#[test]
fn a_result_that_no_run_can_have_is_not_given_away() {
    let good = plan(&common::two_drawn_layers()).unwrap();
    assert_eq!(good.check(), Ok(()));
    let named = |spoil: fn(&mut BatchResult)| match spoilt(&good, spoil) {
        Err(ModelError::Impossible { quantity, .. }) => quantity,
        other => panic!("{other:?}"),
    };
    assert_eq!(named(|r| r.stage_s[Stage::Evacuation] = -5_400.0), "length of a stage");
    assert_eq!(named(|r| r.stage_s[Stage::PrimaryDrying] = f64::NAN), "length of a stage");
    assert_eq!(named(|r| r.energy_by_stage_j[Stage::PrimaryDrying].vacuum_pump = -1.0), "energy of a stage");
    assert_eq!(named(|r| r.balance.energy_rel = 1.5e-5), "error of the heat balance");
    assert_eq!(named(|r| r.balance.mass_rel = f64::NAN), "error of the water balance");
    assert_eq!(named(|r| r.history[5].condenser_k = 149.0), "condenser");
    assert_eq!(named(|r| r.history[5].trays[0].shelf_k = 521.0), "shelf");
    assert_eq!(named(|r| r.trays[1].dry_at_s = Some(-1.0)), "time of a tray");
    assert_eq!(named(|r| r.trays[0].front_max_k = f64::NEG_INFINITY), "ice front");
}

#[test]
fn a_compressor_that_does_nothing_closes_its_sums() {
    // nothing but the room's own heat moves for days: round-off must not pass for an error of the heat balance
    let mut load = in_cabinet(|c| {
        c.refrigeration.loss_w = c.refrigeration.power_limit_w;
        c.condenser.heat_capacity_j_per_k = 1e6;
        c.freeze_limit_s = 168.0 * 3_600.0;
        c.vacuum.volume_m3 = 5.0;
        c.vacuum.speed_m3_per_s = 1e-3;
        c.vacuum.leak_pa_m3_per_s = 0.5;
    });
    for tray in &mut load.trays {
        tray.freezing = Freezing::InMachine { loaded_k: 278.15 };
    }
    let result = plan(&load).unwrap();
    assert!(result.balance.energy_rel < 1e-9, "{:?}", result.balance);
}

#[test]
fn pure_water_in_the_food_settles() {
    // such as oil and water: nothing is dissolved, so that it begins to freeze at 0 degC
    let oil = FoodTable::embedded().unwrap().find("olive oil").unwrap().food();
    let mixed = mix("oil and water", &[(oil, 0.2), (Food::water(), 0.2)]).unwrap();
    let mut foods = vec![mixed.model().unwrap()];
    let mut peas = FoodTable::embedded().unwrap().find("peas").unwrap().food().model().unwrap();
    peas.curve.freezing_point_k = 273.15;
    foods.push(peas);
    for model in foods {
        assert_eq!(model.curve.freezing_point_k, 273.15);
        for depth_m in [0.003, 0.008, 0.02, 0.03] {
            let mut tray = common::layer(model.clone(), depth_m, 0.1);
            tray.freezing = Freezing::InMachine { loaded_k: 278.15 };
            let load = common::load(Dryer::Cabinet(Box::new(common::cabinet(0.6))), vec![tray]);
            let result = plan(&load).unwrap_or_else(|problem| panic!("{depth_m} m: {problem}"));
            assert!(result.trays[0].dry_at_s.is_some(), "{depth_m} m");
        }
    }
}

#[test]
fn draws_that_fail_are_left_out_and_counted_on_any_thread_count() {
    let load = common::two_drawn_layers();
    let failed = || ModelError::NotConverged { what: "a step", at_s: 1.0, residual: 2.0, limit: 1.0 };
    let cloud = |threads: usize, fails: fn(f64) -> bool| {
        let draws = Draws { count: 8, seed: 3, threads: NonZeroUsize::new(threads) };
        draw(&draws, &[], |point| {
            let u = point.unit(0);
            let mut load = load.clone();
            load.room_k += 10.0 * u;
            if fails(u) { Err(failed()) } else { Ok(load) }
        })
    };
    let one = cloud(1, |u| u > 0.875).unwrap();
    assert_eq!((one.outcomes.len(), one.refused), (7, 1));
    assert!(one.failures_matter());
    assert_eq!(cloud(3, |u| u > 0.875).unwrap(), one);
    assert_eq!(cloud(2, |u| u > 0.25), Err(failed()));
}
