//! `icefront update` as one picture.

use icefront_core::learning::{Quantity, Reading};
use icefront_core::load::Load;
use icefront_core::ranges::Quantiles;
use icefront_core::result::BatchResult;
use icefront_core::units::{Unit, UnitSystem};
use icefront_plot::{PlotError, ReadCourse, ReadPanel, ReadRun, SharpenedRange};

use crate::running::update_text::headline;
use crate::running::{Answer, Change};
use crate::{Readings, Sheet};

/// Points of a predicted course.
const POINTS: usize = 200;

/// SVG text: readings against the run of the sheet and the run in the middle of what is now believed.
pub fn chart(sheet: &Sheet, typical: &BatchResult, readings: &Readings, answer: &Answer) -> Result<String, PlotError> {
    let before = Run { load: &sheet.load, result: typical };
    let believed = sheet.at_smooth(&answer.believed).and_then(|load| Ok((icefront_core::plan(&load)?, load))).ok();
    let after = believed.as_ref().map(|(result, load)| Run { load, result });
    let end_s = after.iter().map(Run::end_s).fold(before.end_s(), f64::max);
    let mut panels: Vec<ReadPanel> = Vec::new();
    let mut shown: Vec<Quantity> = Vec::new();
    for quantity in readings.used.iter().map(|r| r.quantity) {
        let Some((title, unit)) = shown_as(quantity, sheet.load.units).filter(|_| !shown.contains(&quantity)) else {
            continue;
        };
        shown.push(quantity);
        let course = |run: &Run<'_>| run.course(quantity, end_s).into_iter().map(|(t, x)| (t, unit.of(x))).collect();
        let read = readings.used.iter().filter(|r| r.quantity == quantity).map(|r| (r.time_s, unit.of(r.value)));
        let course = ReadCourse {
            name: place(&sheet.load, quantity),
            read: read.collect(),
            before: course(&before),
            after: after.as_ref().map(course).unwrap_or_default(),
        };
        match panels.iter_mut().find(|p| p.title == title) {
            Some(panel) => panel.courses.push(course),
            None => panels.push(ReadPanel { title, courses: vec![course] }),
        }
    }
    let three = |q: Quantiles| [q.low, q.typical, q.high];
    let range = |name: &str, change: Change| SharpenedRange {
        name: name.into(),
        before_s: three(change.before),
        after_s: three(change.after),
    };
    let ranges = vec![range("last ice gone", answer.last_ice_s), range("food ready", answer.ready_s)];
    // the first sentence is the answer, the rest has no room above a picture
    let answer = headline(readings, answer);
    let answer = answer.split_once(". ").map_or(answer.as_str(), |(first, _)| first).to_string();
    icefront_plot::readings_chart_svg(&ReadRun { answer, panels, ranges })
}

/// A run to be read.
struct Run<'a> {
    load: &'a Load,
    result: &'a BatchResult,
}

impl Run<'_> {
    fn end_s(&self) -> f64 {
        self.result.food_ready_s()
    }

    /// What would have been read over time; what is no number is left out.
    fn course(&self, quantity: Quantity, end_s: f64) -> Vec<(f64, f64)> {
        let at = |i: usize| {
            let time_s = end_s * i as f64 / (POINTS - 1) as f64;
            (time_s, Reading { time_s, quantity, value: 0.0 }.predicted(self.load, self.result))
        };
        (0..POINTS).map(at).filter(|(_, value)| value.is_finite()).collect()
    }
}

/// How a quantity is shown: in which panel and unit; `None` for events and for what tells of a moment alone.
fn shown_as(quantity: Quantity, units: UnitSystem) -> Option<(String, Unit)> {
    Some(match quantity {
        Quantity::Weight { .. } => in_unit("Food on the tray", units.small_mass()),
        Quantity::WaterLost { .. } => in_unit("Water lost", units.small_mass()),
        Quantity::Product { .. } => in_unit("Coldest food", units.degree()),
        Quantity::Shelf { .. } => in_unit("Shelf", units.degree()),
        Quantity::Pressure => in_unit("Pressure", units.vacuum()),
        Quantity::Energy => in_unit("Electricity", Unit::KILOWATT_HOUR),
        Quantity::PressureRise | Quantity::PumpStarted | Quantity::Finished | Quantity::Drained => return None,
    })
}

/// A panel's title and unit.
fn in_unit(what: &str, unit: Unit) -> (String, Unit) {
    (format!("{what}, {}", unit.name), unit)
}

fn place(load: &Load, quantity: Quantity) -> String {
    let tray = quantity.tray().and_then(|i| load.trays.get(i));
    match (tray, quantity) {
        (Some(tray), _) => format!("{}, {}", tray.name, tray.food),
        (None, Quantity::Energy) => "plug meter".into(),
        (None, _) => "chamber".into(),
    }
}
