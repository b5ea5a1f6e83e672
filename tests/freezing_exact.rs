//! The freezing column against exact solutions (verification: our arithmetic, not nature).
//!
//! Front moving into a half-space: Neumann, `data/published/neumann.csv`. Slab without phase change: Fourier series,
//! summed here, itself held to `data/published/slab_cooling.csv`. Ball: Carslaw and Jaeger 1959, section 9.3.

use crate::common;

use std::f64::consts::PI;

use icefront_core::ModelError;
use icefront_core::food::FoodModel;
use icefront_core::freezing::column::{Around, BATCH_CELLS, Column, Metal, Rows, TrayState};
use icefront_core::numerics::components::Components;
use icefront_core::numerics::stepper::{ImplicitEuler, Stepper};
use icefront_core::numerics::tridiagonal;
use icefront_core::shape::{PieceForm, Shape};

/// A conductance so large that a surface has the temperature beyond it, W/K.
const HELD_W_PER_K: f64 = 1e9;
/// A metal so heavy that it keeps its temperature, J/K.
const HEAVY_J_PER_K: f64 = 1e30;
const CELSIUS_K: f64 = 273.15;

/// A tray, and the heat it has given to the air, J.
#[derive(Clone)]
struct BenchState {
    tray: TrayState,
    to_air_j: f64,
}

impl Components for BenchState {
    fn combine(&mut self, a: &Self, b: &Self, f: impl Fn(f64, f64, f64) -> f64 + Copy) {
        self.tray.combine(&a.tray, &b.tray, f);
        self.to_air_j.combine(&a.to_air_j, &b.to_air_j, f);
    }
    fn all_finite(&self) -> bool {
        self.tray.all_finite() && self.to_air_j.is_finite()
    }
}

/// One column between a metal and air.
struct Bench<'a, F> {
    column: &'a Column,
    metal_j_per_k: f64,
    below_w_per_k: f64,
    above_w_per_k: f64,
    air_k: F,
    tolerance_j_per_kg: f64,
    rows: Rows,
}

impl<F: Fn(f64) -> f64> Bench<'_, F> {
    /// Cells at one temperature over a metal at another.
    fn start(&self, metal_k: f64, food_k: f64) -> BenchState {
        let enthalpy_j_per_kg = vec![self.column.enthalpy_j_per_kg(food_k); self.column.cells()];
        BenchState { tray: TrayState { metal_k, enthalpy_j_per_kg }, to_air_j: 0.0 }
    }

    fn run(&mut self, state: &mut BenchState, from_s: f64, to_s: f64) {
        let mut stepper = Stepper::new(&*state, 1e-3, f64::INFINITY);
        let mut t = from_s;
        while t < to_s - 1e-9 {
            t += stepper.advance(self, t, to_s - t, state).unwrap();
        }
    }

    fn cells<'s>(&self, state: &'s BenchState) -> &'s [f64] {
        &state.tray.enthalpy_j_per_kg
    }

    /// Heat of the food and that given to the air, J.
    fn heat_j(&self, state: &BenchState) -> f64 {
        self.column.heat_j(self.cells(state)) + state.to_air_j
    }
}

