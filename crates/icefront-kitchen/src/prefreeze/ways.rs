//! Three ways to get a load frozen, side by side: outdoors, in a freezer, in the machine. Each is followed tray by tray

use icefront_core::batch::plan_set_out;
use icefront_core::error::ModelError;
use icefront_core::freezing::before::{Conditions, SetOut, set_out};
use icefront_core::freezing::column::{BATCH_CELLS, Column};
use icefront_core::load::{Freezing, Load, Tray};
use icefront_core::machine::Dryer;
use icefront_core::result::Stage;

use crate::prefreeze::advice::Advice;
use crate::prefreeze::course::Course;
use crate::prefreeze::way::{Place, Way, latest};
use crate::weather::Night;

/// A tray with less ice than this at its core, of its freezable water, goes on freezing in the machine; one with more
/// waits in the cold until the machine is cold. Below it a run counts the food as melted.
pub const FROZEN_ENOUGH: f64 = 0.75;

/// What is to be decided.
#[derive(Clone, Debug)]
pub struct Question {
    /// The load; how it says it is frozen matters only for the temperature it starts from.
    pub load: Load,
    /// The night outdoors; the freezer gets the same hours.
    pub night: Night,
    /// Core temperature that counts as frozen through, K.
    pub wanted_k: f64,
    /// Air of the freezer, K.
    pub freezer_k: f64,
}

/// All three, and which to take.
#[derive(Clone, Debug)]
pub struct Answer {
    /// Outdoors.
    pub outdoors: Way,
    /// In the freezer.
    pub freezer: Way,
    /// In the machine.
    pub machine: Way,
    /// Outdoors as above, but with the lids on (or off, where they were on): the last tray frozen through, s.
    pub other_cover_s: Option<f64>,
    /// Which way, and why.
    pub advice: Advice,
}

/// Why there is nothing to decide.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Unfit {
    /// A rig.
    #[error("a `[rig]` does not freeze and uses no electricity; give a `dryer`")]
    Rig,
    /// All trays come frozen.
    #[error("all its trays come already frozen; there is nothing to decide")]
    AllFrozen,
    /// The wanted core temperature leaves a food unfrozen.
    #[error(
        "{tray} ({food}) begins to freeze at {freezes}; a core of {wanted} would not be frozen; give a colder `--core`"
    )]
    CoreTooWarm {
        /// Tray.
        tray: String,
        /// Food on it.
        food: String,
        /// Where it begins to freeze.
        freezes: String,
        /// The wanted temperature.
        wanted: String,
    },
}

impl Question {
    /// Checks that there is something to decide.
    pub fn check(&self) -> Result<(), Unfit> {
        if matches!(self.load.dryer, Dryer::Prescribed(_)) {
            return Err(Unfit::Rig);
        }
        if self.load.trays.iter().all(|tray| start_k(tray).is_none()) {
            return Err(Unfit::AllFrozen);
        }
        let too_warm = self.load.trays.iter().find(|tray| self.wanted_k >= tray.model.curve.freezing_point_k);
        too_warm.map_or(Ok(()), |tray| {
            Err(Unfit::CoreTooWarm {
                tray: tray.name.clone(),
                food: tray.food.clone(),
                freezes: self.load.units.temperature(tray.model.curve.freezing_point_k),
                wanted: self.load.units.temperature(self.wanted_k),
            })
        })
    }

    /// Follows all three ways.
    ///
    /// # Errors
    /// [`ModelError`] as the model gives it.
    pub fn answer(&self) -> Result<Answer, ModelError> {
        let outdoors = self.before(Place::Outdoors, |t| self.night.conditions(t))?;
        let freezer = self.before(Place::Freezer, |_| self.in_freezer())?;
        let machine = self.in_machine()?;
        let other = self.night.covered(!self.night.is_covered());
        let other_cover_s = self
            .set_out(|t| other.conditions(t))?
            .iter()
            .map(|(course, _)| course.reached_at_s)
            .fold(Some(0.0), latest);
        let advice = Advice::of(&outdoors, &freezer, &machine);
        Ok(Answer { outdoors, freezer, machine, other_cover_s, advice })
    }

