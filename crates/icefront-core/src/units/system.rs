//! The units a person reads: SI in, text with a unit out. Every quantity on a screen, a page, a label or a chart is written
//! here, so that it looks the same everywhere.

use serde::{Deserialize, Serialize};

use super::{Area, Length, Mass, Pressure, Speed, Temperature, TemperatureDifference, Volume, scale};

/// Which units a person reads.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum UnitSystem {
    /// Millimetres, grams, °C, millilitres, Pa.
    #[default]
    Metric,
    /// Inches, pounds and ounces, °F, cups, mTorr.
    Us,
}

/// One unit, for columns and axes: its name, and what a value is in it.
#[derive(Clone, Copy, Debug)]
pub struct Unit {
    /// As it is written.
    pub name: &'static str,
    of_si: fn(f64) -> f64,
}

impl Unit {
    /// kWh, in both systems.
    pub const KILOWATT_HOUR: Self = Self { name: "kWh", of_si: |j| j / scale::KILOWATT_HOUR };

    /// An SI value in this unit.
    pub fn of(self, si: f64) -> f64 {
        (self.of_si)(si)
    }

    /// `1.25 kg`: with so many decimals.
    pub fn written(self, si: f64, decimals: usize) -> String {
        format!("{:.decimals$} {}", self.of(si), self.name)
    }
}

/// Sixteenths of an inch are what a ruler shows.
const INCH_PARTS: i64 = 16;
/// Below this, in inches, a fraction would say too little.
const SMALL_IN: f64 = 0.12;

