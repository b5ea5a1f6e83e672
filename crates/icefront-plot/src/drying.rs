//! How fast each tray dries: vapour leaving it, and the water left.

use icefront_core::result::{BatchResult, Sample, Stage, TrayResult};
use icefront_core::units::{Unit, UnitSystem};

use crate::axis::{Axis, HOUR_S};
use crate::error::PlotError;
use crate::headline::Headline;
use crate::legend::{self, Entry, Key};
use crate::lines::{self, Line};
use crate::panel::{self, Panel};
use crate::run::{Run, dries};
use crate::stages::StageBand;
use crate::words::{duration, tray_name};

const LEAST_RATE_PANEL_PX: f64 = 200.0;
const WATER_PANEL_PX: f64 = 180.0;
/// Water left is shown down to this share, %.
const LEAST_WATER_PERCENT: f64 = 0.1;

/// Draws the drying rate of each tray and the water left on it as SVG.
///
/// # Errors
/// `EmptySeries` if the history has fewer than two times, `NotFinite` if a value is not a number.
pub fn drying_chart_svg(result: &BatchResult, headline: &Headline) -> Result<String, PlotError> {
    let units = headline.units;
    let run = Run::checked(result)?;
    let stages = StageBand::of(result)?;
    let rates = tray_lines(&run, |index, tray| rate_per_h(&run, index, tray, units.small_mass()));
    let water = tray_lines(&run, |index, tray| water_left_percent(&run, index, tray));
    let entries: Vec<Entry> = result
        .trays
        .iter()
        .enumerate()
        .zip(&rates)
        .map(|((i, tray), rate)| entry(i, tray, most(rate), units))
        .collect();

    let time = Axis::time(run.end_s)?;
    let highest = rates.iter().map(most).fold(0.0, f64::max);
    let grams =
        Axis::linear(format!("Drying rate, {} of water in an hour", units.small_mass().name), (0.0, highest), 5)?;
    let percent = Axis::logarithmic("Water left, % of the water loaded", (LEAST_WATER_PERCENT, 100.0))?;
    let rate_panel = Panel::new(stages.end_px(), LEAST_RATE_PANEL_PX.max(legend::height_px(&entries)), &time, &grams);
    let water_panel = rate_panel.below(WATER_PANEL_PX, &percent);

    let panels = [&rate_panel, &water_panel];
    let mut canvas = panel::picture(&panels, &answer(&run, units), &remark(result))?;
    stages.draw(&mut canvas, &panels)?;
    lines::draw(&mut canvas, &rate_panel, &rates)?;
    lines::draw(&mut canvas, &water_panel, &water)?;
    legend::draw(&mut canvas, &entries, rate_panel.top)?;
    Ok(canvas.finish())
}

fn tray_lines(run: &Run<'_>, points: impl Fn(usize, &TrayResult) -> Vec<(f64, f64)>) -> Vec<Line> {
    let trays = run.result.trays.iter().enumerate();
    trays.map(|(index, tray)| Line::tray(index, tray_name(index, tray), points(index, tray))).collect()
}

/// Loss of water between two times, in their middle; while nothing dries yet there is no line.
fn rate_per_h(run: &Run<'_>, index: usize, tray: &TrayResult, unit: Unit) -> Vec<(f64, f64)> {
    let drying = drying_water(run, index, true);
    let rate = |pair: &[(f64, f64)]| {
        let (length_s, lost) = (pair[1].0 - pair[0].0, pair[0].1 - pair[1].1);
        let mass = unit.of(lost * tray.dry_matter_kg);
        (length_s > 0.0).then(|| ((pair[0].0 + pair[1].0) / 2.0, (mass / length_s * HOUR_S).max(0.0)))
    };
    drying.windows(2).filter_map(rate).collect()
}

fn water_left_percent(run: &Run<'_>, index: usize, tray: &TrayResult) -> Vec<(f64, f64)> {
    let loaded = tray.water_kg / tray.dry_matter_kg;
    let percent = |water: f64| 100.0 * water / loaded;
    drying_water(run, index, false)
        .into_iter()
        .map(|(time_s, water)| (time_s, percent(water)))
        .filter(|(_, percent)| *percent >= LEAST_WATER_PERCENT)
        .collect()
}

/// Water per dry matter of a tray over time, as long as it dries; if so wanted without the gush of the first minutes.
fn drying_water(run: &Run<'_>, index: usize, settled: bool) -> Vec<(f64, f64)> {
    let water = |sample: &Sample| sample.trays.get(index).filter(|_| dries(sample)).map(|tray| tray.water_per_dry);
    if settled { run.settled(Stage::PrimaryDrying, water) } else { run.series(water) }
}

/// Highest value of a line.
fn most(line: &Line) -> f64 {
    line.points.iter().map(|point| point.1).fold(0.0, f64::max)
}

fn entry(index: usize, tray: &TrayResult, most_per_h: f64, units: UnitSystem) -> Entry {
    let left_percent = 100.0 * tray.water_left_kg / tray.water_kg;
    let left = if left_percent < 0.1 { "under 0.1".to_owned() } else { format!("{left_percent:.1}") };
    let decimals = if units == UnitSystem::Us { 1 } else { 0 };
    let remark = format!("up to {most_per_h:.decimals$} {}/h, {left} % left", units.small_mass().name);
    Entry::new(Key::Number(index), &tray_name(index, tray), &remark)
}

fn answer(run: &Run<'_>, units: UnitSystem) -> String {
    let water = run.result.water;
    let drying_s = run.result.stage_s[Stage::PrimaryDrying] + run.result.stage_s[Stage::SecondaryDrying];
    format!("{} of water leaves in {}", units.large_mass().written(water.removed_kg, 2), duration(drying_s))
}

fn remark(result: &BatchResult) -> String {
    if result.trays.iter().all(|tray| tray.ice_gone_at_s.is_some()) {
        format!("ice for {}, then bound water", duration(result.stage_s[Stage::PrimaryDrying]))
    } else {
        "ice is left at the end".to_owned()
    }
}
