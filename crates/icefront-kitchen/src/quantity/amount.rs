//! How much of a food: by weight, or by household measure.

use icefront_core::units::{Mass, UnitError, Volume};

use super::{AMOUNT, Limit, MEASURE, QuantityError, written};

/// How much of a food; `Q` is the quantity, kg or m3.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Amount<Q> {
    /// By weight.
    Kilograms(Q),
    /// By household measure.
    CubicMetres(Q),
}

impl<Q> Amount<Q> {
    /// The same amount, its quantity turned into another.
    pub fn map<R>(self, turn: impl FnOnce(Q) -> R) -> Amount<R> {
        match self {
            Self::Kilograms(mass) => Amount::Kilograms(turn(mass)),
            Self::CubicMetres(volume) => Amount::CubicMetres(turn(volume)),
        }
    }
}

/// The range that an amount must lie in, by the unit in its text.
///
/// # Errors
/// [`QuantityError::NoAmount`] for a unit that is neither of mass nor of volume.
pub fn limit(text: &str) -> Result<Amount<Limit>, QuantityError> {
    let text = written::plain(text);
    match (text.parse::<Mass>(), text.parse::<Volume>()) {
        (Err(UnitError::UnknownUnit { unit, .. }), Err(UnitError::UnknownUnit { nearest, .. })) => {
            Err(QuantityError::NoAmount { unit, nearest })
        }
        (_, Ok(_)) => Ok(Amount::CubicMetres(MEASURE)),
        _ => Ok(Amount::Kilograms(AMOUNT)),
    }
}
