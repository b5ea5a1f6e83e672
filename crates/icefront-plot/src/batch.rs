//! The batch over time: stages, ice left on each tray, temperatures.

use icefront_core::result::{BatchResult, Sample, Stage, TrayResult};

use crate::axis::Axis;
use crate::canvas::{Canvas, Group};
use crate::error::PlotError;
use crate::heading;
use crate::labels::number_places;
use crate::legend::{self, EndLabel, Entry, Key, NUMBER_RADIUS_PX};
use crate::panel::Panel;
use crate::run::Run;
use crate::stages::StageBand;
use crate::style::{Colour, Dash, INK, MUTED, series_colour, series_dash};
use crate::words::{celsius, duration, kilowatt_hours, three_digits, tray_name};

const LEAST_ICE_PANEL_PX: f64 = 200.0;
const TEMPERATURE_PANEL_PX: f64 = 200.0;
const NUMBERS_REMARK: &str = "numbers: ice front of the tray, later its slowest point";

/// Draws a batch over time as SVG: its stages, the ice left on each tray, and the temperatures.
///
/// # Errors
/// `EmptySeries` if the history has fewer than two times, `NotFinite` if a value is not a number.
pub fn batch_chart_svg(result: &BatchResult) -> Result<String, PlotError> {
    let run = Run::checked(result)?;
    let stages = StageBand::of(result)?;
    let entries: Vec<Entry> = result.trays.iter().enumerate().map(|(i, tray)| entry(i, tray)).collect();
    let lines = temperature_lines(&run);

    let time = Axis::time(run.end_s)?;
    let percent = Axis::linear("Ice left, % of the ice at the start", (0.0, 100.0), 5)?;
    let degrees = Axis::linear("Temperature, °C", range(&lines), 6)?;
    let ice_height_px = LEAST_ICE_PANEL_PX.max(legend::height_px(&entries));
    let ice = Panel::new(stages.end_px(), ice_height_px, &time, &percent);
    let temperature = ice.below(TEMPERATURE_PANEL_PX, &degrees).with_remark(NUMBERS_REMARK);

    let mut canvas = Canvas::new(temperature.picture_end_px());
    let answer = answer(result);
    heading::draw(&mut canvas, &answer, &remark(result))?;
    ice.draw(&mut canvas)?;
    temperature.draw(&mut canvas)?;
    temperature.draw_foot(&mut canvas)?;
    stages.draw(&mut canvas, &[&ice, &temperature])?;
    draw_lines(&mut canvas, &ice, &ice_lines(&run))?;
    draw_lines(&mut canvas, &temperature, &lines)?;
    legend::draw(&mut canvas, &entries, ice.top)?;
    Ok(canvas.finish(&answer))
}

/// One line of a panel.
struct Line {
    name: String,
    points: Vec<(f64, f64)>,
    kind: LineKind,
}

enum LineKind {
    Tray(usize),
    Machine(Colour, Dash),
}

/// Ice on each tray, from where it starts to go to where it is gone.
fn ice_lines(run: &Run<'_>) -> Vec<Line> {
    let line = |(index, tray): (usize, &TrayResult)| {
        let mut points = run.tray_series(index, |sample| 100.0 * sample.ice_left_frac);
        points.retain(|(time_s, _)| tray.ice_gone_at_s.is_none_or(|gone_s| *time_s < gone_s));
        points.extend(tray.ice_gone_at_s.map(|gone_s| (gone_s, 0.0)));
        let starts = points.iter().position(|(_, percent)| *percent < 100.0);
        points.drain(..starts.map_or(0, |first| first.saturating_sub(1)));
        Line { name: tray_name(index, tray), points, kind: LineKind::Tray(index) }
    };
    run.result.trays.iter().enumerate().map(line).collect()
}

