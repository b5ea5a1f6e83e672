//! The linear system of one Newton iteration, eliminated from the inside out.
//!
//! A front hangs on its surface, the surfaces of a column on the two shelves beside it (or the wall above) and on the vapour
//! pressure, the shelves on each other, and all on the two unknowns that see the whole stack: the vapour deposited, which
//! the pressure follows, and the wall. Each stage of the elimination carries one right-hand side for each thing that is not
//! known yet.

use super::balance::Chamber;
use super::newton::Border;
use super::{Column, Drying, Prescription};
use crate::batch::cabinet::Drive;
use crate::batch::state::{BODY, HEAT_FRONT, HEAT_TOP, PASSED};
use crate::numerics::tridiagonal::{self, Row};

/// Right-hand sides of a body: what is out of balance, then what vapour pressure, shelf below and what is above ask for.
const SIDES: usize = 4;
const PRESSURE: usize = 1;
const BELOW: usize = 2;
const ABOVE: usize = 3;
/// Right-hand sides of a shelf: what is out of balance, then what vapour pressure and wall ask for.
pub(super) const SHELF_SIDES: usize = 3;
/// What the wall above answers to these.
const WALL_ITSELF: [f64; SHELF_SIDES] = [0.0, 0.0, 1.0];

/// A front and its surface: their two rows and, once solved, their corrections.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct BodyRow {
    /// Where the iteration stands, K.
    pub(super) front_k: f64,
    pub(super) top_k: f64,
    /// Vapour pressure at the front and its slope, Pa and Pa/K; zeros without ice.
    pub(super) saturation: (f64, f64),
    /// Slopes of the vapour against front and surface, kg/(s K).
    vapour_per_k: (f64, f64),
    /// Front, over its surface: `front + front_up surface = front_x`.
    front_up: f64,
    pub(super) front_x: [f64; SIDES],
    pub(super) top: Row<SIDES>,
}

/// Sums over the stack at one iterate.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Sums {
    pub(super) vapour_kg_per_s: f64,
    /// Vapour times its temperature.
    pub(super) vapour_heat: f64,
    /// Slope of the vapour against the chamber's pressure.
    pub(super) slope_pa: f64,
    /// Heat to the cold wall, W, and its slope, W/K.
    pub(super) to_wall_w: f64,
    pub(super) to_wall_slope: f64,
}

impl Sums {
    /// Mean temperature of the vapour; that of the wall where there is none.
    pub(super) fn vapour_k(&self, wall_k: f64) -> f64 {
        if self.vapour_kg_per_s > 1e-15 { self.vapour_heat / self.vapour_kg_per_s } else { wall_k }
    }
}

