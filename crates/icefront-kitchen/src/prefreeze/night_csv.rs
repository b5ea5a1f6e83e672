//! The night as CSV: one row each quarter of an hour, the unit in each column's name.

use icefront_core::units::{Duration, Temperature};

use crate::prefreeze::ways::{Answer, Question};

/// Weather, and core and surface of every tray outdoors.
pub fn night_csv(question: &Question, answer: &Answer) -> Result<Vec<u8>, csv::Error> {
    let mut table = csv::Writer::from_writer(Vec::new());
    let mut header: Vec<String> =
        ["time_h", "clock", "air_c", "sky_c", "wind_m_per_s"].iter().map(|name| (*name).to_string()).collect();
    let trays = answer.outdoors.trays.len();
    header.extend((1..=trays).flat_map(|i| [format!("tray_{i}_core_c"), format!("tray_{i}_surface_c")]));
    table.write_record(header)?;
    let celsius = |kelvin: f64| format!("{:.2}", Temperature::from_kelvin(kelvin).celsius());
    let cell = |course: &[(f64, f64)], time_s: f64| at(course, time_s).map_or_else(String::new, celsius);
    for (time_s, now) in question.night.quarters() {
        let mut row = vec![
            format!("{:.2}", Duration::from_seconds(time_s).hours()),
            question.night.stay.set_out.after(time_s).to_string(),
            celsius(now.air_k),
            celsius(now.sky_k),
            format!("{:.2}", now.wind_m_per_s),
        ];
        for tray in &answer.outdoors.trays {
            row.extend([cell(&tray.core, time_s), cell(&tray.surface, time_s)]);
        }
        table.write_record(row)?;
    }
    table.into_inner().map_err(|e| csv::Error::from(e.into_error()))
}

/// A course between its points.
fn at(course: &[(f64, f64)], time_s: f64) -> Option<f64> {
    let after = course.partition_point(|p| p.0 <= time_s).clamp(1, course.len().checked_sub(1)?.max(1));
    let (a, b) = (course.get(after - 1)?, course.get(after)?);
    Some(a.1 + (b.1 - a.1) * ((time_s - a.0) / (b.0 - a.0)).clamp(0.0, 1.0))
}
