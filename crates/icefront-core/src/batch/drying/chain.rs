//! The linear system of one Newton iteration, eliminated from the inside out.
//!
//! A front hangs on its surface, the surfaces of a column on the two shelves beside it, the shelves on each other and on
//! the two unknowns that see all: the vapour deposited and the wall. Each stage of the elimination carries one
//! right-hand side for each thing that is not known yet.

use super::balance::{BodyNow, Chamber};
use super::{Column, Drying, Prescription};
use crate::batch::cabinet::Drive;
use crate::batch::state::{HEAT_FRONT, HEAT_TOP, PASSED};

/// Right-hand sides: what is out of balance, then what deposit, wall, shelf below and shelf above ask for.
const SIDES: usize = 5;
const BELOW: usize = 3;
const ABOVE: usize = 4;

/// A body's two rows and, once solved, its corrections: `x[0] + x[1] d_deposit + x[2] d_wall (+ shelves)`.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct BodyRow {
    pub(super) now: BodyNow,
    /// Front, over its surface: `front + front_up surface = front_x`.
    front_up: f64,
    pub(super) front_x: [f64; SIDES],
    lower: f64,
    diagonal: f64,
    upper: f64,
    pub(super) top_x: [f64; SIDES],
}

/// A shelf's row and, once solved, its correction.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct ShelfRow {
    lower: f64,
    diagonal: f64,
    upper: f64,
    pub(super) x: [f64; 3],
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
    /// The body's heats before the step, J.
    fn old_heat_j(&self, old: &[f64], body: usize) -> (f64, f64) {
        let at = self.layout.body(body);
        (old[at + HEAT_FRONT], old[at + HEAT_TOP])
    }

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
            self.shelf_rows[s] = self.shelf_row(s, h_s, old, prescribed, total_pa, chamber, &mut sums);
        }
        let mut rows = std::mem::take(&mut self.rows);
        for column in &self.columns {
            self.column_rows(column, old, chamber, &mut rows[column.bodies.clone()], &mut sums);
        }
        self.rows = rows;
        for c in 0..self.columns.len() {
            self.hang_on_shelves(c, prescribed.is_some());
        }
        self.solve_shelves();
        self.complete();
        sums
    }

    #[expect(clippy::too_many_arguments, reason = "one row, all it hangs on")]
    fn shelf_row(
        &self,
        shelf: usize,
        h_s: f64,
        old: &[f64],
        prescribed: Option<Prescription>,
        total_pa: f64,
        chamber: &Chamber,
        sums: &mut Sums,
    ) -> ShelfRow {
        let here_k = self.now.shelf_k[shelf];
        if let Some(n) = prescribed {
            return ShelfRow { diagonal: 1.0, x: [n.shelf_k - here_k, 0.0, 0.0], ..ShelfRow::default() };
        }
        let Drive::Machine { cabinet, .. } = &self.stack.drive else { return ShelfRow::default() };
        let capacity = self.shelf_capacity(shelf) / h_s;
        let (power, per_k, per_pa, _) = self.heater_w(&cabinet.heater, shelf, here_k, total_pa);
        let g = self.shelf_to_wall_w_per_k;
        let to_wall_w = g * (here_k - self.now.wall_k);
        sums.to_wall_w += to_wall_w;
        sums.to_wall_slope += g;
        ShelfRow {
            diagonal: capacity - per_k + g,
            x: [
                power - capacity * (here_k - old[self.layout.shelf(shelf)]) - to_wall_w,
                per_pa * chamber.per_deposit,
                per_pa * chamber.per_wall_k + g,
            ],
            ..ShelfRow::default()
        }
    }

    /// Rows of one column from its lowest body up, solved for what the shelves ask of it.
    fn column_rows(&self, column: &Column, old: &[f64], chamber: &Chamber, rows: &mut [BodyRow], sums: &mut Sums) {
        let below_k = self.now.shelf_k[column.tray];
        let count = rows.len();
        for (j, b) in column.bodies.clone().enumerate() {
            let step = &self.steps[b];
            let passed_kg = old[self.layout.body(b) + PASSED];
            let now = self.body_now(b, chamber.vapour_pa);
            let (front_k, top_k) = (now.front_k, now.top_k);
            let f = self.front_balance(b, passed_kg, below_k, &now);
            let t = self.surface_balance(b, passed_kg, &now);
            let (old_front_j, old_top_j) = self.old_heat_j(old, b);
            let (shell, below) = (step.shell_w_per_k, step.below_w_per_k);
            // front
            let mut diagonal = f.per_front_k + shell;
            let mut up = f.per_top_k - shell;
            let per_pa = [-f.per_pa * chamber.per_deposit, -f.per_pa * chamber.per_wall_k];
            let residual = (old_front_j - f.heat_j) / step.front.h_s - f.spent_w + shell * (top_k - front_k);
            let mut front_x = [residual, per_pa[0], per_pa[1], 0.0, 0.0];
            if column.layer {
                front_x[0] += below * (below_k - front_k);
                front_x[BELOW] = below - f.per_below_k;
                diagonal += below;
            }
            let inverse = 1.0 / diagonal;
            up *= inverse;
            front_x.iter_mut().for_each(|x| *x *= inverse);
            // surface
            let to_front = t.per_front_k - shell;
            let residual = (old_top_j - t.heat_j) / step.front.h_s - t.spent_w + shell * (front_k - top_k);
            let mut row = BodyRow {
                now,
                front_up: up,
                front_x,
                lower: 0.0,
                diagonal: t.per_top_k + shell - to_front * up,
                upper: 0.0,
                top_x: [residual, -t.per_pa * chamber.per_deposit, -t.per_pa * chamber.per_wall_k, 0.0, 0.0],
            };
            for (x, y) in row.top_x.iter_mut().zip(front_x) {
                *x -= to_front * y;
            }
            if !column.layer {
                row.diagonal += below;
                if j == 0 {
                    row.top_x[0] += below * (below_k - top_k);
                    row.top_x[BELOW] += below;
                } else {
                    let flow_w = below * (rows[j - 1].now.top_k - top_k);
                    row.top_x[0] += flow_w;
                    row.lower = -below;
                    rows[j - 1].top_x[0] -= flow_w;
                    rows[j - 1].diagonal += below;
                    rows[j - 1].upper = -below;
                }
            }
            if j + 1 == count {
                let g = column.above_w_per_k;
                let above_k = column.above.map_or(self.now.wall_k, |s| self.now.shelf_k[s]);
                row.diagonal += g;
                row.top_x[0] += g * (above_k - top_k);
                match column.above {
                    Some(_) => row.top_x[ABOVE] += g,
                    None => {
                        row.top_x[2] += g;
                        sums.to_wall_w += g * (top_k - above_k);
                        sums.to_wall_slope += g;
                    }
                }
            }
            rows[j] = row;
            let vapour = now.sub.rate_kg_per_s + now.desorbing.rate_kg_per_s;
            sums.vapour_kg_per_s += vapour;
            sums.vapour_heat += vapour * top_k;
            sums.slope_pa += now.sub.slope_kg_per_s_pa;
        }
        solve_column(rows);
    }

    /// Puts what a column answers into the rows of its shelves.
    fn hang_on_shelves(&mut self, column: usize, prescribed: bool) {
        if prescribed {
            return;
        }
        let c = &self.columns[column];
        let (first, last) = (&self.rows[c.bodies.start], &self.rows[c.bodies.end - 1]);
        let below = self.steps[c.bodies.start].below_w_per_k;
        let (x, first_k) = if c.layer { (first.front_x, first.now.front_k) } else { (first.top_x, first.now.top_k) };
        let row = &mut self.shelf_rows[c.tray];
        row.diagonal += below * (1.0 - x[BELOW]);
        row.upper -= below * x[ABOVE];
        row.x[0] += below * (first_k - self.now.shelf_k[c.tray] + x[0]);
        row.x[1] += below * x[1];
        row.x[2] += below * x[2];
        let Some(above) = c.above else { return };
        let (g, x) = (c.above_w_per_k, last.top_x);
        let row = &mut self.shelf_rows[above];
        row.diagonal += g * (1.0 - x[ABOVE]);
        row.lower -= g * x[BELOW];
        row.x[0] += g * (last.now.top_k - self.now.shelf_k[above] + x[0]);
        row.x[1] += g * x[1];
        row.x[2] += g * x[2];
    }

    fn solve_shelves(&mut self) {
        let rows = &mut self.shelf_rows;
        for i in 1..rows.len() {
            let before = rows[i - 1];
            let row = &mut rows[i];
            let factor = row.lower / before.diagonal;
            row.diagonal -= factor * before.upper;
            for (x, y) in row.x.iter_mut().zip(before.x) {
                *x -= factor * y;
            }
        }
        let mut after = [0.0; 3];
        for row in rows.iter_mut().rev() {
            for (x, y) in row.x.iter_mut().zip(after) {
                *x = (*x - row.upper * y) / row.diagonal;
            }
            after = row.x;
        }
    }

    /// Puts what the shelves answer into the columns: what is left open then is deposit and wall.
    fn complete(&mut self) {
        for c in &self.columns {
            let below = self.shelf_rows[c.tray].x;
            let above = c.above.map_or([0.0; 3], |s| self.shelf_rows[s].x);
            for row in &mut self.rows[c.bodies.clone()] {
                for x in [&mut row.front_x, &mut row.top_x] {
                    for k in 0..3 {
                        x[k] += x[BELOW] * below[k] + x[ABOVE] * above[k];
                    }
                }
            }
        }
    }
}

/// Surfaces of a column, then their fronts.
fn solve_column(rows: &mut [BodyRow]) {
    for j in 1..rows.len() {
        let before = rows[j - 1];
        let row = &mut rows[j];
        let factor = row.lower / before.diagonal;
        row.diagonal -= factor * before.upper;
        for (x, y) in row.top_x.iter_mut().zip(before.top_x) {
            *x -= factor * y;
        }
    }
    let mut after = [0.0; SIDES];
    for row in rows.iter_mut().rev() {
        let inverse = 1.0 / row.diagonal;
        for ((top, front), y) in row.top_x.iter_mut().zip(&mut row.front_x).zip(after) {
            *top = (*top - row.upper * y) * inverse;
            *front -= row.front_up * *top;
        }
        after = row.top_x;
    }
}
