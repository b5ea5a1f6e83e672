//! What is kept of one draw, and the quantiles of many.

use serde::{Deserialize, Serialize};
use statrs::function::beta::beta_reg;

use super::{Measurement, failures_matter, most_failed, never};
use crate::error::ModelError;
use crate::load::Load;
use crate::result::{BatchResult, ByConsumer, ByStage, Flag, Stage};

/// Numbers kept of one run. Infinite: never.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Outcome {
    /// Number of its draw; 0 for a run that was not drawn.
    pub draw: usize,
    /// Food can be taken out, s.
    #[serde(with = "never")]
    pub food_ready_s: f64,
    /// Whole run, s.
    #[serde(with = "never")]
    pub total_s: f64,
    /// Stages, s.
    pub stage_s: ByStage<f64>,
    /// Electric energy by consumer, J.
    pub energy_j: ByConsumer,
    /// Electric energy by stage, J.
    pub stage_energy_j: ByStage<f64>,
    /// Mean power while held water leaves, W: what an extra hour costs.
    pub last_power_w: f64,
    /// Water in the food at the start, kg.
    pub water_loaded_kg: f64,
    /// Water in the food at the end, kg.
    pub water_left_kg: f64,
    /// Dried food that comes out, water left in it included, kg.
    pub dried_kg: f64,
    /// Trays in the order of the load.
    pub trays: Vec<TrayOutcome>,
    /// Share of primary drying with heaters held back by pressure, 0 to 1.
    pub held_back_frac: f64,
    /// Thickest ice on the condenser over the room for it, 0 to 1 and more; 0 in a prescribed rig.
    pub ice_room_frac: f64,
    /// What each measurement would have read.
    pub readings: Vec<f64>,
}

/// Numbers kept of one tray. Infinite: never.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct TrayOutcome {
    /// Last ice gone, s.
    #[serde(with = "never")]
    pub ice_gone_at_s: f64,
    /// Wettest spot under the target, s.
    #[serde(with = "never")]
    pub dry_at_s: f64,
    /// Ice front at its warmest, K.
    pub front_max_k: f64,
    /// Moisture of the wettest spot at the end, wet basis, 0 to 1.
    pub wettest_wet_frac: f64,
    /// Findings.
    pub flags: Vec<Flag>,
}

impl Outcome {
    /// Takes from a run what is kept.
    pub fn of(load: &Load, result: &BatchResult, measurements: &[Measurement]) -> Self {
        let never = |t: Option<f64>| t.unwrap_or(f64::INFINITY);
        let finished = result.trays.iter().all(|t| t.dry_at_s.is_some());
        let reached = |s: f64| if finished { s } else { f64::INFINITY };
        let fixed = matches!(load.end, crate::load::EndRule::WettestSpot { .. });
        let seconds = |s: f64| if fixed { reached(s) } else { s };
        let last = result.stage_s[Stage::SecondaryDrying];
        Self {
            draw: 0,
            food_ready_s: seconds(result.food_ready_s()),
            total_s: seconds(result.total_s()),
            stage_s: result.stage_s,
            energy_j: result.energy_j(),
            stage_energy_j: result.energy_by_stage_j.map(|e| e.total()),
            last_power_w: if last > 0.0 {
                result.energy_by_stage_j[Stage::SecondaryDrying].total() / last
            } else {
                0.0
            },
            water_loaded_kg: result.water.loaded_kg,
            water_left_kg: result.water.left_kg,
            dried_kg: result.trays.iter().map(|t| t.dry_matter_kg + t.water_left_kg).sum(),
            trays: result
                .trays
                .iter()
                .map(|t| TrayOutcome {
                    ice_gone_at_s: never(t.ice_gone_at_s),
                    dry_at_s: never(t.dry_at_s),
                    front_max_k: t.front_max_k,
                    wettest_wet_frac: t.wettest_wet_frac,
                    flags: t.flags.clone(),
                })
                .collect(),
            held_back_frac: result.machine.time_limited_frac,
            ice_room_frac: result.machine.ice_room_frac.unwrap_or(0.0),
            readings: measurements.iter().map(|m| m.read(load, result)).collect(),
        }
    }

    /// Whether some tray shows this.
    pub fn shows(&self, flag: Flag) -> bool {
        self.trays.iter().any(|tray| tray.flags.contains(&flag))
    }
}

