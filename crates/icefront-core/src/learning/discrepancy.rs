//! The model is not exact: how far a right run may still be from what is read, and how such errors hang together.
//!
//! # Main equations
//! A tray's water W at moisture ratio m (1: all of it is there, 0: none) is off by an error of standard deviation
//! ```text
//! s(m) = size W sqrt(4 m (1 - m) + 0.15^2)
//! ```
//! largest at half the water and small at both ends, where water is what was loaded or nothing. `4 m (1 - m)` is the mean of that
//! by the reading and that by the typical run at the same time: a tray that happens to read ahead would otherwise be trusted more
//! than one that reads behind. Errors are correlated over time (Matern 5/2: the error of a rate has no jumps) and between trays:
//! ```text
//! cov = s_i s_j rho_ij (1 + d + d^2/3) exp(-d),   d = sqrt(5) |t_i - t_j| / length,   rho: 1 on one tray, 0.5 between trays
//! ```
//! The size is not known: log-normal, median 0.075, one in ten below 0.03 and one in ten above 0.19: what is left of
//! published drying curves after their pace is fitted (`docs/evidence.md`, drying, curves: 0.025 to 0.16 as a root mean square over the
//! curve, which is 0.82 of the error at half the water). Nor is the length: half of the typical drying time, or half or twice
//! that. Both are summed over, in five and three steps, so readings that lie badly make the error larger, and readings that
//! jump about make it shorter, by themselves.
//!
//! Meters, gauges, thermometers and clocks are compared with a model that has errors of its own too: [`Discrepancy`].
//!
//! # References
//! Kennedy and O'Hagan 2001, Bayesian calibration of computer models, J. R. Stat. Soc. B 63, 425. Rasmussen and Williams
//! 2006, Gaussian Processes for Machine Learning, Eq. 4.17 and 4.18. (Titles and pages from memory.)

use super::reading::water_lost_kg;
use super::{Errors, Quantity, Reading};
use crate::error::ModelError;
use crate::numerics::linear::{Column, Matrix, Whitener};
use crate::result::{BatchResult, Stage};

/// Errors of the model itself, standard deviations.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Discrepancy {
    /// Median of the error of the moisture ratio at half the water.
    pub moisture_ratio: f64,
    /// Standard deviation of the logarithm of that size.
    pub log_size: f64,
    /// Correlation between two trays.
    pub between_trays: f64,
    /// Median correlation length in time over the typical drying time.
    pub correlation_length_frac: f64,
    /// Electric energy, share. From memory.
    pub energy_frac: f64,
    /// Temperatures of food and shelves, K. From memory.
    pub temperature_k: f64,
    /// Chamber pressure and its rise, share. From memory.
    pub pressure_frac: f64,
    /// Time from the start to an event, share. From memory.
    pub time_frac: f64,
}

impl Default for Discrepancy {
    fn default() -> Self {
        Self {
            moisture_ratio: 0.075,
            log_size: 0.724,
            between_trays: 0.5,
            correlation_length_frac: 0.5,
            energy_frac: 0.04,
            temperature_k: 1.5,
            pressure_frac: 0.15,
            time_frac: 0.04,
        }
    }
}

/// Standard normal numbers that stand for the sizes, evenly spaced, with the chance of each.
const SIZES: [(f64, f64); 5] = [(-1.6, 0.0924), (-0.8, 0.2414), (0.0, 0.3324), (0.8, 0.2414), (1.6, 0.0924)];
/// Correlation lengths over the median one, with the chance of each. From memory.
const LENGTHS: [(f64, f64); 3] = [(0.5, 0.25), (1.0, 0.5), (2.0, 0.25)];
/// Error where all water is there or none, as a share of that at half the water. From memory.
const AT_THE_ENDS: f64 = 0.15;

/// Covariance of the errors of some readings, tools and model together, for each size and length that the model error may have.
#[derive(Clone, Debug)]
pub(super) struct ReadingErrors {
    /// Covariance at the median size and length.
    median: Matrix,
    all: Vec<OneError>,
}

/// One size and length of the model error.
#[derive(Clone, Debug)]
struct OneError {
    log_size: f64,
    /// Its prior chance.
    weight: f64,
    covariance: Matrix,
}

impl ReadingErrors {
    /// Errors of readings of a run whose typical course is known.
    pub fn of(readings: &[Reading], errors: &Errors, typical: &BatchResult) -> Self {
        let model = &errors.model;
        let start_s = typical.stage_s[Stage::Freezing];
        let median_s = model.correlation_length_frac * (typical.food_ready_s() - start_s).max(3_600.0);
        let parts: Vec<Part> = readings.iter().map(|r| Part::of(r, model, typical)).collect();
        let correlation = |i: usize, j: usize, length_s: f64| {
            let (a, b) = (&readings[i], &readings[j]);
            if parts[i].kind != parts[j].kind {
                return 0.0;
            }
            let d = 5.0_f64.sqrt() * (a.time_s - b.time_s).abs() / length_s;
            let trays = if a.quantity.tray() == b.quantity.tray() { 1.0 } else { model.between_trays };
            trays * (1.0 + d + d * d / 3.0) * libm::exp(-d)
        };
        let tools = errors.covariance(readings);
        let covariance = |log_size: f64, length_s: f64| {
            let size = libm::exp(log_size);
            let deviation = |i: usize| parts[i].fixed + size * parts[i].per_size;
            let n = readings.len();
            &tools + Matrix::from_fn(n, n, |i, j| deviation(i) * deviation(j) * correlation(i, j, length_s))
        };
        let median_log = libm::log(model.moisture_ratio);
        let one = |(node, of_size): (f64, f64), (factor, of_length): (f64, f64)| {
            let log_size = median_log + model.log_size * node;
            OneError { log_size, weight: of_size * of_length, covariance: covariance(log_size, factor * median_s) }
        };
        let all = SIZES.iter().flat_map(|&size| LENGTHS.iter().map(move |&length| one(size, length))).collect();
        Self { median: covariance(median_log, median_s), all }
    }

