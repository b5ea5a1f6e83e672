//! Rules of the trade, with what the model computes for them: common practice, no source, and so no evidence.

use icefront_core::aftercare::{Fattiness, Keeping, eat_first_s, soak};
use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_core::food::{Food, FoodError, FoodTable};
use icefront_core::load::{Freezing, Load, Tray};
use icefront_core::machine::Dryer;
use icefront_core::plan;
use icefront_core::result::BatchResult;
use icefront_core::shape::{PieceForm, Shape};
use icefront_kitchen::evidence::{Fitted, Kind, NO_SOURCE, Predicted, Rule};
use serde::Deserialize;

use crate::evidence::case::{Case, read};
use crate::evidence::{EvidenceError, in_parallel};

const RULES: &str = include_str!("../../data/published/trade.csv");
const HOUR_S: f64 = 3_600.0;
const MINUTE_S: f64 = 60.0;
const MONTH_S: f64 = 365.25 / 12.0 * 86_400.0;
const JOULES_PER_KWH: f64 = 3.6e6;
const ROOM_K: f64 = ZERO_CELSIUS_K + 20.0;
/// Share of the tray under whole pieces; quartered ones of the same weight cover twice as much.
const WHOLE_COVERAGE: f64 = 0.35;

#[derive(Deserialize)]
struct Line {
    id: String,
    statement: String,
    quantity: String,
    conditions: String,
    unit: String,
    low: Option<f64>,
    high: Option<f64>,
}

/// All rules.
///
/// # Errors
/// [`EvidenceError`] if the file is wrong or the model has no result.
pub fn rules() -> Result<Vec<Rule>, EvidenceError> {
    let lines: Vec<Line> = read("trade.csv", RULES)?;
    let computed =
        in_parallel(&lines, |line| if line.quantity.is_empty() { Ok(None) } else { compute(line).map(Some) });
    let rules = lines.into_iter().zip(computed).map(|(line, computed)| {
        Ok(Rule {
            computed: computed?,
            id: line.id,
            statement: line.statement,
            quantity: line.quantity,
            conditions: line.conditions,
            unit: line.unit,
            low: line.low,
            high: line.high,
            source: NO_SOURCE.into(),
        })
    });
    rules.collect()
}

fn compute(line: &Line) -> Result<Predicted, EvidenceError> {
    let case = line.as_case();
    Ok(match line.quantity.as_str() {
        "electricity of a full batch" => kwh(&plan(&full_batch(&case, case.word("food")?)?)?).into(),
        "hours saved by loading frozen" => {
            let (fresh, frozen) = fresh_and_frozen(&case)?;
            ((fresh.food_ready_s() - frozen.food_ready_s()) / HOUR_S).into()
        }
        "electricity saved by loading frozen" => {
            let (fresh, frozen) = fresh_and_frozen(&case)?;
            (kwh(&fresh) - kwh(&frozen)).into()
        }
        "time of whole pieces over quartered ones" => {
            let side_m = case.number("side_mm")? / 1e3;
            let whole = plan(&pieces(&case, side_m, side_m, WHOLE_COVERAGE)?)?;
            let quartered = plan(&pieces(&case, side_m, 0.5 * side_m, 2.0 * WHOLE_COVERAGE)?)?;
            (whole.food_ready_s() / quartered.food_ready_s()).into()
        }
        "hours per kg of water, fatty over lean" => {
            let pace = |food: &str| {
                let result = plan(&full_batch(&case, food)?)?;
                Ok::<_, EvidenceError>(result.food_ready_s() / result.water.removed_kg)
            };
            (pace(case.word("fatty")?)? / pace(case.word("lean")?)?).into()
        }
        "time to soak" => {
            let soak = soak(case.number("thickness_mm")? / 1e3, case.kelvin("water_c")?);
            let [low, high] = [soak.low_s, soak.high_s].map(|s| s / MINUTE_S);
            Predicted { value: (low * high).sqrt(), low: Some(low), high: Some(high) }
        }
        "time to soak whole pieces over quartered ones" => {
            let (side_m, water_k) = (case.number("side_mm")? / 1e3, case.kelvin("water_c")?);
            (soak(side_m, water_k).high_s / soak(0.5 * side_m, water_k).high_s).into()
        }
        "time to eat first, fatty over lean" => (keeping_s(Fattiness::Fatty) / keeping_s(Fattiness::Lean)).into(),
        "time to eat first" => {
            let fat = if case.word("fat")? == "lean" { Fattiness::Lean } else { Fattiness::Fatty };
            (keeping_s(fat) / MONTH_S).into()
        }
        _ => return Err(case.unknown()),
    })
}

impl Line {
    fn as_case(&self) -> Case {
        Case {
            id: self.id.clone(),
            kind: Kind::Textbook,
            quantity: self.quantity.clone(),
            conditions: self.conditions.clone(),
            unit: self.unit.clone(),
            low: self.low,
            value: None,
            high: self.high,
            fitted: Fitted::Nothing,
            check: String::new(),
            source: String::new(),
        }
    }
}

fn kwh(result: &BatchResult) -> f64 {
    result.energy_j().total() / JOULES_PER_KWH
}

fn keeping_s(fat: Fattiness) -> f64 {
    eat_first_s(&Keeping { fat, without_oxygen: true, shelf_k: ROOM_K })
}

fn food(id: &str) -> Result<Food, FoodError> {
    let found = FoodTable::embedded()?.by_id(id);
    found.map(|entry| entry.food()).ok_or(FoodError::UnknownFood { query: id.into(), nearest: Vec::new() })
}

/// Every shelf of a built-in dryer with the same food, loaded at 5 degC, not frozen.
fn batch(case: &Case, food_id: &str, shape: Shape) -> Result<Load, EvidenceError> {
    let key = || EvidenceError::Key { id: case.id.clone(), key: "dryer".into() };
    let dryer = Dryer::builtin(case.word("dryer")?).map_err(|_| key())?;
    let Dryer::Cabinet(cabinet) = &dryer else { return Err(key()) };
    let (shelves, area_m2) = (cabinet.shelves, cabinet.shelf_area_m2 / cabinet.shelves as f64);
    let food = food(food_id)?;
    let tray = Tray::of_model(food.name.clone(), food.model()?, shape, area_m2);
    Ok(Load::new(dryer, vec![tray; shelves]))
}

fn full_batch(case: &Case, food_id: &str) -> Result<Load, EvidenceError> {
    batch(case, food_id, Shape::Layer { depth_m: case.number("depth_mm")? / 1e3 })
}

fn fresh_and_frozen(case: &Case) -> Result<(BatchResult, BatchResult), EvidenceError> {
    let fresh = full_batch(case, case.word("food")?)?;
    let mut frozen = fresh.clone();
    for tray in &mut frozen.trays {
        tray.freezing = Freezing::Frozen { loaded_k: case.kelvin("frozen_c")? };
    }
    Ok((plan(&fresh)?, plan(&frozen)?))
}

/// Cubes, or the same cut lengthwise into quarters.
fn pieces(case: &Case, length_m: f64, side_m: f64, coverage: f64) -> Result<Load, EvidenceError> {
    let form = PieceForm::Brick { length_m, width_m: side_m, height_m: side_m };
    batch(case, case.word("food")?, Shape::Pieces { form, layers: 1, coverage })
}
