//! Refrigeration against published compressor curves and cycle points (`data/machine`), heat paths and vapour paths
//! against handbook values.

use crate::common;

use icefront_core::load::Load;
use icefront_core::machine::refrigeration::{Refrigerator, compressor_cooling_and_power_w};
use icefront_core::machine::{Dryer, Refrigeration, SetPoint, SetPointAt};
use icefront_core::plan;
use icefront_core::result::Stage;

fn read(name: &str) -> Vec<csv::StringRecord> {
    let path = format!("{}/../../data/machine/{name}", env!("CARGO_MANIFEST_DIR"));
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(path).unwrap();
    reader.records().map(Result::unwrap).collect()
}

/// AHRI Standard 540 polynomial; source: EnergyPlus 25.2 data set, US DOE.
fn curve(record: &csv::StringRecord, s: f64, d: f64) -> f64 {
    let c: Vec<f64> = (4..14).map(|i| record[i].parse().unwrap()).collect();
    c[0] + c[1] * s
        + c[2] * d
        + c[3] * s * s
        + c[4] * s * d
        + c[5] * d * d
        + c[6] * s.powi(3)
        + c[7] * d * s * s
        + c[8] * s * d * d
        + c[9] * d.powi(3)
}

/// Swept volume m3/s, clearance, efficiency, loss W: least squares to each curve.
const FITS: [(&str, f64, f64, f64, f64); 5] = [
    ("A", 4.243e-4, 0.060_8, 0.398_5, 62.6),
    ("B", 6.206e-4, 0.071_3, 0.666_7, 140.1),
    ("C", 7.726e-4, 0.064_0, 0.648_7, 180.4),
    ("D", 9.307e-4, 0.049_8, 0.695_1, 200.1),
    ("E", 1.158e-3, 0.044_6, 0.659_0, 196.9),
];

fn machine(fit: (&str, f64, f64, f64, f64)) -> Refrigeration {
    Refrigeration {
        swept_m3_per_s: fit.1,
        clearance: fit.2,
        isentropic_efficiency: fit.3,
        loss_w: fit.4,
        power_limit_w: 1e9,
        wall_conductance_w_per_k: 40.0,
        hot_side_conductance_w_per_k: 45.0,
    }
}

#[test]
fn five_small_compressors_are_met_inside_their_published_range() {
    let rows = read("compressor_curves.csv");
    for fit in FITS {
        let find = |quantity: &str| rows.iter().find(|r| &r[0] == fit.0 && &r[3] == quantity).unwrap();
        let (capacity, power) = (find("capacity_W"), find("power_W"));
        let (mut sum_q, mut sum_p, mut n) = (0.0, 0.0, 0.0);
        for s in [-40.0, -35.0, -30.0, -25.0, -20.0] {
            for d in [30.0, 36.0, 42.0, 48.0] {
                let (q, p) = compressor_cooling_and_power_w(&machine(fit), s + 273.15, d + 273.15);
                // the curves count all superheat up to 18.3 degC as cooling; ours only the first 10 K
                let q_curve = curve(capacity, s, d);
                let superheat = 0.80e3 * (18.3 - s - 10.0);
                let per_kg = 1e3 * (182.256_7 + 0.625_487 * s - 1.244_591 * d - 4.521_8e-3 * d * d);
                let q_stated = q * (per_kg + superheat) / per_kg;
                sum_q += (q_stated / q_curve - 1.0_f64).powi(2);
                sum_p += (p / curve(power, s, d) - 1.0_f64).powi(2);
                n += 1.0;
            }
        }
        let (rms_q, rms_p) = ((sum_q / n).sqrt(), (sum_p / n).sqrt());
        println!("{}: cooling {:.3}, power {:.3}", fit.0, rms_q, rms_p);
        // machine A scatters most against its own physics (its curve turns down at -40 degC)
        assert!(rms_q < 0.065 && rms_p < 0.095, "{}: cooling {rms_q:.3}, power {rms_p:.3}", fit.0);
    }
}

