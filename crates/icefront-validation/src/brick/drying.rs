//! How a brick dries from all its faces: the ice in it as a sharp front of any form.
//!
//! # Main equations
//! Quasi-steady, the front at one temperature, vapour driven by one pressure difference. The ice at any time is where the
//! solution of
//! ```text
//! laplace w = 1 where w > 0, at most 1 where w = 0        dw/dn = Bi (t - w) at the surface
//! ```
//! is 0 (`exact`): one problem for each time, no steps in time. Finite volumes on an octant, projected over-relaxation
//! (Cryer 1971). The share passed is what has come in through the surface.
//!
//! Heat crosses the dried part the same way; only the surface resists it more. Through the dried part of a moment
//! ```text
//! laplace u = 0, u = 0 at the ice, du/dn = Bi (1 - u)          resistance = A0/(R integral of du/dn)
//! ```
//! # Assumptions
//! One permeability, one conductivity, no vapour from held water. [`last_ice`] takes ice as a perfect conductor: it conducts
//! forty times as well as dried food.

use super::exact::Ratios;
use super::octant::Octant;

/// Sweeps stop when no cell moves by more than this share of the drive.
const SETTLED: f64 = 1e-8;
const MOST_SWEEPS: usize = 20_000;

/// One moment of a drying brick.
#[derive(Clone, Debug)]
pub struct Moment {
    /// Time over that of the last ice.
    pub time: f64,
    /// Share that the front has passed.
    pub passed: f64,
    /// Share of each cell that is dry.
    dry: Vec<f64>,
}

/// Moments of a drying brick, whose surface lets vapour out freely, at rising shares of the time of its last ice.
pub fn course(ratios: Ratios, across: usize, times: &[f64]) -> Vec<Moment> {
    let octant = Octant::new(ratios, across);
    let biot = f64::INFINITY;
    let last = ratios.middle(biot);
    let (outer, relax) = (octant.outer(biot), octant.relaxation(biot));
    let source = octant.edge * octant.edge;
    let mut w = vec![0.0; octant.count()];
    let mut moments = Vec::with_capacity(times.len());
    for time in times {
        let t = time * last;
        for _ in 0..MOST_SWEEPS {
            let mut moved = 0.0_f64;
            octant.visit(|i, near, faces| {
                let open = faces as f64 * outer;
                let flow = near.iter().map(|n| w[*n]).sum::<f64>() + open * t - source;
                let best = flow / (near.len() as f64 + open);
                let new = (w[i] + relax * (best - w[i])).max(0.0);
                moved = moved.max((new - w[i]).abs());
                w[i] = new;
            });
            if moved < SETTLED * t {
                break;
            }
        }
        let mut dry = vec![1.0; w.len()];
        octant.visit(|i, near, faces| {
            if w[i] <= 0.0 {
                let flow = near.iter().map(|n| w[*n]).sum::<f64>() + faces as f64 * outer * t;
                dry[i] = (flow / source).clamp(0.0, 1.0);
            }
        });
        let passed = dry.iter().sum::<f64>() / dry.len() as f64;
        moments.push(Moment { time: *time, passed, dry });
    }
    moments
}

/// Resistance between the surroundings and the ice of a moment, over that of half the least edge at the whole surface.
/// Nothing once no cell is ice.
fn resistance(octant: &Octant, moment: &Moment, biot: f64) -> Option<f64> {
    let (outer, relax) = (octant.outer(biot), octant.relaxation(biot));
    let ice: Vec<bool> = moment.dry.iter().map(|dry| *dry < 0.5).collect();
    if !ice.contains(&true) {
        return None;
    }
    let mut u: Vec<f64> = ice.iter().map(|ice| if *ice { 0.0 } else { 1.0 }).collect();
    for _ in 0..MOST_SWEEPS {
        let mut moved = 0.0_f64;
        octant.visit(|i, near, faces| {
            if ice[i] {
                return;
            }
            let open = faces as f64 * outer;
            let best = (near.iter().map(|n| u[*n]).sum::<f64>() + open) / (near.len() as f64 + open);
            let new = u[i] + relax * (best - u[i]);
            moved = moved.max((new - u[i]).abs());
            u[i] = new;
        });
        if moved < SETTLED {
            break;
        }
    }
    let (mut flow, mut surface) = (0.0, 0.0);
    octant.visit(|i, _, faces| {
        flow += faces as f64 * outer * (1.0 - u[i]);
        surface += faces as f64;
    });
    Some(surface * octant.edge / flow)
}

/// Time of the last ice where heat is what binds and the surface resists it, over `R^2/(conductivity)`, for each `Bi`.
///
/// ```text
/// t = v(inf) + integral over the share passed of [r(Bi) - r(inf)]/n0          r by `resistance`, v exact
/// ```
/// The difference of two resistances of the same front is smooth up to the last ice.
pub fn last_ice(ratios: Ratios, across: usize, biots: &[f64]) -> Vec<f64> {
    let octant = Octant::new(ratios, across);
    let times: Vec<f64> = (1..STEPS).map(|k| (k as f64 / STEPS as f64).powi(2)).collect();
    let moments = course(ratios, across, &times);
    let free: Vec<_> = moments.iter().map(|m| resistance(&octant, m, f64::INFINITY)).collect();
    let at = |biot: &f64| {
        let (mut sum, mut from, mut before) = (0.0, 0.0, 1.0 / biot);
        for (moment, free) in moments.iter().zip(&free) {
            if let (Some(free), Some(bound)) = (free, resistance(&octant, moment, *biot)) {
                sum += 0.5 * (before + bound - free) * (moment.passed - from);
                (from, before) = (moment.passed, bound - free);
            }
        }
        sum += before * (1.0 - from);
        ratios.middle(f64::INFINITY) + sum / ratios.surface_per_volume()
    };
    biots.iter().map(at).collect()
}

/// Moments of [`last_ice`].
const STEPS: usize = 20;