impl<F: Fn(f64) -> f64> ImplicitEuler for Bench<'_, F> {
    type State = BenchState;

    fn step(&mut self, t_s: f64, h_s: f64, old: &BenchState, new: &mut BenchState) -> Result<(), ModelError> {
        let air_k = (self.air_k)(t_s + h_s);
        let around = Around { below_w_per_k: self.below_w_per_k, above_w_per_k: self.above_w_per_k, air_k };
        new.copy_from(old);
        let mut largest = f64::INFINITY;
        for _ in 0..60 {
            let metal = Metal {
                capacity_j_per_k: self.metal_j_per_k,
                old_k: old.tray.metal_k,
                new_k: new.tray.metal_k,
                air_w_per_k: 0.0,
                wall_w_per_k: 0.0,
                wall_k: 0.0,
            };
            let (from, to) = (&old.tray.enthalpy_j_per_kg, &new.tray.enthalpy_j_per_kg);
            let to_air = self.column.rows(h_s, &around, &metal, from, to, &mut self.rows);
            if largest < 1e-7 {
                new.to_air_j += to_air.heat_w * h_s;
                return Ok(());
            }
            tridiagonal::solve(&mut self.rows);
            largest = 0.0;
            let numbers = std::iter::once(&mut new.tray.metal_k).chain(&mut new.tray.enthalpy_j_per_kg);
            for (x, row) in numbers.zip(&self.rows) {
                *x += row.rhs.residual;
                largest = largest.max(row.rhs.residual.abs());
            }
        }
        Err(ModelError::NotConverged { what: "column", at_s: t_s, residual: largest, limit: 1e-7 })
    }

    fn error_norm(&self, full: &BenchState, half: &BenchState) -> f64 {
        let cells = self.cells(full).iter().zip(self.cells(half));
        cells.map(|(a, b)| (a - b).abs()).fold(0.0, f64::max) / self.tolerance_j_per_kg
    }

    fn admissible(&self, _: &BenchState, state: &BenchState) -> bool {
        state.all_finite()
    }
}

/// Rows of `data/published/<name>`: numbers, NaN for text.
fn rows(name: &str) -> Vec<Vec<f64>> {
    let path = format!("{}/../../data/published/{name}", env!("CARGO_MANIFEST_DIR"));
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(path).unwrap();
    let row = |r: csv::StringRecord| r.iter().map(|cell| cell.parse().unwrap_or(f64::NAN)).collect();
    reader.records().map(|r| row(r.unwrap())).collect()
}

/// Error function by its series (Abramowitz and Stegun 7.1.6).
fn erf(x: f64) -> f64 {
    if x > 6.0 {
        return 1.0;
    }
    let (mut term, mut sum) = (x, x);
    for n in 1..200 {
        term *= 2.0 * x * x / (2.0 * f64::from(n) + 1.0);
        sum += term;
    }
    2.0 / PI.sqrt() * (-x * x).exp() * sum
}

/// One case of Neumann's problem, shifted so that it freezes at 0 degC.
struct Neumann {
    frozen_w_per_m_k: f64,
    density: f64,
    frozen_j_per_kg_k: f64,
    unfrozen_w_per_m_k: f64,
    unfrozen_j_per_kg_k: f64,
    latent_j_per_kg: f64,
    surface_c: f64,
    start_c: f64,
    time_s: f64,
    front_m: f64,
    heat_j_per_m2: f64,
}

impl Neumann {
    fn all() -> Vec<Self> {
        let case = |r: Vec<f64>| Self {
            frozen_w_per_m_k: r[1],
            density: r[2],
            frozen_j_per_kg_k: r[3],
            unfrozen_w_per_m_k: r[4],
            unfrozen_j_per_kg_k: r[5],
            latent_j_per_kg: 1e3 * r[6],
            surface_c: r[8] - r[7],
            start_c: r[9] - r[7],
            time_s: r[10],
            front_m: 1e-3 * r[11],
            heat_j_per_m2: 1e3 * r[12],
        };
        rows("neumann.csv").into_iter().map(case).collect()
    }

    fn model(&self) -> FoodModel {
        let mut model = common::food(0.75, 0.0, 0.0);
        model.density_kg_per_m3 = self.density;
        model.curve.heat_of_fusion_j_per_kg = self.latent_j_per_kg / 0.75;
        model.curve.heat_capacity_frozen_j_per_kg_k = self.frozen_j_per_kg_k;
        model.curve.heat_capacity_unfrozen_j_per_kg_k = self.unfrozen_j_per_kg_k;
        model.conductivity_frozen_w_per_m_k = self.frozen_w_per_m_k;
        model.conductivity_unfrozen_w_per_m_k = self.unfrozen_w_per_m_k;
        model
    }

    /// Temperature ahead of the front (behind it: its continuation), degC.
    fn ahead_c(&self, depth_m: f64, t_s: f64) -> f64 {
        let diffusivity = self.unfrozen_w_per_m_k / (self.density * self.unfrozen_j_per_kg_k);
        let ahead = |x_m: f64, t_s: f64| 1.0 - erf(x_m / (2.0 * (diffusivity * t_s).sqrt()));
        self.start_c * (1.0 - ahead(depth_m, t_s) / ahead(self.front_m, self.time_s))
    }

