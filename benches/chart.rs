//! How long a cook waits for a chart: SVG and PNG of a batch of six trays.

#[path = "../tests/plot/invented_run.rs"]
mod invented_run;

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use icefront_plot::{batch_chart_svg, png_from_svg, power_chart_svg};

fn charts(criterion: &mut Criterion) {
    let run = invented_run::six_trays();
    criterion.bench_function("batch chart, SVG", |b| b.iter(|| batch_chart_svg(black_box(&run))));
    criterion.bench_function("power chart, SVG", |b| b.iter(|| power_chart_svg(black_box(&run))));
    let svg = batch_chart_svg(&run).unwrap_or_default();
    criterion.bench_function("batch chart, PNG 1600 px", |b| b.iter(|| png_from_svg(black_box(&svg), 1600)));
}

criterion_group!(benches, charts);
criterion_main!(benches);
