//! Loads and results outlive JSON: what is read again is what was written. Loads are invented.

use crate::common;

use icefront_core::batch::Precision;
use icefront_core::cuts::Cuts;
use icefront_core::freezing::before::{Conditions, SetOut, SetOutSample};
use icefront_core::load::{Embedded, EndRule, Freezing, Load};
use icefront_core::machine::{Above, Dryer};
use icefront_core::plan;
use icefront_core::ranges::{Draws, Point, Quantiles, draw};
use icefront_core::shape::{PieceForm, Shape};
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

/// The same in all but the last bit of a number, which a reader of decimals may miss.
fn alike(a: &Value, b: &Value, place: &str) {
    match (a, b) {
        (Value::Number(x), Value::Number(y)) => {
            let (x, y) = (x.as_f64().unwrap(), y.as_f64().unwrap());
            assert!((x - y).abs() <= 4.0 * f64::EPSILON * x.abs(), "{place}: {x} {y}");
        }
        (Value::Array(x), Value::Array(y)) => {
            assert_eq!(x.len(), y.len(), "{place}");
            x.iter().zip(y).enumerate().for_each(|(i, (x, y))| alike(x, y, &format!("{place}[{i}]")));
        }
        (Value::Object(x), Value::Object(y)) => {
            assert!(x.keys().eq(y.keys()), "{place}");
            x.iter().for_each(|(key, value)| alike(value, &y[key], &format!("{place}.{key}")));
        }
        (x, y) => assert_eq!(x, y, "{place}"),
    }
}

fn survives<T: Serialize + DeserializeOwned>(value: &T) -> T {
    let text = serde_json::to_string(value).unwrap();
    let read: T = serde_json::from_str(&text).unwrap_or_else(|problem| panic!("{problem} in {text}"));
    alike(&serde_json::from_str(&text).unwrap(), &serde_json::to_value(&read).unwrap(), "");
    read
}

/// Loads in which every choice is taken once.
fn loads() -> Vec<Load> {
    let mut cabinet = common::cabinet(0.5);
    (cabinet.heater.cutback, cabinet.defrost_heater_w, cabinet.above_top_tray) = (None, Some(300.0), Above::ColdWall);
    let mut special = common::layer(common::food(0.75, 0.07, -1.0), 0.012, 0.1);
    special.embedded = Some(Embedded {
        food: "meat".into(),
        model: special.model.clone(),
        spread: None,
        form: PieceForm::Cylinder { diameter_m: 0.01, length_m: 0.03 },
        share_frac: 0.3,
    });
    special.cuts = Some(Cuts { edge_m: 0.05, width_m: 0.001 });
    special.uneven_frac = Some(0.2);
    let shapes =
        [PieceForm::Sphere { diameter_m: 0.01 }, PieceForm::Brick { length_m: 0.02, width_m: 0.02, height_m: 0.01 }]
            .map(|form| Shape::Pieces { form, layers: 2, coverage: 0.6 });
    let mut trays = vec![special.clone()];
    for shape in shapes {
        let mut tray = common::layer(common::food(0.8, 0.05, -1.0), 0.01, 0.1);
        tray.shape = shape;
        tray.freezing =
            Freezing::Before { start_k: 290.0, air_k: 255.0, wind_m_per_s: 1.0, time_s: 3_600.0, outdoors: true };
        trays.push(tray);
    }
    let ends = [
        EndRule::FixedTime { time_s: 36_000.0 },
        EndRule::TemperaturesMeet { delta_k: 2.0 },
        EndRule::WeightConstant { loss_kg: 0.005, over_s: 3_600.0 },
    ];
    let mut all: Vec<Load> = ends
        .into_iter()
        .map(|end| Load { end, ..common::load(Dryer::Cabinet(Box::new(cabinet.clone())), trays.clone()) })
        .collect();
    all.extend([
        common::two_drawn_layers(),
        common::five_layers(),
        common::load(common::rig(40.0, 50.0), vec![special]),
    ]);
    all
}

#[test]
fn loads_and_results() {
    for load in loads() {
        let read = survives(&load);
        let result = plan(&load).unwrap();
        survives(&result);
        // heaters that are never held back stay so
        if let (Dryer::Cabinet(a), Dryer::Cabinet(b)) = (&load.dryer, &read.dryer) {
            assert_eq!(a.heater.cutback.is_none(), b.heater.cutback.is_none());
            assert_eq!(plan(&read).unwrap().history.len(), result.history.len());
        }
    }
}

#[test]
fn ranges_and_what_never_ends() {
    let load = common::two_drawn_layers();
    let draws = Draws { count: 3, seed: 1, threads: None };
    survives(&draws);
    let mut cloud = draw(&draws, &[], |_: &Point| Ok(load.clone())).unwrap();
    cloud.outcomes[0].food_ready_s = f64::INFINITY;
    cloud.outcomes[1].trays[0].dry_at_s = f64::INFINITY;
    let read = survives(&cloud);
    assert!(read.outcomes[0].food_ready_s.is_infinite() && read.outcomes[1].trays[0].dry_at_s.is_infinite());
    let endless = Quantiles { low: 1.0, typical: 2.0, high: f64::INFINITY };
    assert_eq!(survives(&endless), endless);
}

#[test]
fn precision_and_trays_that_were_set_out() {
    survives(&Precision::default());
    survives(&Conditions { air_k: 250.0, wind_m_per_s: 2.0, sky_k: 240.0, outdoors: true, covered: false });
    let sample = SetOutSample { time_s: 60.0, core_k: 280.0, surface_k: 275.0, air_k: 250.0 };
    survives(&SetOut {
        enthalpy_j_per_kg: vec![-1e5, 2e4],
        metal_k: 255.0,
        history: vec![sample],
        warm_time_s: 0.0,
        reached_at_s: None,
    });
}
