//! The night the trays are out: chosen from a file, or given as two numbers; the conditions at each moment of it.

use icefront_core::freezing::before::Conditions;
use icefront_core::freezing::sky;
use icefront_core::units::Temperature;

use crate::Failure;
use crate::problem::Problem;
use crate::weather::clock::{Clock, Date, Day, HOUR_S, date_of, day_of_year, start_s};
use crate::weather::hours::Weather;
use crate::weather::row::Row;

/// Longest gap between two hours that is bridged by a straight line: forecasts come every three hours.
const LONGEST_GAP_S: f64 = 3.0 * HOUR_S;
/// Sun that counts as shining, W/m2 on the ground (ours: a clear night sky takes about 70 W/m2 from a tray).
const SUN_W_PER_M2: f64 = 20.0;

/// When the trays are out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stay {
    /// Set out.
    pub set_out: Clock,
    /// Taken in.
    pub until: Clock,
    /// Day they are set out; `None`: the coldest night of the file.
    pub day: Option<Day>,
}

impl Stay {
    /// Time outside, s.
    pub fn length_s(&self) -> f64 {
        self.set_out.until(self.until)
    }
}

/// How the trays stand outside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outside {
    /// Wind at the trays over wind in the file.
    pub wind_share: f64,
    /// A lid over each tray.
    pub covered: bool,
}

/// Where the temperature of the sky comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sky {
    /// Infrared in the file.
    Measured,
    /// Dew point and cloud in the file.
    Estimated,
    /// Nothing is known: as warm as the air.
    AsAir,
}

/// Weather at one time.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Point {
    time_s: f64,
    air_k: f64,
    wind_m_per_s: f64,
    sky_k: f64,
    sky: Sky,
}

/// A night, from the moment the trays are set out.
#[derive(Clone, Debug, PartialEq)]
pub struct Night {
    /// When the trays are out.
    pub stay: Stay,
    /// The day they are set out, as the file names it; `None` for a night given in numbers.
    pub date: Option<String>,
    /// Hours that had to be bridged, s in the longest gap.
    pub longest_gap_s: f64,
    /// When the morning sun shines, s after setting out, where the file says.
    pub sun_from_s: Option<f64>,
    /// Mean air, K, if the numbers of a column for degC were degF.
    pub mean_if_fahrenheit_k: Option<f64>,
    covered: bool,
    points: Vec<Point>,
}

impl Night {
    /// A night of constant air and wind at the trays under a sky as warm as the air.
    pub fn constant(air_k: f64, wind_m_per_s: f64, stay: Stay, covered: bool) -> Self {
        let point = |time_s| Point { time_s, air_k, wind_m_per_s, sky_k: air_k, sky: Sky::AsAir };
        let points = vec![point(0.0), point(stay.length_s())];
        Self { stay, date: None, longest_gap_s: 0.0, sun_from_s: None, mean_if_fahrenheit_k: None, covered, points }
    }

    /// The wanted night, or the coldest that the file holds.
    pub fn from_file(weather: &Weather, stay: Stay, outside: Outside) -> Result<Self, Failure> {
        let mut dates: Vec<Date> = weather.rows.iter().map(|row| date_of(row.time_s)).collect();
        dates.dedup();
        let help = format!("the file holds {}", weather.span_in_words(&dates));
        dates.retain(|date| stay.day.is_none_or(|day| day.is(*date)));
        let mut coldest: Option<(f64, Self)> = None;
        let mut first_problem = None;
        for date in dates {
            match Self::of_day(weather, date, stay, outside) {
                Ok(night) => {
                    let mean_k = night.mean(|c| c.air_k);
                    if coldest.as_ref().is_none_or(|(coldest_k, _)| mean_k < *coldest_k) {
                        coldest = Some((mean_k, night));
                    }
                }
                Err(problem) => first_problem = first_problem.or(Some(problem)),
            }
        }
        match (coldest, first_problem) {
            (Some((_, night)), _) => Ok(night),
            (None, Some(problem)) => Err(weather.bad(vec![problem].into())),
            (None, None) => {
                let name = stay.day.map_or(String::new(), |day| day.to_string());
                Err(Failure::UnknownName { what: "night", name, help })
            }
        }
    }

