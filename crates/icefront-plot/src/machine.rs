//! The machine while the food dries: pressure, cold surface, and the ice that grows on it.

use icefront_core::result::{BatchResult, Sample, Stage};
use icefront_core::units::UnitSystem;

use crate::axis::Axis;
use crate::error::PlotError;
use crate::headline::Headline;
use crate::lines::{self, Line};
use crate::panel::{self, Panel};
use crate::run::{Run, dries};
use crate::stages::StageBand;
use crate::style::{Dash, INK, series_colour};

const PRESSURE_PANEL_PX: f64 = 190.0;
const TEMPERATURE_PANEL_PX: f64 = 150.0;
const ICE_PANEL_PX: f64 = 110.0;

/// What one panel shows.
struct Part {
    height_px: f64,
    axis: Axis,
    lines: Vec<Line>,
}

/// Draws chamber pressure, condenser temperature and condenser ice over time as SVG; a rig without a condenser shows
/// its pressure alone.
///
/// # Errors
/// `EmptySeries` if the history has fewer than two times or no drying, `NotFinite` if a value is not a number.
pub fn machine_chart_svg(result: &BatchResult, headline: &Headline) -> Result<String, PlotError> {
    let units = headline.units;
    let run = Run::checked(result)?;
    let stages = StageBand::of(result)?;
    let mut parts = vec![pressure(&run, units)?];
    if result.history.iter().any(|sample| sample.condenser_k > 0.0) {
        parts.extend([temperature(&run, units)?, ice(&run, units)?]);
    }

    let time = Axis::time(run.end_s)?;
    let mut panels: Vec<Panel<'_>> = Vec::new();
    for part in &parts {
        panels.push(match panels.last() {
            None => Panel::new(stages.end_px(), part.height_px, &time, &part.axis),
            Some(above) => above.below(part.height_px, &part.axis),
        });
    }

    let all: Vec<&Panel<'_>> = panels.iter().collect();
    let mut canvas = panel::picture(&all, &answer(result, units), &remark(result, units))?;
    stages.draw(&mut canvas, &all)?;
    for (panel, part) in panels.iter().zip(&parts) {
        lines::draw_named(&mut canvas, panel, &part.lines)?;
    }
    Ok(canvas.finish())
}

/// Vapour, and vapour with air, as long as the pump runs and the air is out.
fn pressure(run: &Run<'_>, units: UnitSystem) -> Result<Part, PlotError> {
    let unit = units.vacuum();
    // nothing has no place on a logarithmic axis
    let drying = |value: fn(&Sample) -> f64| {
        run.settled(Stage::PrimaryDrying, |s| Some(unit.of(value(s))).filter(|pressure| dries(s) && *pressure > 0.0))
    };
    let mut lines = vec![
        Line::named("vapour and air", drying(|s| s.chamber_pressure_pa), INK, Dash::Solid),
        Line::named("vapour alone", drying(|s| s.vapour_pressure_pa), series_colour(0), Dash::Short),
    ];
    lines.retain(|line| line.points.len() > 1);
    if lines.is_empty() {
        return Err(PlotError::EmptySeries("drying"));
    }
    let (low, high) = lines::range(&lines);
    let axis = Axis::logarithmic(format!("Pressure in the chamber, {}", unit.name), (low / 1.3, high * 1.3))?;
    Ok(Part { height_px: PRESSURE_PANEL_PX, axis, lines })
}

fn temperature(run: &Run<'_>, units: UnitSystem) -> Result<Part, PlotError> {
    let degree = units.degree();
    let lines = vec![
        Line::named("ice surface", run.series(|s| Some(degree.of(s.ice_surface_k))), series_colour(0), Dash::Short),
        Line::named("condenser metal", run.series(|s| Some(degree.of(s.condenser_k))), INK, Dash::Solid),
    ];
    let axis = Axis::linear(format!("Condenser, {}", degree.name), lines::range(&lines), 5)?;
    Ok(Part { height_px: TEMPERATURE_PANEL_PX, axis, lines })
}

fn ice(run: &Run<'_>, units: UnitSystem) -> Result<Part, PlotError> {
    let unit = units.large_mass();
    let lines = vec![Line::named("ice", run.series(|s| Some(unit.of(s.condenser_ice_kg))), INK, Dash::Solid)];
    let axis = Axis::linear(format!("Ice on the condenser, {}", unit.name), (0.0, lines::range(&lines).1), 3)?;
    Ok(Part { height_px: ICE_PANEL_PX, axis, lines })
}

fn answer(result: &BatchResult, units: UnitSystem) -> String {
    let machine = &result.machine;
    let [mean, most] = [machine.mean_pressure_pa, machine.max_pressure_pa].map(|pa| units.pressure(pa));
    if machine.max_pressure_pa > 0.0 {
        format!("{mean} on average and {most} at most while ice was left")
    } else {
        "Too short under vacuum for a mean pressure".to_owned()
    }
}

fn remark(result: &BatchResult, units: UnitSystem) -> String {
    let machine = &result.machine;
    let Some(room_frac) = machine.ice_room_frac else { return "a rig with given conditions".to_owned() };
    format!(
        "heaters held back by pressure for {:.0} % of primary drying · {} of ice on the condenser, {:.0} % of its room",
        100.0 * machine.time_limited_frac,
        units.thickness(machine.ice_thickness_m),
        100.0 * room_frac
    )
}
