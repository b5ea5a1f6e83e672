//! A kind of quantity with its range, and the plain values in it.

use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_core::units::UnitSystem;

use super::system::system_of;
use super::{Kind, QuantityError};

/// A kind with its range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit {
    /// How it is read.
    pub kind: Kind,
    /// Lowest allowed value, SI.
    pub low: f64,
    /// Highest allowed value, SI.
    pub high: f64,
    /// The range in words.
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
        Self::new(Kind::Temperature, ZERO_CELSIUS_K + low, ZERO_CELSIUS_K + high, words)
    }

    /// The range in words, in the units that a text is written in.
    pub fn words_for(&self, text: &str) -> String {
        match system_of([text]) {
            Some(UnitSystem::Us) => match (self.kind.show_us(self.low), self.kind.show_us(self.high)) {
                (Some(low), Some(high)) => format!("{low} to {high}"),
                _ => self.words.to_string(),
            },
            _ => self.words.to_string(),
        }
    }

    /// What kind of value is wanted.
    pub fn kind_words(&self) -> String {
        self.kind.wanted()
    }

    /// SI value of a text.
    ///
    /// # Errors
    /// [`QuantityError`] if it is no such quantity, or outside the range.
    pub fn read_text(&self, text: &str) -> Result<f64, QuantityError> {
        self.within(self.kind.parse(text)?, text)
    }

    /// SI value of a bare number.
    ///
    /// # Errors
    /// [`QuantityError`] if it needs a unit, or is outside the range.
    pub fn read_number(&self, text: &str) -> Result<f64, QuantityError> {
        if !matches!(self.kind, Kind::Share | Kind::Number) {
            return Err(QuantityError::NoUnit { text: text.into(), limit: *self });
        }
        let number =
            text.replace('_', "").parse().map_err(|_| QuantityError::NoNumber { text: text.into(), percent: false })?;
        self.within(number, text)
    }

    /// SI value of a number whose unit stands elsewhere, as in the name of a column; none for a bare number.
    ///
    /// # Errors
    /// [`QuantityError`] if it is no number, or outside the range.
    pub fn read_in(&self, number: &str, unit: &str) -> Result<f64, QuantityError> {
        if unit.is_empty() { self.read_number(number) } else { self.read_text(&format!("{number} {unit}")) }
    }

    /// A reader for an option of a command: SI value of a text, or what is wrong and what is allowed.
    pub fn option(self) -> impl Fn(&str) -> Result<f64, String> + Clone + Send + Sync {
        move |text| self.read_text(text).map_err(|error| format!("{error}; use {} instead", error.allowed(&self)))
    }

    fn within(&self, si: f64, text: &str) -> Result<f64, QuantityError> {
        if !si.is_finite() {
            return Err(QuantityError::NotFinite { text: text.into() });
        }
        if si >= self.low && si <= self.high {
            return Ok(si);
        }
        Err(QuantityError::Outside { text: text.into(), si, limit: *self })
    }
}

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
pub const PACK_SHELF: Limit = Limit::celsius(-30.0, 45.0, "-30 °C to 45 °C");