    /// The night that begins on a day; the error says what the file lacks for it.
    fn of_day(weather: &Weather, date: Date, stay: Stay, outside: Outside) -> Result<Self, Problem> {
        let start_s = start_s(date) + stay.set_out.0;
        let end_s = start_s + stay.length_s();
        let from = weather.rows.partition_point(|row| row.time_s < start_s - LONGEST_GAP_S);
        let to = weather.rows.partition_point(|row| row.time_s <= end_s + LONGEST_GAP_S);
        let near = weather.rows.get(from..to).unwrap_or_default();
        let whole: Vec<(&Row, Point)> =
            near.iter().filter_map(|row| Some((row, point(row, start_s, outside)?))).collect();
        let first = whole.iter().rposition(|(row, _)| row.time_s <= start_s);
        let last = whole.iter().position(|(row, _)| row.time_s >= end_s);
        let (Some(first), Some(last)) = (first, last) else { return Err(weather.too_short(stay, start_s, end_s)) };
        let points: Vec<Point> = whole.iter().take(last + 1).skip(first).map(|(_, point)| *point).collect();
        let gap = |pair: &[Point]| pair.last().map_or(0.0, |b| b.time_s) - pair.first().map_or(0.0, |a| a.time_s);
        if let Some(at) = points.windows(2).position(|pair| gap(pair) > LONGEST_GAP_S) {
            let after = whole.get(first + at + 1).map_or(0..0, |(row, _)| row.span.clone());
            let [a, b] = [at, at + 1].map(|i| stay.set_out.after(points.get(i).map_or(0.0, |p| p.time_s)));
            return Err(missing(after, &format!("from {a} to {b}")));
        }
        let morning = |row: &&Row| row.time_s > start_s + 0.5 * stay.length_s() && row.time_s <= end_s;
        let sunny = |row: &&Row| row.hour.sun_w_per_m2.is_some_and(|sun| sun > SUN_W_PER_M2);
        let mut night = Self {
            stay,
            date: Some(weather.day_in_words(date)),
            longest_gap_s: points.windows(2).map(gap).fold(0.0, f64::max),
            sun_from_s: near.iter().find(|row| morning(row) && sunny(row)).map(|row| row.time_s - start_s),
            mean_if_fahrenheit_k: None,
            covered: outside.covered,
            points,
        };
        if weather.is_in_celsius() {
            let mean_c = Temperature::from_kelvin(night.mean(|c| c.air_k)).celsius();
            night.mean_if_fahrenheit_k = format!("{mean_c} F").parse::<Temperature>().ok().map(Temperature::kelvin);
        }
        Ok(night)
    }

    /// The same night with or without lids.
    pub fn covered(&self, covered: bool) -> Self {
        Self { covered, ..self.clone() }
    }

    /// Whether lids are on.
    pub fn is_covered(&self) -> bool {
        self.covered
    }

    /// Air, wind and sky this long after setting out.
    pub fn conditions(&self, time_s: f64) -> Conditions {
        let after = self.points.partition_point(|p| p.time_s <= time_s).clamp(1, self.points.len() - 1);
        let (a, b) = (&self.points[after - 1], &self.points[after]);
        let share = ((time_s - a.time_s) / (b.time_s - a.time_s)).clamp(0.0, 1.0);
        let between = |from: f64, to: f64| from + share * (to - from);
        Conditions {
            air_k: between(a.air_k, b.air_k),
            wind_m_per_s: between(a.wind_m_per_s, b.wind_m_per_s),
            sky_k: between(a.sky_k, b.sky_k),
            outdoors: true,
            covered: self.covered,
        }
    }

