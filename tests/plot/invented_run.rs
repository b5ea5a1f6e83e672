//! A run made up for drawing: the right shape of every curve, but no physics behind it.
#![allow(dead_code, reason = "tests and benches take different parts")]

use icefront_core::result::{
    Balance, BatchResult, ByConsumer, ByStage, MachineSummary, Sample, Stage, TrayResult, TraySample, WaterSum,
};
use icefront_core::shape::{PieceForm, Shape};
use serde_json::json;

/// Shares of the whole run: freezing, evacuation, primary drying, secondary drying, defrost.
const SHARES: [f64; 5] = [0.12, 0.015, 0.585, 0.22, 0.06];
/// Times in the history.
const SAMPLES: usize = 240;

/// A run of `total_s` with one tray per food; `unevenness` spreads the times at which the trays lose their last ice.
pub fn invented_run(foods: &[&str], total_s: f64, unevenness: f64) -> BatchResult {
    let stage_s = ByStage::from(SHARES).map(|share| share * total_s);
    let drying_from_s = stage_s[Stage::Freezing] + stage_s[Stage::Evacuation];
    let ice_gone_s: Vec<f64> = (0..foods.len())
        .map(|i| drying_from_s + stage_s[Stage::PrimaryDrying] * (1.0 - unevenness * ((i * 5 + 2) % 8) as f64 / 8.0))
        .collect();
    let mut history: Vec<Sample> = Vec::new();
    let mut energy_j = ByConsumer::default();
    let mut energy_by_stage_j = ByStage::<ByConsumer>::default();
    let mut before_s = 0.0;
    for time_s in times(&stage_s) {
        let stage = stage_at(&stage_s, time_s);
        let trays: Vec<TraySample> = ice_gone_s.iter().map(|gone_s| tray_at(time_s, drying_from_s, *gone_s)).collect();
        let power_w = power_at(stage, time_s / total_s);
        for sum in [&mut energy_j, &mut energy_by_stage_j[stage]] {
            sum.compressor += power_w.compressor * (time_s - before_s);
            sum.vacuum_pump += power_w.vacuum_pump * (time_s - before_s);
            sum.heaters += power_w.heaters * (time_s - before_s);
            sum.other += power_w.other * (time_s - before_s);
        }
        before_s = time_s;
        let condenser_k = condenser_at_k(stage, time_s / total_s);
        history.push(made(json!({
            "time_s": time_s,
            "stage": stage,
            "vapour_pressure_pa": 45.0,
            "chamber_pressure_pa": 60.0,
            "condenser_k": condenser_k,
            "ice_surface_k": condenser_k + 4.0,
            "condenser_ice_kg": 3.0,
            "power_w": power_w,
            "energy_j": energy_j,
            "trays": trays,
        })));
    }
    let trays = foods.iter().zip(&ice_gone_s).enumerate().map(|(i, (food, gone))| tray(i, food, *gone, total_s));
    made(json!({
        "stage_s": stage_s,
        "trays": trays.collect::<Vec<_>>(),
        "energy_by_stage_j": energy_by_stage_j,
        "water": WaterSum::default(),
        "balance": Balance::default(),
        "machine": MachineSummary::default(),
        "warnings": [],
        "history": history,
    }))
}

/// Six trays of different foods for 30 h.
pub fn six_trays() -> BatchResult {
    let foods = ["strawberries, sliced", "beef stew", "green peas", "apple pieces", "mushrooms", "cooked rice"];
    invented_run(&foods, 30.0 * 3600.0, 0.6)
}

/// Even times and, on both sides of it, each change of stage.
fn times(stage_s: &ByStage<f64>) -> Vec<f64> {
    let total_s: f64 = stage_s.values().sum();
    let even = (0..=SAMPLES).map(|i| total_s * i as f64 / SAMPLES as f64);
    let mut border_s = 0.0;
    let borders = stage_s.values().take(4).map(|length_s| {
        border_s += length_s;
        border_s
    });
    let pairs = borders.flat_map(|border_s| [border_s * (1.0 - 1e-9), border_s * (1.0 + 1e-9)]);
    let mut all: Vec<f64> = even.chain(pairs).collect();
    all.sort_by(f64::total_cmp);
    all
}

fn stage_at(stage_s: &ByStage<f64>, time_s: f64) -> Stage {
    let mut end_s = 0.0;
    for (stage, length_s) in stage_s.iter() {
        end_s += length_s;
        if time_s < end_s {
            return stage;
        }
    }
    Stage::Defrost
}

