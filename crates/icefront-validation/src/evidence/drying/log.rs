//! Logs of a laboratory dryer: shelf, gauge and three product probes over time.

use serde::Deserialize;

use icefront_core::constants::ZERO_CELSIUS_K;

use crate::evidence::EvidenceError;
use crate::evidence::case::read;

const LOGS: [(&str, &str); 3] = [
    ("log-ham", include_str!("../../../data/published/log_ham.csv")),
    ("log-chicken", include_str!("../../../data/published/log_chicken.csv")),
    ("log-rice", include_str!("../../../data/published/log_rice.csv")),
];

#[derive(Deserialize)]
struct Line {
    time_min: f64,
    shelf_c: f64,
    gauge_pa: Option<f64>,
}

/// A point of a log.
pub struct Point {
    /// Time from the start of vacuum, s.
    pub time_s: f64,
    /// Shelf, K.
    pub shelf_k: f64,
    /// Chamber gauge, Pa.
    pub gauge_pa: f64,
}

/// Shelf and gauge of a log; where the gauge has no reading, its last (or first) one.
pub fn schedule(name: &str) -> Result<Vec<Point>, EvidenceError> {
    let key = || EvidenceError::Key { id: "logs".into(), key: name.into() };
    let (_, text) = LOGS.iter().find(|(known, _)| *known == name).ok_or_else(key)?;
    let lines: Vec<Line> = read("log_*.csv", text)?;
    let mut gauge_pa = lines.iter().find_map(|line| line.gauge_pa).ok_or_else(key)?;
    let points = lines.iter().map(|line| {
        gauge_pa = line.gauge_pa.unwrap_or(gauge_pa);
        Point { time_s: 60.0 * line.time_min, shelf_k: line.shelf_c + ZERO_CELSIUS_K, gauge_pa }
    });
    Ok(points.collect())
}