impl UnitSystem {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Metric, Self::Us];

    /// Its name in a sheet.
    pub fn name(self) -> &'static str {
        self.of("metric", "us")
    }

    /// By its name in a sheet.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|system| system.name() == name)
    }

    fn of<T>(self, metric: T, us: T) -> T {
        match self {
            Self::Metric => metric,
            Self::Us => us,
        }
    }

    /// °C or °F.
    pub fn degree(self) -> Unit {
        self.of(
            Unit { name: "°C", of_si: |k| Temperature(k).celsius() },
            Unit { name: "°F", of_si: |k| Temperature(k).fahrenheit() },
        )
    }

    /// mm or in.
    pub fn depth(self) -> Unit {
        self.of(
            Unit { name: "mm", of_si: |m| Length(m).millimetres() },
            Unit { name: "in", of_si: |m| Length(m).inches() },
        )
    }

    /// g or oz.
    pub fn small_mass(self) -> Unit {
        self.of(Unit { name: "g", of_si: |kg| Mass(kg).grams() }, Unit { name: "oz", of_si: |kg| Mass(kg).ounces() })
    }

    /// kg or lb.
    pub fn large_mass(self) -> Unit {
        self.of(Unit { name: "kg", of_si: |kg| kg }, Unit { name: "lb", of_si: |kg| Mass(kg).pounds() })
    }

    /// Pa or mTorr.
    pub fn vacuum(self) -> Unit {
        self.of(Unit { name: "Pa", of_si: |pa| pa }, Unit { name: "mTorr", of_si: |pa| Pressure(pa).millitorr() })
    }

    /// km/h or mph.
    pub fn wind(self) -> Unit {
        self.of(
            Unit { name: "km/h", of_si: |m_per_s| Speed(m_per_s).kilometres_per_hour() },
            Unit { name: "mph", of_si: |m_per_s| m_per_s * scale::HOUR / scale::MILE },
        )
    }

    /// m2 or sq ft.
    pub fn floor(self) -> Unit {
        self.of(Unit { name: "m2", of_si: |m2| m2 }, Unit { name: "sq ft", of_si: |m2| Area(m2).square_feet() })
    }

    /// `15 mm`, `5/8 in`: a depth or a size.
    pub fn length(self, metres: f64) -> String {
        let value = self.depth().of(metres);
        match self {
            Self::Us if value >= SMALL_IN => format!("{} in", fraction(value)),
            Self::Us => format!("{} in", trimmed(value, 2)),
            Self::Metric => format!("{} mm", digits(value)),
        }
    }

    /// `3.5 mm`, `0.14 in`: a thickness that was computed.
    pub fn thickness(self, metres: f64) -> String {
        self.depth().written(metres, self.of(1, 2))
    }

    /// `-18 °C`, `0 °F`: a temperature that was given.
    pub fn temperature(self, kelvin: f64) -> String {
        let value = self.degree().of(kelvin);
        // a tenth of a degree is more than anyone can tell, and -0 is 0
        let rounded = self.of((value * 10.0).round() / 10.0, value.round()) + 0.0;
        format!("{rounded} {}", self.degree().name)
    }

    /// `-21 °C`, `-6 °F`: for predictions, whole degrees.
    pub fn whole_degrees(self, kelvin: f64) -> String {
        format!("{} {}", self.degree().of(kelvin).round() + 0.0, self.degree().name)
    }

    /// `2 °C`, `4 °F`: a difference.
    pub fn difference(self, kelvin: f64) -> String {
        let value = self.of(kelvin, TemperatureDifference(kelvin).fahrenheit_degrees());
        format!("{} {}", digits((value * 10.0).round() / 10.0), self.degree().name)
    }

    /// `900 g`, from one kilogram on `1.25 kg`; `12 oz`, from one pound on `2 lb 3 oz`.
    pub fn mass(self, kilograms: f64) -> String {
        match self {
            Self::Metric if kilograms < 1.0 => format!("{} g", digits(Mass(kilograms).grams())),
            Self::Metric => format!("{} kg", digits(kilograms)),
            Self::Us => pounds(Mass(kilograms).ounces()),
        }
    }

    /// `0.1 m2`, `1.08 sq ft`
    pub fn area(self, square_metres: f64) -> String {
        let value = self.floor().of(square_metres);
        format!("{} {}", self.of(digits(value), trimmed(value, 2)), self.floor().name)
    }

    /// `350 ml`, `1.5 l`; `1 1/2 cups`, from four cups on `1 1/2 qt`.
    pub fn volume(self, cubic_metres: f64) -> String {
        let volume = Volume(cubic_metres);
        let (litres, cups) = (volume.litres(), volume.cups());
        match self {
            Self::Metric if litres < 1.0 => format!("{} ml", digits((litres * 1e3).round())),
            Self::Metric => format!("{} l", digits((litres * 100.0).round() / 100.0)),
            Self::Us if cups < 0.2 => format!("{} tbsp", trimmed(16.0 * cups, 1)),
            Self::Us if cups < 4.0 => {
                let cups = in_parts(cups, 4);
                format!(
                    "{cups} {}",
                    if cups == "1" || !cups.contains(' ') && cups.contains('/') { "cup" } else { "cups" }
                )
            }
            Self::Us => format!("{} qt", in_parts(cups / 4.0, 4)),
        }
    }

    /// `60 l`, `2 cu ft`: room in a freezer, to ten litres or half a cubic foot.
    pub fn freezer_room(self, cubic_metres: f64) -> String {
        let litres = Volume(cubic_metres).litres();
        let cubic_feet = cubic_metres / (scale::SQUARE_FOOT * scale::FOOT);
        self.of(
            format!("{:.0} l", (litres / 10.0).round().max(1.0) * 10.0),
            format!("{} cu ft", trimmed((2.0 * cubic_feet).round().max(1.0) / 2.0, 1)),
        )
    }

    /// `40 Pa`, `300 mTorr`
    pub fn pressure(self, pascals: f64) -> String {
        self.vacuum().written(pascals, 0)
    }

    /// `7 km/h`, `4 mph`
    pub fn speed(self, metres_per_second: f64) -> String {
        self.wind().written(metres_per_second, 0)
    }
}

/// `1 1/8`: to the nearest part of an inch that a ruler shows.
fn fraction(value: f64) -> String {
    in_parts(value, INCH_PARTS)
}

/// A number with the nearest fraction of so many parts, shortened: `3/4`, `1 1/2`, `2`.
pub fn in_parts(value: f64, parts: i64) -> String {
    let count = (value * parts as f64).round() as i64;
    let (whole, mut above, mut below) = (count / parts, count % parts, parts);
    while above > 0 && above % 2 == 0 && below % 2 == 0 {
        (above, below) = (above / 2, below / 2);
    }
    match (whole, above) {
        (whole, 0) => format!("{whole}"),
        (0, above) => format!("{above}/{below}"),
        (whole, above) => format!("{whole} {above}/{below}"),
    }
}

