//! Why the last tray is last, found by asking the model again: the same load, but the last tray gets one trait of
//! another tray. The hours it would be dry sooner are what that trait costs.

use icefront_core::load::Load;
use icefront_core::result::{BatchResult, TrayResult};

/// Where the hours of the last tray go.
#[derive(Clone, Debug, PartialEq)]
pub struct WhyLast {
    /// Position of the last tray.
    pub last: usize,
    /// Position of the tray it is compared with: the middle one of the others by time.
    pub other: usize,
    /// How much later than that one it is dry, s.
    pub later_s: f64,
    /// Traits that cost it time, the dearest first.
    pub traits: Vec<(Trait, f64)>,
}

/// What one tray can have of another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trait {
    /// Depth, or form and size of its pieces.
    Shape,
    /// The food itself.
    Food,
    /// Place in the cabinet.
    Place,
    /// Lining, contact with the shelf, and how it was frozen.
    Contact,
}

impl Trait {
    const ALL: [Self; 4] = [Self::Shape, Self::Food, Self::Place, Self::Contact];

    /// `load` where the tray at `last` has this trait of the one at `other`, and where that tray then stands.
    fn given(self, load: &Load, last: usize, other: usize) -> Option<(Load, usize)> {
        let mut changed = load.clone();
        let lender = load.trays.get(other)?;
        let tray = changed.trays.get_mut(last)?;
        match self {
            Self::Shape => tray.shape = lender.shape,
            Self::Food => tray.model = lender.model.clone(),
            Self::Contact => {
                (tray.lined, tray.contact, tray.uneven_frac) = (lender.lined, lender.contact, lender.uneven_frac);
                tray.freezing = lender.freezing;
            }
            Self::Place => changed.trays.swap(last, other),
        }
        Some((changed, if self == Self::Place { other } else { last }))
    }
}

/// Less than this share of the delay is not worth a word.
const WORTH_TELLING: f64 = 0.1;

/// Compares the last tray with the middle one of the others; `None` for one tray or where it never got dry.
pub fn why_last(load: &Load, result: &BatchResult) -> Option<WhyLast> {
    let mut order: Vec<(usize, f64)> =
        result.trays.iter().enumerate().filter_map(|(i, t)| Some((i, t.dry_at_s?))).collect();
    if order.len() < result.trays.len() {
        return None;
    }
    order.sort_by(|a, b| a.1.total_cmp(&b.1));
    let (last, dry_s) = order.pop()?;
    let (other, other_s) = *order.get(order.len() / 2)?;
    let later_s = dry_s - other_s;
    let cost_s = |what: Trait| {
        let (changed, place) = what.given(load, last, other)?;
        let answer = icefront_core::plan(&changed).ok()?;
        Some(dry_s - answer.trays.get(place).and_then(|t: &TrayResult| t.dry_at_s)?)
    };
    let mut traits: Vec<(Trait, f64)> = Trait::ALL.into_iter().filter_map(|t| Some((t, cost_s(t)?))).collect();
    traits.retain(|(_, cost)| *cost > WORTH_TELLING * later_s && *cost > 0.0);
    traits.sort_by(|a, b| b.1.total_cmp(&a.1));
    Some(WhyLast { last, other, later_s, traits })
}
