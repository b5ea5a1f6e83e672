//! The batch over time: stages, ice left on each tray, temperatures.

use icefront_core::result::{BatchResult, Sample, Stage, TrayResult};
use icefront_core::units::Unit;

use crate::axis::Axis;
use crate::error::PlotError;
use crate::headline::Headline;
use crate::legend::{self, Entry, Key};
use crate::lines::{self, Line};
use crate::panel::{self, Panel};
use crate::run::Run;
use crate::stages::StageBand;
use crate::style::{Dash, INK, MUTED};
use crate::words::{duration, tray_name};

const LEAST_ICE_PANEL_PX: f64 = 200.0;
const TEMPERATURE_PANEL_PX: f64 = 200.0;

/// Draws a batch over time as SVG: its stages, the ice left on each tray, and the temperatures.
///
/// # Errors
/// `EmptySeries` if the history has fewer than two times, `NotFinite` if a value is not a number.
pub fn batch_chart_svg(result: &BatchResult, headline: &Headline) -> Result<String, PlotError> {
    let run = Run::checked(result)?;
    let stages = StageBand::of(result)?;
    let mut entries: Vec<Entry> = result.trays.iter().enumerate().map(|(i, tray)| entry(i, tray)).collect();
    entries.extend(lines::change_entries());
    let degree = headline.units.degree();
    let temperatures = temperature_lines(&run, degree);

    let time = Axis::time(run.end_s)?;
    let percent = Axis::linear("Ice left, % of the ice at the start", (0.0, 100.0), 5)?;
    let degrees = Axis::linear(format!("Temperature, {}", degree.name), lines::range(&temperatures), 6)?;
    let ice_height_px = LEAST_ICE_PANEL_PX.max(legend::height_px(&entries));
    let ice = Panel::new(stages.end_px(), ice_height_px, &time, &percent);
    let temperature = ice.below(TEMPERATURE_PANEL_PX, &degrees);

    let mut canvas = panel::picture(&[&ice, &temperature], &headline.ready, &remark(result))?;
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
fn temperature_lines(run: &Run<'_>, degree: Unit) -> Vec<Line> {
    let tray_line = |(index, tray): (usize, &TrayResult)| {
        let points = run.tray_series(index, |sample| degree.of(sample.front_k));
        Line::tray(index, tray_name(index, tray), points).changing(tray.ice_gone_at_s)
    };
    let shelf =
        run.series(|sample| shelf_mean_k(sample).filter(|_| sample.stage < Stage::Defrost).map(|k| degree.of(k)));
    // A rig without a condenser says 0 K.
    let condenser = run.series(|sample| (sample.condenser_k > 0.0).then(|| degree.of(sample.condenser_k)));
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

fn remark(result: &BatchResult) -> String {
    let last = result.last_tray().filter(|_| result.trays.len() > 1);
    let slowest = last.map_or(String::new(), |tray| format!("last: {}, {} · ", tray.name, tray.food));
    format!("{slowest}shown: the typical run, {} with the ice melted off", duration(result.total_s()))
}
