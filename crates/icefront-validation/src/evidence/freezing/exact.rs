//! Exact solutions: freezing at a fixed surface temperature (Neumann), a slab that cools (Fourier series).

use serde::Deserialize;

use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_core::freezing::column::{BATCH_CELLS, Column};
use icefront_core::shape::Shape;
use icefront_kitchen::evidence::{Fitted, Kind, Predicted};

use crate::evidence::EvidenceError;
use crate::evidence::case::{Case, read};
use crate::evidence::freezing::cooling::{Cooling, Inputs};

const NEUMANN: &str = include_str!("../../../data/published/neumann.csv");
const SLAB: &str = include_str!("../../../data/published/slab_cooling.csv");

/// Cells of the check grid.
const CHECK_CELLS: usize = 100;
/// Liquid beyond the front, in diffusion lengths sqrt(a t); a fourth moves the front by less than 0.01 %.
const FAR_LENGTHS: f64 = 3.0;
/// Error of the enthalpy of a cell allowed per step, fraction of the latent heat.
const STEP_FRAC: f64 = 4e-3;

#[derive(Deserialize)]
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

#[derive(Deserialize)]
struct SlabRow {
    biot: f64,
    fourier: f64,
    centre: f64,
    mean: f64,
}

/// Neumann's and Fourier's solutions, each on the check grid and on the grid of a batch.
pub fn cases() -> Result<Vec<Case>, EvidenceError> {
    let exact =
        |id: String, quantity: &str, conditions: String, unit: &str, value: f64, cells: usize, source: &str| Case {
            id,
            kind: Kind::Verification,
            quantity: quantity.into(),
            conditions,
            unit: unit.into(),
            low: None,
            value: Some(value),
            high: None,
            fitted: Fitted::Nothing,
            check: if cells == CHECK_CELLS { "check-grid" } else { "batch-grid" }.into(),
            source: source.into(),
        };
    let mut cases = Vec::new();
    for row in read::<NeumannRow>("neumann.csv", NEUMANN)? {
        for cells in [CHECK_CELLS, BATCH_CELLS] {
            let conditions = format!(
                "{}; cells={cells}; time_s={}; surface_c={}; start_c={}; freezing_c={}; k_s={}; k_l={}; rho={}; c_s={}; \
                 c_l={}; latent_kj={}; front_mm={}",
                row.case,
                row.time_s,
                row.surface_c,
                row.start_c,
                row.freezing_c,
                row.k_s,
                row.k_l,
                row.rho,
                row.c_s,
                row.c_l,
                row.latent_kj,
                row.front_mm
            );
            let id =
                |what: &str| format!("neumann-{}-{what}-{cells}", row.case.replace([' ', ','], "-").replace("--", "-"));
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
pub fn predict(case: &Case) -> Result<Predicted, EvidenceError> {
    match case.quantity.as_str() {
        "front depth" | "heat taken" => neumann(case),
        "slab cooling, centre" | "slab cooling, mean" => slab_cooling(case),
        _ => Err(case.unknown()),
    }
}

/// Where in its cell the front may lie at the end, as fractions of a cell. The heat does not depend on it.
const PLACES_IN_CELL: [f64; 3] = [0.0, 0.3, 0.6];

/// Fixed surface temperature on a half space, the cells counted over the depth that freezes: the worst of three places.
fn neumann(case: &Case) -> Result<Predicted, EvidenceError> {
    let exact = case.value.unwrap_or(f64::NAN);
    let cells = case.number("cells")?;
    if case.quantity == "heat taken" {
        return Ok(HalfSpace::of(case, cells)?.heat_kj()?.into());
    }
    let mut worst = exact;
    for place in PLACES_IN_CELL {
        let predicted = HalfSpace::of(case, cells + place)?.front_mm()?;
        if (predicted - exact).abs() >= (worst - exact).abs() {
            worst = predicted;
        }
    }
    Ok(worst.into())
}

/// A half space as a column whose cells are counted over the depth that freezes.
struct HalfSpace {
    column: Column,
    cell_m: f64,
    latent_j_per_kg: f64,
    surface_k: f64,
    start_k: f64,
    time_s: f64,
}

impl HalfSpace {
    fn of(case: &Case, cells_over_front: f64) -> Result<Self, EvidenceError> {
        let (inputs, shift_k) = Inputs::of(case)?.sharp();
        let (time_s, front_m) = (case.number("time_s")?, case.number("front_mm")? / 1e3);
        let cell_m = front_m / cells_over_front;
        let diffusivity_m2_per_s = inputs.unfrozen_w_per_m_k / (inputs.density_kg_per_m3 * inputs.unfrozen_j_per_kg_k);
        let far_m = front_m + FAR_LENGTHS * (diffusivity_m2_per_s * time_s).sqrt();
        let cells = (far_m / cell_m).ceil();
        Ok(Self {
            column: Column::new(&inputs.model()?, &Shape::Layer { depth_m: cells * cell_m }, 1.0, cells as usize),
            cell_m,
            latent_j_per_kg: inputs.latent_j_per_kg,
            surface_k: case.kelvin("surface_c")? + shift_k,
            start_k: case.kelvin("start_c")? + shift_k,
            time_s,
        })
    }

    fn run(&self, limit_s: f64, left: impl Fn(&[f64]) -> f64) -> Result<(f64, Vec<f64>), EvidenceError> {
        Cooling::new(&self.column, 1e9, self.surface_k, STEP_FRAC * self.latent_j_per_kg).run(
            self.start_k,
            limit_s,
            left,
        )
    }

    fn heat_kj(&self) -> Result<f64, EvidenceError> {
        let (_, state) = self.run(self.time_s, |_| 1.0)?;
        let start_j = self.column.enthalpy_j_per_kg(self.start_k) * self.column.mass_kg.iter().sum::<f64>();
        Ok((start_j - self.column.heat_j(&state)) / 1e3)
    }

    /// The front leaves a cell at the moment that cell is frozen through. Its place within a cell is not resolved, since
    /// the whole cell stays at the freezing point while it freezes; there the front is taken to move with the square root
    /// of time from one cell face to the next (Voller and Cross 1981).
    fn front_mm(&self) -> Result<f64, EvidenceError> {
        let (_, state) = self.run(self.time_s, |_| 1.0)?;
        let frozen_through = state.iter().rev().take_while(|enthalpy| **enthalpy < -self.latent_j_per_kg).count();
        let passed_s = |cells: usize| {
            let cell = self.column.cells() - cells;
            let (time_s, _) = self.run(2.0 * self.time_s, |state| state[cell] + self.latent_j_per_kg)?;
            Ok::<_, EvidenceError>(time_s)
        };
        let (before, after) = (passed_s(frozen_through)?.sqrt(), passed_s(frozen_through + 1)?.sqrt());
        let share = (self.time_s.sqrt() - before) / (after - before);
        Ok(1e3 * (frozen_through as f64 + share) * self.cell_m)
    }
}

/// Half a slab that cools without freezing: temperature difference left, as a fraction of the initial one.
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
    let column = Column::new(&inputs.model()?, &Shape::Layer { depth_m: HALF_M }, 1.0, case.number("cells")? as usize);
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