    /// The column, its surroundings and tolerance: the front ends at 95 % of the cells; their far end follows the exact
    /// solution.
    fn on_grid<T>(&self, cells: usize, with: impl FnOnce(Bench<'_, &dyn Fn(f64) -> f64>) -> T) -> T {
        let depth_m = self.front_m / 0.95;
        let column = Column::new(&self.model(), &Shape::Layer { depth_m }, 1.0, cells);
        with(Bench {
            column: &column,
            metal_j_per_k: HEAVY_J_PER_K,
            below_w_per_k: HELD_W_PER_K,
            above_w_per_k: HELD_W_PER_K,
            air_k: &|t| CELSIUS_K + self.ahead_c(depth_m, t),
            tolerance_j_per_kg: 1e-3 * self.latent_j_per_kg * (10.0 / cells as f64),
            rows: Rows::default(),
        })
    }

    /// Runs from the singular start; largest relative error of the heat taken through the surface over the last half of
    /// the time.
    fn heat_error(&self, cells: usize) -> f64 {
        self.on_grid(cells, |mut bench| {
            let mut state = bench.start(CELSIUS_K + self.surface_c, CELSIUS_K + self.start_c);
            let start_j = bench.heat_j(&state);
            let (mut largest, mut t) = (0.0f64, 0.0);
            for i in 1..=80 {
                let next_s = self.time_s * f64::from(i) / 80.0;
                bench.run(&mut state, t, next_s);
                t = next_s;
                let exact_j = self.heat_j_per_m2 * (t / self.time_s).sqrt();
                if i >= 40 {
                    largest = largest.max(((start_j - bench.heat_j(&state)) / exact_j - 1.0).abs());
                }
            }
            largest
        })
    }

    /// Relative error of the front where it leaves the half that lies next to the cold face: its last cell is then frozen
    /// through. Cells do not know where a front stands within one of them.
    fn front_error(&self, cells: usize) -> f64 {
        self.on_grid(cells, |mut bench| {
            let mut state = bench.start(CELSIUS_K + self.surface_c, CELSIUS_K + self.start_c);
            let exact_s = self.time_s * (0.5 / 0.95f64).powi(2);
            let (mut t, mut left) = (0.0, f64::NAN);
            for i in 0..800 {
                let next_s = exact_s * (0.9 + 0.2 * f64::from(i) / 800.0);
                bench.run(&mut state, t, next_s);
                let before = (t, left);
                (t, left) = (next_s, bench.cells(&state)[cells / 2 - 1] + self.latent_j_per_kg);
                if left <= 0.0 {
                    let passed_s = before.0 + (t - before.0) * before.1 / (before.1 - left);
                    return 0.5 * (passed_s / exact_s - 1.0).abs();
                }
            }
            f64::INFINITY
        })
    }
}

#[test]
fn neumann_heat_within_0_1_percent_at_100_cells_and_0_5_percent_in_a_batch() {
    let cases = Neumann::all();
    assert_eq!(cases.len(), 12);
    for (i, case) in cases.iter().enumerate() {
        let (fine, batch) = (case.heat_error(100), case.heat_error(BATCH_CELLS));
        println!("case {i}: 100 cells {fine:.1e}, {BATCH_CELLS} cells {batch:.1e}");
        assert!(fine < 1e-3, "case {i}: {fine} at 100 cells");
        assert!(batch < 5e-3, "case {i}: {batch} at {BATCH_CELLS} cells");
    }
}

#[test]
fn neumann_error_falls_with_the_square_of_the_cell() {
    for (i, case) in Neumann::all().iter().enumerate() {
        let [coarse, fine] = [10, 80].map(|cells| case.heat_error(cells));
        let order = (coarse / fine).log2() / 3.0;
        // the singular start leaves a term dx^2 ln dx: a little below two
        assert!((1.5..2.4).contains(&order), "case {i}: {coarse:.1e} -> {fine:.1e}, order {order:.2}");
    }
}

#[test]
fn neumann_front_converges() {
    for (i, case) in Neumann::all().iter().enumerate() {
        let [coarse, middle, fine] = [10, 20, 40].map(|cells| case.front_error(cells));
        println!("case {i}: {coarse:.1e} {middle:.1e} {fine:.1e}");
        assert!(coarse < 1.2e-2 && fine < 2e-3, "case {i}: {coarse:.1e} on 10 cells, {fine:.1e} on 40");
        let order = (coarse / fine).log2() / 2.0;
        // the heat is second order; the moment at which one cell is through lies between first and second
        assert!(coarse < 2e-4 || order > 1.0, "case {i}: {coarse:.1e} -> {middle:.1e} -> {fine:.1e}, order {order:.2}");
    }
}

/// Share of the temperature difference left in a slab cooled on both faces: centre, surface, mean.
///
/// `sum 2 sin z/(z + sin z cos z) exp(-z^2 Fo) [1, cos z, sin z/z]` over the roots of `z tan z = Bi` (Carslaw and
/// Jaeger 1959, section 3.11).
fn slab_series(biot: f64, fourier: f64) -> [f64; 3] {
    let mut sum = [0.0; 3];
    for n in 0..60 {
        let (mut low, mut high) = (f64::from(n) * PI, f64::from(n) * PI + 0.5 * PI);
        for _ in 0..100 {
            let middle = 0.5 * (low + high);
            if middle * middle.tan() < biot {
                low = middle;
            } else {
                high = middle;
            }
        }
        let z = 0.5 * (low + high);
        let term = 2.0 * z.sin() / (z + z.sin() * z.cos()) * (-z * z * fourier).exp();
        sum = [sum[0] + term, sum[1] + term * z.cos(), sum[2] + term * z.sin() / z];
    }
    sum
}

#[test]
fn the_series_is_the_published_one() {
    for r in rows("slab_cooling.csv") {
        let [centre, _, mean] = slab_series(r[0], r[1]);
        approx::assert_relative_eq!(centre, r[2], max_relative = 1e-9);
        approx::assert_relative_eq!(mean, r[3], max_relative = 1e-9);
    }
}

/// What is wrong with centre, surface and mean of a slab cooled on both faces, share of the difference at the start.
fn slab_errors(biot: f64, fourier: f64, cells: usize) -> [f64; 3] {
    let model = common::food(0.75, 0.07, -1.0);
    let half_m = 0.01;
    let column = Column::new(&model, &Shape::Layer { depth_m: 2.0 * half_m }, 1.0, cells);
    let conductivity = model.conductivity_unfrozen_w_per_m_k;
    let capacity = model.density_kg_per_m3 * model.curve.heat_capacity_unfrozen_j_per_kg_k;
    let (start_k, air_k, w_per_k) = (CELSIUS_K + 20.0, CELSIUS_K + 10.0, biot * conductivity / half_m);
    let mut bench = Bench {
        column: &column,
        metal_j_per_k: HEAVY_J_PER_K,
        below_w_per_k: w_per_k,
        above_w_per_k: w_per_k,
        air_k: |_| air_k,
        tolerance_j_per_kg: 0.3,
        rows: Rows::default(),
    };
    let mut state = bench.start(air_k, start_k);
    bench.run(&mut state, 0.0, fourier * half_m * half_m * capacity / conductivity);
    let t: Vec<f64> = bench.cells(&state).iter().map(|&h| column.temperature_k(h)).collect();
    let m = cells / 2;
    // cubic through the four cells around the middle face
    let centre_k = (9.0 * (t[m - 1] + t[m]) - t[m - 2] - t[m + 1]) / 16.0;
    let around = Around { below_w_per_k: w_per_k, above_w_per_k: w_per_k, air_k };
    let surface_k = column.surface_k(bench.cells(&state), &around);
    let mean_k = t.iter().sum::<f64>() / cells as f64;
    let exact = slab_series(biot, fourier);
    let share = |k: f64| (k - air_k) / (start_k - air_k);
    [share(centre_k) - exact[0], share(surface_k) - exact[1], share(mean_k) - exact[2]].map(f64::abs)
}

#[test]
fn slab_cooling_is_second_order() {
    for biot in [0.1, 1.0, 10.0, 100.0] {
        for fourier in [0.1, 0.5, 1.0] {
            let [batch, fine] = [BATCH_CELLS, 4 * BATCH_CELLS].map(|cells| slab_errors(biot, fourier, cells));
            for (what, (batch, fine)) in ["centre", "surface", "mean"].iter().zip(batch.iter().zip(fine)) {
                let order = (batch / fine).log2() / 2.0;
                let place = format!("Bi {biot}, Fo {fourier}, {what}: {batch:.1e} -> {fine:.1e}, order {order:.2}");
                assert!((1.8..2.2).contains(&order), "{place}");
                assert!(*batch < if biot <= 1.0 { 3e-3 } else { 1e-2 }, "{place}");
            }
        }
    }
}

#[test]
fn ball_cooling_is_second_order() {
    // surface held: mean share left = 6/pi^2 sum exp(-n^2 pi^2 Fo)/n^2
    let fourier = 0.05;
    let exact =
        6.0 / (PI * PI) * (1..40).map(|n| f64::from(n * n)).map(|n2| (-n2 * PI * PI * fourier).exp() / n2).sum::<f64>();
    let model = common::food(0.75, 0.07, -1.0);
    let error = |cells: usize| {
        let form = PieceForm::Sphere { diameter_m: 0.02 };
        let column = Column::new(&model, &Shape::Pieces { form, layers: 1, coverage: 0.7 }, 1.0, cells);
        let capacity = model.density_kg_per_m3 * model.curve.heat_capacity_unfrozen_j_per_kg_k;
        let (start_k, air_k) = (CELSIUS_K + 20.0, CELSIUS_K + 10.0);
        let mut bench = Bench {
            column: &column,
            metal_j_per_k: HEAVY_J_PER_K,
            below_w_per_k: 0.0,
            above_w_per_k: HELD_W_PER_K,
            air_k: |_| air_k,
            tolerance_j_per_kg: 0.3,
            rows: Rows::default(),
        };
        let mut state = bench.start(air_k, start_k);
        bench.run(&mut state, 0.0, fourier * 1e-4 * capacity / model.conductivity_unfrozen_w_per_m_k);
        let zero_j = column.enthalpy_j_per_kg(air_k);
        let left = column.heat_j(bench.cells(&state)) / column.mass_kg.iter().sum::<f64>() - zero_j;
        (left / (column.enthalpy_j_per_kg(start_k) - zero_j) - exact).abs()
    };
    let [coarse, fine] = [10, 40].map(error);
    let order = (coarse / fine).log2() / 2.0;
    assert!(coarse < 5e-3 && (1.8..2.2).contains(&order), "{coarse:.1e} -> {fine:.1e}, order {order:.2}");
}

#[test]
fn heat_is_kept_to_round_off_through_freezing() {
    let model = common::food(0.75, 0.07, -1.0);
    for (shape, area_m2) in [
        (Shape::Layer { depth_m: 0.02 }, 0.1),
        (Shape::Pieces { form: PieceForm::Sphere { diameter_m: 0.015 }, layers: 1, coverage: 0.7 }, 0.1),
    ] {
        let column = Column::new(&model, &shape, area_m2, BATCH_CELLS);
        // a tray of 5 kJ/K at -60 degC under the food, air at -30 degC over it
        let mut bench = Bench {
            column: &column,
            metal_j_per_k: 5e3,
            below_w_per_k: 5.0,
            above_w_per_k: 2.0,
            air_k: |_| CELSIUS_K - 30.0,
            tolerance_j_per_kg: 500.0,
            rows: Rows::default(),
        };
        let mut state = bench.start(CELSIUS_K - 60.0, CELSIUS_K + 20.0);
        let start_j = bench.heat_j(&state) + 5e3 * state.tray.metal_k;
        bench.run(&mut state, 0.0, 6.0 * 3_600.0);
        let error = (bench.heat_j(&state) + 5e3 * state.tray.metal_k - start_j).abs();
        let through_j = state.to_air_j;
        assert!(error < 1e-11 * through_j, "{error} of {through_j} J");
        assert!(column.thermal_centre_k(bench.cells(&state)) < CELSIUS_K - 20.0);
    }
}
