//! Predicted against measured times, with the lines of agreement and of 20 % off.

use crate::axis::{self, Axis};
use crate::canvas::{Canvas, Group, Pen};
use crate::error::{PlotError, all_finite};
use crate::heading::{self, HEAD_PX};
use crate::labels::{Extent, free_place};
use crate::legend::{self, Entry, Key};
use crate::markers::draw_marker;
use crate::panel::Panel;
use crate::style::{Dash, INK, MUTED, NOTE, PANEL_LEFT_PX, PANEL_RIGHT_PX, series_colour};

/// A prediction further off than this share of the measured time lies outside the dashed lines.
const NEAR_FRAC: f64 = 0.2;
/// Half the side of the square that a point takes up, px.
const POINT_PX: f64 = 6.0;

/// One experiment: what was measured, and what the model says with its range.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredPoint {
    /// Short name of the experiment.
    pub name: String,
    /// Group it belongs to (food, laboratory); groups differ by the shape of their points.
    pub group: String,
    /// Measured time, h.
    pub measured_h: f64,
    /// Low end of the predicted range, h.
    pub predicted_low_h: f64,
    /// Prediction, h.
    pub predicted_h: f64,
    /// High end of the predicted range, h.
    pub predicted_high_h: f64,
}

impl MeasuredPoint {
    fn is_near(&self) -> bool {
        (self.predicted_h / self.measured_h - 1.0).abs() <= NEAR_FRAC
    }

    fn times_h(&self) -> [f64; 4] {
        [self.measured_h, self.predicted_low_h, self.predicted_h, self.predicted_high_h]
    }
}

/// Draws predicted over measured times on logarithmic axes, with the lines of agreement and of 20 % off, as SVG.
///
/// Each point carries its predicted range as a bar; points outside the 20 % carry their names where there is room.
///
/// # Errors
/// `EmptySeries` without points, `NotFinite` or `NotPositive` if a time cannot stand on the axes.
pub fn evidence_chart_svg(points: &[MeasuredPoint]) -> Result<String, PlotError> {
    let range_h = range_h(points)?;
    let measured = Axis::logarithmic("measured time, h", range_h)?;
    let predicted = Axis::logarithmic("Predicted time, h", range_h)?;
    let panel = Panel::new(HEAD_PX, PANEL_RIGHT_PX - PANEL_LEFT_PX, &measured, &predicted);
    let panel = panel.with_remark("bars: predicted range");
    let groups = groups(points);
    let mut entries: Vec<Entry> = groups.iter().enumerate().map(|(index, group)| entry(index, group, points)).collect();
    entries.push(Entry::new(Key::Line(MUTED, Dash::Solid), "equal", ""));
    entries.push(Entry::new(Key::Line(MUTED, Dash::Long), "20 % more, 20 % less", ""));

    let legend_end_px = panel.top + legend::height_px(&entries);
    let height_px = panel.picture_end_px().max(legend_end_px);
    let mut canvas = heading::begin(PANEL_LEFT_PX, height_px, &answer(points), &remark(points))?;
    panel.draw(&mut canvas)?;
    panel.draw_foot(&mut canvas)?;
    draw_agreement(&mut canvas, &panel)?;
    for (index, group) in groups.iter().enumerate() {
        let members: Vec<&MeasuredPoint> = points.iter().filter(|point| point.group == *group).collect();
        canvas.group(&Group::series(group, Dash::Solid), |pen| draw_group(pen, &panel, index, &members))?;
    }
    canvas.group(&Group::halo("names"), |pen| draw_names(pen, &panel, points))?;
    legend::draw(&mut canvas, &entries, panel.top)?;
    Ok(canvas.finish())
}

