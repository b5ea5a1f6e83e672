//! From batch to batch: the unknowns of machine and foods that explain the logged batches best.
//!
//! # Main equations
//! Maximum a posteriori. Unknowns z have the prior N(0, I). Batch b has readings `y_b` and runs of the model `f_b(z)`; what
//! is unknown of that batch alone (rough quantities of its sheet, `o`) is taken out by its own slopes `J_o`:
//! ```text
//! V_b = R_b + J_o J_o^T,    chi_b^2 = (y_b - f_b)^T V_b^-1 (y_b - f_b)
//! least of   |z|^2 + sum over b of (nu + n_b) ln(1 + chi_b^2 / nu)
//! ```
//! The sum is a Student-t loss of nu = 4 for each batch as a whole: a batch far off counts by its weight
//! `(nu + n_b)/(nu + chi_b^2)` and cannot spoil the rest. Solved by Gauss-Newton with central differences. What is left
//! unknown is described by draws: from the normal distribution at the solution ([`Belief`]), each then moved until its own runs
//! of the batches are as far off as that normal distribution has them. The many directions in which batches say nothing
//! are wide, and along them the model is curved: without that step the next plan was wrong by a tenth. Each batch is also predicted from all others: by the
//! same linear step without its rows, then one run of the model.
//!
//! # Assumptions and limits
//! Batches differ by their sheets (rough quantities included) and by the errors of the tools; what else differs from batch
//! to batch is not modelled. Checked on invented machines in `tests/learning_study.rs`.

use std::collections::{BTreeMap, BTreeSet};
use std::num::NonZeroUsize;

use statrs::distribution::{ContinuousCDF, Normal};

use super::discrepancy::ReadingErrors;
use super::line::Line;
use super::{Belief, Discrepancy, Errors, Reading, log_sum};
use crate::error::ModelError;
use crate::load::Load;
use crate::numerics::linear::{Column, Matrix, Whitener};
use crate::ranges::{Point, by_index};

/// Makes the load of a point.
pub type Build<'a> = Box<dyn Fn(&Point) -> Result<Load, ModelError> + Sync + 'a>;

/// A finished batch.
pub struct Logged<'a> {
    /// Name.
    pub name: String,
    /// What its load is made of. Batches with the same text are built alike: one run of the model serves them all.
    pub sheet: &'a str,
    /// Number of unknowns of this batch alone; they are the first numbers of its points.
    pub own: usize,
    /// Names of its further unknowns, in the order of their numbers.
    pub shared: Vec<String>,
    /// The load of a point.
    pub build: Build<'a>,
    /// What was read.
    pub readings: Vec<Reading>,
}

/// How one batch fits.
#[derive(Clone, Debug, PartialEq)]
pub struct BatchFit {
    /// Name.
    pub name: String,
    /// How much it counts, about 1 for a batch that fits.
    pub weight: f64,
    /// Chance of readings as far off, if all other batches, the sheet and the stated errors are right.
    pub chance: f64,
    /// Whether it fits the others.
    pub fits: bool,
    /// What was read.
    pub readings: Vec<Reading>,
    /// What the dryer as entered would have shown.
    pub before: Vec<f64>,
    /// What the machine learned from all other batches would have shown.
    pub left_out: Vec<f64>,
}

/// What was learned.
#[derive(Clone, Debug, PartialEq)]
pub struct Learned {
    /// Names of the unknowns.
    pub names: Vec<String>,
    /// The best explanation, and how firmly each unknown is known near it.
    pub belief: Belief,
    /// Believable machines and foods, all alike: what is left unknown.
    pub draws: Vec<Vec<f64>>,
    /// Batches in their order.
    pub batches: Vec<BatchFit>,
    /// Errors of the model, the size of that of a tray's water as the batches show it.
    pub model: Discrepancy,
    /// Steps of the solution.
    pub steps: usize,
}

