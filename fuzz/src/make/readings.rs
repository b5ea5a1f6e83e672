//! Random readings of a run: near what the model expects, off by a little or a lot, or not possible at all.

use std::fmt::Write;

use fastrand::Rng;
use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_core::result::{BatchResult, Sample};

use super::{one_in, pick};
use crate::mutate;

/// Columns with values.
const COLUMNS: [&str; 11] = [
    "weight_g",
    "water_lost_g",
    "product_C",
    "shelf_C",
    "pressure_Pa",
    "energy_kWh",
    "rise_Pa_per_min",
    "weight_lb",
    "product_F",
    "pressure_mTorr",
    "rise_mTorr_per_min",
];
const EVENTS: [&str; 3] = ["started", "pump started", "finished"];
const MOST_ROWS: usize = 10;
const J_PER_KWH: f64 = 3.6e6;
const PA_PER_MILLITORR: f64 = 101_325.0 / 760_000.0;
const KG_PER_LB: f64 = 0.453_592_37;

/// A readings file for a load whose run is this.
pub fn text(run: &BatchResult, rng: &mut Rng) -> String {
    let mut columns: Vec<&str> = (0..rng.usize(1..=4)).map(|_| *pick(&COLUMNS, rng)).collect();
    columns.sort_unstable();
    columns.dedup();
    let events = one_in(4, rng);
    let clock = one_in(4, rng);
    let mut text = String::from(if clock { "time" } else { "time_h" });
    text.push_str(if events { ",event,tray" } else { ",tray" });
    columns.iter().for_each(|column| {
        let _infallible = write!(text, ",{column}");
    });
    text.push('\n');
    let mut times: Vec<f64> = (0..rng.usize(1..=MOST_ROWS)).map(|_| 1.2 * run.total_s() * rng.f64()).collect();
    times.sort_by(f64::total_cmp);
    if one_in(8, rng) {
        rng.shuffle(&mut times);
    }
    // the noise of the whole file: careful, rough, or wild
    let noise = *pick(&[0.005, 0.05, 0.05, 0.3, 2.0], rng);
    for time_s in times {
        let tray = rng.usize(..run.trays.len().max(1));
        let _infallible = write!(text, "{},", written_time(time_s, clock, rng));
        if events {
            let event = if one_in(4, rng) { *pick(&EVENTS, rng) } else { "" };
            let _infallible = write!(text, "{event},");
        }
        let tray_word = if one_in(20, rng) { "77".to_string() } else { (tray + 1).to_string() };
        let _infallible = write!(text, "{tray_word}");
        // one column a line, or all
        let only = if one_in(3, rng) { None } else { Some(rng.usize(..columns.len())) };
        for (i, column) in columns.iter().enumerate() {
            text.push(',');
            if only.is_none_or(|only| only == i) {
                text.push_str(&value(column, tray, time_s, run, noise, rng));
            }
        }
        text.push('\n');
    }
    if one_in(12, rng) {
        return String::from_utf8_lossy(&mutate::broken(&[text.into_bytes()], rng)).into_owned();
    }
    text
}

fn written_time(time_s: f64, clock: bool, rng: &mut Rng) -> String {
    let hours = time_s / 3600.0;
    if !clock {
        return format!("{hours:.3}");
    }
    let minutes = (18.0 * 60.0 + time_s / 60.0) as u64;
    let (day, hour, minute) = (minutes / 1440, minutes / 60 % 24, minutes % 60);
    if one_in(3, rng) {
        format!("{hour:02}:{minute:02}")
    } else {
        format!("2026-01-{:02} {hour:02}:{minute:02}", 10 + day)
    }
}

/// What a tool might show then.
fn value(column: &str, tray: usize, time_s: f64, run: &BatchResult, noise: f64, rng: &mut Rng) -> String {
    if one_in(25, rng) {
        return (*pick(&["0", "-1", "1e9", "nan", "50000", "0.001", "-40", "120"], rng)).to_string();
    }
    let Some(expected) = expected(column, tray, time_s, run) else { return format!("{:.2}", 100.0 * rng.f64()) };
    let off = noise * (rng.f64() + rng.f64() + rng.f64() - 1.5);
    let value = if column.starts_with("product") || column.starts_with("shelf") {
        expected + 30.0 * off
    } else {
        expected * off.exp()
    };
    format!("{value:.3}")
}

fn expected(column: &str, tray: usize, time_s: f64, run: &BatchResult) -> Option<f64> {
    let sample = sample(time_s, run)?;
    let (of_tray, loaded) = (sample.trays.get(tray)?, run.trays.get(tray)?);
    let weight_kg = loaded.dry_matter_kg * (1.0 + of_tray.water_per_dry);
    let celsius = |kelvin: f64| kelvin - ZERO_CELSIUS_K;
    Some(match column {
        "weight_g" => 1000.0 * weight_kg,
        "weight_lb" => weight_kg / KG_PER_LB,
        "water_lost_g" => 1000.0 * (loaded.loaded_kg - weight_kg),
        "product_C" => celsius(of_tray.front_k),
        "product_F" => celsius(of_tray.front_k) * 1.8 + 32.0,
        "shelf_C" => celsius(of_tray.shelf_k),
        "pressure_Pa" => sample.chamber_pressure_pa,
        "pressure_mTorr" => sample.chamber_pressure_pa / PA_PER_MILLITORR,
        "energy_kWh" => sample.energy_j.total() / J_PER_KWH,
        _ => return None,
    })
}

fn sample(time_s: f64, run: &BatchResult) -> Option<&Sample> {
    run.history.iter().take_while(|sample| sample.time_s <= time_s).last().or_else(|| run.history.first())
}
