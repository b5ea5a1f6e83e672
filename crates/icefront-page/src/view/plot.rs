//! Charts over time for a hand: the lines stretch to the screen they are on, the letters do not. The script reads the values
//! at a tap, under the mouse or by the arrow keys off the lines themselves.

use icefront_core::result::{BatchResult, Sample, Stage};
use icefront_core::units::Temperature;
use icefront_kitchen::format::in_hours;
use icefront_kitchen::weather::clock::Clock;
use maud::{Markup, html};

/// Points of a line, about.
const POINTS: usize = 72;
/// Size of the drawing, before it is stretched.
const SIZE: (f64, f64) = (1000.0, 400.0);
/// Most parts of the time axis, and how long one may be, h.
const MOST_PARTS: f64 = 5.0;
const PARTS_H: [f64; 10] = [0.5, 1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0, 24.0, 48.0];

/// A quantity over the time of a run.
pub struct Plot {
    quantity: &'static str,
    unit: &'static str,
    low: f64,
    high: f64,
    lines: Vec<Line>,
}

/// A line: its name, and a value for each time.
struct Line {
    name: String,
    values: Vec<Option<f64>>,
}

/// The plots of a chart of this file name; `None` for a chart that is no course of a run.
pub fn plots(file: &str, result: &BatchResult) -> Option<Vec<Plot>> {
    let celsius = |k: f64| Temperature::from_kelvin(k).celsius();
    let times = times(result);
    let one = |name: &str, value: &dyn Fn(&Sample) -> Option<f64>| Line {
        name: name.to_string(),
        values: times.iter().map(|sample| value(sample).filter(|v| v.is_finite())).collect(),
    };
    let trays = |value: &dyn Fn(&Sample, usize) -> Option<f64>| {
        let named = result.trays.iter().enumerate();
        named.map(|(i, tray)| one(&format!("{} {}", i + 1, tray.food), &|s| value(s, i))).collect::<Vec<_>>()
    };
    let drying = |s: &Sample| s.stage < Stage::Defrost;
    match file {
        "batch" => {
            let ice = trays(&|s, i| s.trays.get(i).map(|t| 100.0 * t.ice_left_frac));
            let mut warmth = trays(&|s, i| s.trays.get(i).filter(|_| drying(s)).map(|t| celsius(t.front_k)));
            let mean = |s: &Sample| s.trays.iter().map(|t| t.shelf_k).sum::<f64>() / s.trays.len() as f64;
            warmth.push(one("shelves", &|s| drying(s).then(|| celsius(mean(s)))));
            warmth.push(one("condenser", &|s| (s.condenser_k > 0.0).then(|| celsius(s.condenser_k))));
            Some(vec![
                Plot::new("Ice left", "%", ice),
                Plot::new("Temperature of the ice, later of the food", "\u{b0}C", warmth),
            ])
        }
        "drying" => {
            let lines = trays(&|s, i| s.trays.get(i).filter(|_| drying(s)).map(|t| 3.6e6 * t.vapour_kg_per_s));
            Some(vec![Plot::new("Vapour that leaves a tray", "g/h", lines)])
        }
        "machine" => Some(vec![
            Plot::new(
                "Pressure",
                "Pa",
                vec![one("in the cabinet", &|s| {
                    matches!(s.stage, Stage::PrimaryDrying | Stage::SecondaryDrying).then_some(s.chamber_pressure_pa)
                })],
            ),
            Plot::new("Ice on the condenser", "kg", vec![one("ice", &|s| Some(s.condenser_ice_kg))]),
        ]),
        "power" => Some(vec![Plot::new(
            "Power",
            "W",
            vec![
                one("all of it", &|s| Some(s.power_w.total())),
                one("compressor", &|s| Some(s.power_w.compressor)),
                one("heaters", &|s| Some(s.power_w.heaters)),
                one("vacuum pump", &|s| Some(s.power_w.vacuum_pump)),
            ],
        )]),
        _ => None,
    }
}

/// Samples at about even times.
fn times(result: &BatchResult) -> Vec<&Sample> {
    let last_s = result.history.last().map_or(0.0, |sample| sample.time_s);
    let at = |n: usize| result.history.iter().find(|s| s.time_s >= last_s * n as f64 / POINTS as f64);
    (0..=POINTS).filter_map(at).collect()
}

impl Plot {
    fn new(quantity: &'static str, unit: &'static str, lines: Vec<Line>) -> Self {
        let values = || lines.iter().flat_map(|line| line.values.iter().flatten().copied());
        let (low, high) = (values().fold(0.0, f64::min), values().fold(0.0, f64::max));
        let step = round_step(((high - low) / 5.0).max(1e-9));
        Self { quantity, unit, low: (low / step).floor() * step, high: (high / step).ceil() * step, lines }
    }

