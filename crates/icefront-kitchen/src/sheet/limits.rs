//! What each value of a file may be: its kind, its range in SI, and the range in words.

use icefront_core::units::{
    Area, Duration, Length, Mass, Power, Pressure, Speed, Temperature, TemperatureDifference, UnitError, Volume,
};

use crate::format;

/// Kind of a value: how it is read and shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Text with a unit of length.
    Length,
    /// Text with a unit of temperature.
    Temperature,
    /// Text with a unit of temperature difference.
    Difference,
    /// Text with a unit of pressure.
    Pressure,
    /// Text with a unit of mass.
    Mass,
    /// Text with a unit of volume.
    Volume,
    /// Text with a unit of area.
    Area,
    /// Text with a unit of time.
    Duration,
    /// Text with a unit of speed.
    Speed,
    /// Text with a unit of power.
    Power,
    /// A share: a number from 0 to 1, or text in percent.
    Share,
    /// A number; its key names the SI unit.
    Number,
}

/// A kind with its range.
#[derive(Clone, Copy, Debug)]
pub struct Limit {
    /// How it is read.
    pub kind: Kind,
    /// Lowest allowed value, SI.
    pub low: f64,
    /// Highest allowed value, SI.
    pub high: f64,
    /// The range as told to the user.
    pub words: &'static str,
}

impl Limit {
    /// A quantity between two bounds, SI.
    pub const fn new(kind: Kind, low: f64, high: f64, words: &'static str) -> Self {
        Self { kind, low, high, words }
    }

    /// A number between two bounds, in the unit that its key names.
    pub const fn number(low: f64, high: f64, words: &'static str) -> Self {
        Self::new(Kind::Number, low, high, words)
    }

    /// What kind of value is wanted.
    pub fn kind_words(&self) -> &'static str {
        match self.kind {
            Kind::Length => "text with a unit of length, such as \"12 mm\"",
            Kind::Temperature => "text with a unit of temperature, such as \"-18 C\"",
            Kind::Difference => "text with a unit of temperature difference, such as \"2 K\"",
            Kind::Pressure => "text with a unit of pressure, such as \"40 Pa\"",
            Kind::Mass => "text with a unit of mass, such as \"900 g\"",
            Kind::Volume => "text with a unit of volume, such as \"60 L\"",
            Kind::Area => "text with a unit of area, such as \"0.1 m2\"",
            Kind::Duration => "text with a unit of time, such as \"14 h\"",
            Kind::Speed => "text with a unit of speed, such as \"2 m/s\"",
            Kind::Power => "text with a unit of power, such as \"30 W\"",
            Kind::Share => "a number from 0 to 1 or text in percent, such as \"3 %\"",
            Kind::Number => "a number; its key names the unit",
        }
    }

    /// Reads text; the error is what to say beside it.
    pub fn read_text(&self, text: &str) -> Result<f64, String> {
        let say = |e: UnitError| match &e {
            UnitError::UnknownUnit { nearest: Some(near), .. } => format!("{e}; nearest: `{near}`"),
            _ => e.to_string(),
        };
        let si = match self.kind {
            Kind::Length => text.parse::<Length>().map_err(say)?.metres(),
            Kind::Temperature => text.parse::<Temperature>().map_err(say)?.kelvin(),
            Kind::Difference => text.parse::<TemperatureDifference>().map_err(say)?.kelvin(),
            Kind::Pressure => text.parse::<Pressure>().map_err(say)?.pascals(),
            Kind::Mass => text.parse::<Mass>().map_err(say)?.kilograms(),
            Kind::Volume => text.parse::<Volume>().map_err(say)?.cubic_metres(),
            Kind::Area => text.parse::<Area>().map_err(say)?.square_metres(),
            Kind::Duration => text.parse::<Duration>().map_err(say)?.seconds(),
            Kind::Speed => text.parse::<Speed>().map_err(say)?.metres_per_second(),
            Kind::Power => text.parse::<Power>().map_err(say)?.watts(),
            Kind::Share => percent(text)?,
            Kind::Number => return Err("this is text; write the number without quotes and without a unit".into()),
        };
        self.within(si, text)
    }

    /// Reads a bare number; the error is what to say beside it.
    pub fn read_number(&self, text: &str) -> Result<f64, String> {
        match self.kind {
            Kind::Share | Kind::Number => {
                let number = text.replace('_', "").parse().map_err(|_| format!("`{text}` is not a number"))?;
                self.within(number, text)
            }
            _ => Err(format!("`{text}` has no unit; wanted is {}", self.kind_words())),
        }
    }

    fn within(&self, si: f64, text: &str) -> Result<f64, String> {
        if !si.is_finite() {
            return Err(format!("`{text}` is not a finite number"));
        }
        if si >= self.low && si <= self.high {
            return Ok(si);
        }
        let shown = format::quantity(self.kind, si);
        let text = if shown == text { format!("`{text}`") } else { format!("`{text}` ({shown})") };
        Err(format!("{text} is outside {}", self.words))
    }
}

