//! Which of the three ways to take: the one that saves most among those that get the food frozen, soon enough.

use serde::Serialize;

use crate::prefreeze::way::{Place, Way};

/// Less saving than this is not worth carrying trays about (ours): share of the dryer's electricity, and s of its time.
const WORTH_SHARE: f64 = 0.02;
const WORTH_S: f64 = 3_600.0;

/// The way to take.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Advice {
    /// Where to freeze.
    pub place: Place,
    /// Why.
    pub reason: Reason,
}

/// Why a way is the one to take.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Reason {
    /// Frozen through in time, and it saves time or electricity.
    Saves,
    /// The other ways get the food frozen, but what they save is not worth it.
    SavesTooLittle,
    /// The other ways do not get the food frozen through in time.
    OthersNotFrozen,
    /// The other ways cool it more slowly than the published limits allow.
    #[serde(rename = "others-cool-too-slowly")]
    OthersTooSlow,
    /// No way gets it frozen through.
    NoneFrozen,
    /// No way cools it within the published limits: it has to be cooled first.
    CoolFirst,
}

impl Advice {
    /// Weighs the three ways.
    pub fn of(outdoors: &Way, freezer: &Way, machine: &Way) -> Self {
        let ways = [outdoors, freezer, machine];
        let slow = |way: &Way| way.cooled_in_time() == Some(false);
        if ways.iter().all(|way| slow(way)) {
            return Self { place: Place::Machine, reason: Reason::CoolFirst };
        }
        let before = [outdoors, freezer];
        let frozen: Vec<&Way> = before.into_iter().filter(|way| way.in_time()).collect();
        let usable = frozen.iter().filter(|way| !slow(way));
        let saved_j = |way: &Way| machine.energy_j() - way.energy_j() - way.freezer_energy_j();
        // outdoors stands first: of equal savings it is taken, since no freezer has to be emptied
        let best = usable.copied().reduce(|best, way| if saved_j(way) > saved_j(best) { way } else { best });
        let Some(best) = best else {
            let reason = match frozen.is_empty() {
                true if !machine.is_dried_frozen() => Reason::NoneFrozen,
                true => Reason::OthersNotFrozen,
                false => Reason::OthersTooSlow,
            };
            return Self { place: Place::Machine, reason };
        };
        let saved_s = machine.plan.food_ready_s() - best.plan.food_ready_s();
        // a half-frozen load is no plan, however little the other way saves
        if !machine.is_dried_frozen() {
            Self { place: best.place, reason: Reason::OthersNotFrozen }
        } else if slow(machine) || saved_j(best) > WORTH_SHARE * machine.energy_j() || saved_s > WORTH_S {
            Self { place: best.place, reason: if slow(machine) { Reason::OthersTooSlow } else { Reason::Saves } }
        } else {
            Self { place: Place::Machine, reason: Reason::SavesTooLittle }
        }
    }
}
