//! The answers of `icefront update` and `icefront dry`, as data.

use icefront_core::learning::Misfit;
use serde::Serialize;

use crate::running::dryness::{DryTray, LossRate, Wait};
use crate::running::update::Shift;
use crate::running::words::{MIND, causes};
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
    pub set_aside: Vec<SetAside<'a>>,
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
    pub trays: Vec<Tray<'a>>,
    /// What the readings say of food and machine, what moved most first.
    pub why: &'a [Shift],
    /// Readings to take next, the best first.
    pub read_next: Vec<Next>,
    /// How the ranges were drawn.
    pub draws: Draws,
    /// Dangers in words.
    pub cautions: [&'static str; 4],
}

/// A reading that was not used.
#[derive(Clone, Debug, Serialize)]
pub struct SetAside<'a> {
    /// Its line in the file.
    pub line: usize,
    /// Why.
    pub reason: &'a str,
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

/// One tray.
#[derive(Clone, Debug, Serialize)]
pub struct Tray<'a> {
    /// Name, as in the sheet.
    pub tray: &'a str,
    /// Food, as in the sheet.
    pub food: &'a str,
    /// Wettest spot under the target, from the start.
    pub dry_at_s: Change,
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

/// Draws of an update.
#[derive(Clone, Debug, Serialize)]
pub struct Draws {
    /// Draws run.
    pub run: usize,
    /// As many equal draws would say as much.
    pub effective: f64,
    /// The same in the first round.
    pub effective_at_first: f64,
    /// Further rounds, drawn where the readings point.
    pub refreshed: usize,
    /// Draws left out because they could not be computed.
    pub refused: usize,
}

/// Whether the food is dry.
#[derive(Clone, Debug, Serialize)]
pub struct Dry<'a> {
    /// The answer in a sentence or two.
    pub sentence: String,
    /// Time of the last reading, from the start.
    pub last_reading_s: f64,
    /// Readings that cannot be right and were not used.
    pub set_aside: Vec<SetAside<'a>>,
    /// Whether the readings fit what was entered.
    pub fit: Fit,
    /// Moisture that counts as dry, water by weight, 0 to 1.
    pub target_moisture: f64,
    /// Chance that no spot of any tray is wetter, 0 to 1; `null` where too few draws count.
    pub chance_dry: f64,
    /// Trays from the bottom.
    pub trays: &'a [DryTray],
    /// How much longer until it is dry; `null`: never, or not known.
    pub wait_s: Wait,
    /// Loss between the last two weighings of each tray that has two.
    pub last_losses: &'a [LossRate],
    /// As many equal draws would say as much.
    pub effective_draws: f64,
    /// Dangers in words.
    pub cautions: [&'static str; 4],
}

fn set_aside(readings: &Readings) -> Vec<SetAside<'_>> {
    readings.set_aside.iter().map(|s| SetAside { line: s.line, reason: &s.reason }).collect()
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
        sentence: update_text::headline(answer),
        last_reading_s: answer.now_s,
        set_aside: set_aside(readings),
        fit: answer.misfit.as_ref().map(Fit::from),
        last_ice_gone_s: answer.last_ice_s,
        food_ready_s: answer.ready_s,
        energy_j: answer.energy_j,
        cost: answer.cost,
        currency: answer.cost.map(|_| sheet.load.tariff.currency.as_str()),
        trays: answer.trays.iter().map(|t| Tray { tray: &t.name, food: &t.food, dry_at_s: t.dry_s }).collect(),
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
        draws: Draws {
            run: answer.draws,
            effective: answer.effective,
            effective_at_first: answer.effective_at_first,
            refreshed: answer.refreshed,
            refused: answer.refused,
        },
        cautions: MIND,
    }
}

/// The answer of `icefront dry`.
pub fn dry<'a>(readings: &'a Readings, answer: &'a Dryness) -> Dry<'a> {
    Dry {
        sentence: dry_text::headline(answer),
        last_reading_s: answer.now_s,
        set_aside: set_aside(readings),
        fit: Fit::from(&answer.misfit),
        target_moisture: answer.target_wet_frac,
        chance_dry: answer.chance_dry,
        trays: &answer.trays,
        wait_s: answer.wait_s,
        last_losses: &answer.rates,
        effective_draws: answer.effective,
        cautions: MIND,
    }
}
