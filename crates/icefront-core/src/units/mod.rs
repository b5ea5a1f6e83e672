//! Units, and the only place that knows them: text with a unit in, SI out, and the way back for printing.
//!
//! ```
//! use icefront_core::units::{Length, Temperature};
//! let depth: Length = "1/2 in".parse()?;
//! assert!((depth.metres() - 0.0127).abs() < 1e-12);
//! let shelf: Temperature = "50 °C".parse()?;
//! assert!((shelf.kelvin() - 323.15).abs() < 1e-9);
//! assert!("12".parse::<Length>().is_err()); // no unit
//! # Ok::<(), icefront_core::units::UnitError>(())
//! ```
//! Several terms add up (`1 h 30 min`, `1 lb 8 oz`), fractions are read (`1 1/2 cups`), a comma in a number is refused.

mod dates;
mod error;
mod parse;
mod scale;
mod system;

use std::str::FromStr;

pub use dates::DateOrder;
pub use error::UnitError;
pub use system::{Unit, UnitSystem, digits, in_parts, trimmed};

/// A type of quantity: its SI value, what it is read from, and the units it is given out in.
macro_rules! quantity {
    ($(#[$about:meta])* $name:ident, $parse:expr, $from:ident, $si:ident $(, $(#[$in:meta])* $unit:ident $given:expr)*) => {
        $(#[$about])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            #[doc = concat!("From ", stringify!($si), ", the SI unit.")]
            pub fn $from(si: f64) -> Self {
                Self(si)
            }
            #[doc = concat!("In ", stringify!($si), ", the SI unit.")]
            pub fn $si(self) -> f64 {
                self.0
            }
            $($(#[$in])*
            pub fn $unit(self) -> f64 {
                let given: fn(f64) -> f64 = $given;
                given(self.0)
            })*
        }

        impl FromStr for $name {
            type Err = UnitError;
            fn from_str(text: &str) -> Result<Self, UnitError> {
                let parse: fn(&str) -> Result<f64, UnitError> = $parse;
                parse(text).map(Self)
            }
        }
    };
}

quantity!(
    /// A length.
    Length, |text| parse::quantity(text, &scale::LENGTH), from_metres, metres,
    /// In millimetres.
    millimetres |m| m / scale::MILLIMETRE,
    /// In centimetres.
    centimetres |m| m / scale::CENTIMETRE,
    /// In inches.
    inches |m| m / scale::INCH
);
quantity!(
    /// A temperature.
    Temperature, temperature, from_kelvin, kelvin,
    /// In degrees Celsius.
    celsius celsius,
    /// In degrees Fahrenheit.
    fahrenheit |k| celsius(k) / scale::FAHRENHEIT_DEGREE + scale::FAHRENHEIT_AT_ZERO_CELSIUS
);
quantity!(
    /// A difference of two temperatures.
    TemperatureDifference, |text| parse::quantity(text, &scale::TEMPERATURE_DIFFERENCE), from_kelvin, kelvin,
    /// In Fahrenheit degrees.
    fahrenheit_degrees |k| k / scale::FAHRENHEIT_DEGREE
);
quantity!(
    /// An absolute pressure.
    Pressure, |text| parse::quantity(text, &scale::PRESSURE), from_pascals, pascals,
    /// In millibar.
    millibar |pa| pa / scale::MILLIBAR,
    /// In millitorr.
    millitorr |pa| pa / scale::MILLITORR
);
quantity!(
    /// A mass.
    Mass, |text| parse::quantity(text, &scale::MASS), from_kilograms, kilograms,
    /// In grams.
    grams |kg| kg * 1e3,
    /// In pounds.
    pounds |kg| kg / scale::POUND,
    /// In ounces.
    ounces |kg| kg / scale::OUNCE
);
quantity!(
    /// A volume.
    Volume, |text| parse::quantity(text, &scale::VOLUME), from_cubic_metres, cubic_metres,
    /// In litres.
    litres |m3| m3 / scale::LITRE,
    /// In US cups.
    cups |m3| m3 / scale::CUP
);
quantity!(
    /// An area; may be written as the product of two lengths.
    Area, |text| parse::area(text, &scale::AREA, &scale::LENGTH), from_square_metres, square_metres,
    /// In square feet.
    square_feet |m2| m2 / scale::SQUARE_FOOT
);
quantity!(
    /// A time span.
    Duration, |text| parse::quantity(text, &scale::DURATION), from_seconds, seconds,
    /// In minutes.
    minutes |s| s / scale::MINUTE,
    /// In hours.
    hours |s| s / scale::HOUR,
    /// In days.
    days |s| s / scale::DAY
);
quantity!(
    /// A speed.
    Speed, |text| parse::quantity(text, &scale::SPEED), from_metres_per_second, metres_per_second,
    /// In kilometres per hour.
    kilometres_per_hour |m_per_s| m_per_s * scale::HOUR / 1e3
);
quantity!(
    /// A power.
    Power, |text| parse::quantity(text, &scale::POWER), from_watts, watts
);
quantity!(
    /// An amount of energy.
    Energy, |text| parse::quantity(text, &scale::ENERGY), from_joules, joules,
    /// In kilowatt-hours.
    kilowatt_hours |j| j / scale::KILOWATT_HOUR
);

fn celsius(kelvin: f64) -> f64 {
    kelvin - crate::constants::ZERO_CELSIUS_K
}

fn temperature(text: &str) -> Result<f64, UnitError> {
    let kelvin = parse::quantity(text, &scale::TEMPERATURE)?;
    if kelvin < 0.0 { Err(UnitError::BelowAbsoluteZero { text: text.to_owned() }) } else { Ok(kelvin) }
}

#[cfg(test)]
mod tests;
