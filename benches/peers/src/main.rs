//! The same drying by icefront and by general-purpose integrators: how near, and how long it takes.
//!
//! Without a word it prints the table; with `state` a state and its slopes for `scipy_peers.py`.

mod case;
mod lines;
mod methods;

use std::time::Instant;

use icefront_validation::resolved::Resolution;
use lines::Lines;
use methods::Hours;

/// Finer than anything compared: `docs/verification.md` puts its default within 0.001 %.
const REFERENCE: Resolution = Resolution { dried: 80, frozen: 40, tolerance: 1e-6 };
/// A run is repeated until it has taken this long, s, but not more often than this.
const ENOUGH_S: f64 = 0.5;
const MOST_RUNS: usize = 101;

fn main() -> Result<(), String> {
    let model = case::food();
    let slab = case::slab(&model);
    let lines = |dried| Lines { slab, dried, frozen: dried / 2 };
    let reference = methods::resolved(&slab, &REFERENCE)?;
    if std::env::args().nth(1).as_deref() == Some("state") {
        print_state(&lines(12), reference);
        return Ok(());
    }
    println!("reference: {reference:.5} h\n");
    println!("| method | tolerance | cells | hours | error | time |\n| --- | --- | --- | --- | --- | --- |");
    let row = |method: &str, tolerance: f64, cells: String, solve: &dyn Fn() -> Hours| {
        print_row(method, tolerance, &cells, reference, solve);
    };
    // the run ends soon after its last ice
    let load = case::in_rig(&slab, 1.02 * reference * lines::HOUR_S);
    for tolerance in [1.0, 0.1, 0.01] {
        row("icefront, front model", tolerance, "-".into(), &|| methods::front_model(&load, tolerance));
    }
    for (dried, tolerance) in [(6, 1e-3), (6, 1e-4), (12, 1e-4), (20, 1e-5), (40, 2e-5)] {
        let resolution = Resolution { dried, frozen: dried / 2, tolerance };
        row("icefront, resolved", tolerance, format!("{dried}+{}", dried / 2), &|| {
            methods::resolved(&slab, &resolution)
        });
    }
    row("ode_solvers, one front", 1e-8, "-".into(), &|| methods::one_front(&slab));
    for (dried, tolerance) in [(6, 1e-3), (6, 1e-4), (6, 1e-5), (12, 1e-4), (12, 1e-5), (24, 1e-6)] {
        let lines = lines(dried);
        row("diffsol BDF", tolerance, format!("{dried}+{}", dried / 2), &|| methods::diffsol_bdf(&lines, tolerance));
    }
    for (dried, tolerance) in [(4, 1e-4)] {
        let lines = lines(dried);
        row("ode_solvers Dopri5", tolerance, format!("{dried}+{}", dried / 2), &|| {
            methods::explicit(&lines, tolerance)
        });
    }
    Ok(())
}

/// Runs a method repeatedly and prints its error and the median of its times.
fn print_row(method: &str, tolerance: f64, cells: &str, reference: f64, solve: &dyn Fn() -> Hours) {
    let (mut times_s, begin) = (Vec::new(), Instant::now());
    let mut found = Err("not run".into());
    while times_s.len() < MOST_RUNS && (times_s.is_empty() || begin.elapsed().as_secs_f64() < ENOUGH_S) {
        let start = Instant::now();
        found = std::hint::black_box(solve());
        times_s.push(start.elapsed().as_secs_f64());
    }
    times_s.sort_by(f64::total_cmp);
    let ms = 1e3 * times_s[times_s.len() / 2];
    match found {
        Ok(hours) => {
            let error = 100.0 * (hours / reference - 1.0);
            println!("| {method} | {tolerance} | {cells} | {hours:.4} | {error:+.3} % | {ms:.3} ms |");
        }
        Err(reason) => println!("| {method} | {tolerance} | {cells} | {reason} | | {ms:.3} ms |"),
    }
}

/// A state within the run, all cells apart from each other, and its slopes.
fn print_state(lines: &Lines<'_>, reference: f64) {
    let (n, m, share) = (lines.dried, lines.frozen, 0.4);
    let mut state = lines.start(case::START_K);
    for j in 0..n {
        state[1 + j] = 2.95 - 0.04 * j as f64;
        state[1 + n + j] = 0.2 + 0.02 * j as f64;
    }
    for i in 0..m {
        let k = 250.0 + 0.5 * i as f64;
        state[1 + 2 * n + i] = lines.slab.model.curve.enthalpy_j_per_kg(k) / lines::J_PER_KG;
    }
    let mut slopes = vec![0.0; lines.len()];
    lines.slopes(share, &state, &mut slopes);
    let numbers = |values: &[f64]| values.iter().map(f64::to_string).collect::<Vec<_>>().join(" ");
    println!("reference_hours {reference}\ncells {n} {m}\nshare {share}");
    println!("state {}\nslopes {}", numbers(&state), numbers(&slopes));
}
