//! One column of food in constant surroundings, solved with the rows that the batch uses.

use icefront_core::ModelError;
use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_core::food::{Composition, DryingClass, Food, FoodModel, FreezingCurve};
use icefront_core::freezing::column::{Around, Column, Metal, Rows};
use icefront_core::numerics::components::Components;
use icefront_core::numerics::stepper::{ImplicitEuler, Stepper};
use icefront_core::numerics::tridiagonal;

use crate::evidence::EvidenceError;
use crate::evidence::case::Case;

/// A food that freezes at one temperature or over a range, as one row says.
pub struct Inputs {
    /// Density, kg/m3.
    pub density_kg_per_m3: f64,
    /// Conductivity frozen, W/(m K).
    pub frozen_w_per_m_k: f64,
    /// Conductivity unfrozen, W/(m K).
    pub unfrozen_w_per_m_k: f64,
    /// Heat capacity frozen, J/(kg K).
    pub frozen_j_per_kg_k: f64,
    /// Heat capacity unfrozen, J/(kg K).
    pub unfrozen_j_per_kg_k: f64,
    /// Latent heat per kg of food, J/kg.
    pub latent_j_per_kg: f64,
    /// Freezing point, K.
    pub freezing_k: f64,
}

impl Inputs {
    pub fn of(case: &Case) -> Result<Self, EvidenceError> {
        Ok(Self {
            density_kg_per_m3: case.number("rho")?,
            frozen_w_per_m_k: case.number("k_s")?,
            unfrozen_w_per_m_k: case.number("k_l")?,
            frozen_j_per_kg_k: case.number("c_s")?,
            unfrozen_j_per_kg_k: case.number("c_l")?,
            latent_j_per_kg: 1e3 * case.number("latent_kj")?,
            freezing_k: case.kelvin("freezing_c")?,
        })
    }

    /// As a food: all water can freeze, and its heat of fusion is the latent heat per kg of food.
    pub fn model(&self) -> Result<FoodModel, EvidenceError> {
        let any = Composition { water: 0.8, carbohydrate: 0.2, ..Composition::default() };
        let mut model = Food::new("published inputs", "published", any, DryingClass::CutFruit).model()?;
        model.density_kg_per_m3 = self.density_kg_per_m3;
        model.conductivity_frozen_w_per_m_k = self.frozen_w_per_m_k;
        model.conductivity_unfrozen_w_per_m_k = self.unfrozen_w_per_m_k;
        model.curve = FreezingCurve {
            water_frac: 1.0,
            unfreezable_frac: 0.0,
            freezing_point_k: self.freezing_k,
            heat_capacity_unfrozen_j_per_kg_k: self.unfrozen_j_per_kg_k,
            heat_capacity_frozen_j_per_kg_k: self.frozen_j_per_kg_k,
            heat_of_fusion_j_per_kg: self.latent_j_per_kg,
        };
        Ok(model)
    }

    /// The same with its freezing point at 0 degC, where the curve is sharp, and by how much temperatures shift, K.
    pub fn sharp(mut self) -> (Self, f64) {
        let shift_k = ZERO_CELSIUS_K - self.freezing_k;
        self.freezing_k = ZERO_CELSIUS_K;
        (self, shift_k)
    }
}

/// A column in constant surroundings; its lower face is adiabatic.
pub struct Cooling<'a> {
    column: &'a Column,
    around: Around,
    rows: Rows,
    tolerance_j_per_kg: f64,
}

/// The rows need a metal under the lower face; this one exchanges no heat.
const UNTOUCHED: Metal = Metal {
    capacity_j_per_k: 1.0,
    old_k: ZERO_CELSIUS_K,
    new_k: ZERO_CELSIUS_K,
    air_w_per_k: 0.0,
    wall_w_per_k: 0.0,
    wall_k: ZERO_CELSIUS_K,
};
const MOST_ITERATIONS: usize = 60;
/// Longest step across the end, as a fraction of the time to it.
const CROSSING_FRAC: f64 = 2e-3;
/// More steps than any of these cases needs.
const MOST_STEPS: usize = 1_000_000;
/// A step has converged when no enthalpy changes by more than this, J/kg.
const CONVERGED_J_PER_KG: f64 = 1e-4;

impl ImplicitEuler for Cooling<'_> {
    type State = Vec<f64>;

    fn step(&mut self, t_s: f64, h_s: f64, old: &Vec<f64>, new: &mut Vec<f64>) -> Result<(), ModelError> {
        new.copy_from(old);
        let mut largest = f64::INFINITY;
        for _ in 0..MOST_ITERATIONS {
            self.column.rows(h_s, &self.around, &UNTOUCHED, old, new, &mut self.rows);
            tridiagonal::solve(&mut self.rows);
            largest = 0.0;
            for (enthalpy, row) in new.iter_mut().zip(&self.rows[1..]) {
                *enthalpy += row.rhs.residual;
                largest = f64::max(largest, row.rhs.residual.abs());
            }
            if largest < CONVERGED_J_PER_KG {
                return Ok(());
            }
        }
        Err(ModelError::NotConverged { what: "freezing step", at_s: t_s, residual: largest, limit: CONVERGED_J_PER_KG })
    }

    fn error_norm(&self, full: &Vec<f64>, half: &Vec<f64>) -> f64 {
        full.iter().zip(half).map(|(a, b)| (a - b).abs() / self.tolerance_j_per_kg).fold(0.0, f64::max)
    }

    fn admissible(&self, _: &Vec<f64>, state: &Vec<f64>) -> bool {
        state.all_finite()
    }
}

impl<'a> Cooling<'a> {
    /// Surface coefficient `surface_w_per_m2_k` to a medium at `air_k`.
    pub fn new(column: &'a Column, surface_w_per_m2_k: f64, air_k: f64, tolerance_j_per_kg: f64) -> Self {
        let area_m2 = if column.is_piece() { column.low_area_m2 } else { column.high_area_m2 };
        let around = Around { below_w_per_k: 0.0, above_w_per_k: surface_w_per_m2_k * area_m2, air_k };
        Self { column, around, rows: Rows::default(), tolerance_j_per_kg }
    }

    /// From one temperature until `left` (falling) is zero, or to `limit_s`: the time and the state then.
    pub fn run(
        mut self,
        start_k: f64,
        limit_s: f64,
        left: impl Fn(&[f64]) -> f64,
    ) -> Result<(f64, Vec<f64>), EvidenceError> {
        let cells = self.column.cells();
        let mut state = vec![self.column.enthalpy_j_per_kg(start_k); cells];
        let mut before = state.clone();
        let in_steps = |state: &Vec<f64>, first_s: f64, longest_s: f64| {
            Stepper::new(state, first_s, longest_s).with_most_attempts(MOST_STEPS)
        };
        let mut stepper = in_steps(&state, 1e-2, limit_s);
        let mut t = 0.0;
        while t < limit_s {
            before.copy_from_slice(&state);
            let h = stepper.advance(&mut self, t, limit_s - t, &mut state)?;
            let (ahead, now) = (left(&before), left(&state));
            if now > 0.0 {
                t += h;
            } else if h <= CROSSING_FRAC * t {
                return Ok((t + h * ahead / (ahead - now), state));
            } else {
                // the step is too long to locate the end in it: repeat it in shorter ones
                state.copy_from_slice(&before);
                stepper = in_steps(&state, 0.1 * h, 0.1 * h);
            }
        }
        Ok((t, state))
    }
}
