//! Freezing: exact solutions of Neumann and Fourier, Plank's and Pham's methods, worked examples and measured times.

use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_core::food::{Composition, DryingClass, Food, FoodModel, FreezingCurve};
use icefront_core::freezing::column::{Around, BATCH_CELLS, Column, Metal, Rows};
use icefront_core::numerics::stepper::{ImplicitEuler, Stepper};
use icefront_core::shape::{PieceForm, Shape};
use icefront_core::ModelError;

use super::EvidenceError;
use super::case::{Case, read};
use super::drying::draws::{DRAWS, Draws, Pick};
use super::row::Predicted;

const EXACT: &str = include_str!("../../../../data/published/freezing_exact.csv");
const TIMES: &str = include_str!("../../../../data/published/freezing_times.csv");

const HOUR_S: f64 = 3_600.0;

/// Cells of the check grid.
const CHECK_CELLS: usize = 100;
/// Liquid beyond the front, in diffusion lengths sqrt(a t): the far end then does not feel the front (erfc 2.5 = 4e-4).
const FAR_LENGTHS: f64 = 5.0;

/// A food that freezes at one temperature or over a range, as one row says.
struct Inputs {
    density_kg_per_m3: f64,
    frozen_w_per_m_k: f64,
    unfrozen_w_per_m_k: f64,
    frozen_j_per_kg_k: f64,
    unfrozen_j_per_kg_k: f64,
    latent_j_per_kg: f64,
    freezing_k: f64,
}

impl Inputs {
    fn of(case: &Case) -> Result<Self, EvidenceError> {
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
    fn model(&self) -> Result<FoodModel, EvidenceError> {
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
    fn sharp(mut self) -> (Self, f64) {
        let shift_k = ZERO_CELSIUS_K - self.freezing_k;
        self.freezing_k = ZERO_CELSIUS_K;
        (self, shift_k)
    }
}

/// A column in surroundings that do not change; its lower face is closed.
struct Cooling<'a> {
    column: &'a Column,
    around: Around,
    rows: Rows,
    tolerance_j_per_kg: f64,
}

/// A closed lower face still has a metal under it in the rows: one that nothing touches.
const UNTOUCHED: Metal = Metal {
    capacity_j_per_k: 1.0,
    old_k: ZERO_CELSIUS_K,
    new_k: ZERO_CELSIUS_K,
    air_w_per_k: 0.0,
    wall_w_per_k: 0.0,
    wall_k: ZERO_CELSIUS_K,
};
const MOST_ITERATIONS: usize = 60;
/// A step has settled when no enthalpy moves more than this, J/kg.
const SETTLED_J_PER_KG: f64 = 1e-4;

impl ImplicitEuler for Cooling<'_> {
    fn step(&mut self, t_s: f64, h_s: f64, old: &[f64], new: &mut [f64]) -> Result<(), ModelError> {
        new.copy_from_slice(old);
        let mut largest = f64::INFINITY;
        for _ in 0..MOST_ITERATIONS {
            self.column.rows(h_s, &self.around, &UNTOUCHED, old, new, &mut self.rows);
            self.rows.solve();
            largest = 0.0;
            for (enthalpy, change) in new.iter_mut().zip(&self.rows.rhs[1..]) {
                *enthalpy += change[0];
                largest = f64::max(largest, change[0].abs());
            }
            if largest < SETTLED_J_PER_KG {
                return Ok(());
            }
        }
        Err(ModelError::NotConverged { what: "freezing step", at_s: t_s, residual: largest, limit: SETTLED_J_PER_KG })
    }

    fn difference(&self, full: &[f64], half: &[f64]) -> f64 {
        full.iter().zip(half).map(|(a, b)| (a - b).abs() / self.tolerance_j_per_kg).fold(0.0, f64::max)
    }

    fn admissible(&self, _: &[f64], state: &[f64]) -> bool {
        state.iter().all(|x| x.is_finite())
    }
}

