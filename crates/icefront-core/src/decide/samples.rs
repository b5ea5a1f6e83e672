//! A few samples of a load that stand for the chance that it goes wrong, to be run again for each change that is tried.

use super::trouble::Trouble;
use crate::error::ModelError;
use crate::load::Load;
use crate::ranges::{Outcome, by_index};

/// The samples.
#[derive(Clone, Debug)]
pub struct Samples {
    /// The loads, spread over all that is not known.
    pub loads: Vec<Load>,
    /// How many of them may go wrong in a load that goes well.
    pub may_fail: usize,
}

/// Samples that are run before it is seen whether more are needed.
const AT_ONCE: usize = 6;

/// A sample that goes wrong.
pub(super) struct Failing {
    /// Its place among the samples.
    pub(super) place: usize,
    /// Its grave troubles.
    pub(super) troubles: Vec<Trouble>,
}

impl Samples {
    /// Whether the load goes well after a change: no more samples than may show a grave trouble. Not if the change cannot be
    /// made.
    ///
    /// # Errors
    /// [`ModelError`] as the model gives it.
    pub fn go_well(&self, change: impl Fn(&Load) -> Option<Load>) -> Result<bool, ModelError> {
        let (mut failed, mut known, mut refused) = (0, false, None);
        // what fails mostly fails among the first few
        for first in (0..self.loads.len()).step_by(AT_ONCE) {
            match self.only(first..first + AT_ONCE).failing(&change) {
                Ok(None) => return Ok(false),
                Ok(Some(failing)) => (failed, known) = (failed + failing.len(), true),
                Err(refusal) => refused = Some(refusal),
            }
            if failed > self.may_fail {
                return Ok(false);
            }
        }
        refused.filter(|_| !known).map_or(Ok(true), Err)
    }

    /// The samples at these places.
    pub(super) fn only(&self, places: impl IntoIterator<Item = usize>) -> Self {
        let loads = places.into_iter().filter_map(|place| self.loads.get(place).cloned()).collect();
        Self { loads, ..*self }
    }

    /// The samples that show a grave trouble after a change, by their places; `None` if the change cannot be made.
    pub(super) fn failing(&self, change: impl Fn(&Load) -> Option<Load>) -> Result<Option<Vec<Failing>>, ModelError> {
        let Some(changed) = self.loads.iter().map(change).collect::<Option<Vec<Load>>>() else { return Ok(None) };
        let found = by_index(changed.len(), None, |i| changed.get(i).map_or(Ok(Vec::new()), grave));
        // a sample that cannot be computed after the change says nothing of it
        let refused = found.iter().find_map(|one| one.as_ref().err().cloned());
        let known: Vec<Failing> = found
            .into_iter()
            .enumerate()
            .filter_map(|(place, one)| Some(Failing { place, troubles: one.ok()? }))
            .collect();
        match refused {
            Some(refusal) if known.is_empty() => Err(refusal),
            _ => Ok(Some(known.into_iter().filter(|one| !one.troubles.is_empty()).collect())),
        }
    }
}

/// Grave troubles of a load.
fn grave(load: &Load) -> Result<Vec<Trouble>, ModelError> {
    let outcome = Outcome::of(load, &crate::plan(load)?, &[]);
    Ok(Trouble::ALL.into_iter().filter(|t| t.is_grave() && t.is_in(load, &outcome)).collect())
}
