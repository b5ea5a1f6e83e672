//! The answers of `icefront update` and `icefront dry`, as data.

use icefront_core::learning::Misfit;
use serde::Serialize;

use crate::readings::SetAside;
use crate::running::doubtful::Doubtful;
use crate::running::dryness::{DryTray, LossRate, Wait};
use crate::running::update::{Draws, Shift, Tray};
use crate::running::words::{causes, mind};
use crate::running::{Answer, Change, Dryness, dry_text, update_text};
use crate::{Readings, Sheet, range};

/// What the readings so far say of a run.
#[derive(Clone, Debug, Serialize)]
pub struct Update<'a> {
    /// The answer in a sentence.
    pub sentence: String,
    /// Time of the last reading, from the start.
    pub last_reading_s: f64,
    /// Readings that cannot be right and were not used.
    pub set_aside: &'a [SetAside],
    /// Readings that do not go with the others and were left out.
    pub doubtful: &'a [Doubtful],
    /// Whether the range was widened because few runs agree with the readings.
    pub uncertain: bool,
    /// How long the run stood still (power, door, pump, weighing).
    pub stood_still_s: f64,
    /// Whether the readings fit what was entered; `null` without readings.
    pub fit: Option<Fit>,
    /// Last ice gone, from the start.
    pub last_ice_gone_s: Change,
    /// Food ready, from the start.
    pub food_ready_s: Change,
    /// Electricity of the whole run; `null` in a rig.
    pub energy_j: Option<Change>,
    /// Its cost; `null` without a price.
    pub cost: Option<Change>,
    /// Of what, as the sheet says.
    pub currency: Option<&'a str>,
    /// Trays from the bottom.
    pub trays: &'a [Tray],
    /// What the readings say of food and machine, what moved most first.
    pub why: &'a [Shift],
    /// Readings to take next, the best first.
    pub read_next: Vec<Next>,
    /// How the ranges were drawn.
    pub draws: Draws,
    /// Dangers in words.
    pub cautions: Vec<String>,
}

/// Whether the readings fit.
#[derive(Clone, Debug, Serialize)]
pub struct Fit {
    /// Whether they do.
    pub fits: bool,
    /// Chance of readings as far off if all is as entered, 0 to 1; below 0.01 they do not fit.
    pub chance: f64,
    /// Squared distance of the readings from the prediction, in standard deviations.
    pub squared: f64,
    /// Readings compared.
    pub readings: usize,
    /// What may be the matter, the likeliest first.
    pub likely_causes: Vec<String>,
}

/// A reading to take.
#[derive(Clone, Debug, Serialize)]
pub struct Next {
    /// What to read.
    pub what: String,
    /// Share of the range of the time until the food is ready that it takes away.
    pub narrows_by: f64,
    /// Whether the dryer must be opened for it.
    pub needs_opening: bool,
}

/// Whether the food is dry.
#[derive(Clone, Debug, Serialize)]
pub struct Dry<'a> {
    /// The answer in a sentence or two.
    pub sentence: String,
    /// Time of the last reading, from the start.
    pub last_reading_s: f64,
    /// Readings that cannot be right and were not used.
    pub set_aside: &'a [SetAside],
    /// Readings that do not go with the others and were left out.
    pub doubtful: &'a [Doubtful],
    /// Whether the chances were widened because few runs agree with the readings.
    pub uncertain: bool,
    /// Whether the readings fit what was entered.
    pub fit: Fit,
    /// Moisture that counts as dry, water by weight, 0 to 1.
    pub target_moisture: f64,
    /// Chance that no spot of any tray is wetter, 0 to 1.
    pub chance_dry: f64,
    /// Trays from the bottom.
    pub trays: &'a [DryTray],
    /// How much longer until it is dry; `null`: never, or not known.
    pub wait_s: Wait,
    /// Loss between the last two weighings of each tray that has two.
    pub last_losses: &'a [LossRate],
    /// As many equal samples would say as much.
    pub effective_draws: f64,
    /// Dangers in words.
    pub cautions: Vec<String>,
}

impl From<&Misfit> for Fit {
    fn from(misfit: &Misfit) -> Self {
        Self {
            fits: misfit.fits,
            chance: misfit.chance,
            squared: misfit.squared,
            readings: misfit.readings,
            likely_causes: causes(misfit),
        }
    }
}

/// The answer of `icefront update`.
pub fn update<'a>(sheet: &'a Sheet, readings: &'a Readings, answer: &'a Answer) -> Update<'a> {
    Update {
        sentence: update_text::headline(readings, answer),
        last_reading_s: answer.now_s,
        set_aside: &readings.set_aside,
        doubtful: &answer.doubtful,
        uncertain: answer.uncertain,
        stood_still_s: readings.stood_s(),
        fit: answer.misfit.as_ref().map(Fit::from),
        last_ice_gone_s: answer.last_ice_s,
        food_ready_s: answer.ready_s,
        energy_j: answer.energy_j,
        cost: answer.cost,
        currency: answer.cost.map(|_| sheet.load.tariff.currency.as_str()),
        trays: &answer.trays,
        why: &answer.why,
        read_next: answer
            .next
            .iter()
            .map(|n| Next {
                what: range::words(&sheet.load, n),
                narrows_by: n.share,
                needs_opening: range::needs_opening(n),
            })
            .collect(),
        draws: answer.draws,
        cautions: mind().items,
    }
}

/// The answer of `icefront dry`.
pub fn dry<'a>(readings: &'a Readings, answer: &'a Dryness) -> Dry<'a> {
    Dry {
        sentence: dry_text::headline(readings, answer),
        last_reading_s: answer.now_s,
        set_aside: &readings.set_aside,
        doubtful: &answer.doubtful,
        uncertain: answer.uncertain,
        fit: Fit::from(&answer.misfit),
        target_moisture: answer.target_wet_frac,
        chance_dry: answer.chance_dry,
        trays: &answer.trays,
        wait_s: answer.wait_s,
        last_losses: &answer.rates,
        effective_draws: answer.effective,
        cautions: mind().items,
    }
}
