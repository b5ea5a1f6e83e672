//! Bricks in one dimension, as the core computes them, against three dimensions (`data/bricks`), and the reference itself
//! against exact solutions.

use icefront_core::food::FoodModel;
use icefront_core::freezing::column::{Around, BATCH_CELLS, Column, Metal, Rows};
use icefront_core::numerics::tridiagonal;
use icefront_core::primary::{Arrangement, Body};
use icefront_core::shape::{PieceForm, Shape};
use icefront_validation::brick::drying::{course, last_ice};
use icefront_validation::brick::exact::Ratios;
use icefront_validation::brick::freezing::{Freezing, Times};
use icefront_validation::brick::table::{BIOTS, Course, Frozen, HALF_M, LastIce, TIMES, frozen_brick, lean, read};

const ENDLESS: Ratios = Ratios { b1: f64::INFINITY, b2: f64::INFINITY };

fn form(b1: f64, b2: f64) -> PieceForm {
    let edge_m = 2.0 * HALF_M;
    PieceForm::Brick { length_m: b2 * edge_m, width_m: b1 * edge_m, height_m: edge_m }
}

/// Bricks of a bed: vapour leaves from all faces.
fn free(model: &FoodModel, b1: f64, b2: f64) -> Body {
    let shape = Shape::Pieces { form: form(b1, b2), layers: 2, coverage: 1.0 };
    Arrangement::of(&shape, 1.0).bodies(model, 1.0)[0]
}

/// Share passed at a time over that of the last ice, where the dried part alone resists.
fn passed(body: &Body, time: f64) -> f64 {
    let all = body.mean_shell_per_m(0.0, 1.0);
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..50 {
        let f = 0.5 * (low + high);
        if f * body.mean_shell_per_m(0.0, f) < time * all { low = f } else { high = f }
    }
    0.5 * (low + high)
}

/// Times of the core's column.
fn column_times(brick: &Freezing<'_>, shape: &Shape, cells: usize) -> Times {
    const STEPS: f64 = 1_500.0;
    let column = Column::new(brick.model, shape, 1.0, cells);
    let area_m2 = if column.is_piece() { column.low_area_m2 } else { column.high_area_m2 };
    let above_w_per_k = brick.surface_w_per_m2_k * area_m2;
    let around = Around { below_w_per_k: 0.0, above_w_per_k, air_k: brick.air_k };
    let (k, none) = (brick.air_k, 0.0);
    let metal = Metal { capacity_j_per_k: 1.0, old_k: k, new_k: k, air_w_per_k: none, wall_w_per_k: none, wall_k: k };
    let (start, end) = (column.enthalpy_j_per_kg(brick.start_k), column.enthalpy_j_per_kg(brick.end_k));
    let mass_kg: f64 = column.mass_kg.iter().sum();
    let middle = |state: &[f64]| state.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let mean = |state: &[f64]| column.heat_j(state) / mass_kg;
    // all the heat at the first difference of temperature: shorter than the whole
    let h_s = 2.0 * mass_kg * (start - end) / (above_w_per_k * (brick.start_k - brick.air_k)) / STEPS;
    let (mut state, mut rows, mut t) = (vec![start; cells], Rows::default(), 0.0);
    let mut times = Times { middle_s: f64::NAN, mean_s: f64::NAN };
    while middle(&state) > end {
        let old = state.clone();
        for _ in 0..60 {
            column.rows(h_s, &around, &metal, &old, &state, &mut rows);
            tridiagonal::solve(&mut rows);
            state.iter_mut().zip(&rows[1..]).for_each(|(h, row)| *h += row.rhs.residual);
            if rows[1..].iter().all(|row| row.rhs.residual.abs() < 1e-3) {
                break;
            }
        }
        let crossing = |before: f64, after: f64| t + h_s * (before - end) / (before - after);
        if mean(&old) > end && mean(&state) <= end {
            times.mean_s = crossing(mean(&old), mean(&state));
        }
        if middle(&state) <= end {
            times.middle_s = crossing(middle(&old), middle(&state));
        }
        t += h_s;
    }
    times
}

/// The course of drying in all bricks of the table: mean remaining ice within 0.02 of all of it.
#[test]
fn bricks_dry_as_in_three_dimensions() {
    let model = lean().unwrap();
    let rows: Vec<Course> = read("drying.csv").unwrap();
    assert_eq!(rows.len(), 36 * TIMES.len());
    let mut worst = 0.0_f64;
    for row in rows {
        let off = passed(&free(&model, row.b1, row.b2), row.time) - row.passed;
        assert!(off.abs() < 0.02 + row.grid.abs(), "1:{}:{} at {}: {off:+.4}", row.b1, row.b2, row.time);
        worst = worst.max(off.abs() - row.grid.abs());
    }
    println!("share passed: within {worst:.4}");
}

