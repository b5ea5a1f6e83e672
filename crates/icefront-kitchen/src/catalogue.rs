//! What can be chosen from: the foods of the table and the built-in dryers, as data.

use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_core::food::{FoodEntry, FoodError, FoodTable};
use serde::Serialize;

use crate::Failure;
use crate::sheet::dryer;

/// The answer of `icefront foods`.
#[derive(Clone, Debug, Serialize)]
pub struct Foods<'a> {
    /// Number of the food that is meant, in the source of the table; `null` without words.
    pub id: Option<&'a str>,
    /// Whether the words surely mean this food or one like it.
    pub sure: bool,
    /// The words as they were read, where some were repaired.
    pub read_as: Option<String>,
    /// Whether the words fit raw food and cooked food alike.
    pub raw_or_cooked: bool,
    /// Foods that the words fit, the one that is meant first; one of them alone leaves no choice.
    pub choices: Vec<Choice<'a>>,
    /// Why the food is taken for this kind of food.
    pub why: Vec<Reason>,
    /// What else the words could mean, the best first; the whole table without words.
    pub foods: Vec<&'a FoodEntry>,
    /// How many more there are.
    pub more: usize,
}

/// A food to choose.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Choice<'a> {
    /// Number in the source.
    pub id: &'a str,
    /// Name in the source: the words that mean this very food.
    pub description: &'a str,
}

/// A decision about a food.
#[derive(Clone, Debug, Serialize)]
pub struct Reason {
    /// What was decided.
    pub aspect: String,
    /// How.
    pub value: String,
    /// Why.
    pub why: String,
}

/// Most foods that are listed for some words.
const MOST_LISTED: usize = 60;

/// What these words mean; the whole table without words.
///
/// # Errors
/// [`Failure::UnknownName`] with the names most like them.
pub fn foods(words: &str) -> Result<Foods<'static>, Failure> {
    let table = FoodTable::embedded()?;
    if words.trim().is_empty() {
        let foods = table.entries().collect();
        let (choices, why) = (Vec::new(), Vec::new());
        return Ok(Foods { id: None, sure: false, read_as: None, raw_or_cooked: false, choices, why, foods, more: 0 });
    }
    let found = table.look_up(words).map_err(|error| unknown(words, &error))?;
    let (mut foods, all) = table.listing(words, MOST_LISTED);
    foods.retain(|entry| !found.choices.iter().any(|choice| choice.id == entry.id));
    let more = all.saturating_sub(foods.len() + found.choices.len());
    foods.splice(0..0, found.choices.iter().copied());
    let choices = found.choices.iter().map(|entry| Choice { id: &entry.id, description: &entry.description });
    Ok(Foods {
        id: Some(&found.entry.id),
        sure: found.sure,
        read_as: found.read_as,
        raw_or_cooked: found.raw_or_cooked,
        choices: choices.collect(),
        why: reasons(found.entry),
        foods,
        more,
    })
}

/// What was decided about a food, and what follows from its composition.
fn reasons(entry: &FoodEntry) -> Vec<Reason> {
    let reason = |aspect: &str, value: String, why: &str| Reason { aspect: aspect.into(), value, why: why.into() };
    let mut reasons: Vec<Reason> =
        entry.reasons.iter().map(|known| reason(known.aspect, known.value.to_string(), known.why)).collect();
    match entry.food().model() {
        Ok(model) => {
            let freezing_c = model.curve.freezing_point_k - ZERO_CELSIUS_K;
            let dissolved = "from its sugars, salts and proteins and the water they are dissolved in";
            reasons.push(reason("freezing_point", format!("{freezing_c:.1} degC"), dissolved));
            let limit = model.limit;
            let kept = format!("{:?}, kept below {:.0} degC", limit.kind, limit.collapse_k - ZERO_CELSIUS_K);
            reasons.push(reason("structure", kept.to_lowercase().replace("degc", "degC"), "from its drying class"));
        }
        Err(error) => reasons.push(reason("freezing_point", "none".into(), &error.to_string())),
    }
    if !entry.filled.is_empty() {
        reasons.push(reason("filled", entry.filled.join(", "), "blank in the source; the mean of like foods"));
    }
    reasons
}

fn unknown(words: &str, error: &FoodError) -> Failure {
    let help = match error {
        FoodError::UnknownFood { nearest, .. } if !nearest.is_empty() => {
            format!("did you mean {}?", nearest.iter().map(|n| format!("`{n}`")).collect::<Vec<_>>().join(", "))
        }
        _ => "try one word of it, such as soup or peas".to_string(),
    };
    Failure::unknown("food", words, help)
}

/// The answer of `icefront dryers`.
#[derive(Clone, Debug, Serialize)]
pub struct Dryers {
    /// By shelf area; all are invented.
    pub dryers: Vec<Dryer>,
}

/// A built-in dryer.
#[derive(Clone, Debug, Serialize)]
pub struct Dryer {
    /// Its name in load sheets.
    pub name: String,
    /// What its file says about it.
    pub note: String,
    /// All shelves together.
    pub shelf_area_m2: f64,
    /// Number of shelves.
    pub shelves: usize,
    /// From shelf to shelf.
    pub clear_height_m: f64,
    /// What the shelves are heated to.
    pub set_point_k: f64,
    /// Surface of the condenser.
    pub condenser_area_m2: f64,
}

/// The built-in dryers.
///
/// # Errors
/// [`Failure`] if an embedded file is damaged.
pub fn dryers() -> Result<Dryers, Failure> {
    let of = |text| -> Result<Dryer, Failure> {
        let cabinet = dryer::read(&text)?;
        Ok(Dryer {
            name: cabinet.name,
            note: cabinet.note,
            shelf_area_m2: cabinet.shelf_area_m2,
            shelves: cabinet.shelves,
            clear_height_m: cabinet.clear_height_m,
            set_point_k: cabinet.heater.set_point.warmest_k(),
            condenser_area_m2: cabinet.condenser.area_m2,
        })
    };
    let texts = dryer::BUILT_IN.iter().filter_map(|(name, _)| dryer::built_in(name));
    Ok(Dryers { dryers: texts.map(of).collect::<Result<_, _>>()? })
}
