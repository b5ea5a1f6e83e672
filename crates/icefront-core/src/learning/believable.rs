//! What batches leave unknown, as draws of believable machines and foods.
//!
//! A draw from the normal distribution at the solution is moved by Gauss-Newton steps of the prior and the readings until
//! its own runs are as far off as the straight lines have them (randomised maximum likelihood with fixed slopes).
//!
//! # References
//! Oliver, He and Reynolds 1996, conditioning permeability fields to pressure data. (From memory.)

use statrs::distribution::{ContinuousCDF, Normal};

use super::Belief;
use super::fit::{FURTHEST, Fit};
use super::line::Line;
use crate::numerics::linear::{Column, Matrix};
use crate::ranges::{Point, by_index};

/// Number of draws.
const DRAWS: usize = 64;
/// Their seed.
const SEED: u32 = 0x6c65_6172;
/// How often each is moved towards the readings.
const MOVES: usize = 1;

impl Fit<'_> {
    /// Draws of what is left unknown: each moved until its runs are as far off as the straight lines have them.
    pub(super) fn believable(&self, lines: &[Line], weights: &[f64], belief: &Belief) -> Vec<Vec<f64>> {
        let normal = Normal::standard();
        let start = (0..DRAWS).map(|index| {
            let point = Point::new(index, SEED);
            belief.draw(&(0..self.names.len()).map(|k| normal.inverse_cdf(point.unit(k))).collect::<Vec<_>>())
        });
        let start: Vec<Column> = start.map(Column::from_vec).collect();
        let mut draws = start.clone();
        for _ in 0..MOVES {
            let loads = self.alike.len();
            let runs = by_index(DRAWS * loads, self.threads, |job| {
                let those = &self.alike[job % loads];
                self.run(those, &vec![0.0; self.batches[those[0]].own], draws[job / loads].as_slice())
            });
            for (i, runs) in runs.chunks(loads).enumerate() {
                let mut off: Vec<Column> = lines.iter().map(|l| Column::zeros(l.apart.len())).collect();
                for (those, run) in self.alike.iter().zip(runs) {
                    for (&b, shown) in those.iter().zip(run.iter().flatten()) {
                        if let Some(further) = self.further_off(b, &lines[b], &start[i], shown) {
                            off[b] = further;
                        }
                    }
                }
                let mut off = off.into_iter();
                let (slopes, off) =
                    self.stacked(lines, weights, None, |_| off.next().unwrap_or_else(|| Column::zeros(0)));
                draws[i] += Column::from_vec(Belief::after(&slopes, &off).middle);
                draws[i].iter_mut().for_each(|z| *z = z.clamp(-FURTHEST, FURTHEST));
            }
        }
        draws.iter().map(|z| z.as_slice().to_vec()).collect()
    }

    /// How much further off a run is than its straight line has it at `z`, whitened; `None` where that is no number.
    fn further_off(&self, b: usize, line: &Line, z: &Column, shown: &[f64]) -> Option<Column> {
        let apart = self.batches[b].readings.iter().zip(shown).map(|(r, p)| r.value - p);
        let apart = Matrix::from_iterator(shown.len(), 1, apart);
        let white = line.whitener.whiten(&apart)?.column(0).into_owned();
        let off = white - (line.target() - &line.slopes * z);
        off.iter().all(|x| x.is_finite()).then_some(off)
    }
}