/// Both axes span all times, with some room.
fn range_h(points: &[MeasuredPoint]) -> Result<(f64, f64), PlotError> {
    /// Room beyond the outermost value.
    const ROOM: f64 = 1.6;
    if points.is_empty() {
        return Err(PlotError::EmptySeries("points"));
    }
    let times_h = || points.iter().flat_map(MeasuredPoint::times_h);
    all_finite("time", times_h())?;
    let (low, high) = axis::range(times_h());
    Ok((low / ROOM, high.max(0.0) * ROOM))
}

/// Groups in the order in which they first appear.
fn groups(points: &[MeasuredPoint]) -> Vec<&str> {
    let mut groups: Vec<&str> = Vec::new();
    for point in points {
        if !groups.contains(&point.group.as_str()) {
            groups.push(&point.group);
        }
    }
    groups
}

fn draw_agreement(canvas: &mut Canvas, panel: &Panel<'_>) -> Result<(), PlotError> {
    let (low, high) = (panel.x.low, panel.x.high);
    let above = 1.0 + NEAR_FRAC;
    let below = 1.0 - NEAR_FRAC;
    let equal = panel.places(&[(low, low), (high, high)]);
    let more = panel.places(&[(low, low * above), (high / above, high)]);
    let less = panel.places(&[(low / below, low), (high, high * below)]);
    canvas.group(&Group::dashed("reference", Dash::Solid), |pen| pen.line(&equal, MUTED, 1.0))?;
    canvas.group(&Group::dashed("reference", Dash::Long), |pen| {
        pen.line(&more, MUTED, 1.0)?;
        pen.line(&less, MUTED, 1.0)
    })
}

fn draw_group(pen: &mut Pen<'_>, panel: &Panel<'_>, index: usize, members: &[&MeasuredPoint]) -> Result<(), PlotError> {
    for point in members {
        let range = [(point.measured_h, point.predicted_low_h), (point.measured_h, point.predicted_high_h)];
        pen.line(&panel.places(&range), series_colour(index), 1.2)?;
    }
    members.iter().try_for_each(|point| draw_marker(pen, index, panel.at(point.measured_h, point.predicted_h)))
}

fn draw_names(pen: &mut Pen<'_>, panel: &Panel<'_>, points: &[MeasuredPoint]) -> Result<(), PlotError> {
    let place = |point: &MeasuredPoint| panel.at(point.measured_h, point.predicted_h);
    let bar = |point: &MeasuredPoint| {
        let (x, low) = panel.at(point.measured_h, point.predicted_low_h);
        let (_, high) = panel.at(point.measured_h, point.predicted_high_h);
        Extent { left: x - 2.0, top: high, right: x + 2.0, bottom: low }
    };
    let mut taken: Vec<Extent> = points.iter().map(|point| Extent::around(place(point), POINT_PX, POINT_PX)).collect();
    taken.extend(points.iter().map(bar));
    let sheet = Extent { left: panel.left, top: panel.top, right: panel.right, bottom: panel.bottom };
    for point in points.iter().filter(|point| !point.is_near()) {
        if let Some(text_box) = free_place(&point.name, NOTE, place(point), &taken, &sheet) {
            pen.text(&point.name, text_box.baseline(NOTE), NOTE.coloured(INK))?;
            taken.push(text_box);
        }
    }
    Ok(())
}

fn entry(index: usize, group: &str, points: &[MeasuredPoint]) -> Entry {
    let members = || points.iter().filter(|point| point.group == group);
    let near = members().filter(|point| point.is_near()).count();
    Entry::new(Key::Marker(index), group, &format!("{near} of {} within 20 %", members().count()))
}

fn answer(points: &[MeasuredPoint]) -> String {
    let near = points.iter().filter(|point| point.is_near()).count();
    format!("{near} of {} predictions within 20 %", points.len())
}

fn remark(points: &[MeasuredPoint]) -> String {
    let covered = points.iter().filter(|p| (p.predicted_low_h..=p.predicted_high_h).contains(&p.measured_h)).count();
    format!("{covered} of {} measured times inside the predicted range", points.len())
}
