//! How much of a food: by weight, or by household measure.

use icefront_core::ranges::Spread;
use icefront_core::units::{Mass, UnitError, Volume};

use super::{AMOUNT, Limit, MEASURE, QuantityError, Written, spoken, written};

/// How much of a food; `Q` is the quantity, kg or m3.
#[derive(Clone, Debug, PartialEq)]
pub enum Amount<Q> {
    /// By weight.
    Kilograms(Q),
    /// By household measure.
    CubicMetres(Q),
    /// By pieces.
    Pieces {
        /// How many.
        count: Q,
        /// Which, as in `large eggs`; empty for those of usual size.
        words: String,
    },
}

impl<Q> Amount<Q> {
    /// The same amount, its quantity turned into another.
    pub fn map<R>(self, turn: impl FnOnce(Q) -> R) -> Amount<R> {
        match self {
            Self::Kilograms(mass) => Amount::Kilograms(turn(mass)),
            Self::CubicMetres(volume) => Amount::CubicMetres(turn(volume)),
            Self::Pieces { count, words } => Amount::Pieces { count: turn(count), words },
        }
    }
}

/// The range that an amount must lie in, by the unit in its text.
///
/// # Errors
/// [`QuantityError::NoAmount`] for a unit that is neither of mass nor of volume.
pub fn limit(text: &str) -> Result<Amount<Limit>, QuantityError> {
    let figures = spoken::figures(text);
    let text = written::plain(&figures);
    match (text.parse::<Mass>(), text.parse::<Volume>()) {
        (Err(UnitError::UnknownUnit { unit, .. }), Err(UnitError::UnknownUnit { nearest, .. })) => {
            Err(QuantityError::NoAmount { unit, nearest })
        }
        (_, Ok(_)) => Ok(Amount::CubicMetres(MEASURE)),
        _ => Ok(Amount::Kilograms(AMOUNT)),
    }
}

/// Most pieces.
const MOST_PIECES: f64 = 1000.0;
/// Pieces of which nothing says how large they are: one in ten is lighter or heavier than by this factor, by kitchen scales.
const USUAL_SIZE: f64 = 1.2;

/// Some pieces of a food, such as `3 large eggs`; `None` for what does not begin with a number and go on in words.
pub fn pieces(text: &str) -> Option<(Written, String)> {
    let figures = spoken::figures(text);
    let at = figures.find(|c: char| c.is_alphabetic())?;
    let (number, words) = (figures.get(..at)?.trim(), figures.get(at..)?.trim());
    let (low, high) = number.split_once("..").unwrap_or((number, number));
    let (low, high) = (low.trim().parse::<f64>().ok()?, high.trim().parse::<f64>().ok()?);
    if !(low > 0.0 && low <= high && high <= MOST_PIECES) {
        return None;
    }
    let sized = words.split_whitespace().any(|word| ["small", "medium", "large", "jumbo", "extra"].contains(&word));
    let typical = 0.5 * (low + high);
    let written = match (sized, low < high) {
        (_, true) => Written::Given(Spread::Between { low, high }),
        (true, _) => Written::Plain(typical),
        (false, _) => Written::Given(Spread::Factor { low: low / USUAL_SIZE, typical, high: high * USUAL_SIZE }),
    };
    Some((written, words.to_owned()))
}
