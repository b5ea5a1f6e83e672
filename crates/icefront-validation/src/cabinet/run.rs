//! From the end of evacuation to the dry load: spans between events.
//!
//! An element that loses its last ice changes its equations: the time at which `f` meets 1 is bracketed on the continuous
//! output, and the span is integrated again to end there. The first time at which every depth of a tray is under the
//! target is read from the continuous output.

use std::cell::{Cell, RefCell};

use icefront_core::load::{EndRule, Load};
use icefront_core::result::{BatchResult, Stage};
use nalgebra::DVector;

use super::CabinetError;
use super::balance::{Balances, ElementNow, Now};
use super::integrate::{Solution, Span, integrate};
use super::rates::Rates;
use super::refrigeration::Refrigerator;
use super::root::{Bracket, falling_root};
use super::stack::Stack;
use super::state::{ElementState, Scales, State};

/// Longest drying followed, s.
const LONGEST_S: f64 = 300.0 * 3_600.0;
/// Length of a span, s.
const SPAN_S: f64 = 600.0;
/// First step of all, s.
const FIRST_STEP_S: f64 = 1e-3;
/// How exactly an event is located, s.
const EVENT_S: f64 = 1e-3;
/// The pressure is noted so often, s; not in the first hour of drying, in which it only comes up.
const PRESSURE_EVERY_S: f64 = 60.0;
const SETTLING_S: f64 = 3_600.0;
/// Share of the dry matter passed at which the last ice is gone.
const ALL_PASSED: f64 = 1.0;

/// How finely the cabinet is computed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Accuracy {
    /// Relative and absolute tolerance of the scaled state.
    pub tolerance: f64,
    /// Depths at which sorbed water is counted, per element.
    pub depths: usize,
}

impl Default for Accuracy {
    /// As many depths as the batch has; steps far finer.
    fn default() -> Self {
        Self { tolerance: 1e-6, depths: 10 }
    }
}

/// One tray. Times count from the start of the run, freezing included.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct TrayOutcome {
    /// Last ice gone, s.
    pub ice_gone_at_s: f64,
    /// Every depth under the target, s.
    pub dry_at_s: f64,
}

/// Total pressure while ice sublimes and pressure may hold the heaters back, Pa.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pressures {
    /// Lowest and highest.
    pub range_pa: (f64, f64),
    /// Turns from rising to falling: how often it hunts.
    pub peaks: usize,
}

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// Trays from the bottom up.
    pub trays: Vec<TrayOutcome>,
    /// Food ready: the last tray is dry, s from the start of the run.
    pub food_ready_s: f64,
    /// Electric energy from the start of the run until then, J.
    pub energy_j: f64,
    /// Water not accounted for when the food is ready, over the water loaded.
    pub water_error_rel: f64,
    /// Pressure until the first tray has lost its ice.
    pub pressures: Option<Pressures>,
    /// Steps taken.
    pub steps: u32,
    /// Right-hand sides formed.
    pub evaluations: u32,
}

/// Dries a load from where a batch result has it at the end of evacuation.
///
/// # Errors
/// [`CabinetError`]: what is not covered, or could not be solved.
pub fn dry(load: &Load, batch: &BatchResult, accuracy: Accuracy) -> Result<Outcome, CabinetError> {
    let EndRule::WettestSpot { moisture_wet_frac } = load.end else {
        return Err(CabinetError::Unsupported { what: "end criteria other than the wettest spot" });
    };
    let mut run = Run::new(load, batch, accuracy, moisture_wet_frac / (1.0 - moisture_wet_frac))?;
    while run.dry_at_s.iter().any(Option::is_none) {
        if run.time_s > LONGEST_S {
            return Err(CabinetError::TooLong { limit_s: LONGEST_S });
        }
        run.span()?;
    }
    Ok(run.outcome(batch))
}

struct Run<'a> {
    rates: Rates<'a>,
    scales: Scales,
    accuracy: Accuracy,
    target_per_dry: f64,
    /// Start of drying, s from the start of the run.
    start_s: f64,
    /// Time, s from the start of drying.
    time_s: f64,
    step_s: f64,
    /// Scaled state.
    vector: DVector<f64>,
    state: State,
    iced: Vec<bool>,
    now: RefCell<Now>,
    gone_at_s: Vec<Option<f64>>,
    dry_at_s: Vec<Option<f64>>,
    end: State,
    pressures: Vec<f64>,
    steps: u32,
    evaluations: u32,
}

