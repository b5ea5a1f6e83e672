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
    probe_1_c: Option<f64>,
    probe_2_c: Option<f64>,
    probe_3_c: Option<f64>,
    gauge_pa: Option<f64>,
}

impl Line {
    fn probes_c(&self) -> [Option<f64>; 3] {
        [self.probe_1_c, self.probe_2_c, self.probe_3_c]
    }
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

fn unlisted(name: &str) -> EvidenceError {
    EvidenceError::Key { id: "logs".into(), key: name.into() }
}

fn lines(name: &str) -> Result<Vec<Line>, EvidenceError> {
    let (_, text) = LOGS.iter().find(|(known, _)| *known == name).ok_or_else(|| unlisted(name))?;
    read("log_*.csv", text)
}

/// When the slowest of the three probes passes 0 degC for good, s from the start of vacuum: there the ice is gone by then. Straight
/// between readings. Where in the food a probe was is not told; elsewhere ice may be left for long.
pub fn slowest_probe_s(name: &str) -> Result<f64, EvidenceError> {
    let lines = lines(name)?;
    let passes = |probe: usize| {
        let read = lines.iter().filter_map(|line| Some((60.0 * line.time_min, line.probes_c()[probe]?)));
        let read: Vec<(f64, f64)> = read.collect();
        let pair = read.windows(2).rfind(|pair| pair[0].1 < 0.0 && pair[1].1 >= 0.0)?;
        let [(before_s, cold_c), (after_s, warm_c)] = [pair[0], pair[1]];
        Some(before_s + cold_c / (cold_c - warm_c) * (after_s - before_s))
    };
    let slowest = (0..3).filter_map(passes).max_by(f64::total_cmp);
    slowest.ok_or_else(|| unlisted(name))
}

/// Shelf and gauge of a log; where the gauge has no reading, its last (or first) one.
pub fn schedule(name: &str) -> Result<Vec<Point>, EvidenceError> {
    let lines = lines(name)?;
    let mut gauge_pa = lines.iter().find_map(|line| line.gauge_pa).ok_or_else(|| unlisted(name))?;
    let points = lines.iter().map(|line| {
        gauge_pa = line.gauge_pa.unwrap_or(gauge_pa);
        Point { time_s: 60.0 * line.time_min, shelf_k: line.shelf_c + ZERO_CELSIUS_K, gauge_pa }
    });
    Ok(points.collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Read from the logs by eye: ham between 50 and 55 min, chicken 680, rice between 80 and 90.
    #[test]
    fn the_slowest_probe_decides() {
        let minutes = |name| slowest_probe_s(name).unwrap() / 60.0;
        assert!((50.0..55.0).contains(&minutes("log-ham")), "{}", minutes("log-ham"));
        assert!((670.0..690.0).contains(&minutes("log-chicken")), "{}", minutes("log-chicken"));
        assert!((80.0..90.0).contains(&minutes("log-rice")), "{}", minutes("log-rice"));
    }
}
