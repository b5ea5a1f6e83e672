//! Household measures: what a cup or a piece of a food weighs.

use super::rows::{Cells, read_rows};
use super::table::FoodEntry;
use super::{FoodError, FoodTable};

/// One household measure of a food.
#[derive(Clone, Debug, PartialEq)]
pub struct Measure {
    /// The measure in words, as in the source: `cup, sliced`, `medium (3" dia)`.
    pub words: String,
    /// What is measured.
    pub kind: MeasureKind,
    /// Mass of it, kg.
    pub mass_kg: f64,
}

/// Cups or pieces.
#[derive(Clone, Debug, PartialEq)]
pub enum MeasureKind {
    /// A volume, filled loosely as a cook does, air between pieces included.
    Volume {
        /// Volume, m3.
        volume_m3: f64,
        /// Form it is cut into; empty if the source names none.
        form: String,
    },
    /// Some pieces.
    Pieces {
        /// How many.
        count: f64,
    },
}

const MEASURES_CSV: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/data/foods/density.csv"));

impl FoodEntry {
    /// Household measures known for it, in the order of the source; read when first needed.
    pub fn measures(&self) -> Result<Vec<Measure>, FoodError> {
        let of_this = |line: &&str| line.strip_prefix(self.id.as_str()).is_some_and(|rest| rest.starts_with(','));
        let lines: Vec<&str> = MEASURES_CSV.lines().filter(of_this).collect();
        read_rows(&lines.join("\n"), false, measure)
    }
}

/// One row: `id, kind, amount, measure, grams, volume_ml, form`.
fn measure(cells: &Cells) -> Result<Measure, FoodError> {
    let kind = match cells.text(1) {
        "volume" => {
            MeasureKind::Volume { volume_m3: cells.number(5, "volume_ml")? * 1e-6, form: cells.text(6).to_owned() }
        }
        _ => MeasureKind::Pieces { count: cells.number(2, "amount")? },
    };
    Ok(Measure { words: cells.text(3).to_owned(), kind, mass_kg: cells.number(4, "grams")? / 1e3 })
}

impl FoodTable {
    /// Mass of a volume of this food, kg. `form` says how it is cut (`sliced`), or nothing.
    ///
    /// Without a form: the measure that names none, else the first in the source. With one: the measure with most of
    /// its words; none in common is an error.
    pub fn mass_of_volume(&self, entry: &FoodEntry, volume_m3: f64, form: &str) -> Result<f64, FoodError> {
        Ok(self.bulk_density_kg_per_m3(entry, form)? * volume_m3)
    }

    /// Density with the air between pieces, kg/m3, from the same measure.
    pub fn bulk_density_kg_per_m3(&self, entry: &FoodEntry, form: &str) -> Result<f64, FoodError> {
        // cups before spoons, since small measures are rounded hard
        let measures = entry.measures()?;
        let volumes = measures.iter().filter_map(|measure| match &measure.kind {
            MeasureKind::Volume { volume_m3, form } => Some((form.as_str(), *volume_m3, measure.mass_kg / volume_m3)),
            MeasureKind::Pieces { .. } => None,
        });
        let wanted = form.trim();
        let mut best: Option<(usize, f64, f64)> = None;
        for (known, volume_m3, density) in volumes {
            let agreement = if wanted.is_empty() { usize::from(known.is_empty()) } else { common_words(wanted, known) };
            if best.is_none_or(|(most, largest, _)| {
                agreement > most || (agreement == most && known.is_empty() && volume_m3 > largest)
            }) {
                best = Some((agreement, volume_m3, density));
            }
        }
        match best {
            Some((agreement, _, density)) if wanted.is_empty() || agreement > 0 => Ok(density),
            _ => Err(unknown(entry, form, &measures)),
        }
    }

    /// Mass of some pieces of this food, kg. `words` says which (`medium`, `fillet`), or nothing.
    ///
    /// Without words: medium ones, else the first piece in the source that is not a weight or a serving.
    pub fn mass_of_pieces(&self, entry: &FoodEntry, pieces: f64, words: &str) -> Result<f64, FoodError> {
        let measures = entry.measures()?;
        let per_piece = measures.iter().filter_map(|measure| match measure.kind {
            MeasureKind::Pieces { count } => Some((measure.words.as_str(), measure.mass_kg / count)),
            MeasureKind::Volume { .. } => None,
        });
        let mut pieces_known = per_piece.filter(|(words, _)| !is_weight_or_serving(words));
        let found = if words.trim().is_empty() {
            let all: Vec<_> = pieces_known.collect();
            all.iter().find(|(known, _)| known.contains("medium")).or(all.first()).copied()
        } else {
            pieces_known.find(|(known, _)| common_words(words, known) == words.split_whitespace().count())
        };
        found.map(|(_, mass_kg)| mass_kg * pieces).ok_or_else(|| unknown(entry, words, &measures))
    }
}

/// How many of the words stand in the measure's words.
fn common_words(words: &str, known: &str) -> usize {
    let known = super::words::words(known);
    super::words::words(words).iter().filter(|word| known.contains(word)).count()
}

/// Measures that are not pieces.
fn is_weight_or_serving(words: &str) -> bool {
    matches!(words, "oz" | "lb") || words.contains("serving") || words.contains("yield")
}

fn unknown(entry: &FoodEntry, query: &str, measures: &[Measure]) -> FoodError {
    FoodError::UnknownMeasure {
        food: entry.description.clone(),
        query: query.to_owned(),
        known: measures.iter().map(|measure| measure.words.clone()).collect(),
    }
}
