//! Why a value was refused, as data; shown as the words beside it.

use icefront_core::units::{UnitError, UnitSystem};
use thiserror::Error;

use super::system::system_of;
use super::{Kind, Limit};

/// A value that is not a quantity of the wanted kind, or outside its range.
#[derive(Clone, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum QuantityError {
    /// Number or unit cannot be read.
    #[error("{error}{}", nearest(error))]
    Unit {
        /// Why.
        #[from]
        error: UnitError,
    },
    /// A bare number where a unit is needed.
    #[error("`{text}` has no unit; wanted is {}", limit.kind_words())]
    NoUnit {
        /// As written.
        text: String,
        /// What is wanted.
        limit: Limit,
    },
    /// Text where a bare number is needed.
    #[error("this is text; write the number without quotes and without a unit")]
    Text,
    /// Not a number, or not one with a % sign.
    #[error("`{text}` is not a number{}", if *percent { " with a % sign" } else { "" })]
    NoNumber {
        /// As written.
        text: String,
        /// Whether a % sign is wanted.
        percent: bool,
    },
    /// `nan` or `inf`.
    #[error("`{text}` is not a finite number")]
    NotFinite {
        /// As written.
        text: String,
    },
    /// Outside the range.
    #[error("{} is outside {}", value(text, limit.kind, *si), limit.words_for(text))]
    Outside {
        /// As written.
        text: String,
        /// Its value, SI.
        si: f64,
        /// The allowed range.
        limit: Limit,
    },
    /// A range whose ends are in the wrong order.
    #[error("`{low}` is not below `{high}`")]
    Reversed {
        /// First end, as written.
        low: String,
        /// Second end, as written.
        high: String,
    },
    /// A distribution that goes beyond the range.
    #[error("`{text}` reaches from {} to {}, outside {}", limit.kind.show(*low), limit.kind.show(*high), limit.words_for(text))]
    Reaches {
        /// As written.
        text: String,
        /// Its lowest value, SI.
        low: f64,
        /// Its highest value, SI.
        high: f64,
        /// The allowed range.
        limit: Limit,
    },
    /// An amount by a unit that is neither of mass nor of volume.
    #[error("`{unit}` is neither a mass (g, kg, lb, oz) nor a household measure (cup, tbsp, ml, l)")]
    NoAmount {
        /// The unit.
        unit: String,
        /// The known unit most like it.
        nearest: Option<&'static str>,
    },
}

fn nearest(error: &UnitError) -> String {
    match error {
        UnitError::UnknownUnit { nearest: Some(near), .. } => format!("; did you mean `{near}`?"),
        _ => String::new(),
    }
}

impl QuantityError {
    /// What is allowed, in the units of the value that was refused.
    pub fn allowed(&self, limit: &Limit) -> String {
        match self {
            Self::Outside { text, .. } | Self::Reaches { text, .. } => limit.words_for(text),
            Self::Unit { error: UnitError::MissingUnit { text, .. } } | Self::NoUnit { text, .. } => {
                likely(text, limit).map_or_else(|| limit.words.to_string(), |form| format!("`{form}`"))
            }
            _ => limit.words.to_string(),
        }
    }
}

/// A temperature with the unit that a bare number most likely has, as in `-8 °C` and `72 °F`.
fn likely(text: &str, limit: &Limit) -> Option<String> {
    let forms = ["°C", "°F"].map(|unit| format!("{} {unit}", text.trim()));
    let is_temperature = limit.kind == Kind::Temperature;
    forms.into_iter().find(|form| is_temperature && limit.read_text(form).is_ok())
}

/// `` `150 °F` (65.6 °C) ``; a value in US units needs no translation beside limits in the same.
fn value(text: &str, kind: Kind, si: f64) -> String {
    let shown = kind.show(si);
    if shown == text || system_of([text]) == Some(UnitSystem::Us) && kind.show_us(si).is_some() {
        format!("`{text}`")
    } else {
        format!("`{text}` ({shown})")
    }
}
