//! What a column of a weather file holds: its unit, its believable range, and the codes that mean "missing".

use icefront_core::constants::STEFAN_BOLTZMANN_W_PER_M2_K4;

use crate::quantity::{Kind, Limit};
use crate::table::{Cell, Findings, Numbers};

/// Weather of one hour; `None` where the file says nothing.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Hour {
    /// Air, K.
    pub air_k: Option<f64>,
    /// Wind, m/s.
    pub wind_m_per_s: Option<f64>,
    /// Dew point, K.
    pub dew_point_k: Option<f64>,
    /// Cloud that hides the sky, tenths.
    pub opaque_tenths: Option<f64>,
    /// All cloud, tenths.
    pub total_tenths: Option<f64>,
    /// Infrared from the sky, W/m2.
    pub sky_w_per_m2: Option<f64>,
    /// Sun on the ground, W/m2.
    pub sun_w_per_m2: Option<f64>,
}

/// A kind of column.
#[derive(Clone, Copy, Debug)]
pub struct Column {
    /// Its name in a CSV file; the unit stands at its end.
    pub name: &'static str,
    unit: &'static str,
    limit: Limit,
    missing: &'static [f64],
    /// Where its value belongs.
    pub place: fn(&mut Hour) -> &mut Option<f64>,
}

const AIR: Limit = Limit::celsius(-70.0, 50.0, "-70 °C to 50 °C (-94 °F to 122 °F)");
const DEW: Limit = Limit::celsius(-90.0, 40.0, "-90 °C to 40 °C");
const WIND: Limit = Limit::new(Kind::Speed, 0.0, 60.0, "0 m/s to 60 m/s");
const CLOUD: Limit = Limit::number(0.0, 10.0, "0 to 10 tenths");
const SKY: Limit = Limit::number(50.0, 600.0, "50 to 600 W/m2");
const SUN: Limit = Limit::number(0.0, 1_500.0, "0 to 1500 W/m2");
/// Codes of "missing" in EPW and other files. Source: published EPW field lists (99.9: from memory).
const NO_TEMPERATURE: [f64; 6] = [99.9, 999.0, 9_999.0, -99.9, -999.0, -9_999.0];
const NO_VALUE: [f64; 4] = [999.0, 9_999.0, -999.0, -9_999.0];
const NO_CLOUD: [f64; 6] = [99.0, 99.9, 999.0, 9_999.0, -999.0, -9_999.0];

/// Air in degC.
pub const AIR_C: Column =
    Column { name: "air_temp_C", unit: "C", limit: AIR, missing: &NO_TEMPERATURE, place: |h| &mut h.air_k };
const AIR_F: Column = Column { name: "air_temp_F", unit: "F", limit: AIR, missing: &NO_VALUE, place: |h| &mut h.air_k };
/// Wind in m/s.
pub const WIND_M_S: Column =
    Column { name: "wind_m_s", unit: "m/s", limit: WIND, missing: &NO_VALUE, place: |h| &mut h.wind_m_per_s };
const WIND_KM_H: Column = Column { name: "wind_km_h", unit: "km/h", ..WIND_M_S };
const WIND_MPH: Column = Column { name: "wind_mph", unit: "mph", ..WIND_M_S };
/// Dew point in degC.
pub const DEW_C: Column =
    Column { name: "dew_point_C", unit: "C", limit: DEW, missing: &NO_TEMPERATURE, place: |h| &mut h.dew_point_k };
/// All cloud.
pub const TOTAL_CLOUD: Column = Column {
    name: "total_sky_cover_tenths",
    unit: "",
    limit: CLOUD,
    missing: &NO_CLOUD,
    place: |h| &mut h.total_tenths,
};
/// Cloud that hides the sky.
pub const OPAQUE_CLOUD: Column =
    Column { name: "opaque_sky_cover_tenths", place: |h| &mut h.opaque_tenths, ..TOTAL_CLOUD };
/// Infrared from the sky.
pub const SKY_IR: Column =
    Column { name: "sky_ir_W_m2", unit: "", limit: SKY, missing: &NO_VALUE, place: |h| &mut h.sky_w_per_m2 };
