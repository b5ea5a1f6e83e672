//! One tray in a rig, a whole batch, and what a batch is made of.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a helper that fails is a test that fails")]

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use icefront_core::food::{FoodEntry, FoodTable};
use icefront_core::freezing::before::{Conditions, set_out};
use icefront_core::freezing::column::Column;
use icefront_core::load::{Freezing, Load};
use icefront_core::machine::refrigeration::Refrigerator;
use icefront_core::{plan, water};

#[path = "../tests/common/mod.rs"]
mod common;

/// Six like layers of 0.1 m2 in a cabinet of 0.6 m2, frozen as told.
fn six_layers(freezing: Freezing) -> Load {
    let mut tray = common::layer(common::food(0.75, 0.07, -1.0), 0.012, 0.1);
    tray.freezing = freezing;
    common::load(icefront_core::machine::Dryer::Cabinet(Box::new(common::cabinet(0.6))), vec![tray; 6])
}

fn properties(c: &mut Criterion) {
    c.bench_function("ice vapour pressure", |b| b.iter(|| water::ice_vapour_pressure_pa(black_box(255.0))));
    let Ok(table) = FoodTable::embedded() else { return };
    let Some(food) = table.entries().find(|entry| !entry.is_dried()).map(FoodEntry::food) else { return };
    c.bench_function("properties of a food", |b| b.iter(|| black_box(&food).model()));
    let cabinet = common::cabinet(0.5);
    c.bench_function("refrigerator in a room", |b| {
        b.iter(|| Refrigerator::in_room(black_box(&cabinet.refrigeration), 293.15))
    });
}

fn batches(c: &mut Criterion) {
    let tray = common::layer(common::food(0.75, 0.07, -1.0), 0.0125, 0.1);
    let column = Column::new(&tray.model, &tray.shape, tray.area_m2, 10);
    let freezer = Conditions { air_k: 255.15, wind_m_per_s: 0.0, sky_k: 255.15, outdoors: false, covered: false };
    c.bench_function("one layer frozen in a freezer", |b| {
        b.iter(|| set_out(black_box(&column), 0.1, 278.15, 43_200.0, 258.15, |_| freezer))
    });
    let rig = common::load(common::rig(40.0, 50.0), vec![tray]);
    c.bench_function("one tray in a rig", |b| b.iter(|| plan(black_box(&rig))));
    for (name, freezing) in [
        ("six trays, freezing to defrost", Freezing::InMachine { loaded_k: 278.15 }),
        ("six trays, loaded frozen", Freezing::Frozen { loaded_k: 255.15 }),
    ] {
        let load = six_layers(freezing);
        c.bench_function(name, |b| b.iter(|| plan(black_box(&load))));
    }
}

criterion_group!(all, properties, batches);
criterion_main!(all);
