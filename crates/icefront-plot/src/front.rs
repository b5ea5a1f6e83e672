//! One tray in depth: where its ice front stands, how warm it is, and the temperature through the depth.

use icefront_core::result::{BatchResult, Sample, Stage, TrayResult, TraySample};
use icefront_core::shape::Shape;
use icefront_core::units::{Unit, UnitSystem};

use crate::axis::{self, Axis};
use crate::canvas::{Canvas, Group};
use crate::depth::Depth;
use crate::error::{PlotError, finite};
use crate::heading;
use crate::legend::{self, Entry, Key};
use crate::lines::{self, Line};
use crate::panel::Panel;
use crate::run::{Run, dries};
use crate::stages::StageBand;
use crate::style::{Colour, Dash, INK, MUTED, PANEL_LEFT_PX, series_colour};
use crate::words::{degrees, duration, tray_name};

const FRONT_PANEL_PX: f64 = 130.0;
const TEMPERATURE_PANEL_PX: f64 = 190.0;
const PROFILE_PANEL_PX: f64 = 190.0;
/// Room for the labels of the time axis above the panel of profiles, px.
const PROFILE_GAP_PX: f64 = 44.0;
const FROZEN: Colour = Colour(128, 166, 206);
const DRIED: Colour = Colour(247, 234, 206);
/// Shares of the ice still there at which a profile is drawn, each with its line kind.
const MOMENTS: [(f64, Dash); 3] = [(0.9, Dash::Solid), (0.5, Dash::Long), (0.1, Dash::Short)];
/// Least width of the axis of profiles, K.
const LEAST_WARMTH_K: f64 = 10.0;
/// Points on a profile.
const PROFILE_STEPS: usize = 48;

/// Draws one tray as SVG: its front over time, its temperatures over time, and temperature over depth at four moments.
///
/// `shape` is that of the food on the tray at `index` of the load that `result` answers.
///
/// # Errors
/// `EmptySeries` if the history has fewer than two times, no drying, or no such tray, `NotFinite` if a value is not a
/// number.
pub fn front_chart_svg(
    shape: &Shape,
    result: &BatchResult,
    index: usize,
    units: UnitSystem,
) -> Result<String, PlotError> {
    let run = Run::checked(result)?;
    let stages = StageBand::of(result)?;
    let tray = result.trays.get(index).ok_or(PlotError::EmptySeries("tray"))?;
    let depth = Depth::of(shape);
    let depth_unit = units.depth();
    let whole = finite("depth", depth_unit.of(depth.length_m))?;
    let temperatures = temperature_lines(&run, index, tray, units.degree());
    let profiles = profiles(result, index, &depth, units);
    if profiles.is_empty() {
        return Err(PlotError::EmptySeries("drying"));
    }
    let (front_title, profile_title) = if depth.is_layer() {
        ("Ice boundary above the tray", "Height above the tray")
    } else {
        ("Ice boundary from the middle of a piece", "Distance from the middle of a piece")
    };

    let in_depth = |title: &str| format!("{title}, {}", depth_unit.name);
    let time = Axis::time(run.end_s)?;
    let front_mm = Axis::linear(in_depth(front_title), (0.0, whole), 4)?;
    let degrees = Axis::linear(format!("Temperature, {}", units.degree().name), lines::range(&temperatures), 6)?;
    let across = Axis::linear(format!("temperature, {}", units.degree().name), warmth(&profiles), 8)?;
    let height_mm = Axis::linear(in_depth(profile_title), (0.0, whole), 4)?;
    let front_panel = Panel::new(stages.end_px(), FRONT_PANEL_PX, &time, &front_mm);
    let temperature_panel = front_panel.below(TEMPERATURE_PANEL_PX, &degrees);
    let profile_panel = Panel::new(temperature_panel.bottom + PROFILE_GAP_PX, PROFILE_PANEL_PX, &across, &height_mm)
        .with_remark("the frozen part is shown as warm as its boundary");

    let height_px = profile_panel.picture_end_px();
    let mut canvas = heading::begin(PANEL_LEFT_PX, height_px, &answer(index, tray), &remark(tray, units))?;
    front_panel.draw(&mut canvas)?;
    draw_front(&mut canvas, &front_panel, &front_line(&run, index, tray, (&depth, depth_unit)), whole)?;
    temperature_panel.draw(&mut canvas)?;
    temperature_panel.draw_foot(&mut canvas)?;
    stages.draw(&mut canvas, &[&front_panel, &temperature_panel])?;
    lines::draw_named(&mut canvas, &temperature_panel, &temperatures)?;
    profile_panel.draw(&mut canvas)?;
    profile_panel.draw_foot(&mut canvas)?;
    lines::draw(&mut canvas, &profile_panel, &profiles.iter().map(|p| p.line.clone()).collect::<Vec<_>>())?;
    let areas = [("dried", DRIED), ("frozen", FROZEN)].map(|(name, colour)| Entry::new(Key::Area(colour), name, ""));
    legend::draw(&mut canvas, &areas, front_panel.top)?;
    let moments = profiles.iter().map(|p| Entry::new(p.line.key(), &p.line.name, &p.remark)).collect::<Vec<_>>();
    legend::draw(&mut canvas, &moments, profile_panel.top)?;
    Ok(canvas.finish())
}

