//! The batch over time: stages, ice left on each tray, temperatures.

use icefront_core::result::{BatchResult, Sample, Stage, TrayResult};

use crate::axis::Axis;
use crate::error::PlotError;
use crate::legend::{self, Entry, Key};
use crate::lines::{self, Line};
use crate::panel::{self, Panel};
use crate::run::Run;
use crate::stages::StageBand;
use crate::style::{Dash, INK, MUTED};
use crate::words::{celsius, duration, kilowatt_hours, three_digits, tray_name};

const LEAST_ICE_PANEL_PX: f64 = 200.0;
const TEMPERATURE_PANEL_PX: f64 = 200.0;
const NUMBERS_REMARK: &str = "numbers: temperature of the ice in the tray, later of its slowest spot";

/// Draws a batch over time as SVG: its stages, the ice left on each tray, and the temperatures.
///
/// # Errors
/// `EmptySeries` if the history has fewer than two times, `NotFinite` if a value is not a number.
pub fn batch_chart_svg(result: &BatchResult) -> Result<String, PlotError> {
    let run = Run::checked(result)?;
    let stages = StageBand::of(result)?;
    let entries: Vec<Entry> = result.trays.iter().enumerate().map(|(i, tray)| entry(i, tray)).collect();
    let temperatures = temperature_lines(&run);

    let time = Axis::time(run.end_s)?;
    let percent = Axis::linear("Ice left, % of the ice at the start", (0.0, 100.0), 5)?;
    let degrees = Axis::linear("Temperature, °C", lines::range(&temperatures), 6)?;
    let ice_height_px = LEAST_ICE_PANEL_PX.max(legend::height_px(&entries));
    let ice = Panel::new(stages.end_px(), ice_height_px, &time, &percent);
    let temperature = ice.below(TEMPERATURE_PANEL_PX, &degrees).with_remark(NUMBERS_REMARK);

    let mut canvas = panel::picture(&[&ice, &temperature], &answer(result), &remark(result))?;
    stages.draw(&mut canvas, &[&ice, &temperature])?;
    lines::draw_named(&mut canvas, &ice, &ice_lines(&run))?;
    lines::draw_named(&mut canvas, &temperature, &temperatures)?;
    legend::draw(&mut canvas, &entries, ice.top)?;
    Ok(canvas.finish())
}

/// Ice on each tray, from where it starts to go to where it is gone.
fn ice_lines(run: &Run<'_>) -> Vec<Line> {
    let line = |(index, tray): (usize, &TrayResult)| {
        let mut points = run.tray_series(index, |sample| 100.0 * sample.ice_left_frac);
        points.retain(|(time_s, _)| tray.ice_gone_at_s.is_none_or(|gone_s| *time_s < gone_s));
        points.extend(tray.ice_gone_at_s.map(|gone_s| (gone_s, 0.0)));
        let starts = points.iter().position(|(_, percent)| *percent < 100.0);
        points.drain(..starts.map_or(0, |first| first.saturating_sub(1)));
        Line::tray(index, tray_name(index, tray), points)
    };
    run.result.trays.iter().enumerate().map(line).collect()
}

/// Trays first, then the machine.
fn temperature_lines(run: &Run<'_>) -> Vec<Line> {
    let tray_line = |(index, tray)| {
        let points = run.tray_series(index, |sample| celsius(sample.front_k));
        Line::tray(index, tray_name(index, tray), points)
    };
    let shelf = run.series(|sample| shelf_mean_k(sample).filter(|_| sample.stage < Stage::Defrost).map(celsius));
    // A rig without a condenser says 0 K.
    let condenser = run.series(|sample| (sample.condenser_k > 0.0).then(|| celsius(sample.condenser_k)));
    let mut lines: Vec<Line> = run.result.trays.iter().enumerate().map(tray_line).collect();
    let machine =
        [Line::named("shelf mean", shelf, INK, Dash::Short), Line::named("condenser", condenser, MUTED, Dash::Dots)];
    lines.extend(machine.into_iter().filter(|line| !line.points.is_empty()));
    lines
}

fn shelf_mean_k(sample: &Sample) -> Option<f64> {
    let sum_k: f64 = sample.trays.iter().map(|tray| tray.shelf_k).sum();
    (!sample.trays.is_empty()).then(|| sum_k / sample.trays.len() as f64)
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