impl<'a> Run<'a> {
    fn new(load: &'a Load, batch: &BatchResult, accuracy: Accuracy, target_per_dry: f64) -> Result<Self, CabinetError> {
        let stack = Stack::new(load)?;
        let trays = load.trays.len();
        let start = batch
            .history
            .iter()
            .find(|s| s.stage == Stage::PrimaryDrying && s.trays.len() == trays)
            .ok_or(CabinetError::NoStart { trays })?;
        let mut state = State { coil_k: start.condenser_k, ..State::default() };
        let mut now = Now { vapour_k: start.condenser_k, vapour_pa: start.vapour_pressure_pa, ..Now::default() };
        let mut scales = Scales { element_heat_j: Vec::new() };
        for column in &stack.columns {
            for element in &stack.elements[column.elements.clone()] {
                let food_k = start.trays[column.tray].front_k;
                let food_kg = element.dry_kg / element.food.dry_frac();
                state.elements.push(ElementState {
                    passed_frac: 0.0,
                    heat_j: food_kg * element.food.curve.enthalpy_j_per_kg(food_k),
                    sorbed_per_dry: vec![0.0; accuracy.depths],
                });
                now.elements.push(ElementNow::uniform(food_k));
                scales.element_heat_j.push(food_kg * 1e5);
            }
        }
        state.shelves_k = start.trays.iter().map(|t| t.shelf_k).collect();
        let last_k = state.shelves_k.last().copied().unwrap_or(state.coil_k);
        state.shelves_k.resize(stack.shelf_areas_m2.len(), last_k);
        let mut vector = DVector::zeros(state.components());
        state.write(&scales, vector.as_mut_slice());
        let elements = stack.elements.len();
        Ok(Self {
            rates: Rates {
                refrigerator: Refrigerator::new(&stack.cabinet.refrigeration, load.room_k),
                room_k: load.room_k,
                balances: Balances::new(stack),
            },
            scales,
            accuracy,
            target_per_dry,
            start_s: start.time_s,
            time_s: 0.0,
            step_s: FIRST_STEP_S,
            vector,
            end: state.clone(),
            state,
            iced: vec![true; elements],
            now: RefCell::new(now),
            gone_at_s: vec![None; elements],
            dry_at_s: vec![None; elements],
            pressures: Vec::new(),
            steps: 0,
            evaluations: 0,
        })
    }

    /// Integrates from the present state.
    fn solve(&mut self, length_s: f64) -> Result<Solution, CabinetError> {
        let scratch = RefCell::new((self.state.clone(), self.state.clone()));
        let unsettled = Cell::new(false);
        let span = Span { length_s, tolerance: self.accuracy.tolerance, first_step_s: self.step_s };
        let solution = integrate(&self.vector, span, |time_s, vector, out| {
            let (state, rates) = &mut *scratch.borrow_mut();
            let now = &mut *self.now.borrow_mut();
            state.read(&self.scales, vector);
            self.rates.balances.settle(state, &self.iced, now);
            unsettled.set(unsettled.get() || !now.settled);
            self.rates.at(self.time_s + time_s, state, &self.iced, now, rates);
            rates.write_rates(&self.scales, out);
        })?;
        if unsettled.get() {
            return Err(CabinetError::NotSettled { at_s: self.time_s });
        }
        self.steps += solution.steps;
        self.evaluations += solution.evaluations;
        Ok(solution)
    }

    /// One span, or as far as the next last ice in it.
    fn span(&mut self) -> Result<(), CabinetError> {
        let mut length_s = SPAN_S;
        let mut solution = self.solve(length_s)?;
        let passed = |run: &mut Self, vector: &DVector<f64>| -> Vec<f64> {
            run.state.read(&run.scales, vector.as_slice());
            run.state.elements.iter().map(|e| e.passed_frac).collect()
        };
        let at_end = passed(self, &solution.end());
        let finishing: Vec<usize> = (0..self.iced.len()).filter(|&e| self.iced[e] && at_end[e] >= ALL_PASSED).collect();
        if !finishing.is_empty() {
            let mut probe = self.state.clone();
            let scales = self.scales.clone();
            let probe = RefCell::new(&mut probe);
            let left = |time_s: f64| {
                let mut probe = probe.borrow_mut();
                probe.read(&scales, solution.at(time_s).as_slice());
                finishing.iter().map(|&e| ALL_PASSED - probe.elements[e].passed_frac).fold(f64::INFINITY, f64::min)
            };
            length_s = falling_root(Bracket { low: 0.0, high: length_s, within: EVENT_S }, left) + EVENT_S;
            solution = self.solve(length_s)?;
        }
        self.step_s = length_s / f64::from(solution.steps.max(1));
        self.note_pressures(&solution, length_s)?;
        self.note_dry(&solution, length_s);
        self.vector = solution.end();
        self.state.read(&self.scales, self.vector.as_slice());
        self.time_s += length_s;
        for e in 0..self.iced.len() {
            if self.iced[e] && self.state.elements[e].passed_frac >= ALL_PASSED {
                self.iced[e] = false;
                self.gone_at_s[e] = Some(self.start_s + self.time_s);
                self.state.elements[e].passed_frac = ALL_PASSED;
                // a new phase: the last steps say nothing of its first
                self.step_s = self.step_s.min(1.0);
            }
        }
        self.state.write(&self.scales, self.vector.as_mut_slice());
        Ok(())
    }