/// 10, 50 and 90 % of a cloud.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Quantiles {
    /// One in ten lies below.
    #[serde(with = "never")]
    pub low: f64,
    /// Half lie below.
    #[serde(with = "never", rename = "median")]
    pub typical: f64,
    /// One in ten lies above.
    #[serde(with = "never")]
    pub high: f64,
}

impl Quantiles {
    /// Quantiles of some values; infinite ones count as the largest. NaN without values.
    pub fn of(values: impl IntoIterator<Item = f64>) -> Self {
        let mut sorted: Vec<f64> = values.into_iter().collect();
        sorted.sort_by(f64::total_cmp);
        Self { low: smooth(&sorted, 0.1), typical: smooth(&sorted, 0.5), high: smooth(&sorted, 0.9) }
    }

    /// Each converted.
    #[must_use]
    pub fn map(self, unit: impl Fn(f64) -> f64) -> Self {
        Self { low: unit(self.low), typical: unit(self.typical), high: unit(self.high) }
    }

    /// Distance between the one-in-ten points.
    pub fn width(&self) -> f64 {
        self.high - self.low
    }

    /// Whether a value lies between them.
    pub fn holds(&self, value: f64) -> bool {
        value >= self.low && value <= self.high
    }
}

/// Quantile of sorted values by Harrell and Davis (1982): a mean of the order statistics, weighted by how likely each is
/// to be the quantile; moves less from cloud to cloud than a single order statistic. Few values, or one that is
/// infinite: type 7.
///
/// ```text
/// Q(p) = sum of x_i [I(i/n) - I((i-1)/n)],   I: regularised beta function of (p(n+1), (1-p)(n+1))
/// ```
fn smooth(sorted: &[f64], share: f64) -> f64 {
    let n = sorted.len();
    if n < SMOOTH_FROM || !sorted.iter().all(|x| x.is_finite()) {
        return at(sorted, share);
    }
    let (a, b) = (share * (n as f64 + 1.0), (1.0 - share) * (n as f64 + 1.0));
    // outside eight standard deviations of the beta distribution the weights are nothing
    let reach = 8.0 * (share * (1.0 - share) / n as f64).sqrt();
    let first = (((share - reach) * n as f64).floor().max(0.0)) as usize;
    let last = (((share + reach) * n as f64).ceil() as usize).min(n);
    let mut below = if first == 0 { 0.0 } else { beta_reg(a, b, first as f64 / n as f64) };
    let (mut sum, mut weights) = (0.0, 0.0);
    for (i, x) in sorted.iter().enumerate().take(last).skip(first) {
        let upto = if i + 1 == n { 1.0 } else { beta_reg(a, b, (i + 1) as f64 / n as f64) };
        sum += (upto - below) * x;
        weights += upto - below;
        below = upto;
    }
    sum / weights
}

const SMOOTH_FROM: usize = 64;

/// Distances from the median that differ by less are the same: that much rounding alone can do.
const TIE: f64 = 1e-9;

/// Quantile of sorted values, linear between order statistics (type 7).
pub(super) fn at(sorted: &[f64], share: f64) -> f64 {
    let Some(last) = sorted.len().checked_sub(1) else { return f64::NAN };
    let place = share * last as f64;
    let low = (place.floor() as usize).min(last);
    let high = (low + 1).min(last);
    let part = place - low as f64;
    // an infinite neighbour with no weight must not make NaN
    if part == 0.0 || sorted[low] == sorted[high] {
        sorted[low]
    } else {
        sorted[low] + part * (sorted[high] - sorted[low])
    }
}

/// Outcomes of all draws.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Cloud {
    /// In the order of the points.
    pub outcomes: Vec<Outcome>,
    /// Samples left out: the model refused them, or a step did not settle.
    pub refused: usize,
}

/// How much time, primary drying, held heaters and energy count in the choice of the outcome that stands for all: see
/// [`Cloud::representative`]. Set by trying: time is within about 1 % of its median.
const WEIGHTS: [f64; 4] = [1000.0, 1.0, 1.0, 100.0];

