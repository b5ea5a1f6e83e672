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

use std::num::NonZeroUsize;

use statrs::distribution::{ContinuousCDF, Normal};

use super::discrepancy::ReadingErrors;
use super::line::Line;
use super::{Belief, Errors, Reading};
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
    /// Steps of the solution.
    pub steps: usize,
}

/// Half of a central difference, in standard deviations of the prior.
const DIFFERENCE: f64 = 0.5;
const MOST_STEPS: usize = 5;
/// The solution has settled when no unknown moves further.
const SETTLED: f64 = 0.05;
/// No unknown moves further in one step: the line is only known nearby.
const LONGEST_STEP: f64 = 1.5;
/// No unknown lies further out, standard deviations: a point of the model tells nothing beyond, so that no run would.
pub(super) const FURTHEST: f64 = 5.0;
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
    let fits: Result<Vec<BatchFit>, ModelError> = fits.collect();
    let draws = fit.believable(&lines, &weights, &belief);
    Ok(Learned { names: fit.names, belief, draws, batches: fits?, steps })
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
    /// Covariance of the errors of each batch's readings, tools and model.
    errors: Vec<Matrix>,
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
        let mut covariances = vec![Matrix::zeros(0, 0); batches.len()];
        for (those, typical) in alike.iter().zip(typical) {
            let typical = typical?;
            for &b in those {
                covariances[b] = ReadingErrors::of(&batches[b].readings, errors, &typical).median().clone();
            }
        }
        Ok(Self { batches, errors: covariances, threads, names, places, alike })
    }

    /// Steps until no unknown moves any more.
    fn settle(&self) -> Result<Settled, ModelError> {
        let mut z = vec![0.0; self.names.len()];
        let mut steps = 0;
        loop {
            let lines = self.lines(&z)?;
            // far from the solution every batch is far off: what the unknowns could still explain does not count
            let off = |l: &Line| if steps == 0 { l.unlikely() } else { l.squared() };
            let weights: Vec<f64> = lines.iter().map(|l| l.weight(off(l))).collect();
            let target = self.solve(&lines, &weights, None).middle;
            steps += 1;
            let furthest = target.iter().zip(&z).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
            if furthest < SETTLED || steps >= MOST_STEPS {
                return Ok(Settled { lines, weights, steps });
            }
            let part = (LONGEST_STEP / furthest).min(1.0);
            z.iter_mut().zip(&target).for_each(|(z, t)| *z += part * (t - *z));
        }
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

    /// Every batch as a straight line near `z`.
    fn lines(&self, z: &[f64]) -> Result<Vec<Line>, ModelError> {
        // of each load: the run at z, then each unknown up and down
        let count = |those: &[usize]| those.first().map_or(0, |&b| self.batches[b].own + self.places[b].len());
        let jobs: Vec<(&[usize], usize)> =
            self.alike.iter().flat_map(|those| (0..=2 * count(those)).map(|job| (those.as_slice(), job))).collect();
        let runs = by_index(jobs.len(), self.threads, |i| {
            let (those, job) = jobs[i];
            let mut own = vec![0.0; self.batches[those[0]].own];
            let mut moved = z.to_vec();
            if let Some(change) = job.checked_sub(1) {
                let by = if change % 2 == 0 { DIFFERENCE } else { -DIFFERENCE };
                match (change / 2).checked_sub(own.len()) {
                    None => own[change / 2] += by,
                    Some(shared) => moved[self.places[those[0]][shared]] += by,
                }
            }
            self.run(those, &own, &moved)
        });
        let mut runs = runs.into_iter();
        let mut lines = Vec::with_capacity(self.batches.len());
        for those in &self.alike {
            let middle = runs.next().unwrap_or(Err(ModelError::Empty { what: "a run" }))?;
            let mut slopes: Vec<Matrix> = middle.iter().map(|shown| Matrix::zeros(shown.len(), count(those))).collect();
            for k in 0..count(those) {
                // where one side is refused the other tells; where both are, nothing depends on it
                let side = |run: Option<Result<Vec<Vec<f64>>, ModelError>>| run.and_then(Result::ok);
                let (up, down) = (side(runs.next()), side(runs.next()));
                let width = DIFFERENCE * (f64::from(u8::from(up.is_some())) + f64::from(u8::from(down.is_some())));
                let (up, down) = (up.unwrap_or_else(|| middle.clone()), down.unwrap_or_else(|| middle.clone()));
                for (slopes, (up, down)) in slopes.iter_mut().zip(up.iter().zip(&down)) {
                    for (i, (u, d)) in up.iter().zip(down).enumerate() {
                        let slope = (u - d) / width;
                        slopes[(i, k)] = if slope.is_finite() { slope } else { 0.0 };
                    }
                }
            }
            for ((&b, middle), slopes) in those.iter().zip(&middle).zip(&slopes) {
                lines.push((b, self.line(b, z, middle, slopes)?));
            }
        }
        lines.sort_by_key(|(b, _)| *b);
        Ok(lines.into_iter().map(|(_, line)| line).collect())
    }

    /// Takes out what is unknown of the batch alone, and whitens.
    fn line(&self, b: usize, z: &[f64], middle: &[f64], slopes: &Matrix) -> Result<Line, ModelError> {
        let batch = &self.batches[b];
        let own = slopes.columns(0, batch.own);
        let covariance = &self.errors[b] + own * own.transpose();
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
