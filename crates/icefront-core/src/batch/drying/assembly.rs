//! Assembly of the linear system of one Newton iteration, and its elimination from the inside out (static condensation).
//!
//! A front is coupled to its surface; the surfaces of a column to the two shelves beside it (or the coil above) and to the
//! vapour pressure; the shelves to each other; and all of them to the two unknowns shared by the whole stack, the deposition
//! rate, which sets the pressure, and the coil temperature. Each stage of the elimination carries one right-hand side for
//! each unknown not yet eliminated.

use super::balance::Chamber;
use super::{Column, Drying, Prescription};
use crate::batch::cabinet::Drive;
use crate::batch::state::DryingState;
use crate::numerics::components::{Components, components_by_field};
use crate::numerics::tridiagonal::{self, Row};

/// Right-hand sides of an element: minus the residual, W, and minus its derivatives with respect to the vapour pressure
/// and to the temperatures below and above the column. Once solved, the updates that each of them causes.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct ElementRhs {
    pub(super) residual: f64,
    per_pa: f64,
    per_below_k: f64,
    per_above_k: f64,
}

components_by_field!(ElementRhs { residual, per_pa, per_below_k, per_above_k });

/// Right-hand sides of a shelf: minus the residual, W, and minus its derivatives with respect to vapour pressure and coil
/// temperature. Once solved, the updates that each of them causes.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct ShelfRhs {
    pub(super) residual: f64,
    pub(super) per_pa: f64,
    pub(super) per_coil_k: f64,
}

components_by_field!(ShelfRhs { residual, per_pa, per_coil_k });

/// Sensitivities of the coil's own temperature, for columns that have it above them.
const COIL_ITSELF: ShelfRhs = ShelfRhs { residual: 0.0, per_pa: 0.0, per_coil_k: 1.0 };

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
    pub(super) front_x: ElementRhs,
    pub(super) top: Row<ElementRhs>,
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
    /// Mean temperature of the vapour; that of the coil where there is none.
    pub(super) fn vapour_k(&self, coil_k: f64) -> f64 {
        if self.vapour_kg_per_s > 1e-15 { self.vapour_heat / self.vapour_kg_per_s } else { coil_k }
    }
}

/// Corrections of one iteration.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Border {
    pub(super) deposition_kg_per_s: f64,
    pub(super) coil_k: f64,
    /// What the chamber's vapour pressure makes of the two, Pa.
    pub(super) vapour_pa: f64,
}

impl Border {
    pub(super) fn new(chamber: &Chamber, deposition_kg_per_s: f64, coil_k: f64) -> Self {
        Self {
            deposition_kg_per_s,
            coil_k,
            vapour_pa: chamber.per_deposition * deposition_kg_per_s + chamber.per_coil_k * coil_k,
        }
    }

    /// Update of a quantity with the solution vector `x`.
    pub(super) fn change(&self, x: &ShelfRhs) -> f64 {
        x.residual + x.per_pa * self.vapour_pa + x.per_coil_k * self.coil_k
    }
}

