//! The program as a whole process: start-up without work, the demonstration alone, and its ranges.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a helper that fails is a test that fails")]

use std::process::{Command, Stdio};

use criterion::{Criterion, criterion_group, criterion_main};

fn run(arguments: &[&str]) {
    let status = Command::new(env!("CARGO_BIN_EXE_icefront")).args(arguments).stdout(Stdio::null()).status();
    assert!(status.is_ok_and(|s| s.success()), "icefront {arguments:?} failed");
}

fn benches(c: &mut Criterion) {
    let mut group = c.benchmark_group("program");
    group.sample_size(10);
    group.bench_function("start-up (--version)", |b| b.iter(|| run(&["--version"])));
    group.bench_function("demonstration, one run", |b| b.iter(|| run(&["plan", "--json", "--draws", "0"])));
    group.bench_function("demonstration, default draws", |b| b.iter(|| run(&["plan", "--json"])));
    group.bench_function("demonstration, 1000 draws", |b| b.iter(|| run(&["plan", "--json", "--draws", "1000"])));
    group.bench_function("demonstration, 10000 draws", |b| b.iter(|| run(&["plan", "--json", "--draws", "10000"])));
    let grid = ["compare", "--json", "--vary", "depth=8mm,12mm,16mm,20mm"];
    group.bench_function("compare grid of four depths", |b| b.iter(|| run(&grid)));
    group.finish();
}

criterion_group!(all, benches);
criterion_main!(all);
