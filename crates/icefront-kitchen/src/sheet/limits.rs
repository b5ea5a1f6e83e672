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

impl Kind {
    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Length => "length",
            Self::Temperature => "temperature",
            Self::Difference => "temperature difference",
            Self::Pressure => "pressure",
            Self::Mass => "mass",
            Self::Volume => "volume",
            Self::Area => "area",
            Self::Duration => "time",
            Self::Speed => "speed",
            Self::Power => "power",
            Self::Share => "share",
            Self::Number => "number",
        }
    }
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

    /// A temperature between two bounds, degrees Celsius.
    pub const fn celsius(low: f64, high: f64, words: &'static str) -> Self {
        Self::new(Kind::Temperature, ZERO + low, ZERO + high, words)
    }

    /// What kind of value is wanted.
    pub fn kind_words(&self) -> String {
        let example = match self.kind {
            Kind::Length => "12 mm",
            Kind::Temperature => "-18 C",
            Kind::Difference => "2 K",
            Kind::Pressure => "40 Pa",
            Kind::Mass => "900 g",
            Kind::Volume => "60 L",
            Kind::Area => "0.1 m2",
            Kind::Duration => "14 h",
            Kind::Speed => "2 m/s",
            Kind::Power => "30 W",
            Kind::Share => return "a number from 0 to 1 or text in percent, such as \"3 %\"".into(),
            Kind::Number => return "a number; its key names the unit".into(),
        };
        format!("text with a unit of {}, such as \"{example}\"", self.kind.name())
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

const ZERO: f64 = icefront_core::constants::ZERO_CELSIUS_K;

/// Depth of a layer, or height the food stands.
pub const DEPTH: Limit = Limit::new(Kind::Length, 0.001, 0.080, "1 mm to 80 mm");
/// Wind over a tray.
pub const WIND: Limit = Limit::new(Kind::Speed, 0.0, 30.0, "0 m/s to 30 m/s");
/// Mass of food on a tray or of an ingredient.
pub const AMOUNT: Limit = Limit::new(Kind::Mass, 0.001, 50.0, "1 g to 50 kg");
/// Household measure of food.
pub const MEASURE: Limit = Limit::new(Kind::Volume, 1e-6, 0.050, "1 mL to 50 L");
/// Share of a whole.
pub const SHARE: Limit = Limit::new(Kind::Share, 0.0, 1.0, "0 % to 100 %");
/// Room in one pack.
pub const CONTAINER: Limit = Limit::new(Kind::Volume, 1e-5, 0.050, "10 mL to 50 L");
/// Shelf that packs stand on.
pub const PACK_SHELF: Limit = Limit::celsius(-30.0, 45.0, "-30 C to 45 C");
