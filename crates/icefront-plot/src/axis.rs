//! An axis: its range, where its ticks stand and what they say.

use std::borrow::Cow;

use icefront_core::units::Duration;

use crate::error::{PlotError, finite};

/// No tick label has more digits after the point.
const MOST_DECIMALS: i32 = 6;
/// One hour, s.
pub(crate) const HOUR_S: f64 = 3_600.0;

/// One axis.
pub(crate) struct Axis {
    /// What it shows, with the unit of its tick labels.
    pub title: Cow<'static, str>,
    pub low: f64,
    pub high: f64,
    logarithmic: bool,
    pub ticks: Vec<Tick>,
}

/// One tick.
pub(crate) struct Tick {
    pub value: f64,
    pub label: String,
}

impl Axis {
    /// Round limits around `low..=high` with at most about `most_ticks` ticks.
    pub(crate) fn linear(
        title: impl Into<Cow<'static, str>>,
        (low, high): (f64, f64),
        most_ticks: usize,
    ) -> Result<Self, PlotError> {
        let span = finite("range of an axis", high - low)?;
        let span = if span > 0.0 { span } else { f64::max(1.0, low.abs()) };
        let step = round_step(span / most_ticks as f64);
        let (first, last) = ((low / step).floor(), (high / step).ceil());
        let last = if last > first { last } else { first + 1.0 };
        let decimals = decimals(step);
        let count = (last - first) as usize;
        let ticks = (0..=count).map(|i| Tick::at((first + i as f64) * step, decimals)).collect();
        Ok(Self { title: title.into(), low: first * step, high: last * step, logarithmic: false, ticks })
    }

    /// From the start to `end_s`, values in s, ticks in hours or, for a short run, minutes.
    pub(crate) fn time(end_s: f64) -> Result<Self, PlotError> {
        const MOST_TICKS: f64 = 11.0;
        const STEPS_H: [f64; 11] = [0.5, 1.0, 2.0, 3.0, 4.0, 6.0, 12.0, 24.0, 48.0, 96.0, 168.0];
        let end_s = finite("time", end_s)?;
        let whole = Duration::from_seconds(end_s);
        let in_hours = whole.hours() > 3.0;
        let (title, end) = if in_hours {
            ("time from the start, h", whole.hours())
        } else {
            ("time from the start, min", whole.minutes())
        };
        let unit_s = end_s / end;
        let usual = STEPS_H.into_iter().find(|step| in_hours && end / step <= MOST_TICKS);
        let step = usual.unwrap_or_else(|| round_step(end / MOST_TICKS));
        let decimals = decimals(step);
        let ticks = (0..=(end / step + 1e-9) as usize)
            .map(|i| i as f64 * step)
            .map(|value| Tick { value: value * unit_s, ..Tick::at(value, decimals) })
            .collect();
        Ok(Self { title: title.into(), low: 0.0, high: end_s, logarithmic: false, ticks })
    }

    /// From a time of day (s after midnight) on for `length_s`, values in s from then, ticks on full hours of the clock.
    pub(crate) fn clock(start_s: f64, length_s: f64) -> Result<Self, PlotError> {
        const MOST_TICKS: f64 = 11.0;
        let (start_s, length_s) = (finite("clock", start_s)?, finite("time", length_s)?);
        let steps_h = [1.0, 2.0, 3.0, 4.0, 6.0, 12.0, 24.0];
        let step_s = steps_h.map(|h| h * HOUR_S).into_iter().find(|step_s| length_s / step_s <= MOST_TICKS);
        let step_s = step_s.unwrap_or_else(|| round_step(length_s / MOST_TICKS));
        let first = (start_s / step_s).ceil();
        let count = ((start_s + length_s) / step_s - first + 1e-9).floor().max(-1.0) as i64;
        let tick = |i: i64| {
            let of_day_s = (first + i as f64) * step_s;
            let hour = (of_day_s / HOUR_S).round() as i64 % 24;
            Tick { value: of_day_s - start_s, label: format!("{hour:02}:00") }
        };
        Ok(Self {
            title: "time of day".into(),
            low: 0.0,
            high: length_s,
            logarithmic: false,
            ticks: (0..=count).map(tick).collect(),
        })
    }

