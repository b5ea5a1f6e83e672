//! The methods that are compared: each gives the hours of the last ice.

use std::cell::RefCell;

use diffsol::{MatrixCommon, NalgebraLU, NalgebraMat, OdeBuilder, OdeSolverMethod};
use icefront_core::batch::{Precision, plan_with};
use icefront_core::load::Load;
use icefront_validation::ideal::{self, Layer};
use icefront_validation::resolved::{self, Resolution};
use ode_solvers::{DVector, Dopri5, OutputType, System};

use crate::case::START_K;
use crate::lines::{FIRST, HOUR_S, LAST, Lines};

/// Hours, or why there are none.
pub type Hours = Result<f64, String>;

/// First step in share dried, and step of the difference quotients.
const FIRST_STEP: f64 = 1e-7;
const DIFFERENCE: f64 = 1e-7;
/// More steps than any of the runs takes.
const MOST_STEPS: u32 = 20_000_000;

/// The lines by backward differences of variable order (`diffsol`), dense matrix, Jacobian by differences.
pub fn diffsol_bdf(lines: &Lines<'_>, tolerance: f64) -> Hours {
    let start = lines.start(START_K);
    let size = start.len();
    // the unmoved slopes and the moved state, kept between the columns of one Jacobian
    let kept = RefCell::new((f64::NAN, vec![0.0; size], vec![0.0; size], vec![0.0; size]));
    let jacobian = |x: &[f64], _: &[f64], share: f64, v: &[f64], y: &mut [f64]| {
        let (at, old, unmoved, moved) = &mut *kept.borrow_mut();
        if *at != share || old != x {
            *at = share;
            old.copy_from_slice(x);
            lines.slopes(share, x, unmoved);
        }
        for ((moved, x), v) in moved.iter_mut().zip(x).zip(v) {
            *moved = x + DIFFERENCE * v;
        }
        lines.slopes(share, moved, y);
        y.iter_mut().zip(unmoved).for_each(|(y, unmoved)| *y = (*y - *unmoved) / DIFFERENCE);
    };
    let problem = OdeBuilder::<NalgebraMat<f64>>::new()
        .t0(FIRST)
        .h0(FIRST_STEP)
        .rtol(tolerance)
        .atol([tolerance])
        .rhs_implicit(|x: &[f64], _: &[f64], share, y: &mut [f64]| lines.slopes(share, x, y), jacobian)
        .init(|_: &[f64], _, y: &mut [f64]| y.copy_from_slice(&start), size)
        .build()
        .map_err(|e| e.to_string())?;
    let mut solver = problem.bdf::<NalgebraLU<f64>>().map_err(|e| e.to_string())?;
    let (states, _, _) = solver.solve(LAST).map_err(|e| e.to_string())?;
    let last = states.ncols() - 1;
    let end: Vec<f64> = (0..size).map(|i| states[(i, last)]).collect();
    Ok(lines.hours(&start, &end))
}

struct Slopes<'a>(&'a Lines<'a>);

impl System<f64, DVector<f64>> for Slopes<'_> {
    fn system(&self, share: f64, state: &DVector<f64>, slopes: &mut DVector<f64>) {
        self.0.slopes(share, state.as_slice(), slopes.as_mut_slice());
    }
}

/// The lines by the explicit method of Dormand and Prince (`ode_solvers`).
pub fn explicit(lines: &Lines<'_>, tolerance: f64) -> Hours {
    let start = lines.start(START_K);
    let (y, t) = (DVector::from_vec(start.clone()), tolerance);
    // the defaults of the crate but for the first step and the number of steps; no test for stiffness
    let mut solver = Dopri5::from_param(
        Slopes(lines),
        FIRST,
        LAST,
        1.0,
        y,
        t,
        t,
        0.9,
        0.04,
        0.2,
        10.0,
        1.0,
        FIRST_STEP,
        MOST_STEPS,
        u32::MAX,
        OutputType::Sparse,
    );
    solver.integrate().map_err(|e| e.to_string())?;
    let end = solver.y_out().last().ok_or("no output")?;
    Ok(lines.hours(&start, end.as_slice()))
}

/// One front and nothing stored, by `ode_solvers`: `icefront_validation::ideal`.
pub fn one_front(slab: &Layer<'_>) -> Hours {
    let course = ideal::dry_layer(slab).map_err(|e| e.to_string())?;
    course.last().map(|point| point.time_s / HOUR_S).ok_or("no course".into())
}

/// The whole batch of icefront with its front model; `tolerance` over the default.
pub fn front_model(load: &Load, tolerance: f64) -> Hours {
    let precision = Precision { tolerance, ..Precision::default() };
    let result = plan_with(load, &precision).map_err(|e| e.to_string())?;
    result.trays[0].ice_gone_at_s.map(|s| s / HOUR_S).ok_or("ice is left".into())
}

/// The resolved layer of icefront, with its own steps.
pub fn resolved(slab: &Layer<'_>, resolution: &Resolution) -> Hours {
    resolved::dry(slab, START_K, resolution).map(|r| r.ice_gone_s / HOUR_S).map_err(|e| e.to_string())
}
