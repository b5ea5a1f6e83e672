//! Electricity over time: power by consumer, and the energy used so far.

use icefront_core::result::{BatchResult, ByConsumer, Stage};

use crate::axis::Axis;
use crate::canvas::{Canvas, Group};
use crate::error::PlotError;
use crate::headline::Headline;
use crate::legend::{self, Entry, Key};
use crate::panel::{self, Panel};
use crate::run::Run;
use crate::stages::{StageBand, tint};
use crate::style::{Anchor, Colour, Dash, FRAME, INK, LABEL};
use crate::words::{duration, kilowatt_hours};

const POWER_PANEL_PX: f64 = 220.0;
const ENERGY_PANEL_PX: f64 = 166.0;

/// One consumer: its name, its colour (each lighter than the one below it), its share of a sum.
pub(crate) struct Consumer {
    name: &'static str,
    pub colour: Colour,
    of: fn(&ByConsumer) -> f64,
}

/// From the bottom of the stack to its top.
pub(crate) const CONSUMERS: [Consumer; 4] = [
    Consumer { name: "compressor", colour: Colour(36, 74, 122), of: |by| by.compressor },
    Consumer { name: "vacuum pump", colour: Colour(74, 140, 160), of: |by| by.vacuum_pump },
    Consumer { name: "heaters", colour: Colour(236, 164, 92), of: |by| by.heaters },
    Consumer { name: "other", colour: Colour(222, 222, 216), of: |by| by.other },
];

/// Draws the electric power by consumer over time, stacked, and the energy used so far, as SVG.
///
/// # Errors
/// `EmptySeries` if the history has fewer than two times, `NotFinite` if a value is not a number.
pub fn power_chart_svg(result: &BatchResult, headline: &Headline) -> Result<String, PlotError> {
    let run = Run::checked(result)?;
    let stages = StageBand::of(result)?;
    let total_w = run.settled(Stage::Freezing, |sample| Some(sample.power_w.total()));
    let energy_kwh = run.series(|sample| Some(kilowatt_hours(sample.energy_j.total())));

    let most_w = most(&total_w);
    let time = Axis::time(run.end_s)?;
    let watts = Axis::linear("Electric power, W", (0.0, most_w), 5)?;
    let energy_axis = Axis::linear("Electric energy since the start, kWh", (0.0, most(&energy_kwh)), 5)?;
    let power = Panel::new(stages.end_px(), POWER_PANEL_PX, &time, &watts).with_remark("stacked");
    let energy = power.below(ENERGY_PANEL_PX, &energy_axis);

    let mean_w = result.energy_j().total() / run.end_s;
    let remark =
        format!("shown: the typical run, {}, mean power {mean_w:.0} W, highest {most_w:.0} W", duration(run.end_s));
    let mut canvas = panel::picture(&[&power, &energy], &headline.electricity, &remark)?;
    draw_stack(&mut canvas, &power, &run)?;
    stages.draw(&mut canvas, &[&power, &energy])?;
    let line = energy.places(&energy_kwh);
    canvas.group(&Group::series("energy", Dash::Solid), |pen| pen.line(&line, INK, 1.8))?;
    canvas.group(&Group::halo("total"), |pen| {
        let total = format!("{:.1} kWh", most(&energy_kwh));
        let above_end = line.last().map_or((energy.right, energy.top), |end| (end.0, end.1 - 7.0));
        pen.text(&total, above_end, LABEL.anchored(Anchor::Right))
    })?;
    legend::draw(&mut canvas, &consumer_entries(result), power.top)?;
    legend::draw(&mut canvas, &stage_entries(result), energy.top)?;
    Ok(canvas.finish())
}

fn most(points: &[(f64, f64)]) -> f64 {
    points.iter().map(|point| point.1).fold(0.0, f64::max)
}

fn draw_stack(canvas: &mut Canvas, panel: &Panel<'_>, run: &Run<'_>) -> Result<(), PlotError> {
    let mut floor: Vec<(f64, f64)> = run.settled(Stage::Freezing, |_| Some(0.0));
    for consumer in used(run.result) {
        let own = run.settled(Stage::Freezing, |sample| Some((consumer.of)(&sample.power_w)));
        let roof: Vec<(f64, f64)> = floor.iter().zip(&own).map(|(f, o)| (f.0, f.1 + o.1)).collect();
        panel.draw_layer(canvas, consumer.name, consumer.colour, &floor, &roof)?;
        floor = roof;
    }
    canvas.group(&Group::series("total power", Dash::Solid), |pen| pen.line(&panel.places(&floor), FRAME, 1.0))
}

/// Consumers that used anything, from the bottom of the stack to its top.
fn used(result: &BatchResult) -> impl DoubleEndedIterator<Item = &'static Consumer> {
    let energy_j = result.energy_j();
    CONSUMERS.iter().filter(move |consumer| (consumer.of)(&energy_j) > 0.0)
}

fn consumer_entries(result: &BatchResult) -> Vec<Entry> {
    let energy_j = result.energy_j();
    let entry = |consumer: &Consumer| {
        let remark = share_of(energy_j.total(), (consumer.of)(&energy_j));
        Entry::new(Key::Area(consumer.colour), consumer.name, &remark)
    };
    used(result).rev().map(entry).collect()
}

fn stage_entries(result: &BatchResult) -> Vec<Entry> {
    let total_j = result.energy_j().total();
    let stages = result.energy_by_stage_j.iter().filter(|(_, by)| by.total() > 0.0);
    stages.map(|(stage, by)| Entry::new(Key::Area(tint(stage)), stage.name(), &share_of(total_j, by.total()))).collect()
}

/// `10.3 kWh, 48 %`.
fn share_of(total_j: f64, part_j: f64) -> String {
    let percent = if total_j > 0.0 { 100.0 * part_j / total_j } else { 0.0 };
    let share = if percent < 0.5 { "under 1".to_owned() } else { format!("{percent:.0}") };
    format!("{:.1} kWh, {share} %", kilowatt_hours(part_j))
}