impl Drying<'_> {
    /// Sets up the system at the current iterate and solves it except for the deposition rate and the coil.
    pub(super) fn iterate(
        &mut self,
        h_s: f64,
        old: &DryingState,
        prescribed: Option<Prescription>,
        chamber: &Chamber,
    ) -> Sums {
        let mut sums = Sums::default();
        let total_pa = chamber.vapour_pa + self.air_pa(prescribed);
        for s in 0..self.shelf_rows.len() {
            self.shelf_rows[s] = self.shelf_row(s, h_s, old, prescribed, total_pa, &mut sums);
        }
        let mut rows = std::mem::take(&mut self.rows);
        for column in &self.columns {
            self.column_rows(column, old, chamber, &mut rows[column.bodies.clone()], &mut sums);
        }
        self.rows = rows;
        if prescribed.is_none() {
            for c in 0..self.columns.len() {
                self.condense(c);
            }
        }
        tridiagonal::solve(&mut self.shelf_rows);
        sums
    }

    fn shelf_row(
        &self,
        shelf: usize,
        h_s: f64,
        old: &DryingState,
        prescribed: Option<Prescription>,
        total_pa: f64,
        sums: &mut Sums,
    ) -> Row<ShelfRhs> {
        let here_k = self.now.shelf_k[shelf];
        if let Some(n) = prescribed {
            return Row {
                diagonal: 1.0,
                rhs: ShelfRhs { residual: n.surface_k(shelf) - here_k, ..ShelfRhs::default() },
                ..Row::default()
            };
        }
        let Drive::Machine { heater, .. } = &self.stack.drive else { return Row::default() };
        let capacity = self.shelf_capacity(shelf) / h_s;
        let (power, per_k, per_pa, _) = self.heater_w(heater, shelf, here_k, total_pa);
        let g = self.shelf_to_wall_w_per_k[shelf];
        let to_wall_w = g * (here_k - self.now.coil_k);
        sums.to_wall_w += to_wall_w;
        sums.to_wall_slope += g;
        Row {
            diagonal: capacity - per_k + g,
            rhs: ShelfRhs {
                residual: power - capacity * (here_k - old.shelf_k[shelf]) - to_wall_w,
                per_pa,
                per_coil_k: g,
            },
            ..Row::default()
        }
    }

    /// Rows of one column from its lowest element up, solved for unit changes of its boundary values.
    fn column_rows(
        &self,
        column: &Column,
        old: &DryingState,
        chamber: &Chamber,
        rows: &mut [BodyRow],
        sums: &mut Sums,
    ) {
        let below_k = self.now.shelf_k[column.tray];
        let count = rows.len();
        let (steps, models) = (&self.steps[column.bodies.clone()], &self.models[column.bodies.clone()]);
        let old = &old.elements[column.bodies.clone()];
        for (j, ((step, model), old)) in steps.iter().zip(models).zip(old).enumerate() {
            let passed_kg = old.passed_kg;
            let (front_k, top_k) = (rows[j].front_k, rows[j].top_k);
            let now = step.now(model, front_k, top_k, chamber.vapour_pa);
            let f = step.front_balance(model, passed_kg, below_k, &now);
            let t = step.surface_balance(model, passed_kg, &now);
            let per_s = 1.0 / step.front.h_s;
            let (dried_layer, below) = (step.dried_layer_w_per_k, step.below_w_per_k);
            let dried_layer_w = dried_layer * (top_k - front_k);
            // front
            let mut diagonal = f.per_front_k + dried_layer;
            let mut front_x = ElementRhs {
                residual: (old.front_heat_j - f.heat_j) * per_s - f.spent_w + dried_layer_w,
                per_pa: -f.per_pa,
                ..ElementRhs::default()
            };
            if column.layer {
                front_x.residual += below * (below_k - front_k);
                front_x.per_below_k = below - f.per_below_k;
                diagonal += below;
            }
            let inverse = 1.0 / diagonal;
            let front_up = (f.per_top_k - dried_layer) * inverse;
            front_x.combine(&ElementRhs::default(), &ElementRhs::default(), |x, _, _| x * inverse);
            // surface
            let to_front = t.per_front_k - dried_layer;
            let mut top = Row {
                diagonal: t.per_top_k + dried_layer - to_front * front_up,
                rhs: ElementRhs {
                    residual: (old.surface_heat_j - t.heat_j) * per_s - t.spent_w - dried_layer_w,
                    per_pa: -t.per_pa,
                    ..ElementRhs::default()
                },
                ..Row::default()
            };
            top.rhs.combine(&front_x, &front_x, |x, y, _| x - to_front * y);
            if !column.layer {
                top.diagonal += below;
                if j == 0 {
                    top.rhs.residual += below * (below_k - top_k);
                    top.rhs.per_below_k += below;
                } else {
                    let under = &mut rows[j - 1];
                    let flow_w = below * (under.top_k - top_k);
                    top.rhs.residual += flow_w;
                    top.lower = -below;
                    under.top.rhs.residual -= flow_w;
                    under.top.diagonal += below;
                    under.top.upper = -below;
                }
            }
            if j + 1 == count {
                let g = column.above_w_per_k;
                let above_k = column.above.map_or(self.now.coil_k, |s| self.now.shelf_k[s]);
                top.diagonal += g;
                top.rhs.residual += g * (above_k - top_k);
                top.rhs.per_above_k += g;
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

    /// Static condensation: adds a solved column to the rows of the shelves beside it.
    fn condense(&mut self, column: usize) {
        let c = &self.columns[column];
        let (first, last) = (&self.rows[c.bodies.start], &self.rows[c.bodies.end - 1]);
        let below = self.steps[c.bodies.start].below_w_per_k;
        let (x, first_k) = if c.layer { (first.front_x, first.front_k) } else { (first.top.rhs, first.top_k) };
        let row = &mut self.shelf_rows[c.tray];
        row.diagonal += below * (1.0 - x.per_below_k);
        row.rhs.residual += below * (first_k - self.now.shelf_k[c.tray] + x.residual);
        row.rhs.per_pa += below * x.per_pa;
        let Some(above) = c.above else {
            row.rhs.per_coil_k += below * x.per_above_k;
            return;
        };
        row.upper -= below * x.per_above_k;
        let (g, x) = (c.above_w_per_k, last.top.rhs);
        let row = &mut self.shelf_rows[above];
        row.diagonal += g * (1.0 - x.per_above_k);
        row.lower -= g * x.per_below_k;
        row.rhs.residual += g * (last.top_k - self.now.shelf_k[above] + x.residual);
        row.rhs.per_pa += g * x.per_pa;
    }

    /// Substitutes the shelf updates into a column's solution vector; only vapour pressure and coil remain.
    pub(super) fn back_substituted(&self, column: &Column, x: &ElementRhs) -> ShelfRhs {
        let below = self.shelf_rows[column.tray].rhs;
        let above = column.above.map_or(COIL_ITSELF, |s| self.shelf_rows[s].rhs);
        let mut sum = ShelfRhs { residual: x.residual, per_pa: x.per_pa, per_coil_k: 0.0 };
        sum.combine(&below, &above, |own, below, above| own + x.per_below_k * below + x.per_above_k * above);
        sum
    }

    /// Sensitivity of the vapour leaving a column.
    pub(super) fn vapour_sensitivity(&self, column: &Column) -> ShelfRhs {
        let mut sum = ElementRhs::default();
        for row in &self.rows[column.bodies.clone()] {
            let (at_front, at_top) = row.vapour_per_k;
            sum.combine(&row.front_x, &row.top.rhs, |sum, front, top| sum + at_front * front + at_top * top);
        }
        self.back_substituted(column, &sum)
    }

    /// Updates of the column's boundary values.
    pub(super) fn boundary_update(&self, column: &Column, border: &Border) -> BoundaryUpdate {
        let of = |s: usize| border.change(&self.shelf_rows[s].rhs);
        BoundaryUpdate {
            vapour_pa: border.vapour_pa,
            below_k: of(column.tray),
            above_k: column.above.map_or(border.coil_k, of),
        }
    }
}

/// Updates of a column's boundary values.
pub(super) struct BoundaryUpdate {
    vapour_pa: f64,
    below_k: f64,
    above_k: f64,
}

impl BoundaryUpdate {
    /// Update of a quantity with the solution vector `x`.
    pub(super) fn change(&self, x: &ElementRhs) -> f64 {
        x.residual + x.per_pa * self.vapour_pa + x.per_below_k * self.below_k + x.per_above_k * self.above_k
    }
}

/// Surfaces of a column, then their fronts.
fn solve_column(rows: &mut [BodyRow]) {
    for j in 1..rows.len() {
        let before = rows[j - 1].top;
        let row = &mut rows[j].top;
        let factor = row.lower / before.diagonal;
        row.diagonal -= factor * before.upper;
        row.rhs.combine(&before.rhs, &before.rhs, |x, y, _| x - factor * y);
    }
    let mut after = ElementRhs::default();
    for row in rows.iter_mut().rev() {
        let inverse = 1.0 / row.top.diagonal;
        let (upper, front_up) = (row.top.upper, row.front_up);
        row.top.rhs.combine(&after, &after, |top, y, _| (top - upper * y) * inverse);
        after = row.top.rhs;
        row.front_x.combine(&after, &after, |front, top, _| front - front_up * top);
    }
}