/// Step of a difference to either side, in standard deviations of the prior.
const DIFFERENCE: f64 = 0.5;
/// Unknowns whose slopes are taken anew at the solution: those that move the readings most.
const INFLUENTIAL: usize = 12;
/// Steps with those slopes.
const LAST_STEPS: usize = 2;
const MOST_STEPS: usize = 5;
/// The solution has settled when no unknown moves further.
const SETTLED: f64 = 0.05;
/// No unknown moves further in one step: the line is only known nearby.
const LONGEST_STEP: f64 = 1.5;
/// No unknown lies further out, standard deviations: a point of the model tells nothing beyond, so that no run would.
pub(super) const FURTHEST: f64 = 5.0;
/// The size of the model error is never taken to be known better than this, standard deviation of its logarithm.
const LEAST_LOG_SIZE: f64 = 0.3;
/// Chance below which a batch is said not to fit.
const TOO_UNLIKELY: f64 = 0.01;

/// Learns from batches.
///
/// # Errors
/// [`ModelError::Empty`] without readings; the refusal of a batch that cannot be computed at all.
pub fn learn(batches: &[Logged<'_>], errors: &Errors, threads: Option<NonZeroUsize>) -> Result<Learned, ModelError> {
    if batches.iter().all(|b| b.readings.is_empty()) {
        return Err(ModelError::Empty { what: "the list of readings" });
    }
    let fit = Fit::new(batches, errors, threads)?;
    let Settled { lines, weights, steps } = fit.settle()?;
    let mut belief = fit.solve(&lines, &weights, None);
    belief.middle.iter_mut().for_each(|z| *z = z.clamp(-FURTHEST, FURTHEST));
    let left_out: Vec<Belief> = (0..batches.len()).map(|b| fit.solve(&lines, &weights, Some(b))).collect();
    let before = fit.run_each(|_| vec![0.0; fit.names.len()]);
    let after = fit.run_each(|b| left_out[b].middle.clone());
    let fits = before.into_iter().zip(after).enumerate().map(|(b, (before, after))| {
        let chance = lines[b].chance_given(&left_out[b]);
        Ok(BatchFit {
            name: batches[b].name.clone(),
            weight: weights[b],
            chance,
            fits: chance >= TOO_UNLIKELY,
            readings: batches[b].readings.clone(),
            before: before?,
            left_out: after?,
        })
    });
    let fits = fits.collect::<Result<Vec<BatchFit>, ModelError>>()?;
    let model = fit.model_error(&lines, &left_out, &fits, errors.model);
    let draws = fit.believable(&lines, &weights, &belief);
    Ok(Learned { names: fit.names, belief, draws, batches: fits, model, steps })
}

/// On which sides differences are taken.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Sides {
    One,
    Both,
}

/// The solution: lines of all batches, and how much each counts.
struct Settled {
    lines: Vec<Line>,
    weights: Vec<f64>,
    steps: usize,
}

/// The question, with the place of each batch's unknowns among all.
pub(super) struct Fit<'a> {
    pub(super) batches: &'a [Logged<'a>],
    /// Errors of each batch's readings, tools and model.
    errors: Vec<ReadingErrors>,
    pub(super) threads: Option<NonZeroUsize>,
    pub(super) names: Vec<String>,
    /// For each batch, the place of each of its shared unknowns.
    places: Vec<Vec<usize>>,
    /// Batches of the same load, together.
    pub(super) alike: Vec<Vec<usize>>,
}