impl Drying<'_> {
    /// Sets up the system at the current iterate and solves it but for deposit and wall.
    pub(super) fn iterate(
        &mut self,
        h_s: f64,
        old: &[f64],
        prescribed: Option<Prescription>,
        chamber: &Chamber,
    ) -> Sums {
        let mut sums = Sums::default();
        let total_pa = chamber.vapour_pa + self.air_pa(prescribed);
        for s in 0..self.layout.shelves {
            self.shelf_rows[s] = self.shelf_row(s, h_s, old, prescribed, total_pa, &mut sums);
        }
        let mut rows = std::mem::take(&mut self.rows);
        for column in &self.columns {
            self.column_rows(column, old, chamber, &mut rows[column.bodies.clone()], &mut sums);
        }
        self.rows = rows;
        if prescribed.is_none() {
            for c in 0..self.columns.len() {
                self.hang_on_shelves(c);
            }
        }
        tridiagonal::solve(&mut self.shelf_rows);
        sums
    }

    fn shelf_row(
        &self,
        shelf: usize,
        h_s: f64,
        old: &[f64],
        prescribed: Option<Prescription>,
        total_pa: f64,
        sums: &mut Sums,
    ) -> Row<SHELF_SIDES> {
        let here_k = self.now.shelf_k[shelf];
        if let Some(n) = prescribed {
            return Row { diagonal: 1.0, rhs: [n.shelf_k - here_k, 0.0, 0.0], ..Row::default() };
        }
        let Drive::Machine { cabinet, .. } = &self.stack.drive else { return Row::default() };
        let capacity = self.shelf_capacity(shelf) / h_s;
        let (power, per_k, per_pa, _) = self.heater_w(&cabinet.heater, shelf, here_k, total_pa);
        let g = self.shelf_to_wall_w_per_k;
        let to_wall_w = g * (here_k - self.now.wall_k);
        sums.to_wall_w += to_wall_w;
        sums.to_wall_slope += g;
        Row {
            diagonal: capacity - per_k + g,
            rhs: [power - capacity * (here_k - old[self.layout.shelf(shelf)]) - to_wall_w, per_pa, g],
            ..Row::default()
        }
    }

    /// Rows of one column from its lowest body up, solved for what the shelves ask of it.
    fn column_rows(&self, column: &Column, old: &[f64], chamber: &Chamber, rows: &mut [BodyRow], sums: &mut Sums) {
        let below_k = self.now.shelf_k[column.tray];
        let count = rows.len();
        let (steps, models) = (&self.steps[column.bodies.clone()], &self.models[column.bodies.clone()]);
        let old = &old[self.layout.body(column.bodies.start)..self.layout.body(column.bodies.end)];
        for (j, ((step, model), old)) in steps.iter().zip(models).zip(old.chunks_exact(BODY)).enumerate() {
            let passed_kg = old[PASSED];
            let (front_k, top_k) = (rows[j].front_k, rows[j].top_k);
            let now = step.now(model, front_k, top_k, chamber.vapour_pa);
            let f = step.front_balance(model, passed_kg, below_k, &now);
            let t = step.surface_balance(model, passed_kg, &now);
            let per_s = 1.0 / step.front.h_s;
            let (shell, below) = (step.shell_w_per_k, step.below_w_per_k);
            let shell_w = shell * (top_k - front_k);
            // front
            let mut diagonal = f.per_front_k + shell;
            let mut front_x = [(old[HEAT_FRONT] - f.heat_j) * per_s - f.spent_w + shell_w, -f.per_pa, 0.0, 0.0];
            if column.layer {
                front_x[0] += below * (below_k - front_k);
                front_x[BELOW] = below - f.per_below_k;
                diagonal += below;
            }
            let inverse = 1.0 / diagonal;
            let front_up = (f.per_top_k - shell) * inverse;
            front_x.iter_mut().for_each(|x| *x *= inverse);
            // surface
            let to_front = t.per_front_k - shell;
            let mut top = Row {
                diagonal: t.per_top_k + shell - to_front * front_up,
                rhs: [(old[HEAT_TOP] - t.heat_j) * per_s - t.spent_w - shell_w, -t.per_pa, 0.0, 0.0],
                ..Row::default()
            };
            for (x, y) in top.rhs.iter_mut().zip(&front_x) {
                *x -= to_front * y;
            }
            if !column.layer {
                top.diagonal += below;
                if j == 0 {
                    top.rhs[0] += below * (below_k - top_k);
                    top.rhs[BELOW] += below;
                } else {
                    let under = &mut rows[j - 1];
                    let flow_w = below * (under.top_k - top_k);
                    top.rhs[0] += flow_w;
                    top.lower = -below;
                    under.top.rhs[0] -= flow_w;
                    under.top.diagonal += below;
                    under.top.upper = -below;
                }
            }
            if j + 1 == count {
                let g = column.above_w_per_k;
                let above_k = column.above.map_or(self.now.wall_k, |s| self.now.shelf_k[s]);
                top.diagonal += g;
                top.rhs[0] += g * (above_k - top_k);
                top.rhs[ABOVE] += g;
                if column.above.is_none() {
                    sums.to_wall_w += g * (top_k - above_k);
                    sums.to_wall_slope += g;
                }
            }
            let (at_front, at_top) = step.desorption.rate_slopes();
            rows[j] = BodyRow {
                front_k,
                top_k,
                saturation: now.sub.saturation,
                vapour_per_k: (at_front + now.sub.slope_kg_per_s_k, at_top),
                front_up,
                front_x,
                top,
            };
            let vapour = now.sub.rate_kg_per_s + now.desorbing.rate_kg_per_s;
            sums.vapour_kg_per_s += vapour;
            sums.vapour_heat += vapour * top_k;
            sums.slope_pa += now.sub.slope_kg_per_s_pa;
        }
        solve_column(rows);
    }

    /// Puts what a column answers into the rows of its shelves.
    fn hang_on_shelves(&mut self, column: usize) {
        let c = &self.columns[column];
        let (first, last) = (&self.rows[c.bodies.start], &self.rows[c.bodies.end - 1]);
        let below = self.steps[c.bodies.start].below_w_per_k;
        let (x, first_k) = if c.layer { (first.front_x, first.front_k) } else { (first.top.rhs, first.top_k) };
        let row = &mut self.shelf_rows[c.tray];
        row.diagonal += below * (1.0 - x[BELOW]);
        row.rhs[0] += below * (first_k - self.now.shelf_k[c.tray] + x[0]);
        row.rhs[1] += below * x[PRESSURE];
        let Some(above) = c.above else {
            row.rhs[2] += below * x[ABOVE];
            return;
        };
        row.upper -= below * x[ABOVE];
        let (g, x) = (c.above_w_per_k, last.top.rhs);
        let row = &mut self.shelf_rows[above];
        row.diagonal += g * (1.0 - x[ABOVE]);
        row.lower -= g * x[BELOW];
        row.rhs[0] += g * (last.top_k - self.now.shelf_k[above] + x[0]);
        row.rhs[1] += g * x[PRESSURE];
    }

    /// Something that answers as `x` says to what a column hangs on, with the shelves' answers put in: what is left open is
    /// vapour pressure and wall.
    pub(super) fn completed(&self, column: &Column, x: &[f64; SIDES]) -> [f64; SHELF_SIDES] {
        let below = self.shelf_rows[column.tray].rhs;
        let above = column.above.map_or(WALL_ITSELF, |s| self.shelf_rows[s].rhs);
        let own = [x[0], x[PRESSURE], 0.0];
        std::array::from_fn(|k| own[k] + x[BELOW] * below[k] + x[ABOVE] * above[k])
    }

    /// What the vapour of a column answers.
    pub(super) fn vapour_answer(&self, column: &Column) -> [f64; SHELF_SIDES] {
        let mut sum = [0.0; SIDES];
        for row in &self.rows[column.bodies.clone()] {
            let (at_front, at_top) = row.vapour_per_k;
            sum = std::array::from_fn(|k| sum[k] + at_front * row.front_x[k] + at_top * row.top.rhs[k]);
        }
        self.completed(column, &sum)
    }

    /// What a column hangs on, as a correction makes it.
    pub(super) fn asked(&self, column: &Column, border: &Border) -> Asked {
        let of = |s: usize| border.change(&self.shelf_rows[s].rhs);
        Asked([1.0, border.vapour_pa, of(column.tray), column.above.map_or(border.wall_k, of)])
    }
}

/// Changes of what a column hangs on.
pub(super) struct Asked([f64; SIDES]);

impl Asked {
    /// Correction of something that answers to them as `x` says.
    pub(super) fn change(&self, x: &[f64; SIDES]) -> f64 {
        x[0] + x[PRESSURE] * self.0[PRESSURE] + x[BELOW] * self.0[BELOW] + x[ABOVE] * self.0[ABOVE]
    }
}

/// Surfaces of a column, then their fronts.
fn solve_column(rows: &mut [BodyRow]) {
    for j in 1..rows.len() {
        let before = rows[j - 1].top;
        let row = &mut rows[j].top;
        let factor = row.lower / before.diagonal;
        row.diagonal -= factor * before.upper;
        for (x, y) in row.rhs.iter_mut().zip(&before.rhs) {
            *x -= factor * y;
        }
    }
    let mut after = [0.0; SIDES];
    for row in rows.iter_mut().rev() {
        let inverse = 1.0 / row.top.diagonal;
        for ((top, front), y) in row.top.rhs.iter_mut().zip(&mut row.front_x).zip(&after) {
            *top = (*top - row.top.upper * y) * inverse;
            *front -= row.front_up * *top;
        }
        after = row.top.rhs;
    }
}
