//! Sheets and variations of them side by side, on common draws.

use icefront_core::decide::compare::{Best, Difference, Pairing, Quantity, Variant, best, difference, draw};
use icefront_core::error::ModelError;
use icefront_core::load::Load;
use icefront_core::units::UnitSystem;
use serde::Serialize;

use crate::kept::Kept;
use crate::sheet::vary::{Cell, Vary, grid};
use crate::sheet::{self, Sheet, Text};
use crate::{Failure, Storage};

/// Name of the sheet without changes.
pub const AS_IT_IS: &str = "as in the sheet";

/// One load of the comparison.
#[derive(Clone, Debug)]
pub struct Named {
    /// What it is called in the table.
    pub name: String,
    /// File it was read from.
    pub file: String,
    /// Keys and values that were changed.
    pub values: Vec<(String, String)>,
    /// The load.
    pub sheet: Sheet,
}

/// What is to be compared.
#[derive(Clone, Debug)]
pub struct Question {
    /// At least two; all are compared with the first.
    pub loads: Vec<Named>,
    /// Remarks on what the variations mean.
    pub notes: Vec<String>,
    /// How they are drawn.
    pub pairing: Pairing,
}

/// What came out.
#[derive(Clone, Debug)]
pub struct Answer {
    /// Loads with their draws, in the order of the question.
    pub variants: Vec<Variant>,
    /// Each against the first.
    pub against_first: Vec<AgainstFirst>,
    /// Whether any is safe; if none is, the best are so without regard to that.
    pub some_safe: bool,
    /// Most dried food per time.
    pub least_time_per_kg: Option<Best>,
    /// Most dried food per cost, or per electricity without a price.
    pub least_cost_per_kg: Option<Best>,
    /// Most dried food in one batch that is still safe.
    pub fullest: Option<Best>,
}

/// A load against the first: ratios over common draws, and what they say.
#[derive(Clone, Debug, Serialize)]
pub struct AgainstFirst {
    /// Time until the food is ready.
    pub food_ready: Difference,
    /// Electricity.
    pub energy: Difference,
    /// Dried food per time.
    pub dried_kg_per_day: Difference,
    /// Dried food per electricity.
    pub dried_kg_per_kwh: Difference,
}

impl AgainstFirst {
    fn of(one: &Variant, first: &Variant) -> Self {
        let against = |quantity| difference(one, first, quantity);
        Self {
            food_ready: against(Quantity::ReadyS),
            energy: against(Quantity::EnergyJ),
            dried_kg_per_day: against(Quantity::DriedKgPerS),
            dried_kg_per_kwh: against(Quantity::DriedKgPerJ),
        }
    }
}

/// Each sheet as it stands, and each with every cell of the grid.
///
/// # Errors
/// [`Failure`] of a sheet that cannot be read or a key that it does not take.
pub fn loads(texts: &[Text], varied: &[Vary], files: &dyn Storage) -> Result<(Vec<Named>, Vec<String>), Failure> {
    let mut loads = Vec::new();
    let mut notes = Vec::new();
    for text in texts {
        let file = text.name();
        let of_file = |name: String| if texts.len() > 1 { format!("{file}: {name}") } else { name };
        let as_it_is = if texts.len() > 1 { file.clone() } else { AS_IT_IS.to_string() };
        loads.push(Named { name: as_it_is, file: file.clone(), values: Vec::new(), sheet: sheet::read(text, files)? });
        if varied.is_empty() {
            continue;
        }
        let grid = grid(text, varied)?;
        for Cell { values, variant } in grid.cells {
            let words: Vec<String> = values.iter().map(|(key, value)| format!("{key} {value}")).collect();
            let sheet = sheet::read_variant(text, variant, files).map_err(|f| f.in_variant(&words.join(", ")))?;
            loads.push(Named { name: of_file(words.join(", ")), file: file.clone(), values, sheet });
        }
        notes.extend(grid.notes.into_iter().map(of_file));
    }
    let mut sheets: Vec<Sheet> = loads.iter().map(|named| named.sheet.clone()).collect();
    sheet::share_unknowns(&mut sheets);
    for (named, sheet) in loads.iter_mut().zip(sheets) {
        named.sheet = sheet;
    }
    notes.extend(kept(&loads));
    Ok((loads, notes))
}

/// Whether weight and depth stay on the trays that are cut or filled otherwise, one remark for all trays alike in it.
fn kept(loads: &[Named]) -> Vec<String> {
    let mut trays: Vec<(String, Kept)> = Vec::new();
    for named in loads {
        let Some(first) = loads.iter().find(|first| first.file == named.file && first.values.is_empty()) else {
            continue;
        };
        let (before, after) = (&first.sheet.load.trays, &named.sheet.load.trays);
        // with pieces apart there are more trays
        let pairs = before.iter().zip(after).filter(|_| before.len() == after.len());
        for (before, after) in pairs.filter(|(before, after)| before.shape != after.shape) {
            let kept = Kept::of(before, after);
            match trays.iter_mut().find(|(name, _)| *name == before.name) {
                Some((_, all)) => *all = all.and(kept),
                None => trays.push((before.name.clone(), kept)),
            }
        }
    }
    trays.sort_by_key(|(_, kept)| (!kept.weight, !kept.depth));
    let alike = trays.chunk_by(|a, b| a.1 == b.1).map(|trays| {
        let names: Vec<&str> = trays.iter().map(|(name, _)| name.as_str()).collect();
        format!("{}: {}", names.join(", "), trays[0].1.words())
    });
    alike.collect()
}

/// Runs that a comparison takes by default, shared among its loads.
const RUNS: usize = 512;

impl Question {
    /// Units in which it is answered: those of the first load.
    pub fn units(&self) -> UnitSystem {
        self.loads.first().map_or(UnitSystem::Metric, |named| named.sheet.load.units)
    }

    /// Samples of each load by default: a power of two, where the points of the sequence lie most evenly.
    pub fn draws_for(loads: usize) -> usize {
        let most = RUNS / loads;
        [256, 128, 64].into_iter().find(|n| *n <= most).unwrap_or(32)
    }

    /// Draws all loads and compares them with the first.
    ///
    /// # Errors
    /// [`ModelError`] as the model gives it.
    pub fn answer(&self) -> Result<Answer, ModelError> {
        let loads: Vec<Load> = self.loads.iter().map(|named| named.sheet.load.clone()).collect();
        let variants = draw(&self.pairing, &loads, |which, point| self.loads[which].sheet.at(point))?;
        let first = variants.first().ok_or(ModelError::Empty { what: "the list of loads" })?;
        let against_first = variants.iter().map(|variant| AgainstFirst::of(variant, first)).collect();
        let has_price = loads.iter().all(|load| load.tariff.price_per_kwh.is_some_and(|price| price > 0.0));
        let per_cost = if has_price { Quantity::DriedKgPerCost } else { Quantity::DriedKgPerJ };
        let some_safe = variants.iter().any(Variant::is_safe);
        Ok(Answer {
            against_first,
            some_safe,
            least_time_per_kg: best(&variants, Quantity::DriedKgPerS, some_safe),
            least_cost_per_kg: best(&variants, per_cost, some_safe),
            fullest: best(&variants, Quantity::DriedKg, true),
            variants,
        })
    }
}