/// Front over time while the food dries.
fn front_line(run: &Run<'_>, index: usize, tray: &TrayResult, (depth, unit): (&Depth, Unit)) -> Vec<(f64, f64)> {
    let front = |tray: &TraySample| unit.of(depth.length_m * depth.front(tray.ice_left_frac));
    let mut points = run.series(|s| s.trays.get(index).filter(|_| dries(s)).map(front));
    if let Some(gone_s) = tray.ice_gone_at_s {
        points.retain(|point| point.0 < gone_s || point.1 == 0.0);
        let after = points.partition_point(|point| point.0 < gone_s);
        points.insert(after, (gone_s, 0.0));
    }
    points
}

fn draw_front(canvas: &mut Canvas, panel: &Panel<'_>, front: &[(f64, f64)], whole: f64) -> Result<(), PlotError> {
    let level = |height: f64| front.iter().rev().map(move |point| (point.0, height)).collect::<Vec<_>>();
    let line = panel.places(front);
    for (name, colour, edge) in [("dried", DRIED, whole), ("frozen", FROZEN, 0.0)] {
        let outline: Vec<_> = line.iter().copied().chain(panel.places(&level(edge))).collect();
        canvas.group(&Group::series(name, Dash::Solid), |pen| pen.area(&outline, colour))?;
    }
    canvas.group(&Group::series("ice", Dash::Solid), |pen| pen.line(&line, INK, 1.4))
}

/// Shelf, surface and front, and the limit that the food's structure bears.
fn temperature_lines(run: &Run<'_>, index: usize, tray: &TrayResult, degree: Unit) -> Vec<Line> {
    let of = |value: fn(&TraySample) -> f64| run.tray_series(index, |tray| degree.of(value(tray)));
    let mut lines = vec![
        Line::named("shelf", of(|tray| tray.shelf_k), INK, Dash::Short),
        Line::named("surface", of(|tray| tray.surface_k), series_colour(1), Dash::Long),
        Line::named("ice, then slowest spot", of(|tray| tray.front_k), series_colour(0), Dash::Solid)
            .changing(tray.ice_gone_at_s),
    ];
    let drying_from_s = run.result.stage_s[Stage::Freezing] + run.result.stage_s[Stage::Evacuation];
    if tray.collapse_k.is_finite() {
        let limit = [drying_from_s, run.result.food_ready_s()].map(|time_s| (time_s, degree.of(tray.collapse_k)));
        lines.push(Line::named("limit while ice is left", limit.to_vec(), MUTED, Dash::Dots));
    }
    lines
}

/// Temperature over depth at one moment.
struct Profile {
    line: Line,
    remark: String,
}

impl Profile {
    fn at(
        sample: &Sample,
        tray: &TraySample,
        (depth, units): (&Depth, UnitSystem),
        name: &str,
        (colour, dash): (Colour, Dash),
    ) -> Self {
        let front = depth.front(tray.ice_left_frac);
        let ends = (tray.front_k, tray.surface_k);
        let (degree, length) = (units.degree(), units.depth());
        let point = |at: f64| (degree.of(depth.temperature_k(at, front, ends)), length.of(at * depth.length_m));
        let mut shares: Vec<f64> = (0..=PROFILE_STEPS).map(|step| step as f64 / PROFILE_STEPS as f64).collect();
        shares.push(front);
        shares.sort_by(f64::total_cmp);
        Self {
            line: Line::named(name, shares.into_iter().map(point).collect(), colour, dash),
            remark: format!("after {}, shelf {}", duration(sample.time_s), degrees(tray.shelf_k, units)),
        }
    }
}

/// Profiles at the moments with ice, as far as the run gets there, and at the end of drying; each time once.
fn profiles(result: &BatchResult, index: usize, depth: &Depth, units: UnitSystem) -> Vec<Profile> {
    let drying = || result.history.iter().filter(|s| dries(s)).filter_map(|s| Some((s, s.trays.get(index)?)));
    let Some(end) = drying().next_back() else { return Vec::new() };
    let mut labelled = vec![end.0.time_s];
    let with_ice = MOMENTS.iter().enumerate().filter_map(|(place, (share, dash))| {
        let off = |(_, tray): &(&Sample, &TraySample)| (tray.ice_left_frac - share).abs();
        let with_ice = drying().filter(|(_, tray)| tray.ice_left_frac > 0.0);
        let (sample, tray) = with_ice.min_by(|a, b| off(a).total_cmp(&off(b)))?;
        if labelled.contains(&sample.time_s) {
            return None;
        }
        labelled.push(sample.time_s);
        let name = format!("{:.0} % of the ice left", 100.0 * tray.ice_left_frac);
        Some(Profile::at(sample, tray, (depth, units), &name, (series_colour(place), *dash)))
    });
    let end = Profile::at(end.0, end.1, (depth, units), "end of drying", (INK, Dash::Dots));
    with_ice.chain([end]).collect()
}

/// Coldest and warmest place of all profiles.
fn warmth(profiles: &[Profile]) -> (f64, f64) {
    let points = profiles.iter().flat_map(|profile| &profile.line.points);
    let (least, most) = axis::range(points.map(|point| point.0));
    let pad = ((LEAST_WARMTH_K - (most - least)) / 2.0).max(0.0);
    (least - pad, most + pad)
}

fn answer(index: usize, tray: &TrayResult) -> String {
    let gone =
        tray.ice_gone_at_s.map_or("ice is left at the end".to_owned(), |s| format!("ice gone after {}", duration(s)));
    format!("Tray {}, {}: {gone}", index + 1, tray_name(index, tray))
}

fn remark(tray: &TrayResult, units: UnitSystem) -> String {
    let [warmest, limit] = [tray.front_max_k, tray.collapse_k].map(|k| degrees(k, units));
    format!("its ice gets up to {warmest}; best kept below {limit}")
}