    /// Conditions each quarter of an hour from setting out to taking in, with their times, s.
    pub fn quarters(&self) -> impl Iterator<Item = (f64, Conditions)> {
        let steps = (4.0 * self.stay.length_s() / HOUR_S).round().max(1.0) as usize;
        (0..=steps).map(move |i| {
            let time_s = i as f64 * self.stay.length_s() / steps as f64;
            (time_s, self.conditions(time_s))
        })
    }

    /// Mean of one of the conditions.
    pub fn mean(&self, value: impl Fn(&Conditions) -> f64) -> f64 {
        let values: Vec<f64> = self.quarters().map(|(_, now)| value(&now)).collect();
        values.iter().sum::<f64>() / values.len() as f64
    }

    /// Where most hours have their sky from.
    pub fn sky(&self) -> Sky {
        let count = |sky: Sky| self.points.iter().filter(|p| p.sky == sky).count();
        [Sky::AsAir, Sky::Estimated, Sky::Measured].into_iter().max_by_key(|sky| count(*sky)).unwrap_or(Sky::AsAir)
    }
}

fn point(row: &Row, start_s: f64, outside: Outside) -> Option<Point> {
    let hour = &row.hour;
    let (air_k, wind_m_per_s) = (hour.air_k?, hour.wind_m_per_s? * outside.wind_share);
    let cloud = hour.opaque_tenths.or(hour.total_tenths);
    let (sky_k, sky) = match (hour.sky_w_per_m2, hour.dew_point_k, cloud) {
        (Some(sky), ..) => (sky::sky_from_radiation_k(sky), Sky::Measured),
        (None, Some(dew_k), Some(cloud)) => (sky::sky_k(air_k, dew_k, cloud), Sky::Estimated),
        _ => (air_k, Sky::AsAir),
    };
    Some(Point { time_s: row.time_s - start_s, air_k, wind_m_per_s, sky_k, sky })
}

fn missing(span: std::ops::Range<usize>, when: &str) -> Problem {
    let title = format!("no air temperature or no wind {when}");
    let help = "up to 3 h between two hours are bridged; choose another night with `--date`".to_string();
    Problem::new(span, title, "the next hour of the file", help)
}

impl Weather {
    /// What keeps a night from being covered by the file.
    fn too_short(&self, stay: Stay, start_s: f64, end_s: f64) -> Problem {
        let clock = |time_s: f64| stay.set_out.after(time_s - start_s);
        let whole = |row: &&Row| row.hour.air_k.is_some() && row.hour.wind_m_per_s.is_some();
        let help = format!("needed: {} to {}, without a break of more than 3 h", stay.set_out, stay.until);
        match (self.rows.iter().find(whole), self.rows.iter().rev().find(whole)) {
            (Some(first), _) if first.time_s > start_s => {
                let label = format!("begins {} {}", self.day_in_words(date_of(first.time_s)), clock(first.time_s));
                Problem::new(first.span.clone(), "the file begins after the trays are set out", label, help)
            }
            (_, Some(last)) if last.time_s < end_s => {
                let label = format!("ends {} {}", self.day_in_words(date_of(last.time_s)), clock(last.time_s));
                Problem::new(last.span.clone(), "the file ends before the trays are taken in", label, help)
            }
            (_, Some(_)) => {
                let after = self.rows.iter().filter(whole).find(|row| row.time_s > start_s);
                missing(after.map_or(0..0, |row| row.span.clone()), &format!("at {} or {}", stay.set_out, stay.until))
            }
            (_, None) => Problem::new(0..0, "no hour has both air temperature and wind", "in all of this file", ""),
        }
    }

    fn day_in_words(&self, date: Date) -> String {
        if self.typical_year { day_of_year(date) } else { date.to_string() }
    }

    fn span_in_words(&self, dates: &[Date]) -> String {
        match (dates.first(), dates.last()) {
            (Some(first), Some(last)) => format!("{} to {}", self.day_in_words(*first), self.day_in_words(*last)),
            _ => "no day".to_string(),
        }
    }

    fn is_in_celsius(&self) -> bool {
        !self.typical_year && self.text.to_lowercase().contains("air_temp_c")
    }
}