    /// The same of some of the readings.
    pub fn some(&self, kept: &[usize]) -> Self {
        let some = |covariance: &Matrix| covariance.select_rows(kept).select_columns(kept);
        let one = |error: &OneError| OneError { covariance: some(&error.covariance), ..*error };
        Self { median: some(&self.median), all: self.all.iter().map(one).collect() }
    }

    /// Logarithm of each size, its prior chance, and the covariance with it, for each length.
    pub fn each(&self) -> impl Iterator<Item = (f64, f64, &Matrix)> {
        self.all.iter().map(|e| (e.log_size, e.weight, &e.covariance))
    }

    /// Covariance at the median size and length.
    pub fn median(&self) -> &Matrix {
        &self.median
    }

    /// The prior chance of each size and length, and its covariance with another one added.
    pub fn with(&self, more: &Matrix) -> impl Iterator<Item = (f64, Matrix)> {
        self.all.iter().map(move |e| (e.weight, &e.covariance + more))
    }

    /// The covariance of the size and length that readings so far apart speak for, if `more` comes on top of the errors.
    pub fn likeliest(&self, more: &Matrix, apart: &Column) -> Option<&Matrix> {
        let log = |e: &OneError| {
            let whitener = Whitener::of(&(&e.covariance + more))?;
            Some(libm::log(e.weight) - whitener.log_determinant() - 0.5 * whitener.squared_length(apart))
        };
        let logs = self.all.iter().filter_map(|e| Some((log(e)?, &e.covariance)));
        logs.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, covariance)| covariance)
    }

    /// The density of errors.
    ///
    /// # Errors
    /// [`ModelError::Empty`] where a tool has no error at all.
    pub fn density(&self) -> Result<ErrorDensity, ModelError> {
        let one = |e: &OneError| {
            let whitener = Whitener::of(&e.covariance).ok_or(ModelError::Empty { what: "the error of a tool" })?;
            Ok((libm::log(e.weight) - whitener.log_determinant(), whitener))
        };
        Ok(ErrorDensity(self.all.iter().map(one).collect::<Result<_, ModelError>>()?))
    }
}

/// Density of the errors of some readings, a mixture over sizes and lengths of the model error.
#[derive(Clone, Debug)]
pub(super) struct ErrorDensity(Vec<(f64, Whitener)>);

impl ErrorDensity {
    /// Logarithm of the density at readings less their prediction, up to a constant; minus infinity where one of them is no
    /// number.
    pub fn log(&self, apart: &Column) -> f64 {
        if apart.iter().any(|x| !x.is_finite()) {
            return f64::NEG_INFINITY;
        }
        let logs = self.0.iter().map(|(level, whitener)| level - 0.5 * whitener.squared_length(apart));
        super::log_sum(&logs.collect::<Vec<_>>())
    }
}

/// What the model may be off at one reading: a fixed deviation, or one that grows with the size of the moisture error. Signed:
/// a tray that holds too much water is heavier and has lost less.
struct Part {
    kind: Kind,
    fixed: f64,
    per_size: f64,
}

/// Errors of different kinds are independent.
#[derive(PartialEq)]
enum Kind {
    Water,
    Temperature,
    Pressure,
    Energy,
    Event,
}

impl Part {
    fn of(reading: &Reading, model: &Discrepancy, typical: &BatchResult) -> Self {
        let fixed = |kind, fixed| Self { kind, fixed, per_size: 0.0 };
        // of so much water, of which so much is left: by the reading, and by the typical run
        let water = |water_kg: f64, left_kg: [f64; 2], sign: f64| {
            let ratio = left_kg.map(|left_kg| (left_kg / water_kg.max(1e-9)).clamp(0.0, 1.0));
            let shape = 2.0 * ratio.map(|m| m * (1.0 - m)).iter().sum::<f64>();
            let per_size = sign * water_kg * (shape + AT_THE_ENDS * AT_THE_ENDS).sqrt();
            Self { kind: Kind::Water, fixed: 0.0, per_size }
        };
        let of_tray = |tray: usize| typical.trays.get(tray).map_or((0.0, 0.0), |t| (t.dry_matter_kg, t.water_kg));
        let lost_kg = |tray: usize| water_lost_kg(typical, tray, reading.time_s);
        match reading.quantity {
            Quantity::Drained => {
                let trays = 0..typical.trays.len();
                let all_kg: f64 = typical.trays.iter().map(|t| t.water_kg).sum();
                water(all_kg, [reading.value, trays.map(lost_kg).sum()].map(|lost_kg| all_kg - lost_kg), -1.0)
            }
            Quantity::Weight { tray } => {
                let (dry_kg, water_kg) = of_tray(tray);
                water(water_kg, [reading.value - dry_kg, water_kg - lost_kg(tray)], 1.0)
            }
            Quantity::WaterLost { tray } => {
                let (_, water_kg) = of_tray(tray);
                water(water_kg, [reading.value, lost_kg(tray)].map(|lost_kg| water_kg - lost_kg), -1.0)
            }
            Quantity::Product { .. } | Quantity::Shelf { .. } => fixed(Kind::Temperature, model.temperature_k),
            Quantity::Pressure | Quantity::PressureRise => fixed(Kind::Pressure, model.pressure_frac * reading.value),
            Quantity::Energy => fixed(Kind::Energy, model.energy_frac * reading.value),
            Quantity::PumpStarted | Quantity::Finished => fixed(Kind::Event, model.time_frac * reading.value),
        }
    }
}
