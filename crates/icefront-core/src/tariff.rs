//! Electricity by the hour: what a run costs by when it starts, and the cheapest hour to start it.
//!
//! The price at a time of day is that of the first period that holds it, else the base price; every day is alike. Between
//! two samples of a run its energy goes linearly, so a flat price times the energy is met exactly.

use serde::Serialize;

use crate::result::Sample;

const DAY_S: f64 = 86_400.0;
const HOUR_S: f64 = 3_600.0;
const J_PER_KWH: f64 = 3.6e6;

/// A price that holds for a part of every day.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Period {
    /// From this time of day, s after midnight.
    pub from_s: f64,
    /// Until this time of day, s after midnight; before `from_s`: over midnight.
    pub until_s: f64,
    /// Price, currency units per kWh.
    pub price_per_kwh: f64,
}

impl Period {
    /// Whether a time of day lies in it.
    pub fn holds(&self, of_day_s: f64) -> bool {
        if self.from_s < self.until_s {
            (self.from_s..self.until_s).contains(&of_day_s)
        } else {
            of_day_s >= self.from_s || of_day_s < self.until_s
        }
    }
}

/// Prices over the day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Rates {
    /// Outside all periods, currency units per kWh.
    pub base_per_kwh: f64,
    /// Periods with a price of their own.
    pub periods: Vec<Period>,
}

/// A start and its cost.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Start {
    /// Time of day, s after midnight.
    pub of_day_s: f64,
    /// Electricity of the run, currency units.
    pub cost: f64,
}

impl Rates {
    /// Price at a time of day, per kWh.
    pub fn price_per_kwh(&self, of_day_s: f64) -> f64 {
        let period = self.periods.iter().find(|p| p.holds(of_day_s));
        period.map_or(self.base_per_kwh, |p| p.price_per_kwh)
    }

    /// Cost of a run that starts at this time of day, currency units.
    pub fn cost(&self, history: &[Sample], start_of_day_s: f64) -> f64 {
        let samples = history.iter().zip(history.iter().skip(1));
        let segments = samples.map(|(a, b)| {
            let energy_j = b.energy_j.total() - a.energy_j.total();
            let (from_s, to_s) = (start_of_day_s + a.time_s, start_of_day_s + b.time_s);
            energy_j / J_PER_KWH * self.mean_price(from_s, to_s)
        });
        segments.sum()
    }

    /// Mean price between two times, s after some midnight.
    fn mean_price(&self, from_s: f64, to_s: f64) -> f64 {
        if to_s <= from_s || self.periods.is_empty() {
            return self.price_per_kwh(from_s.rem_euclid(DAY_S));
        }
        let mut at_s = from_s;
        let mut sum = 0.0;
        while at_s < to_s {
            let of_day_s = at_s.rem_euclid(DAY_S);
            let day_s = at_s - of_day_s;
            let edges = self.periods.iter().flat_map(|p| [p.from_s, p.until_s]).chain([DAY_S]);
            let next_s = day_s + edges.filter(|edge| *edge > of_day_s).fold(DAY_S, f64::min);
            // round-off must not hold it at an edge
            let next_s = if next_s > at_s { next_s.min(to_s) } else { to_s };
            sum += self.price_per_kwh(of_day_s) * (next_s - at_s);
            at_s = next_s;
        }
        sum / (to_s - from_s)
    }

    /// Cost at each full hour of the day.
    pub fn starts(&self, history: &[Sample]) -> Vec<Start> {
        let start = |hour: u32| {
            let of_day_s = f64::from(hour) * HOUR_S;
            Start { of_day_s, cost: self.cost(history, of_day_s) }
        };
        (0..24).map(start).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::result::{ByConsumer, Stage};

    /// A run at a steady 1 kW.
    fn steady(hours: &[f64]) -> Vec<Sample> {
        let sample = |h: &f64| Sample {
            time_s: h * HOUR_S,
            stage: Stage::PrimaryDrying,
            vapour_pressure_pa: 0.0,
            chamber_pressure_pa: 0.0,
            condenser_k: 250.0,
            ice_surface_k: 250.0,
            condenser_ice_kg: 0.0,
            power_w: ByConsumer { compressor: 1000.0, ..ByConsumer::default() },
            energy_j: ByConsumer { compressor: h * J_PER_KWH, ..ByConsumer::default() },
            trays: Vec::new(),
        };
        hours.iter().map(sample).collect()
    }

    const NIGHT: Period = Period { from_s: 22.0 * HOUR_S, until_s: 6.0 * HOUR_S, price_per_kwh: 0.1 };

    #[test]
    fn hours_are_counted_at_their_price() {
        let rates = Rates { base_per_kwh: 0.3, periods: vec![NIGHT] };
        // 10 h from 20:00: 2 h by day, 8 h by night; by hand
        for samples in [vec![0.0, 10.0], vec![0.0, 0.7, 3.1, 9.0, 10.0]] {
            approx::assert_relative_eq!(rates.cost(&steady(&samples), 20.0 * HOUR_S), 1.4, max_relative = 1e-12);
        }
        // 30 h hold every hour of the day once, and 6 of them twice
        let long = steady(&[0.0, 30.0]);
        approx::assert_relative_eq!(rates.cost(&long, 0.0), 24.0 * 0.3 - 8.0 * 0.2 + 0.6, max_relative = 1e-12);
        let starts = rates.starts(&steady(&[0.0, 8.0]));
        let cheapest = starts.iter().min_by(|a, b| a.cost.total_cmp(&b.cost)).unwrap();
        assert_eq!(cheapest.of_day_s, 22.0 * HOUR_S);
        approx::assert_relative_eq!(cheapest.cost, 0.8, max_relative = 1e-12);
    }

    #[test]
    fn a_flat_price_does_not_mind_the_clock() {
        let flat = Rates { base_per_kwh: 0.25, periods: Vec::new() };
        let same = Rates { base_per_kwh: 0.25, periods: vec![Period { price_per_kwh: 0.25, ..NIGHT }] };
        for start in [0.0, 12_345.6, 86_399.0] {
            for rates in [&flat, &same] {
                approx::assert_relative_eq!(rates.cost(&steady(&[0.0, 3.3, 27.0]), start), 6.75, max_relative = 1e-12);
            }
        }
    }
}
