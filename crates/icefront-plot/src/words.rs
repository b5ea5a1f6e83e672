//! Numbers in words, short enough for a chart.

use icefront_core::result::TrayResult;
use icefront_core::units::{Duration, Energy, UnitSystem};

/// Three significant digits: `0.123`, `1.23`, `12.3`, `123`, `1234`.
pub(crate) fn three_digits(value: f64) -> String {
    let before_point = if value == 0.0 { 1.0 } else { libm::log10(value.abs()).floor() + 1.0 };
    let decimals = (3.0 - before_point).clamp(0.0, 6.0) as usize;
    if value.abs() < 1e6 { format!("{value:.decimals$}") } else { format!("{value:.2e}") }
}

/// `40 s`, `3.4 min`, `35 min`, `17.2 h`, `201 h`.
pub(crate) fn duration(time_s: f64) -> String {
    let time = Duration::from_seconds(time_s);
    match (time.minutes(), time.hours()) {
        (minutes, _) if minutes < 1.5 => format!("{time_s:.0} s"),
        (minutes, _) if minutes < 10.0 => format!("{minutes:.1} min"),
        (minutes, _) if minutes < 90.0 => format!("{minutes:.0} min"),
        (_, hours) if hours < 100.0 => format!("{hours:.1} h"),
        (_, hours) => format!("{} h", three_digits(hours)),
    }
}

/// Electric energy, J in, kWh out.
pub(crate) fn kilowatt_hours(energy_j: f64) -> f64 {
    Energy::from_joules(energy_j).kilowatt_hours()
}

/// `−12 °C`, as axes write it.
pub(crate) fn degrees(temperature_k: f64, units: UnitSystem) -> String {
    units.whole_degrees(temperature_k).replace('-', "−")
}

/// A tray's name and its food, without a name that only repeats its position.
pub(crate) fn tray_name(index: usize, tray: &TrayResult) -> String {
    let number = (index + 1).to_string();
    let name = tray.name.trim();
    let says_nothing = name.is_empty() || name == number || name.eq_ignore_ascii_case(&format!("tray {number}"));
    if says_nothing { tray.food.clone() } else { format!("{name}: {}", tray.food) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_keep_the_digits_that_matter() {
        assert_eq!(
            [0.0, 0.0593, 4.611, 21.34, 968.4, 1260.0].map(three_digits),
            ["0.00", "0.0593", "4.61", "21.3", "968", "1260"]
        );
        assert_eq!(
            [40.0, 204.0, 1620.0, 61_920.0, 720_000.0].map(duration),
            ["40 s", "3.4 min", "27 min", "17.2 h", "200 h"]
        );
        assert_eq!(UnitSystem::ALL.map(|units| degrees(261.15, units)), ["−12 °C", "10 °F"]);
    }
}