impl<'a> Cooling<'a> {
    /// Surface coefficient `surface_w_per_m2_k` to a medium at `air_k`.
    fn new(column: &'a Column, surface_w_per_m2_k: f64, air_k: f64, tolerance_j_per_kg: f64) -> Self {
        let area_m2 = if column.is_piece() { column.low_area_m2 } else { column.high_area_m2 };
        let around = Around { below_w_per_k: 0.0, above_w_per_k: surface_w_per_m2_k * area_m2, air_k };
        Self { column, around, rows: Rows::default(), tolerance_j_per_kg }
    }

    /// From one temperature until `left` (falling) is zero, or to `limit_s`: the time and the state then.
    fn run(
        mut self,
        start_k: f64,
        limit_s: f64,
        left: impl Fn(&[f64]) -> f64,
    ) -> Result<(f64, Vec<f64>), EvidenceError> {
        let mut state = vec![self.column.enthalpy_j_per_kg(start_k); self.column.cells()];
        let mut stepper = Stepper::new(state.len(), 1e-2, 1e-2 * limit_s);
        let mut t = 0.0;
        let mut before = left(&state);
        while t < limit_s {
            let h = stepper.advance(&mut self, t, limit_s - t, &mut state)?;
            t += h;
            let now = left(&state);
            if now <= 0.0 {
                return Ok((t - h * now / (now - before), state));
            }
            before = now;
        }
        Ok((t, state))
    }
}

#[derive(serde::Deserialize)]
struct NeumannRow {
    case: String,
    k_s: f64,
    rho: f64,
    c_s: f64,
    k_l: f64,
    c_l: f64,
    latent_kj: f64,
    freezing_c: f64,
    surface_c: f64,
    start_c: f64,
    time_s: f64,
    front_mm: f64,
    heat_kj_per_m2: f64,
}

#[derive(serde::Deserialize)]
struct SlabRow {
    biot: f64,
    fourier: f64,
    centre: f64,
    mean: f64,
}

/// Neumann's and Fourier's solutions, each on the check grid and on the grid of a batch.
pub fn exact_cases() -> Result<Vec<Case>, EvidenceError> {
    let exact = |id: String, quantity: &str, conditions: String, unit: &str, value: f64, cells: usize, source: &str| Case {
        id,
        kind: super::Kind::Verification,
        quantity: quantity.into(),
        conditions,
        unit: unit.into(),
        low: None,
        value: Some(value),
        high: None,
        fitted: super::Fitted::Nothing,
        check: if cells == CHECK_CELLS { "check-grid" } else { "batch-grid" }.into(),
        source: source.into(),
    };
    let mut cases = Vec::new();
    for row in read::<NeumannRow>("neumann.csv", NEUMANN)? {
        for cells in [CHECK_CELLS, BATCH_CELLS] {
            let conditions = format!(
                "{}; cells={cells}; time_s={}; surface_c={}; start_c={}; freezing_c={}; k_s={}; k_l={}; rho={}; c_s={}; \
                 c_l={}; latent_kj={}; front_mm={}",
                row.case, row.time_s, row.surface_c, row.start_c, row.freezing_c, row.k_s, row.k_l, row.rho, row.c_s,
                row.c_l, row.latent_kj, row.front_mm
            );
            let id = |what: &str| format!("neumann-{}-{what}-{cells}", row.case.replace([' ', ','], "-").replace("--", "-"));
            let front = row.front_mm;
            cases.push(exact(id("front"), "front depth", conditions.clone(), "mm", front, cells, "neumann"));
            let heat = row.heat_kj_per_m2;
            cases.push(exact(id("heat"), "heat taken", conditions, "kJ/m2", heat, cells, "neumann"));
        }
    }
    for row in read::<SlabRow>("slab_cooling.csv", SLAB)? {
        for cells in [CHECK_CELLS, BATCH_CELLS] {
            let conditions = format!("cells={cells}; biot={}; fourier={}", row.biot, row.fourier);
            let id = |what: &str| format!("slab-bi{}-fo{}-{what}-{cells}", row.biot, row.fourier);
            let case = |what, quantity, value| {
                exact(id(what), quantity, conditions.clone(), "-", value, cells, "fourier-series")
            };
            cases.push(case("centre", "slab cooling, centre", row.centre));
            cases.push(case("mean", "slab cooling, mean", row.mean));
        }
    }
    Ok(cases)
}