/// The last ice: exact where vapour binds; where heat does, the surface's part is that of a surface at one temperature.
#[test]
fn the_last_ice_of_bricks_goes_when_it_does_in_three_dimensions() {
    let model = lean().unwrap();
    let rows: Vec<LastIce> = read("last_ice.csv").unwrap();
    let (mut least, mut most) = (0.0_f64, 0.0_f64);
    for row in rows {
        let body = free(&model, row.b1, row.b2);
        let volume_m3 = body.dry_kg / (model.density_kg_per_m3 * model.dry_frac());
        let dried = volume_m3 * body.mean_shell_per_m(0.0, 1.0);
        let outside = HALF_M / row.biot * volume_m3 / body.surface_m2;
        let over_slab = (outside + dried) / (HALF_M * HALF_M * (0.5 + 1.0 / row.biot));
        let off = over_slab / row.conducting - 1.0;
        let bound = if row.biot.is_finite() { 0.08 } else { 0.007 };
        assert!(off.abs() < bound, "1:{}:{} Bi {}: {:+.2} %", row.b1, row.b2, row.biot, 100.0 * off);
        (least, most) = (least.min(off), most.max(off));
    }
    println!("last ice: {:+.2} to {:+.2} %", 100.0 * least, 100.0 * most);
}

/// Freezing on the cells of a batch.
#[test]
fn bricks_freeze_as_in_three_dimensions() {
    let model = lean().unwrap();
    for row in read::<Frozen>("freezing.csv").unwrap() {
        let shape = Shape::Pieces { form: form(row.b1, row.b2), layers: 1, coverage: 1.0 };
        let brick = frozen_brick(&model, Ratios { b1: row.b1, b2: row.b2 }, row.biot);
        let times = column_times(&brick, &shape, BATCH_CELLS);
        let off = [times.middle_s / row.middle_h, times.mean_s / row.mean_h].map(|r| r / 3_600.0 - 1.0);
        let percent = off.map(|o| 100.0 * o);
        println!("1:{}:{} Bi {}: middle {:+.1} %, mean {:+.1} %", row.b1, row.b2, row.biot, percent[0], percent[1]);
        assert!(off[0].abs() < 0.065 && off[1].abs() < 0.05, "1:{}:{} Bi {}: {percent:?} %", row.b1, row.b2, row.biot);
    }
}

/// A few rows of the table computed anew with coarse cells.
#[test]
fn the_table_is_what_the_solver_gives() {
    let rows: Vec<Course> = read("drying.csv").unwrap();
    let ice: Vec<LastIce> = read("last_ice.csv").unwrap();
    for (b1, b2) in [(1.0, 1.0), (1.0, 2.0), (2.0, 2.0)] {
        let ratios = Ratios { b1, b2 };
        let of = |row: &&Course| row.b1 == b1 && row.b2 == b2;
        for (row, moment) in rows.iter().filter(of).zip(course(ratios, 8, &TIMES)) {
            let bound = if row.time < 0.2 { 0.05 } else { 0.02 };
            assert!((row.passed - moment.passed).abs() < bound, "{row:?}: {}", moment.passed);
        }
        let rows = ice.iter().filter(|row| row.b1 == b1 && row.b2 == b2);
        for (row, last) in rows.zip(last_ice(ratios, 8, &BIOTS)) {
            approx::assert_relative_eq!(last / (0.5 + 1.0 / row.biot), row.conducting, max_relative = 0.01);
            approx::assert_relative_eq!(ratios.middle_over_slab(row.biot), row.arriving, max_relative = 1e-3);
        }
    }
    let model = lean().unwrap();
    let frozen: Vec<Frozen> = read("freezing.csv").unwrap();
    let cube = frozen.iter().find(|row| row.b2 == 1.0 && row.biot == 1.0).unwrap();
    let times = frozen_brick(&model, Ratios { b1: 1.0, b2: 1.0 }, 1.0).times(6);
    approx::assert_relative_eq!(times.middle_s / 3_600.0, cube.middle_h, max_relative = 0.02);
    approx::assert_relative_eq!(times.mean_s / 3_600.0, cube.mean_h, max_relative = 0.02);
}

/// The share dried of a slab goes with the root of time.
#[test]
fn the_drying_reference_dries_a_slab() {
    for moment in course(ENDLESS, 64, &TIMES) {
        approx::assert_relative_eq!(moment.passed, moment.time.sqrt(), max_relative = 0.01);
    }
}

/// A slab freezes as the core's fine cells say, which are held to Neumann's solution elsewhere.
#[test]
fn the_freezing_reference_freezes_a_slab() {
    let model = lean().unwrap();
    let slab = frozen_brick(&model, ENDLESS, 1.0);
    let (reference, column) = (slab.times(24), column_times(&slab, &Shape::Layer { depth_m: HALF_M }, 100));
    approx::assert_relative_eq!(reference.middle_s, column.middle_s, max_relative = 0.01);
    approx::assert_relative_eq!(reference.mean_s, column.mean_s, max_relative = 0.01);
}
