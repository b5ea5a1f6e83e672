//! How long a cook waits for a chart: SVG and PNG of a batch of six trays, and of the charts beside it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a helper that fails is a test that fails")]

#[path = "../tests/plot/invented_inputs.rs"]
mod invented_inputs;
#[path = "../tests/plot/invented_run.rs"]
mod invented_run;

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use icefront_core::units::UnitSystem;
use icefront_plot::{
    Headline, accuracy_chart_svg, batch_chart_svg, comparison_chart_svg, drying_chart_svg, front_chart_svg,
    machine_chart_svg, narrowing_chart_svg, png_from_svg, power_chart_svg, readings_chart_svg, resistance_chart_svg,
    usable_map_svg,
};

fn charts(criterion: &mut Criterion) {
    let (run, headline) = (invented_run::six_trays(), Headline::default());
    let shape = invented_run::shape(1);
    let variants = invented_inputs::variants();
    let bars = invented_inputs::narrowing(6);
    let course = invented_inputs::resistances();
    let map = invented_inputs::usable_map();
    criterion.bench_function("batch chart, SVG", |b| b.iter(|| batch_chart_svg(black_box(&run), &headline)));
    criterion.bench_function("drying chart, SVG", |b| b.iter(|| drying_chart_svg(black_box(&run), &headline)));
    criterion.bench_function("front chart, SVG", |b| {
        b.iter(|| front_chart_svg(&shape, black_box(&run), 1, UnitSystem::Metric))
    });
    criterion.bench_function("machine chart, SVG", |b| b.iter(|| machine_chart_svg(black_box(&run), &headline)));
    criterion.bench_function("power chart, SVG", |b| b.iter(|| power_chart_svg(black_box(&run), &headline)));
    criterion.bench_function("comparison chart, SVG", |b| b.iter(|| comparison_chart_svg(black_box(&variants))));
    criterion.bench_function("narrowing chart, SVG", |b| b.iter(|| narrowing_chart_svg("", black_box(&bars))));
    criterion.bench_function("resistance chart, SVG", |b| b.iter(|| resistance_chart_svg(black_box(&course))));
    criterion.bench_function("usable map, SVG", |b| b.iter(|| usable_map_svg(black_box(&map))));
    let (read, finished) = (invented_inputs::readings(), invented_inputs::finished());
    criterion.bench_function("readings chart, SVG", |b| b.iter(|| readings_chart_svg(black_box(&read))));
    criterion.bench_function("accuracy chart, SVG", |b| b.iter(|| accuracy_chart_svg(black_box(&finished))));
    for (name, svg) in
        [("batch", batch_chart_svg(&run, &headline)), ("front", front_chart_svg(&shape, &run, 1, UnitSystem::Metric))]
    {
        let svg = svg.unwrap_or_default();
        criterion
            .bench_function(&format!("{name} chart, PNG 1600 px"), |b| b.iter(|| png_from_svg(black_box(&svg), 1600)));
    }
}

criterion_group!(benches, charts);
criterion_main!(benches);
