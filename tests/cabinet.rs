//! The batch solver against the independent cabinet of `icefront-validation` (verification: our arithmetic, not nature).
//!
//! Bounds: last ice of each tray 1.2 %, food ready and electric energy 0.5 %. What is left is the error of the batch's
//! default steps; `docs/verification.md` holds the figures and names their causes.

use icefront_core::batch::{Precision, plan_with};
use icefront_core::load::{EndRule, Load};
use icefront_core::machine::{Dryer, SetPoint, SetPointAt};
use icefront_validation::cabinet::{self, Accuracy, CabinetError};
use icefront_validation::comparison::{HUNTING, LAST_ICE_BOUND, Sheet, compare, read};

fn load(sheet: &Sheet) -> Load {
    read(sheet).unwrap_or_else(|error| panic!("{error}"))
}

/// Computes a sheet both ways and holds the batch to the bounds.
fn holds(sheet: &Sheet, precision: &Precision) {
    let c = compare(&load(sheet), precision, Accuracy::default()).unwrap();
    let percent: Vec<_> = c.last_ice_s.iter().map(|d| format!("{:+.2}", 100.0 * d.relative())).collect();
    let (ready, energy) = (100.0 * c.ready_s.relative(), 100.0 * c.energy_j.relative());
    println!("{}: last ice {percent:?} %, ready {ready:+.2} %, energy {energy:+.2} %", sheet.name);
    assert!(c.within_bounds(), "{}: last ice {percent:?} %, ready {ready:+.2} %, energy {energy:+.2} %", sheet.name);
}

#[test]
fn batch_agrees_with_the_independent_cabinet() {
    Sheet::ALL.iter().for_each(|sheet| holds(sheet, &Precision::default()));
}

/// Each tray of the demonstration until it is dry, not only the last one: layers, cubes and slices on their trays, berries.
#[test]
fn every_tray_is_dry_when_the_independent_cabinet_says() {
    let c = compare(&load(&Sheet::ALL[0]), &Precision::default(), Accuracy::default()).unwrap();
    let percent: Vec<_> = c.dry_s.iter().map(|d| format!("{:+.2}", 100.0 * d.relative())).collect();
    println!("dry {percent:?} %");
    assert!(c.dry_s.iter().all(|d| d.relative().abs() <= LAST_ICE_BOUND), "dry {percent:?} %");
}

/// The same along a shelf programme: shelves that cool, ramp and hold.
#[test]
fn batch_agrees_with_the_independent_cabinet_along_a_shelf_programme() {
    let mut load = load(&Sheet::ALL[0]);
    let Dryer::Cabinet(cabinet) = &mut load.dryer else { panic!("the demonstration runs in a cabinet") };
    let points = [(0.0, 20.0), (6.0, 20.0), (8.0, 50.0), (12.0, 50.0), (14.0, 35.0)];
    let at = |(hours, celsius)| SetPointAt { time_s: 3_600.0 * hours, shelf_k: 273.15 + celsius };
    cabinet.heater.set_point = SetPoint::programme(points.map(at).to_vec());
    let c = compare(&load, &Precision::default(), Accuracy::default()).unwrap();
    let percent: Vec<_> = c.last_ice_s.iter().map(|d| format!("{:+.2}", 100.0 * d.relative())).collect();
    let (ready, energy) = (100.0 * c.ready_s.relative(), 100.0 * c.energy_j.relative());
    println!("programme: last ice {percent:?} %, ready {ready:+.2} %, energy {energy:+.2} %");
    assert!(c.within_bounds(), "last ice {percent:?} %, ready {ready:+.2} %, energy {energy:+.2} %");
}

/// Where heaters hunt for hours about the pressure limit the default steps damp them; a sixteenth of the tolerance does not.
#[test]
fn finer_steps_follow_the_hunting_of_the_heaters() {
    holds(&Sheet::FROZEN, &HUNTING);
}

/// The reference itself: its answer does not hang on its own tolerance.
#[test]
fn the_cabinet_is_converged_in_its_tolerance() {
    let load = load(&Sheet::ALL[0]);
    let batch = plan_with(&load, &Precision::default()).unwrap();
    let at = |tolerance| cabinet::dry(&load, &batch, Accuracy { tolerance, ..Accuracy::default() }).unwrap();
    // from 2e-7 on the explicit integrator no longer gets past the first minutes
    let (default, fine) = (at(Accuracy::default().tolerance), at(4e-7));
    for (a, b) in default.trays.iter().zip(&fine.trays) {
        approx::assert_relative_eq!(a.ice_gone_at_s, b.ice_gone_at_s, max_relative = 1e-3);
        approx::assert_relative_eq!(a.dry_at_s, b.dry_at_s, max_relative = 1e-3);
    }
    approx::assert_relative_eq!(default.energy_j, fine.energy_j, max_relative = 1e-3);
}

/// Water loaded is in the food, on the coil or through the pump, to the tolerance of the integration.
#[test]
fn the_cabinet_keeps_water() {
    let load = load(&Sheet::ALL[0]);
    let batch = plan_with(&load, &Precision::default()).unwrap();
    let outcome = cabinet::dry(&load, &batch, Accuracy::default()).unwrap();
    assert!(outcome.water_error_rel < 1e-4, "{:e}", outcome.water_error_rel);
}

#[test]
fn the_cabinet_refuses_what_it_does_not_cover() {
    let good = load(&Sheet::ALL[0]);
    let batch = plan_with(&good, &Precision::default()).unwrap();
    let refused = |change: &dyn Fn(&mut Load)| {
        let mut load = good.clone();
        change(&mut load);
        matches!(cabinet::dry(&load, &batch, Accuracy::default()), Err(CabinetError::Unsupported { .. }))
    };
    assert!(refused(&|load| load.end = EndRule::FixedTime { time_s: 3_600.0 }));
    assert!(refused(&|load| load.trays.clear()));
    let mut fewer = good.clone();
    fewer.trays.pop();
    let Dryer::Cabinet(_) = &fewer.dryer else { panic!("the demonstration runs in a cabinet") };
    // its history is that of six trays
    let no_start = cabinet::dry(&fewer, &batch, Accuracy::default());
    assert!(matches!(no_start, Err(CabinetError::NoStart { trays: 5 })), "{no_start:?}");
}