fn tray_at(time_s: f64, drying_from_s: f64, gone_s: f64) -> TraySample {
    let dried = ((time_s - drying_from_s) / (gone_s - drying_from_s)).max(0.0);
    let freezing = (time_s / drying_from_s).min(1.0);
    let speed = 1e5 / drying_from_s;
    let spread_k = 6.0 * (gone_s / drying_from_s).sin();
    let front_k = match (freezing, dried) {
        (f, _) if f < 0.15 => 291.0 - 120.0 * f,
        (f, _) if f < 0.6 => 273.0 - 3.0 * f,
        (f, _) if f < 1.0 => 271.2 - 80.0 * (f - 0.6),
        (_, d) if d < 1.0 => 243.0 + spread_k + 10.0 * d,
        (_, d) => 313.0 - (60.0 - spread_k) * (-speed * (d - 1.0)).exp(),
    };
    let shelf_k =
        if freezing < 1.0 { 291.0 - 53.0 * freezing.sqrt() } else { 238.0 + 76.0 * (1.0 - (-5.0 * dried).exp()) };
    TraySample {
        ice_left_frac: (1.0 - dried.powf(0.75)).clamp(0.0, 1.0),
        front_k,
        front_warmest_k: front_k,
        shelf_k,
        surface_k: shelf_k - 5.0,
        water_per_dry: 5.6 * (1.0 - dried.powf(0.75)).clamp(0.0, 1.0) + 0.06 * (-dried).exp(),
        vapour_kg_per_s: 1e-5,
        parts: Vec::new(),
    }
}

/// Shapes of the trays of any run, in turn: a layer, balls, cubes.
pub fn shape(index: usize) -> Shape {
    match index % 3 {
        0 => Shape::Layer { depth_m: 0.014 },
        1 => Shape::Pieces { form: PieceForm::Sphere { diameter_m: 0.012 }, layers: 1, coverage: 0.7 },
        _ => {
            let form = PieceForm::Brick { length_m: 0.01, width_m: 0.01, height_m: 0.01 };
            Shape::Pieces { form, layers: 2, coverage: 0.6 }
        }
    }
}

fn condenser_at_k(stage: Stage, share: f64) -> f64 {
    match stage {
        Stage::Freezing => 293.0 - 68.0 * (share / SHARES[0]).min(1.0).powf(0.3),
        Stage::Evacuation => 225.0,
        Stage::PrimaryDrying => 225.0 + 16.0 * (9.0 * (share - 0.135) * (-5.0 * (share - 0.135)).exp()),
        Stage::SecondaryDrying => 228.0 - 8.0 * (share - 0.72),
        Stage::Defrost => 226.0 + 58.0 * ((share - 0.94) / 0.06).clamp(0.0, 1.0).sqrt(),
    }
}

fn power_at(stage: Stage, share: f64) -> ByConsumer {
    let heaters = match stage {
        Stage::PrimaryDrying => 330.0 * (-1.8 * (share - 0.135)).exp(),
        Stage::SecondaryDrying => 90.0,
        Stage::Defrost => 250.0,
        Stage::Freezing | Stage::Evacuation => 0.0,
    };
    let compressor = match stage {
        Stage::Freezing => 520.0 - 180.0 * (share / SHARES[0]),
        Stage::Defrost => 0.0,
        _ => 340.0 + 60.0 * (-3.0 * share).exp(),
    };
    let pumping = matches!(stage, Stage::Evacuation | Stage::PrimaryDrying | Stage::SecondaryDrying);
    ByConsumer { compressor, vacuum_pump: if pumping { 240.0 } else { 0.0 }, heaters, other: 18.0 }
}

fn tray(index: usize, food: &str, gone_s: f64, total_s: f64) -> TrayResult {
    made(json!({
        "name": format!("tray {}", index + 1),
        "food": food.to_owned(),
        "loaded_kg": 1.0,
        "dry_matter_kg": 0.15,
        "water_kg": 0.85,
        "water_left_kg": 0.004,
        "ice_gone_at_s": Some(gone_s),
        "dry_at_s": Some(gone_s + 0.15 * total_s),
        "front_max_k": 250.0,
        "front_mean_k": 246.0,
        "collapse_k": 245.0,
        "least_ice_share": 0.9,
        "dried_max_k": 313.0,
        "mean_wet_frac": 0.02,
        "wettest_wet_frac": 0.03,
        "frozen_at_s": Some(0.1 * total_s),
        "warm_time_s": 600.0,
        "parts": [],
        "flags": [],
    }))
}

/// A result made of its fields: outside the core it has no other constructor.
fn made<T: serde::de::DeserializeOwned>(fields: serde_json::Value) -> T {
    serde_json::from_value(fields).unwrap()
}