/// `2.5 oz`, `12 oz`, `2 lb 3 oz`: as a kitchen scale shows it.
fn pounds(ounces: f64) -> String {
    let size = ounces.abs();
    if size < 1.0 {
        return format!("{} oz", trimmed(ounces, 2));
    }
    if size < 4.0 {
        return format!("{} oz", trimmed(ounces, 1));
    }
    let whole = ounces.round();
    match ((whole / 16.0).trunc(), (whole % 16.0).abs()) {
        (0.0, _) => format!("{whole} oz"),
        (pounds, 0.0) => format!("{pounds} lb"),
        (pounds, rest) => format!("{pounds} lb {rest} oz"),
    }
}

/// Four digits at most, without trailing zeros.
pub fn digits(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return format!("{value}");
    }
    let decimals = (3 - libm::log10(value.abs()).floor() as i32).clamp(0, 9) as usize;
    trimmed(value, decimals)
}

/// With so many decimals, without zeros at the end.
pub fn trimmed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_string() } else { text }
}

#[cfg(test)]
mod tests {
    use super::UnitSystem::{Metric, Us};
    use super::*;

    #[test]
    fn metric_is_written_with_the_digits_that_matter() {
        for (value, shown) in [(0.0, "0"), (3810.0, "3810"), (12.0, "12"), (0.123_456, "0.1235"), (99_999.4, "99999")] {
            assert_eq!(digits(value), shown);
        }
        assert_eq!(Metric.temperature(273.149_99), "0 °C");
        assert_eq!(Metric.whole_degrees(252.6), "-21 °C");
        assert_eq!([0.9, 1.25].map(|kg| Metric.mass(kg)), ["900 g", "1.25 kg"]);
        assert_eq!([0.015, 0.0127].map(|m| Metric.length(m)), ["15 mm", "12.7 mm"]);
        assert_eq!([0.00035, 0.0015].map(|m3| Metric.volume(m3)), ["350 ml", "1.5 l"]);
    }

    #[test]
    fn us_customary_is_written_as_rulers_and_scales_show_it() {
        assert_eq!(
            [0.0127, 0.015, 0.0254, 0.0381, 0.003, 0.001].map(|m| Us.length(m)),
            ["1/2 in", "9/16 in", "1 in", "1 1/2 in", "0.12 in", "0.04 in"]
        );
        assert_eq!([255.15, 273.15, 293.15, 233.15].map(|k| Us.temperature(k)), ["0 °F", "32 °F", "68 °F", "-40 °F"]);
        assert_eq!(Us.difference(2.0), "3.6 °F");
        assert_eq!(
            [0.005, 0.1, 0.34, 0.4535, 0.907_184_74, 1.0].map(|kg| Us.mass(kg)),
            ["0.18 oz", "3.5 oz", "12 oz", "1 lb", "2 lb", "2 lb 3 oz"]
        );
        assert_eq!(
            [0.000_118_3, 0.000_236_6, 0.000_35, 0.002].map(|m3| Us.volume(m3)),
            ["1/2 cup", "1 cup", "1 1/2 cups", "2 qt"]
        );
        assert_eq!((Us.area(0.1).as_str(), Us.pressure(40.0).as_str()), ("1.08 sq ft", "300 mTorr"));
    }

    #[test]
    fn what_is_written_can_be_read_again() {
        for system in UnitSystem::ALL {
            assert_eq!(UnitSystem::named(system.name()), Some(system));
            for sixteenths in 2..32 {
                let metres = f64::from(sixteenths) * 0.0254 / 16.0;
                let again = system.length(metres).parse::<Length>().unwrap().metres();
                assert!((again - metres).abs() < 6e-6, "{}: {metres} against {again}", system.length(metres));
            }
            for celsius in -60..=120 {
                let kelvin = 273.15 + f64::from(celsius);
                let again = system.temperature(kelvin).parse::<Temperature>().unwrap().kelvin();
                assert!((again - kelvin).abs() < 0.28, "{}", system.temperature(kelvin));
            }
            for kilograms in [0.01, 0.1, 0.4535, 0.9, 3.2] {
                let again = system.mass(kilograms).parse::<Mass>().unwrap().kilograms();
                assert!((again - kilograms).abs() < 0.015, "{}", system.mass(kilograms));
            }
            for litres in [0.01, 0.12, 0.36, 1.5, 3.7] {
                let again = system.volume(litres / 1e3).parse::<Volume>().unwrap().litres();
                assert!((again / litres - 1.0).abs() < 0.1, "{}: {litres} l", system.volume(litres / 1e3));
            }
            let again = system.area(0.36).parse::<Area>().unwrap().square_metres();
            assert!((again - 0.36).abs() < 0.001, "{}", system.area(0.36));
        }
    }
}