impl<'a> Fit<'a> {
    fn new(batches: &'a [Logged<'a>], errors: &Errors, threads: Option<NonZeroUsize>) -> Result<Self, ModelError> {
        let mut names: Vec<String> = batches.iter().flat_map(|b| b.shared.clone()).collect();
        names.sort();
        names.dedup();
        let place = |name: &String| names.binary_search(name).unwrap_or(0);
        let places = batches.iter().map(|b| b.shared.iter().map(place).collect()).collect();
        let mut alike: Vec<Vec<usize>> = Vec::new();
        for (b, batch) in batches.iter().enumerate() {
            let same = |a: &Logged<'_>| (a.sheet, a.own, &a.shared) == (batch.sheet, batch.own, &batch.shared);
            match alike.iter_mut().find(|those| those.first().is_some_and(|&a| same(&batches[a]))) {
                Some(those) => those.push(b),
                None => alike.push(vec![b]),
            }
        }
        let typical = by_index(alike.len(), threads, |load| {
            let batch = &batches[alike[load][0]];
            let middle = Point::given(vec![0.5; batch.own + batch.shared.len()]);
            crate::plan(&(batch.build)(&middle)?)
        });
        let mut all: Vec<(usize, ReadingErrors)> = Vec::with_capacity(batches.len());
        for (those, typical) in alike.iter().zip(typical) {
            let typical = typical?;
            for &b in those {
                all.push((b, ReadingErrors::of(&batches[b].readings, errors, &typical)));
            }
        }
        all.sort_by_key(|(b, _)| *b);
        let errors = all.into_iter().map(|(_, errors)| errors).collect();
        Ok(Self { batches, errors, threads, names, places, alike })
    }

    /// The solution: slopes of all unknowns once, then steps with those slopes until nothing moves (chord method), then the
    /// slopes of the unknowns that matter most taken anew there, on both sides, and the last steps with them.
    fn settle(&self) -> Result<Settled, ModelError> {
        let mut z = vec![0.0; self.names.len()];
        let mut middles = self.middles(&z)?;
        let mut slopes = self.no_slopes(&middles);
        self.take_slopes(&z, &middles, &mut slopes, |_, _| true, Sides::One);
        let (mut steps, mut taken_anew) = (0, false);
        loop {
            let lines = self.lines(&z, &middles, &slopes)?;
            // far from the solution every batch is far off: what the unknowns could still explain does not count
            let off = |l: &Line| if steps == 0 { l.unlikely() } else { l.squared() };
            let weights: Vec<f64> = lines.iter().map(|l| l.weight(off(l))).collect();
            let target = self.solve(&lines, &weights, None).middle;
            steps += 1;
            let furthest = target.iter().zip(&z).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
            let settled = furthest < SETTLED || steps >= MOST_STEPS;
            if settled && taken_anew {
                return Ok(Settled { lines, weights, steps });
            }
            let part = (LONGEST_STEP / furthest.max(SETTLED)).min(1.0);
            z.iter_mut().zip(&target).for_each(|(z, t)| *z += part * (t - *z));
            middles = self.middles(&z)?;
            if settled {
                let matter = self.influential(&lines, &weights);
                self.take_slopes(&z, &middles, &mut slopes, |_, name| matter.contains(&name), Sides::Both);
                (steps, taken_anew) = (MOST_STEPS - LAST_STEPS, true);
            }
        }
    }

    /// The model's error of a tray's water: its size weighed by how far each batch lies from what the others say.
    ///
    /// ```text
    /// chance of a size  ~  prior chance  product over batches of N(readings; from the others, their covariance with that size)
    /// ```
    fn model_error(&self, lines: &[Line], left_out: &[Belief], fits: &[BatchFit], prior: Discrepancy) -> Discrepancy {
        let mut logs: Vec<(f64, f64)> = Vec::new();
        for (b, line) in lines.iter().enumerate().filter(|(b, _)| fits[*b].fits) {
            let (spread, apart) = line.given(&left_out[b]);
            let each: Vec<(f64, f64, &Matrix)> = self.errors[b].each().collect();
            logs.resize(each.len(), (0.0, 0.0));
            for (sum, (log, weight, covariance)) in logs.iter_mut().zip(each) {
                if sum.1 == 0.0 {
                    *sum = (log, libm::log(weight));
                }
                // the readings are whitened by the covariance of the median size: what this one differs by comes on top
                let more = covariance - self.errors[b].median();
                let white = line.whitener.whiten(&more).and_then(|half| line.whitener.whiten(&half.transpose()));
                let Some(whitener) = white.and_then(|more| Whitener::of(&(&spread + more))) else { continue };
                sum.1 -= whitener.log_determinant() + 0.5 * whitener.squared_length(&apart);
            }
        }
        if logs.is_empty() {
            return prior;
        }
        let total = log_sum(&logs.iter().map(|(_, l)| *l).collect::<Vec<_>>());
        let mean = |of: &dyn Fn(f64) -> f64| logs.iter().map(|(log, l)| libm::exp(l - total) * of(*log)).sum::<f64>();
        let middle = mean(&|log| log);
        let log_size = mean(&|log| (log - middle).powi(2)).sqrt().clamp(LEAST_LOG_SIZE, prior.log_size);
        Discrepancy { moisture_ratio: libm::exp(middle), log_size, ..prior }
    }

    /// The unknowns that move the readings most, all batches together.
    fn influential(&self, lines: &[Line], weights: &[f64]) -> BTreeSet<usize> {
        let influence = |k: usize| -> f64 {
            lines.iter().zip(weights).map(|(line, weight)| weight * line.slopes.column(k).norm_squared()).sum()
        };
        let mut all: Vec<(f64, usize)> = (0..self.names.len()).map(|k| (influence(k), k)).collect();
        all.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        all.into_iter().take(INFLUENTIAL).map(|(_, k)| k).collect()
    }

    /// What each of some batches of the same load would have shown; their own unknowns as given, the shared ones out of
    /// `z`.
    pub(super) fn run(&self, alike: &[usize], own: &[f64], z: &[f64]) -> Result<Vec<Vec<f64>>, ModelError> {
        let Some(&first) = alike.first() else { return Ok(Vec::new()) };
        let normal = Normal::standard();
        let shared = self.places[first].iter().map(|&k| z[k]);
        let units: Vec<f64> = own.iter().copied().chain(shared).map(|x| normal.cdf(x)).collect();
        let load = (self.batches[first].build)(&Point::given(units))?;
        let result = crate::plan(&load)?;
        let shown = |&b: &usize| self.batches[b].readings.iter().map(|r| r.predicted(&load, &result)).collect();
        Ok(alike.iter().map(shown).collect())
    }

    /// One run of each batch.
    fn run_each(&self, z: impl Fn(usize) -> Vec<f64> + Sync) -> Vec<Result<Vec<f64>, ModelError>> {
        by_index(self.batches.len(), self.threads, |b| {
            Ok(self.run(&[b], &vec![0.0; self.batches[b].own], &z(b))?.concat())
        })
    }

    /// What each batch would have shown, its own unknowns in their middle.
    fn middles(&self, z: &[f64]) -> Result<Vec<Vec<f64>>, ModelError> {
        let runs = by_index(self.alike.len(), self.threads, |load| {
            let those = &self.alike[load];
            self.run(those, &vec![0.0; self.batches[those[0]].own], z)
        });
        let mut middles = vec![Vec::new(); self.batches.len()];
        for (those, runs) in self.alike.iter().zip(runs) {
            for (&b, shown) in those.iter().zip(runs?) {
                middles[b] = shown;
            }
        }
        Ok(middles)
    }

    /// Slopes of which none is known yet: for each batch its own unknowns, then its shared ones.
    fn no_slopes(&self, middles: &[Vec<f64>]) -> Vec<Matrix> {
        let of_batch =
            |(batch, shown): (&Logged<'_>, &Vec<f64>)| Matrix::zeros(shown.len(), batch.own + batch.shared.len());
        self.batches.iter().zip(middles).map(of_batch).collect()
    }

    /// Takes slopes by differences: of all own unknowns and of those shared ones that are `wanted` (by load, by place among
    /// all names).
    fn take_slopes(
        &self,
        z: &[f64],
        middles: &[Vec<f64>],
        slopes: &mut [Matrix],
        wanted: impl Fn(usize, usize) -> bool,
        sides: Sides,
    ) {
        let mut jobs: Vec<(usize, usize, f64)> = Vec::new();
        for (load, those) in self.alike.iter().enumerate() {
            let (own, places) = (self.batches[those[0]].own, &self.places[those[0]]);
            let shared = places.iter().enumerate().filter(|(_, name)| wanted(load, **name)).map(|(k, _)| own + k);
            for k in (0..own).chain(shared) {
                jobs.push((load, k, DIFFERENCE));
                if sides == Sides::Both {
                    jobs.push((load, k, -DIFFERENCE));
                }
            }
        }
        let runs = by_index(jobs.len(), self.threads, |i| {
            let (load, k, by) = jobs[i];
            let those = &self.alike[load];
            let (mut own, mut moved) = (vec![0.0; self.batches[those[0]].own], z.to_vec());
            match k.checked_sub(own.len()) {
                None => own[k] += by,
                Some(shared) => moved[self.places[those[0]][shared]] += by,
            }
            self.run(those, &own, &moved)
        });
        // where one side is refused the other speaks; where both are, nothing is known to depend on it
        let mut sums: BTreeMap<(usize, usize), (Column, f64)> = BTreeMap::new();
        for ((load, k, by), run) in jobs.into_iter().zip(runs) {
            for (&b, shown) in self.alike[load].iter().zip(run.into_iter().flatten()) {
                let moved = shown.iter().zip(&middles[b]).map(|(s, m)| (s - m) / by);
                let moved = Column::from_iterator(shown.len(), moved.map(|s| if s.is_finite() { s } else { 0.0 }));
                let sum = sums.entry((b, k)).or_insert_with(|| (Column::zeros(shown.len()), 0.0));
                sum.0 += moved;
                sum.1 += 1.0;
            }
        }
        for ((b, k), (sum, sides)) in sums {
            slopes[b].set_column(k, &(sum / sides));
        }
    }

    /// Every batch as a straight line near `z`.
    fn lines(&self, z: &[f64], middles: &[Vec<f64>], slopes: &[Matrix]) -> Result<Vec<Line>, ModelError> {
        (0..self.batches.len()).map(|b| self.line(b, z, &middles[b], &slopes[b])).collect()
    }

    /// Takes out what is unknown of the batch alone, and whitens.
    fn line(&self, b: usize, z: &[f64], middle: &[f64], slopes: &Matrix) -> Result<Line, ModelError> {
        let batch = &self.batches[b];
        let own = slopes.columns(0, batch.own);
        let covariance = self.errors[b].median() + own * own.transpose();
        let whitener = Whitener::of(&covariance).ok_or(ModelError::Empty { what: "the error of a tool" })?;
        let mut wide = Matrix::zeros(batch.readings.len(), self.names.len() + 1);
        for (k, place) in self.places[b].iter().enumerate() {
            wide.set_column(*place, &slopes.column(batch.own + k));
        }
        let apart = batch.readings.iter().zip(middle).map(|(r, p)| r.value - p);
        wide.set_column(self.names.len(), &Column::from_iterator(batch.readings.len(), apart));
        let white = whitener.whiten(&wide).ok_or(ModelError::Empty { what: "the error of a tool" })?;
        let slopes = white.columns(0, self.names.len()).into_owned();
        let (apart, at) = (white.column(self.names.len()).into_owned(), Column::from_vec(z.to_vec()));
        Ok(Line { slopes, apart, at, whitener })
    }

    /// Bayes' rule for all lines by weight, one left out.
    fn solve(&self, lines: &[Line], weights: &[f64], left_out: Option<usize>) -> Belief {
        let (slopes, target) = self.stacked(lines, weights, left_out, Line::target);
        if target.is_empty() { Belief::prior(self.names.len()) } else { Belief::after(&slopes, &target) }
    }

    /// All slopes, and a column for each line, one below the other and by weight.
    pub(super) fn stacked(
        &self,
        lines: &[Line],
        weights: &[f64],
        left_out: Option<usize>,
        mut column: impl FnMut(&Line) -> Column,
    ) -> (Matrix, Column) {
        let used = lines.iter().zip(weights).enumerate().filter(|(b, _)| Some(*b) != left_out).map(|(_, used)| used);
        let used: Vec<(&Line, f64)> = used.map(|(line, weight)| (line, weight.min(1.0).sqrt())).collect();
        let rows: usize = used.iter().map(|(l, _)| l.apart.len()).sum();
        let (mut slopes, mut stacked) = (Matrix::zeros(rows, self.names.len()), Column::zeros(rows));
        let mut at = 0;
        for (line, root) in used {
            let count = line.apart.len();
            slopes.rows_mut(at, count).copy_from(&(&line.slopes * root));
            stacked.rows_mut(at, count).copy_from(&(column(line) * root));
            at += count;
        }
        (slopes, stacked)
    }
}