    /// Logarithmic from `low` to `high`; the wider, the fewer ticks in a decade.
    pub(crate) fn logarithmic(title: impl Into<Cow<'static, str>>, (low, high): (f64, f64)) -> Result<Self, PlotError> {
        const RANGE: &str = "range of an axis";
        if low <= 0.0 {
            return Err(PlotError::NotPositive(RANGE));
        }
        let (low, high) = (finite(RANGE, low)?, finite(RANGE, high)?);
        let decades = libm::log10(low).floor() as i32..=libm::log10(high).floor() as i32;
        let (digits, every): (&[f64], _) = match libm::log10(high / low) {
            span if span <= 1.0 => (&[1.0, 2.0, 3.0, 4.0, 5.0, 7.0], 1),
            span if span <= 3.0 => (&[1.0, 2.0, 5.0], 1),
            span => (&[1.0], 1 + span as usize / 10),
        };
        let ticks = decades
            .step_by(every)
            .flat_map(|decade| digits.iter().map(move |digit| (digit * 10f64.powi(decade), decade)))
            .filter(|(value, _)| (low..=high).contains(value))
            .map(|(value, decade)| Tick::at(value, (-decade).clamp(0, MOST_DECIMALS) as usize))
            .collect();
        Ok(Self { title: title.into(), low, high, logarithmic: true, ticks })
    }

    /// Where `value` stands: 0 at the low end, 1 at the high end.
    pub(crate) fn fraction(&self, value: f64) -> f64 {
        if self.logarithmic {
            libm::log(value / self.low) / libm::log(self.high / self.low)
        } else {
            (value - self.low) / (self.high - self.low)
        }
    }
}

impl Tick {
    fn at(value: f64, decimals: usize) -> Self {
        let label = if value.abs() < 1e6 { format!("{value:.decimals$}") } else { format!("{value:e}") };
        Self { value, label: label.replace('-', "−") }
    }
}

/// Lowest and highest of `values`.
pub(crate) fn range(values: impl IntoIterator<Item = f64>) -> (f64, f64) {
    let widen = |(low, high): (f64, f64), value: f64| (low.min(value), high.max(value));
    values.into_iter().fold((f64::INFINITY, f64::NEG_INFINITY), widen)
}

/// The next 1, 2 or 5 times a power of ten.
fn round_step(least: f64) -> f64 {
    let decade = libm::pow(10.0, libm::log10(least).floor());
    [1.0, 2.0, 5.0].map(|digit| digit * decade).into_iter().find(|step| *step >= least).unwrap_or(10.0 * decade)
}

/// Digits after the point that tell ticks a step apart.
fn decimals(step: f64) -> usize {
    (-libm::log10(step).floor()).clamp(0.0, f64::from(MOST_DECIMALS)) as usize
}

#[cfg(test)]
mod tests {
    use super::*;

    fn labels(axis: Result<Axis, PlotError>) -> Vec<String> {
        axis.map(|axis| axis.ticks.into_iter().map(|tick| tick.label).collect()).unwrap_or_default()
    }

    #[test]
    fn ticks_are_few_and_round() {
        assert_eq!(labels(Axis::linear("T", (-43.0, 51.0), 6)), ["−60", "−40", "−20", "0", "20", "40", "60"]);
        assert_eq!(labels(Axis::linear("E", (0.0, 0.0593), 5)), ["0.00", "0.02", "0.04", "0.06"]);
        assert_eq!(labels(Axis::linear("one value", (5.0, 5.0), 5)), ["5", "6"]);
        assert_eq!(labels(Axis::time(31.0 * 3600.0)), ["0", "3", "6", "9", "12", "15", "18", "21", "24", "27", "30"]);
        assert_eq!(labels(Axis::time(90.0 * 60.0)), ["0", "10", "20", "30", "40", "50", "60", "70", "80", "90"]);
        assert_eq!(
            labels(Axis::clock(17.5 * 3600.0, 13.5 * 3600.0)),
            ["18:00", "20:00", "22:00", "00:00", "02:00", "04:00", "06:00"]
        );
        assert_eq!(labels(Axis::logarithmic("t", (0.4, 12.0))), ["0.5", "1", "2", "5", "10"]);
    }

    #[test]
    fn a_logarithmic_axis_gives_equal_ratios_equal_room() {
        let axis = Axis::logarithmic("t", (1.0, 100.0)).unwrap();
        assert!((axis.fraction(10.0) - 0.5).abs() < 1e-12, "{}", axis.fraction(10.0));
    }
}
