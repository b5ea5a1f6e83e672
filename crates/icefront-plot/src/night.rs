//! A night outdoors: core and surface of each tray, the air, and the temperatures to be reached.

use icefront_core::units::UnitSystem;

use crate::axis::Axis;
use crate::error::{PlotError, all_finite, finite};
use crate::heading::HEAD_PX;
use crate::legend::{self, Entry, Key};
use crate::lines::{self, Line};
use crate::panel::{self, Panel};
use crate::style::{Dash, INK, MUTED};

const CORE_PANEL_PX: f64 = 240.0;
const LEAST_SURFACE_PANEL_PX: f64 = 200.0;

/// What a night chart shows. Times in s from the moment the trays are set out, temperatures in K.
#[derive(Clone, Debug, PartialEq)]
pub struct NightCourse {
    /// The answer above the chart.
    pub answer: String,
    /// What belongs beside it.
    pub remark: String,
    /// Time of day at which the trays are set out, s after midnight.
    pub set_out_clock_s: f64,
    /// Air over time.
    pub air: Vec<(f64, f64)>,
    /// What the trays see above them over time; empty where it is the air.
    pub sky: Vec<(f64, f64)>,
    /// Trays from the bottom to the top.
    pub trays: Vec<NightTray>,
    /// Temperatures of the core that matter, each with its name.
    pub limits: Vec<(String, f64)>,
    /// Units of the axes.
    pub units: UnitSystem,
}

/// One tray of a night.
#[derive(Clone, Debug, PartialEq)]
pub struct NightTray {
    /// Its name.
    pub name: String,
    /// What became of it.
    pub remark: String,
    /// Slowest point over time; empty for a tray that came frozen.
    pub core: Vec<(f64, f64)>,
    /// Surface towards the air over time.
    pub surface: Vec<(f64, f64)>,
}

/// Draws a night as SVG: cores with the limits above, surfaces with air and sky below.
///
/// # Errors
/// `EmptySeries` if the air has fewer than two times, `NotFinite` if a value is not a number.
pub fn night_chart_svg(night: &NightCourse) -> Result<String, PlotError> {
    let end_s = night.checked_end_s()?;
    let degree = night.units.degree();
    let in_degrees =
        |points: &[(f64, f64)]| points.iter().map(|&(time_s, kelvin)| (time_s, degree.of(kelvin))).collect::<Vec<_>>();
    let air = Line::named("air", in_degrees(&night.air), MUTED, Dash::Dots);
    let sky = Line::named("sky", in_degrees(&night.sky), MUTED, Dash::Short);
    let limit = |(name, level_k): &(String, f64)| {
        Line::named(name, in_degrees(&[(0.0, *level_k), (end_s, *level_k)]), INK, Dash::Long)
    };
    let trays = || night.trays.iter().enumerate();
    let cores: Vec<Line> = trays().map(|(i, tray)| Line::tray(i, tray.name.clone(), in_degrees(&tray.core))).collect();
    let surfaces = trays().map(|(i, tray)| Line::tray(i, tray.name.clone(), in_degrees(&tray.surface)));
    let upper: Vec<Line> = cores.into_iter().chain([air.clone()]).chain(night.limits.iter().map(limit)).collect();
    let around = if sky.points.is_empty() { vec![air] } else { vec![air, sky] };
    let tray_entry = |(i, tray): (usize, &NightTray)| Entry::new(Key::Number(i), &tray.name, &tray.remark);
    let mut entries: Vec<Entry> = night.trays.iter().enumerate().map(tray_entry).collect();
    entries.extend(around.iter().map(|line| Entry::new(line.key(), &line.name, "")));
    let lower: Vec<Line> = surfaces.chain(around).collect();

    let time = Axis::clock(night.set_out_clock_s, end_s)?;
    let core_degrees = Axis::linear(format!("Core (slowest point), {}", degree.name), lines::range(&upper), 6)?;
    let surface_degrees = Axis::linear(format!("Surface, {}", degree.name), lines::range(&lower), 6)?;
    let core = Panel::new(HEAD_PX, CORE_PANEL_PX, &time, &core_degrees);
    let surface = core.below(LEAST_SURFACE_PANEL_PX.max(legend::height_px(&entries)), &surface_degrees);

    let mut canvas = panel::picture(&[&core, &surface], &night.answer, &night.remark)?;
    lines::draw_named(&mut canvas, &core, &upper)?;
    lines::draw(&mut canvas, &surface, &lower)?;
    legend::draw(&mut canvas, &entries, surface.top)?;
    Ok(canvas.finish())
}

impl NightCourse {
    /// Where the time axis ends, s, once all values are found to be numbers.
    fn checked_end_s(&self) -> Result<f64, PlotError> {
        let trays = || self.trays.iter().flat_map(|tray| tray.core.iter().chain(&tray.surface));
        for (time_s, kelvin) in self.air.iter().chain(&self.sky).chain(trays()) {
            finite("time", *time_s)?;
            finite("temperature", *kelvin)?;
        }
        all_finite("limit", self.limits.iter().map(|(_, level_k)| *level_k))?;
        finite("clock", self.set_out_clock_s)?;
        let end_s = self.air.iter().map(|point| point.0).fold(0.0, f64::max);
        if self.air.len() < 2 || end_s <= 0.0 { Err(PlotError::EmptySeries("air")) } else { Ok(end_s) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn night(trays: usize) -> NightCourse {
        let fall = |from_k: f64| (0..14).map(|h| (f64::from(h) * 3_600.0, from_k - f64::from(h))).collect::<Vec<_>>();
        let tray = |i: usize| NightTray {
            name: format!("invented food {i}"),
            remark: "at −12 °C by 21:40".to_owned(),
            core: fall(278.0 + i as f64),
            surface: fall(276.0 + i as f64),
        };
        NightCourse {
            answer: "Every core at −12 °C by 21:40".to_owned(),
            remark: "invented".to_owned(),
            set_out_clock_s: 18.0 * 3_600.0,
            air: fall(265.0),
            sky: fall(240.0),
            trays: (0..trays).map(tray).collect(),
            limits: vec![("frozen, −12 °C".to_owned(), 261.15)],
            units: UnitSystem::Metric,
        }
    }

    #[test]
    fn shows_trays_air_sky_and_limits_on_the_clock() {
        let svg = night_chart_svg(&night(3)).unwrap();
        for text in
            ["Every core at", "invented food 2", "frozen, −12 °C", ">air<", ">sky<", "time of day", "18:00", "0:00"]
        {
            assert!(svg.contains(text), "`{text}` is missing");
        }
        // three trays and the air on both panels, the limit on the upper, the sky on the lower
        assert_eq!(svg.matches("class=\"series\"").count(), 10);
        let came_frozen = NightTray { core: Vec::new(), surface: Vec::new(), ..night(1).trays[0].clone() };
        let mut with = night(2);
        with.trays.insert(0, came_frozen);
        assert!(night_chart_svg(&with).unwrap().ends_with("</svg>\n"));
    }

    #[test]
    fn too_little_and_impossible_values_are_refused() {
        let short = NightCourse { air: vec![(0.0, 265.0)], ..night(1) };
        assert_eq!(night_chart_svg(&short), Err(PlotError::EmptySeries("air")));
        let mut bad = night(2);
        bad.trays[1].core[3].1 = f64::NAN;
        assert_eq!(night_chart_svg(&bad), Err(PlotError::NotFinite("temperature")));
        let limit = NightCourse { limits: vec![("x".to_owned(), f64::INFINITY)], ..night(1) };
        assert_eq!(night_chart_svg(&limit), Err(PlotError::NotFinite("limit")));
    }
}
