//! One tray in a rig, a whole batch, and what a batch is made of.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use icefront_core::machine::refrigeration::Refrigerator;
use icefront_core::{plan, water};

#[path = "../tests/common/mod.rs"]
mod common;

fn benches(c: &mut Criterion) {
    c.bench_function("ice vapour pressure", |b| b.iter(|| water::ice_vapour_pressure_pa(black_box(255.0))));
    let cabinet = common::cabinet(0.5);
    c.bench_function("refrigerator in a room", |b| {
        b.iter(|| Refrigerator::in_room(black_box(&cabinet.refrigeration), 293.15))
    });
    let tray = common::layer(common::food(0.75, 0.07, -1.0), 0.0125, 0.1);
    let rig = common::load(common::rig(40.0, 50.0), vec![tray]);
    c.bench_function("one tray in a rig", |b| b.iter(|| plan(black_box(&rig))));
    let five = common::five_layers();
    c.bench_function("five trays, freezing to defrost", |b| b.iter(|| plan(black_box(&five))));
    let mut frozen = common::five_layers();
    for tray in &mut frozen.trays {
        tray.freezing = icefront_core::load::Freezing::Frozen { loaded_k: 255.15 };
    }
    c.bench_function("five trays, loaded frozen", |b| b.iter(|| plan(black_box(&frozen))));
}

criterion_group!(all, benches);
criterion_main!(all);