#[test]
fn cycle_fits_hold_to_coolprop_points() {
    // an ideal machine: no clearance, no loss, efficiency 1, so Q/P is the isentropic COP up to suction warming
    for r in read("refrigeration_cycles.csv") {
        let x: Vec<f64> = r.iter().map(|f| f.parse().unwrap()).collect();
        let ideal = machine(("ideal", 1e-3, 0.0, 1.0, 0.0));
        let (q, p) = compressor_cooling_and_power_w(&ideal, x[0] + 273.15, x[1] + 273.15);
        let warming = 291.45 / (x[0] + 273.15 + 10.0);
        let q_expected = 1e-3 * x[4] / warming * x[5] * 1e3;
        let p_expected = 1e-3 * x[4] * x[6] * 1e3;
        assert!((q / q_expected - 1.0).abs() < 0.012, "Q at {} / {}: {q} {q_expected}", x[0], x[1]);
        assert!((p / p_expected - 1.0).abs() < 0.015, "P at {} / {}: {p} {p_expected}", x[0], x[1]);
    }
}

#[test]
fn a_refrigerator_is_weaker_in_a_warm_room_and_has_a_bottom() {
    let machine = Refrigeration { power_limit_w: 700.0, ..machine(FITS[1]) };
    let (cool, warm) =
        (Refrigerator::in_room(&machine, 293.15).unwrap(), Refrigerator::in_room(&machine, 308.15).unwrap());
    for metal_k in [235.0, 245.0, 255.0] {
        let (a, b) = (cool.at(metal_k), warm.at(metal_k));
        assert!(a.cooling_w > b.cooling_w && a.slope_w_per_k > 0.0);
        // condensing temperature stays within reach of the room
        assert!(b.power_w / b.cooling_w.max(1.0) > a.power_w / a.cooling_w);
    }
    assert!(cool.at(200.0).cooling_w < 1.0);
    assert!(cool.at(320.0).power_w <= 700.0 + 1e-9);
}

fn heated(points: &[(f64, f64)]) -> Load {
    let mut load = common::five_layers();
    let Dryer::Cabinet(cabinet) = &mut load.dryer else { unreachable!() };
    cabinet.heater.cutback = None;
    let at = |&(hours, shelf_k): &(f64, f64)| SetPointAt { time_s: 3_600.0 * hours, shelf_k };
    cabinet.heater.set_point = SetPoint::programme(points.iter().map(at).collect());
    load
}

/// A programme of one temperature is that temperature (same answer, to the steps that end at its corner), and the shelves
/// of another are never warmer than it asks for, and as warm once it has lasted.
#[test]
fn shelves_follow_their_programme() {
    let constant = plan(&heated(&[(0.0, 313.15)])).unwrap();
    let same = plan(&heated(&[(0.0, 313.15), (7.0, 313.15)])).unwrap();
    approx::assert_relative_eq!(same.food_ready_s(), constant.food_ready_s(), max_relative = 2e-3);
    let points = [(0.0, 293.15), (8.0, 293.15), (9.0, 323.15)];
    let load = heated(&points);
    let result = plan(&load).unwrap();
    let start_s = result.stage_s[Stage::Freezing] + result.stage_s[Stage::Evacuation];
    let Dryer::Cabinet(cabinet) = &load.dryer else { unreachable!() };
    let drying = result.history.iter().filter(|s| matches!(s.stage, Stage::PrimaryDrying | Stage::SecondaryDrying));
    for sample in drying {
        let asked_k = cabinet.heater.set_point.at(sample.time_s - start_s);
        assert!(sample.trays.iter().all(|t| t.shelf_k <= asked_k + 0.6), "{} s: over {asked_k} K", sample.time_s);
    }
    let shelf_k = |hours: f64| {
        let sample = result.history.iter().find(|s| s.time_s >= start_s + 3_600.0 * hours).unwrap();
        sample.trays.iter().map(|t| t.shelf_k).fold(f64::INFINITY, f64::min)
    };
    assert!((shelf_k(7.5) - 293.15).abs() < 1.0 && (shelf_k(12.0) - 323.15).abs() < 1.0);
}