/// Trays first, then the machine.
fn temperature_lines(run: &Run<'_>) -> Vec<Line> {
    let tray_line = |(index, tray)| {
        let points = run.tray_series(index, |sample| celsius(sample.front_k));
        Line { name: tray_name(index, tray), points, kind: LineKind::Tray(index) }
    };
    let machine_line = |name: &str, points, colour, dash| Line {
        name: name.to_owned(),
        points,
        kind: LineKind::Machine(colour, dash),
    };
    let shelf = run.series(|sample| shelf_mean_k(sample).filter(|_| sample.stage < Stage::Defrost).map(celsius));
    // A rig without a condenser says 0 K.
    let condenser = run.series(|sample| (sample.condenser_k > 0.0).then(|| celsius(sample.condenser_k)));
    let mut lines: Vec<Line> = run.result.trays.iter().enumerate().map(tray_line).collect();
    let machine =
        [machine_line("shelf mean", shelf, INK, Dash::Short), machine_line("condenser", condenser, MUTED, Dash::Dots)];
    lines.extend(machine.into_iter().filter(|line| !line.points.is_empty()));
    lines
}

fn shelf_mean_k(sample: &Sample) -> Option<f64> {
    let sum_k: f64 = sample.trays.iter().map(|tray| tray.shelf_k).sum();
    (!sample.trays.is_empty()).then(|| sum_k / sample.trays.len() as f64)
}

fn range(lines: &[Line]) -> (f64, f64) {
    let values = || lines.iter().flat_map(|line| &line.points).map(|point| point.1);
    (values().fold(f64::INFINITY, f64::min), values().fold(f64::NEG_INFINITY, f64::max))
}

fn draw_lines(canvas: &mut Canvas, panel: &Panel<'_>, lines: &[Line]) -> Result<(), PlotError> {
    let drawn: Vec<Vec<_>> = lines.iter().map(|line| panel.places(&line.points)).collect();
    let mut ends = Vec::new();
    for (line, places) in lines.iter().zip(&drawn) {
        let (colour, dash) = match line.kind {
            LineKind::Tray(index) => (series_colour(index), series_dash(index)),
            LineKind::Machine(colour, dash) => (colour, dash),
        };
        canvas.group(&Group::series(&line.name, dash), |pen| pen.line(places, colour, 1.6))?;
        if let (LineKind::Machine(..), Some(&end)) = (&line.kind, places.last()) {
            ends.push(EndLabel { name: &line.name, end, colour, dash });
        }
    }
    legend::label_ends(canvas, ends, (panel.top, panel.bottom))?;
    let trays = lines.iter().filter(|line| matches!(line.kind, LineKind::Tray(_))).count();
    let numbers = number_places(&drawn, trays, NUMBER_RADIUS_PX, (panel.top, panel.bottom));
    canvas.group(&Group::plain("numbers"), |pen| {
        let placed = numbers.iter().enumerate().filter_map(|(index, place)| Some((index, (*place)?)));
        placed.into_iter().try_for_each(|(index, place)| legend::draw_number(pen, index, place))
    })
}

fn entry(index: usize, tray: &TrayResult) -> Entry {
    let ice = tray.ice_gone_at_s.map_or("ice left at the end".to_owned(), |t| format!("ice gone {}", duration(t)));
    let dry = tray.dry_at_s.map_or("not dry".to_owned(), |t| format!("dry {}", duration(t)));
    Entry::new(Key::Number(index), &tray_name(index, tray), &format!("{ice}, {dry}"))
}

fn answer(result: &BatchResult) -> String {
    let ready = duration(result.food_ready_s());
    let all_dry = result.trays.iter().all(|tray| tray.dry_at_s.is_some());
    if all_dry { format!("Food ready after {ready}") } else { format!("Not dry: drying ended after {ready}") }
}

fn remark(result: &BatchResult) -> String {
    let last = result.last_tray().filter(|_| result.trays.len() > 1);
    let slowest = last.map_or(String::new(), |tray| format!("slowest: {}, {} · ", tray.name, tray.food));
    let energy_kwh = three_digits(kilowatt_hours(result.energy_j().total()));
    format!("{slowest}whole run {}, {energy_kwh} kWh", duration(result.total_s()))
}