fn percent(text: &str) -> Result<f64, String> {
    let number = text.strip_suffix('%').ok_or_else(|| format!("`{text}` has no % sign"))?;
    let number: f64 = number.trim().parse().map_err(|_| format!("`{text}` is not a number with a % sign"))?;
    Ok(number / 100.0)
}

const KELVIN: f64 = icefront_core::constants::ZERO_CELSIUS_K;
const HOUR: f64 = 3600.0;

/// Depth of a layer, or height the food stands.
pub const DEPTH: Limit = Limit::new(Kind::Length, 0.001, 0.080, "1 mm to 80 mm");
/// Shortest edge or diameter of a piece.
pub const PIECE: Limit = Limit::new(Kind::Length, 0.002, 0.060, "2 mm to 60 mm");
/// Longer edges of a piece.
pub const PIECE_LENGTH: Limit = Limit::new(Kind::Length, 0.002, 0.300, "2 mm to 300 mm");
/// Room the dryer stands in.
pub const ROOM: Limit = Limit::new(Kind::Temperature, KELVIN - 20.0, KELVIN + 45.0, "-20 C to 45 C");
/// Food when it is loaded or set out unfrozen.
pub const FOOD_TEMPERATURE: Limit = Limit::new(Kind::Temperature, KELVIN - 60.0, KELVIN + 95.0, "-60 C to 95 C");
/// Food loaded frozen through.
pub const FROZEN_TEMPERATURE: Limit = Limit::new(Kind::Temperature, KELVIN - 70.0, KELVIN - 5.0, "-70 C to -5 C");
/// Air of a freezer or of a cold night.
pub const COLD_AIR: Limit = Limit::new(Kind::Temperature, KELVIN - 70.0, KELVIN + 5.0, "-70 C to 5 C");
/// Wind over a tray.
pub const WIND: Limit = Limit::new(Kind::Speed, 0.0, 30.0, "0 m/s to 30 m/s");
/// Time in a freezer or outdoors.
pub const TIME_BEFORE: Limit = Limit::new(Kind::Duration, 0.1 * HOUR, 240.0 * HOUR, "0.1 h to 240 h");
/// Mass of food on a tray or of an ingredient.
pub const AMOUNT: Limit = Limit::new(Kind::Mass, 0.001, 50.0, "1 g to 50 kg");
/// Household measure of food.
pub const MEASURE: Limit = Limit::new(Kind::Volume, 1e-6, 0.050, "1 mL to 50 L");
/// Floor of one tray.
pub const TRAY_AREA: Limit = Limit::new(Kind::Area, 0.001, 2.0, "0.001 m2 to 2 m2");
/// Share of a tray that one layer of pieces covers.
pub const COVERAGE: Limit = Limit::new(Kind::Share, 0.01, 1.0, "1 % to 100 %");
/// Share of a layer that embedded pieces take.
pub const EMBEDDED: Limit = Limit::new(Kind::Share, 0.01, 0.90, "1 % to 90 %");
/// Edge of a portion that is cut out of a layer.
pub const CUT: Limit = Limit::new(Kind::Length, 0.005, 0.5, "5 mm to 500 mm");
/// Width of a cut.
pub const CUT_WIDTH: Limit = Limit::new(Kind::Length, 1e-4, 0.02, "0.1 mm to 20 mm");
/// Heat from below at the worst and the best strip of a tray, below and above the mean.
pub const UNEVEN: Limit = Limit::new(Kind::Share, 0.0, 0.95, "0 % to 95 %");
/// Share of a food that is water.
pub const WATER_SHARE: Limit = Limit::new(Kind::Share, 0.05, 0.98, "5 % to 98 %");
/// Share of a food that is one of its other parts.
pub const SHARE: Limit = Limit::new(Kind::Share, 0.0, 1.0, "0 % to 100 %");
/// Fat of the food on one tray.
pub const FAT: Limit = Limit::new(Kind::Share, 0.0, 0.90, "0 % to 90 %");
/// Moisture of the wettest spot that counts as dry.
pub const END_MOISTURE: Limit = Limit::new(Kind::Share, 0.005, 0.20, "0.5 % to 20 %");
/// Time under vacuum.
pub const END_TIME: Limit = Limit::new(Kind::Duration, 0.1 * HOUR, 240.0 * HOUR, "0.1 h to 240 h");
/// Food to shelf.
pub const END_DIFFERENCE: Limit = Limit::new(Kind::Difference, 0.1, 20.0, "0.1 K to 20 K");
/// Loss of weight that counts as none.
pub const END_LOSS: Limit = Limit::new(Kind::Mass, 0.0001, 1.0, "0.1 g to 1 kg");
/// Time over which that loss is weighed.
pub const END_OVER: Limit = Limit::new(Kind::Duration, HOUR / 12.0, 24.0 * HOUR, "5 min to 24 h");
/// Price of electricity.
pub const PRICE: Limit = Limit::number(0.0, 1000.0, "0 to 1000 per kWh");
/// Servings a load makes.
pub const SERVINGS: Limit = Limit::number(0.1, 10_000.0, "0.1 to 10000");
/// Shelf of a rig.
pub const SHELF: Limit = Limit::new(Kind::Temperature, KELVIN - 60.0, KELVIN + 120.0, "-60 C to 120 C");
/// Water vapour in a rig; ice would melt above the triple point.
pub const VAPOUR: Limit = Limit::new(Kind::Pressure, 0.0, 600.0, "0 Pa to 600 Pa");
/// Air in a rig.
pub const AIR: Limit = Limit::new(Kind::Pressure, 0.0, 2000.0, "0 Pa to 2000 Pa");
/// Time of a point of a rig's schedule.
pub const RIG_TIME: Limit = Limit::new(Kind::Duration, 0.0, 1000.0 * HOUR, "0 h to 1000 h");
/// Initial freezing point of a food.
pub const FREEZING_POINT: Limit = Limit::new(Kind::Temperature, KELVIN - 20.0, KELVIN, "-20 C to 0 C");
/// Share of a food's volume that is air.
pub const AIR_SHARE: Limit = Limit::new(Kind::Share, 0.0, 0.90, "0 % to 90 %");
/// Room in one pack.
pub const CONTAINER: Limit = Limit::new(Kind::Volume, 1e-5, 0.050, "10 mL to 50 L");
/// Oxygen that one absorber takes up.
pub const ABSORBER: Limit = Limit::new(Kind::Volume, 0.0, 0.005, "0 mL to 5 L");
/// Any other price.
pub const MONEY: Limit = Limit::number(0.0, 1e6, "0 to 1000000");
/// Humidity of a kitchen.
pub const HUMIDITY: Limit = Limit::new(Kind::Share, 0.05, 0.95, "5 % to 95 %");
/// Height above the sea.
pub const ALTITUDE: Limit = Limit::new(Kind::Length, 0.0, 5000.0, "0 m to 5000 m");
/// Shelf that packs stand on.
pub const PACK_SHELF: Limit = Limit::new(Kind::Temperature, KELVIN - 30.0, KELVIN + 45.0, "-30 C to 45 C");