/// The place that is nearest to the median in all of these numbers, each with its weight: see [`Cloud::representative`].
fn nearest_to_median(numbers: &[(Vec<f64>, f64)]) -> Option<usize> {
    let mut sums = vec![0.0; numbers.first()?.0.len()];
    for (values, weight) in numbers {
        let q = Quantiles::of(values.iter().copied());
        let width = if q.width().is_finite() && q.width() > 0.0 { q.width() } else { q.typical.abs() };
        let from_median = |x: f64| match (x.is_finite(), q.typical.is_finite()) {
            (true, true) if width > 0.0 && width.is_finite() => ((x - q.typical) / width).powi(2),
            (true, true) | (false, false) => 0.0,
            _ => 1.0,
        };
        sums.iter_mut().zip(values).for_each(|(sum, value)| *sum += weight * from_median(*value));
    }
    let least = sums.iter().copied().min_by(f64::total_cmp)?;
    sums.iter().position(|sum| *sum <= least + TIE)
}

impl Cloud {
    /// Gathers outcomes; draws that failed are counted.
    ///
    /// # Errors
    /// The first failure if more than half of the samples failed.
    pub fn of(drawn: Vec<Result<Outcome, ModelError>>) -> Result<Self, ModelError> {
        let count = drawn.len();
        let (mut outcomes, mut refusals) = (Vec::with_capacity(count), Vec::new());
        for one in drawn {
            match one {
                Ok(outcome) => outcomes.push(outcome),
                Err(refusal) => refusals.push(refusal),
            }
        }
        match refusals.first() {
            Some(refusal) if refusals.len() > most_failed(count) => Err(refusal.clone()),
            _ => Ok(Self { outcomes, refused: refusals.len() }),
        }
    }

    /// Outcomes of which none failed.
    pub fn all(outcomes: Vec<Outcome>) -> Self {
        Self { outcomes, refused: 0 }
    }

    /// Whether so many draws failed that the reader must know.
    pub fn failures_matter(&self) -> bool {
        failures_matter(self.refused, self.refused + self.outcomes.len())
    }

    /// Quantiles of one number.
    pub fn quantiles(&self, of: impl Fn(&Outcome) -> f64) -> Quantiles {
        Quantiles::of(self.outcomes.iter().map(of))
    }

    /// A quantile of one number at any share.
    pub fn quantile(&self, share: f64, of: impl Fn(&Outcome) -> f64) -> f64 {
        let mut sorted: Vec<f64> = self.outcomes.iter().map(of).collect();
        sorted.sort_by(f64::total_cmp);
        smooth(&sorted, share)
    }

    /// The outcome that stands for all: the nearest to the median in the time the food is ready, the length of primary drying,
    /// the share of it with the heaters held back, the energy, and the time each tray is dry.
    ///
    /// ```text
    /// smallest of  1000 d(ready)^2 + d(primary)^2 + d(held)^2 + 100 d(energy)^2 + mean over trays of d(dry)^2
    /// d(x) = (x - median)/(high - low)
    /// ```
    /// Weights that heavy keep its time and energy near the median, and what is shown steady where another outcome takes its
    /// place.
    ///
    /// A quantity whose median is never reached counts where it is reached, and the other way round. Of outcomes whose sums
    /// differ by round-off alone it is the first, so that it is the same one on every computer. `None` without outcomes.
    pub fn representative(&self) -> Option<&Outcome> {
        let trays = self.outcomes.first()?.trays.len();
        let all = |of: &dyn Fn(&Outcome) -> f64| self.outcomes.iter().map(of).collect::<Vec<f64>>();
        let primary_s = all(&|o| o.stage_s[Stage::PrimaryDrying]);
        let of_load = [all(&|o| o.food_ready_s), primary_s, all(&|o| o.held_back_frac), all(&|o| o.energy_j.total())];
        let mut numbers: Vec<(Vec<f64>, f64)> = of_load.into_iter().zip(WEIGHTS).collect();
        numbers.extend((0..trays).map(|tray| (all(&|o| o.trays[tray].dry_at_s), 1.0 / trays as f64)));
        self.outcomes.get(nearest_to_median(&numbers)?)
    }

    /// Share of the samples for which something holds.
    pub fn chance(&self, that: impl Fn(&Outcome) -> bool) -> f64 {
        self.outcomes.iter().filter(|o| that(o)).count() as f64 / self.outcomes.len().max(1) as f64
    }
}