    /// The plot, with its axes and names.
    pub fn html(&self, result: &BatchResult, start: Clock) -> Markup {
        let (parts, part_h) = time_axis(result.history.last().map_or(0.0, |sample| in_hours(sample.time_s)));
        let hours = f64::from(parts) * part_h;
        let middle = 0.5 * (self.low + self.high);
        let share = |at_h: f64| SIZE.0 * at_h / hours.max(1e-9);
        let stages = stages(result);
        html! {
            figure.plot tabindex="0" role="group" aria-label=(format!("{}, {}; arrow keys read it", self.quantity, self.unit))
                data-hours=(hours) data-low=(self.low) data-high=(self.high) data-unit=(self.unit) data-start=(start)
                data-stages=(stages.iter().map(|(name, h)| format!("{h:.2} {name}")).collect::<Vec<_>>().join(";")) {
                p.quantity { (self.quantity) ", " (self.unit) }
                div.frame {
                    div.ticks.upright { @for value in [self.high, middle, self.low] { span { (shown(value)) } } }
                    svg viewBox=(format!("0 0 {} {}", SIZE.0, SIZE.1)) preserveAspectRatio="none" aria-hidden="true" {
                        @for part in 0..3 { @let y = 0.5 * SIZE.1 * f64::from(part); line.grid x1="0" x2=(SIZE.0) y1=(y) y2=(y) {} }
                        @for (_, h) in &stages { line.stage x1=(share(*h)) x2=(share(*h)) y1="0" y2=(SIZE.1) {} }
                        @for (place, line) in self.lines.iter().enumerate() {
                            polyline class=(format!("s{}", place % 8)) points=(self.points(line, result, hours)) data-name=(line.name) {}
                        }
                        line.cursor x1="0" x2="0" y1="0" y2=(SIZE.1) {}
                    }
                    div.ticks.along { @for part in 0..=parts { span { (start.after(3600.0 * part_h * f64::from(part))) } } }
                }
                ul.legend { @for (place, line) in self.lines.iter().enumerate() { li class=(format!("s{}", place % 8)) { (line.name) } } }
                p.readout aria-live="polite" {}
            }
        }
    }

    fn points(&self, line: &Line, result: &BatchResult, hours: f64) -> String {
        let point = |(sample, value): (&&Sample, &Option<f64>)| {
            let x = SIZE.0 * in_hours(sample.time_s) / hours.max(1e-9);
            value.map(|v| format!("{x:.0},{:.1}", SIZE.1 * (self.high - v) / (self.high - self.low).max(1e-9)))
        };
        times(result).iter().zip(&line.values).filter_map(point).collect::<Vec<_>>().join(" ")
    }
}

/// The time axis of a run: how many parts, and how many hours each of them has.
fn time_axis(run_h: f64) -> (u32, f64) {
    let part_h = PARTS_H.into_iter().find(|part_h| run_h <= MOST_PARTS * part_h).unwrap_or(run_h / MOST_PARTS);
    ((run_h / part_h).ceil().clamp(1.0, MOST_PARTS) as u32, part_h)
}

/// Stages with the hour each of them ends.
fn stages(result: &BatchResult) -> Vec<(&'static str, f64)> {
    let mut end_s = 0.0;
    let ends = result.stage_s.iter().map(|(stage, length_s)| {
        end_s += length_s;
        (stage.name(), in_hours(end_s))
    });
    ends.collect()
}

fn shown(value: f64) -> String {
    icefront_kitchen::format::trimmed(value, if value.abs() < 10.0 { 1 } else { 0 })
}

/// The next larger of 1, 2 and 5 times a power of ten.
fn round_step(wanted: f64) -> f64 {
    let decade = libm::pow(10.0, libm::log10(wanted).floor());
    [1.0, 2.0, 5.0].into_iter().map(|m| m * decade).find(|step| *step >= wanted * 0.999).unwrap_or(10.0 * decade)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_axis_has_whole_hours_and_holds_the_run() {
        for (run_h, axis) in [(27.4, (5, 6.0)), (10.0, (5, 2.0)), (2.2, (5, 0.5)), (41.0, (4, 12.0)), (0.1, (1, 0.5))] {
            assert_eq!(time_axis(run_h), axis, "{run_h} h");
        }
        let (parts, part_h) = time_axis(300.0);
        assert!(f64::from(parts) * part_h >= 300.0);
    }

    #[test]
    fn axes_end_at_round_numbers_around_all_values() {
        let line = |values: &[f64]| Line { name: String::new(), values: values.iter().copied().map(Some).collect() };
        for (values, ends) in [
            (&[0.0, 100.0][..], (0.0, 100.0)),
            (&[-43.0, 53.0][..], (-60.0, 60.0)),
            (&[1310.0][..], (0.0, 1500.0)),
            (&[0.0][..], (0.0, 0.0)),
        ] {
            let plot = Plot::new("", "", vec![line(values)]);
            assert_eq!((plot.low, plot.high), ends, "{values:?}");
        }
    }
}