    /// Notes the pressure while all elements hold ice.
    fn note_pressures(&mut self, solution: &Solution, length_s: f64) -> Result<(), CabinetError> {
        if self.time_s < SETTLING_S || self.iced.iter().any(|iced| !iced) {
            return Ok(());
        }
        let mut state = self.state.clone();
        let mut now = self.now.borrow().clone();
        for i in 0..(length_s / PRESSURE_EVERY_S) as usize {
            state.read(&self.scales, solution.at(i as f64 * PRESSURE_EVERY_S).as_slice());
            self.rates.balances.settle(&state, &self.iced, &mut now);
            if !now.settled {
                return Err(CabinetError::NotSettled { at_s: self.time_s });
            }
            self.pressures.push(now.vapour_pa + self.rates.balances.air_pa);
        }
        Ok(())
    }

    /// Notes elements whose wettest depth comes under the target.
    fn note_dry(&mut self, solution: &Solution, length_s: f64) {
        let state = RefCell::new(self.state.clone());
        for e in 0..self.iced.len() {
            if self.iced[e] || self.dry_at_s[e].is_some() {
                continue;
            }
            let over = |time_s: f64| {
                let mut state = state.borrow_mut();
                state.read(&self.scales, solution.at(time_s).as_slice());
                state.elements[e].sorbed_per_dry.iter().fold(0.0, |wettest: f64, x| wettest.max(*x))
                    - self.target_per_dry
            };
            if over(length_s) <= 0.0 {
                let at_s = falling_root(Bracket { low: 0.0, high: length_s, within: EVENT_S }, over);
                self.dry_at_s[e] = Some(self.start_s + self.time_s + at_s);
                state.borrow_mut().read(&self.scales, solution.at(at_s).as_slice());
                self.end = state.borrow().clone();
            }
        }
    }

    fn outcome(self, batch: &BatchResult) -> Outcome {
        let stack = &self.rates.balances.stack;
        let cabinet = stack.cabinet;
        let mut trays = vec![TrayOutcome::default(); stack.columns.last().map_or(0, |c| c.tray + 1)];
        for column in &stack.columns {
            for e in column.elements.clone() {
                let tray = &mut trays[column.tray];
                tray.ice_gone_at_s = tray.ice_gone_at_s.max(self.gone_at_s[e].unwrap_or(f64::NAN));
                tray.dry_at_s = tray.dry_at_s.max(self.dry_at_s[e].unwrap_or(f64::NAN));
            }
        }
        let food_ready_s = trays.iter().map(|t| t.dry_at_s).fold(0.0, f64::max);
        let before: f64 =
            [Stage::Freezing, Stage::Evacuation].map(|stage| batch.energy_by_stage_j[stage].total()).iter().sum();
        let constant_w = cabinet.vacuum.power_w + cabinet.controls_w;
        Outcome {
            trays,
            food_ready_s,
            energy_j: before + self.end.compressor_j + self.end.heaters_j + constant_w * (food_ready_s - self.start_s),
            water_error_rel: self.water_error_rel(),
            pressures: pressures(&self.pressures),
            steps: self.steps,
            evaluations: self.evaluations,
        }
    }
}

impl Run<'_> {
    /// Water loaded less what the food holds at the end, the coil's ice and what the pump took, over that loaded.
    fn water_error_rel(&self) -> f64 {
        let (mut loaded_kg, mut left_kg) = (0.0, 0.0);
        for (element, state) in self.rates.balances.stack.elements.iter().zip(&self.end.elements) {
            let water_kg = element.dry_kg * element.food.water_per_dry();
            loaded_kg += water_kg;
            left_kg += water_kg * (1.0 - state.passed_frac)
                + element.dry_kg * state.sorbed_per_dry.iter().sum::<f64>() / state.sorbed_per_dry.len() as f64;
        }
        (loaded_kg - left_kg - self.end.ice_kg - self.end.pumped_kg).abs() / loaded_kg
    }
}

/// Range and turns of a course of pressures.
fn pressures(course: &[f64]) -> Option<Pressures> {
    if course.is_empty() {
        return None;
    }
    let fold = |f: fn(f64, f64) -> f64| course.iter().copied().fold(course[0], f);
    let peaks = course.windows(3).filter(|w| w[1] > w[0] && w[1] >= w[2]).count();
    Some(Pressures { range_pa: (fold(f64::min), fold(f64::max)), peaks })
}
