//! A run under way and a history of batches: how long `update` and `learn` take, as whole processes.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a helper that fails is a test that fails")]

use std::path::Path;
use std::process::{Command, Stdio};

use criterion::{Criterion, criterion_group, criterion_main};

/// A load of two trays with rough depths.
const LOAD: &str = r#"icefront = 1
dryer = "0.36 m2"
room = "20 C"

[before_loading]
method = "already frozen"
temperature = "-20 C"

[[tray]]
food = "cooked rice"
shape = "layer"
depth = "about 12 mm"

[[tray]]
food = "apple"
shape = "layer"
depth = "about 10 mm"
"#;
/// Batches in the history.
const BATCHES: usize = 20;

fn run(folder: &Path, arguments: &[&str]) {
    let mut program = Command::new(env!("CARGO_BIN_EXE_icefront"));
    let status = program.args(arguments).current_dir(folder).stdout(Stdio::null()).status();
    assert!(status.is_ok_and(|s| s.success()), "icefront {arguments:?} failed");
}

fn write(folder: &Path, name: &str, text: &str) {
    assert!(std::fs::write(folder.join(name), text).is_ok(), "{name} cannot be written");
}

/// Logs batches whose readings scatter; `alike`: all of the same sheet, otherwise each of another depth.
fn log(folder: &Path, history: &str, alike: bool) {
    for batch in 0..BATCHES {
        let by = 0.97 + 0.003 * (batch * 7 % BATCHES) as f64;
        let readings = format!(
            "time_h,tray,event,water_lost_g,energy_kWh\n{:.2},1,,{:.0},\n{:.2},2,,{:.0},{:.2}\n{:.2},,finished,,\n",
            4.0 * by,
            330.0 * by,
            4.0 * by,
            300.0 * by,
            2.6 * by,
            9.4 * by
        );
        let depth = if alike { 12.0 } else { 11.0 + 0.1 * batch as f64 };
        write(folder, "batch.toml", &LOAD.replace("about 12 mm", &format!("about {depth:.1} mm")));
        write(folder, "batch.csv", &readings);
        let name = format!("batch {batch}");
        run(folder, &["log", "batch.toml", "--readings", "batch.csv", "--history", history, "--name", &name]);
    }
}

fn benches(c: &mut Criterion) {
    let Ok(folder) = tempfile::tempdir() else { return };
    let folder = folder.path();
    write(folder, "load.toml", LOAD);
    write(folder, "readings.csv", "time_h,tray,water_lost_g\n4,1,330\n4,2,300\n");
    log(folder, "alike.csv", true);
    log(folder, "mixed.csv", false);
    let learn = |history: &str| run(folder, &["learn", history, "--dryer", "0.36 m2", "--out", "l.toml", "--force"]);
    let mut group = c.benchmark_group("running");
    group.sample_size(10);
    group.bench_function("update, two trays weighed", |b| {
        b.iter(|| run(folder, &["update", "load.toml", "--readings", "readings.csv"]));
    });
    group.bench_function("learn, 20 batches of one sheet", |b| b.iter(|| learn("alike.csv")));
    group.bench_function("learn, 20 batches of 20 sheets", |b| b.iter(|| learn("mixed.csv")));
    group.finish();
}

criterion_group!(all, benches);
criterion_main!(all);