/// Sun on the ground.
pub const SUNSHINE: Column =
    Column { name: "ghi_W_m2", unit: "", limit: SUN, missing: &NO_VALUE, place: |h| &mut h.sun_w_per_m2 };

/// All that a CSV file may hold.
pub const ALL: [Column; 10] =
    [AIR_C, AIR_F, WIND_M_S, WIND_KM_H, WIND_MPH, DEW_C, TOTAL_CLOUD, OPAQUE_CLOUD, SKY_IR, SUNSHINE];

impl Column {
    /// Reads a cell into an hour; what cannot be is noted.
    pub fn read(&self, cell: &Cell<'_>, hour: &mut Hour, numbers: &mut Numbers, findings: &mut Findings) {
        let text: &str = &cell.text;
        if text.is_empty() || text.eq_ignore_ascii_case("na") || text.eq_ignore_ascii_case("nan") {
            return;
        }
        let plain = numbers.plain(text);
        let number: Option<f64> = plain.as_ref().ok().and_then(|plain| plain.parse().ok());
        if number.is_some_and(|n| self.missing.iter().any(|code| (n - code).abs() < 1e-9)) {
            return;
        }
        let read = match (&plain, number) {
            (Err(label), _) => Err((*label).to_string()),
            (Ok(_), None) => Err(format!("`{text}` is not a number")),
            (Ok(plain), Some(_)) => self.limit.read_in(plain, self.unit).map_err(|error| error.to_string()),
        };
        match read {
            Ok(si) => *(self.place)(hour) = Some(si),
            Err(label) => {
                let title = format!("`{}` cannot be used", self.name);
                findings.note(self.name, &cell.span, title, label, self.advice(number));
            }
        }
    }

    /// The unit that was probably meant, or what is allowed.
    fn advice(&self, number: Option<f64>) -> String {
        let likely = match (self.limit.kind, self.unit, number) {
            (Kind::Temperature, _, Some(n)) if (180.0..330.0).contains(&n) => Some("these look like kelvin"),
            (Kind::Temperature, "C", Some(n)) if n > 50.0 => Some("these look like degrees Fahrenheit"),
            (Kind::Number, _, Some(n)) if self.name.ends_with("tenths") && n <= 100.0 => {
                Some("these look like percent; ten tenths are the whole sky")
            }
            _ => None,
        };
        let allowed = format!("use {} instead, or leave the cell empty", self.limit.words);
        match (likely, self.name) {
            (Some(likely), "air_temp_C" | "air_temp_F") => {
                format!("{likely}; columns for the air: `air_temp_C`, `air_temp_F`; {allowed}")
            }
            (Some(likely), _) => format!("{likely}; {allowed}"),
            (None, _) => allowed,
        }
    }
}

/// A dew point above the air by more than this is no dew point, K (sensors differ by about as much).
const MOST_DEW_ABOVE_AIR_K: f64 = 1.5;
/// Sky over black body at air temperature: 0.5 is drier than any place on Earth, 1.15 warmer than any cloud (ours).
const SKY_SHARES: std::ops::RangeInclusive<f64> = 0.5..=1.15;

/// Notes values of one hour that do not go together: one of them is in another unit than its column says.
pub fn compare(hour: &Hour, span: &std::ops::Range<usize>, findings: &mut Findings) {
    let mut differ = |title: &str, label: &str| {
        findings.note(title, span, title, label, "one of the two is in another unit than its column says");
    };
    let Some(air_k) = hour.air_k else { return };
    if hour.dew_point_k.is_some_and(|dew_k| dew_k > air_k + MOST_DEW_ABOVE_AIR_K) {
        differ("air and dew point do not go together", "the dew point is above the air's temperature");
    }
    let black_w_per_m2 = STEFAN_BOLTZMANN_W_PER_M2_K4 * air_k.powi(4);
    if hour.sky_w_per_m2.is_some_and(|sky| !SKY_SHARES.contains(&(sky / black_w_per_m2))) {
        differ("air and sky do not go together", "no sky sends so much or so little infrared at this temperature");
    }
}
