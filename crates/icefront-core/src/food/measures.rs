//! Household measures: what a cup or a piece of a food weighs.

use super::source::{self, Cells};
use super::table::FoodEntry;
use super::words::{Vocabulary, written};
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

/// Volumes at the beginning of a measure's words, ml. Source: US customary units, 1 gal = 231 in3.
const VOLUMES: [(&str, f64); 10] = [
    ("cup", 236.588),
    ("tbsp", 14.787),
    ("tablespoon", 14.787),
    ("tsp", 4.929),
    ("teaspoon", 4.929),
    ("fl oz", 29.574),
    ("pint", 473.176),
    ("quart", 946.353),
    ("gallon", 3785.41),
    ("cubic inch", 16.387),
];
/// Words of a measure that is what some amount yields, not what fills it.
const YIELDS: [&str; 2] = ["yields", "makes"];

impl FoodEntry {
    /// Household measures known for it, in the order of the source; read when first needed.
    pub fn measures(&self) -> Result<Vec<Measure>, FoodError> {
        let of_this = |line: &str| line.strip_prefix(self.id.as_str()).is_some_and(|rest| rest.starts_with(','));
        Ok(source::measures()?.lines().filter(|line| of_this(line)).filter_map(measure).collect())
    }
}

/// One row: `id, amount, measure, grams`; nothing where it yields no mass.
fn measure(line: &str) -> Option<Measure> {
    let mut cells = Cells::of(line);
    cells.text();
    let (amount, words, mass_kg) = (cells.number()?, cells.text(), cells.number()? / 1e3);
    let lower = words.to_lowercase();
    let volume = VOLUMES.iter().find_map(|(unit, volume_ml)| {
        let rest = lower.strip_prefix(unit)?;
        let ends = !rest.starts_with(|c: char| c.is_alphanumeric());
        ends.then(|| (*volume_ml, words.get(unit.len()..).unwrap_or_default()))
    });
    let is_filled = |form: &str| !YIELDS.iter().any(|word| form.contains(word));
    let kind = match volume {
        Some((volume_ml, form)) if is_filled(form) => MeasureKind::Volume {
            volume_m3: (volume_ml * amount * 1e3).round() / 1e3 * 1e-6,
            form: form.trim_matches([' ', ',', '(', ')']).to_owned(),
        },
        Some(_) => return None,
        None => MeasureKind::Pieces { count: amount },
    };
    Some(Measure { words, kind, mass_kg })
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
            let agreement = if wanted.is_empty() {
                usize::from(known.is_empty())
            } else {
                common_words(wanted, known, &self.words)
            };
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

    /// Mass of some pieces, kg, where the words may also name the food itself (`large eggs`, `breasts`), as the table or as
    /// `name` has it.
    pub fn mass_of_named_pieces(
        &self,
        entry: &FoodEntry,
        pieces: f64,
        words: &str,
        name: &str,
    ) -> Result<f64, FoodError> {
        if let Ok(mass_kg) = self.mass_of_pieces(entry, pieces, words) {
            return Ok(mass_kg);
        }
        let own: Vec<String> =
            written(&format!("{} {name}", entry.description)).iter().map(|word| self.words.one_form(word)).collect();
        let further = written(words).into_iter().filter(|word| !own.contains(&self.words.one_form(word)));
        let further = further.collect::<Vec<_>>().join(" ");
        self.mass_of_pieces(entry, pieces, &further)
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
            pieces_known.find(|(known, _)| common_words(words, known, &self.words) == words.split_whitespace().count())
        };
        found.map(|(_, mass_kg)| mass_kg * pieces).ok_or_else(|| unknown(entry, words, &measures))
    }
}

/// How many of the words stand in the measure's words.
fn common_words(words: &str, known: &str, vocabulary: &Vocabulary) -> usize {
    let one_form = |text: &str| -> Vec<String> { written(text).iter().map(|word| vocabulary.one_form(word)).collect() };
    let known = one_form(known);
    one_form(words).iter().filter(|word| known.contains(word)).count()
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