/// One exact solution on one grid.
pub fn exact(case: &Case) -> Result<Predicted, EvidenceError> {
    match case.quantity.as_str() {
        "front depth" | "heat taken" => neumann(case),
        "slab cooling, centre" | "slab cooling, mean" => slab_cooling(case),
        _ => Err(case.unknown()),
    }
}

/// Fixed surface temperature on a half space; the cells are counted over the depth that freezes.
fn neumann(case: &Case) -> Result<Predicted, EvidenceError> {
    let (inputs, shift_k) = Inputs::of(case)?.sharp();
    let (time_s, front_m) = (case.number("time_s")?, case.number("front_mm")? / 1e3);
    let cell_m = front_m / case.number("cells")?;
    let diffusivity_m2_per_s = inputs.unfrozen_w_per_m_k / (inputs.density_kg_per_m3 * inputs.unfrozen_j_per_kg_k);
    let far_m = front_m + FAR_LENGTHS * (diffusivity_m2_per_s * time_s).sqrt();
    let cells = (far_m / cell_m).ceil();
    let model = inputs.model()?;
    let column = Column::new(&model, &Shape::Layer { depth_m: cells * cell_m }, 1.0, cells as usize);
    let start_k = case.kelvin("start_c")? + shift_k;
    let fixed = Cooling::new(&column, 1e9, case.kelvin("surface_c")? + shift_k, 1e-4 * inputs.latent_j_per_kg);
    let (_, state) = fixed.run(start_k, time_s, |_| 1.0)?;
    let predicted = if case.quantity == "front depth" {
        let frozen = |enthalpy: &f64| (-enthalpy / inputs.latent_j_per_kg).clamp(0.0, 1.0);
        state.iter().map(frozen).sum::<f64>() * cell_m * 1e3
    } else {
        let start_j = column.enthalpy_j_per_kg(start_k) * column.mass_kg.iter().sum::<f64>();
        (start_j - column.heat_j(&state)) / 1e3
    };
    Ok(predicted.into())
}

/// Half a slab that cools without freezing: temperature left, as a share of what there was.
fn slab_cooling(case: &Case) -> Result<Predicted, EvidenceError> {
    const HALF_M: f64 = 0.02;
    let (start_k, air_k) = (ZERO_CELSIUS_K + 60.0, ZERO_CELSIUS_K + 10.0);
    let inputs = Inputs {
        density_kg_per_m3: 1_000.0,
        frozen_w_per_m_k: 0.5,
        unfrozen_w_per_m_k: 0.5,
        frozen_j_per_kg_k: 4_000.0,
        unfrozen_j_per_kg_k: 4_000.0,
        latent_j_per_kg: 2e5,
        freezing_k: ZERO_CELSIUS_K,
    };
    let diffusivity_m2_per_s = inputs.unfrozen_w_per_m_k / (inputs.density_kg_per_m3 * inputs.unfrozen_j_per_kg_k);
    let surface_w_per_m2_k = case.number("biot")? * inputs.unfrozen_w_per_m_k / HALF_M;
    let column =
        Column::new(&inputs.model()?, &Shape::Layer { depth_m: HALF_M }, 1.0, case.number("cells")? as usize);
    let time_s = case.number("fourier")? * HALF_M * HALF_M / diffusivity_m2_per_s;
    let (_, state) = Cooling::new(&column, surface_w_per_m2_k, air_k, 2.0).run(start_k, time_s, |_| 1.0)?;
    let left = |temperature_k: f64| (temperature_k - air_k) / (start_k - air_k);
    let predicted = if case.quantity == "slab cooling, mean" {
        state.iter().map(|h| left(column.temperature_k(*h))).sum::<f64>() / state.len() as f64
    } else {
        // the closed face: a parabola through the two cells next to it, level at the face
        (9.0 * left(column.temperature_k(state[0])) - left(column.temperature_k(state[1]))) / 8.0
    };
    Ok(predicted.into())
}