    fn in_freezer(&self) -> Conditions {
        let air_k = self.freezer_k;
        Conditions { air_k, wind_m_per_s: 0.0, sky_k: air_k, outdoors: false, covered: false }
    }

    /// Each tray set out under the same conditions; what it reached, unless it came frozen.
    fn set_out(&self, conditions: impl Fn(f64) -> Conditions) -> Result<Vec<(Course, Option<SetOut>)>, ModelError> {
        let run = |tray: &Tray| {
            let Some(start_k) = start_k(tray) else { return Ok((Course::came_frozen(tray), None)) };
            let column = column(tray);
            let time_s = self.night.stay.length_s();
            let out = set_out(&column, tray.area_m2, start_k, time_s, self.wanted_k, &conditions)?;
            Ok((Course::of_set_out(&out, self.wanted_k), Some(out)))
        };
        self.load.trays.iter().map(run).collect()
    }

    /// Frozen outside the machine as far as it goes; what is not hard then goes straight into the machine.
    fn before(&self, place: Place, conditions: impl Fn(f64) -> Conditions) -> Result<Way, ModelError> {
        let (trays, reached): (Vec<Course>, Vec<Option<SetOut>>) = self.set_out(&conditions)?.into_iter().unzip();
        let mut load = self.load.clone();
        for (tray, course) in load.trays.iter_mut().zip(&trays) {
            let Some(start_k) = start_k(tray) else { continue };
            let now = conditions(0.0);
            tray.freezing = if tray.model.curve.frozen_share(course.end_k) >= FROZEN_ENOUGH {
                Freezing::Before {
                    start_k,
                    air_k: now.air_k,
                    wind_m_per_s: now.wind_m_per_s,
                    time_s: self.night.stay.length_s(),
                    outdoors: now.outdoors,
                }
            } else {
                Freezing::InMachine { loaded_k: course.end_k }
            };
        }
        let heat = |(tray, out): (&Tray, &Option<SetOut>)| {
            let (Some(out), Some(start_k)) = (out, start_k(tray)) else { return 0.0 };
            let column = column(tray);
            column.mass_kg.iter().sum::<f64>() * column.enthalpy_j_per_kg(start_k)
                - column.heat_j(&out.enthalpy_j_per_kg)
        };
        let heat_before_j = self.load.trays.iter().zip(&reached).map(heat).sum();
        let wait_s = self.night.stay.length_s();
        Ok(Way { place, trays, plan: plan_set_out(&load, &reached)?, wait_s, heat_before_j })
    }

    fn in_machine(&self) -> Result<Way, ModelError> {
        let mut load = self.load.clone();
        for tray in &mut load.trays {
            if let Some(loaded_k) = start_k(tray) {
                tray.freezing = Freezing::InMachine { loaded_k };
            }
        }
        let plan = icefront_core::plan(&load)?;
        let course = |(index, tray): (usize, &Tray)| {
            if start_k(tray).is_none() {
                return Course::came_frozen(tray);
            }
            let cold = plan.history.iter().take_while(|sample| sample.stage == Stage::Freezing);
            let core = cold.filter_map(|s| Some((s.time_s, s.trays.get(index)?.front_k)));
            Course::new(core.collect(), Vec::new(), self.wanted_k)
        };
        let trays = load.trays.iter().enumerate().map(course).collect();
        Ok(Way { place: Place::Machine, trays, plan, wait_s: 0.0, heat_before_j: 0.0 })
    }
}

/// Temperature a tray starts from, K; `None` if it comes frozen.
fn start_k(tray: &Tray) -> Option<f64> {
    match tray.freezing {
        Freezing::InMachine { loaded_k } => Some(loaded_k),
        Freezing::Before { start_k, .. } => Some(start_k),
        Freezing::Frozen { .. } => None,
    }
}

fn column(tray: &Tray) -> Column {
    Column::new(&tray.model, &tray.shape, tray.area_m2, BATCH_CELLS)
}
