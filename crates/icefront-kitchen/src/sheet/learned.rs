//! `[learned]` of a dryer file: what logged batches taught about the machine and the foods, as `icefront learn` writes it.
//!
//! The numbers of the file stay as they were entered. What was learned is a hundred or so believable machines (with
//! their foods), each a number for every unknown in standard deviations of its band: batches narrow combinations (more
//! cold and less heat give the same night) far more than any single number, and not along straight lines.

use std::path::Path;

use icefront_core::learning::{Belief, Errors, MODEL};
use icefront_core::ranges::Point;
use statrs::distribution::{ContinuousCDF, Normal};

use crate::sheet::section::Section;

/// Fewest draws that give a range.
const FEWEST: usize = 16;

/// What was learned.
#[derive(Clone, Debug, PartialEq)]
pub struct Known {
    /// The evidence, in words.
    pub from: String,
    /// Names of the unknowns.
    pub names: Vec<String>,
    /// The best explanation.
    best: Vec<f64>,
    /// Believable machines, all alike.
    draws: Vec<Vec<f64>>,
    /// The normal distribution with their middle and covariance.
    normal: Belief,
    /// Size of the model error of a tray's water, and the standard deviation of its logarithm.
    model_error: Option<[f64; 2]>,
}

/// Reads `[learned]` of a file; `None` if a problem was noted.
pub fn read(table: &Section<'_>, path: &Path) -> Option<Known> {
    let from = table.text("from")?.to_string();
    let model = table.whole("model").unwrap_or(1);
    if model != MODEL {
        let (history, file) = (table.text("history").unwrap_or("HISTORY.csv"), path.display());
        let title = format!("what was learned is of model {model}, and this icefront has model {MODEL}");
        let help = format!("learn it again: `icefront learn {history} --dryer \"{file}\" --out \"{file}\" --force`");
        table.note("model", title, "another model", help);
        return None;
    }
    let rows = table.list("unknown");
    let (mut names, mut best, mut columns) = (Vec::<String>::new(), Vec::new(), Vec::<Vec<f64>>::new());
    for row in &rows {
        let (name, value, draws) = (row.text("name"), row.quantity("best"), row.numbers("draws"));
        let (name, value, draws) = (name?, value?, draws?);
        let wanted = columns.first().map_or(draws.len().max(FEWEST), Vec::len);
        if draws.len() != wanted {
            let label = format!("{} numbers instead of {wanted}", draws.len());
            row.note("draws", "`draws` is not whole", label, "let `icefront learn` write it");
            return None;
        }
        if names.iter().any(|n| n == name) {
            row.note("name", format!("`{name}` is given twice"), "again", "");
            return None;
        }
        names.push(name.to_string());
        best.push(value);
        columns.push(draws.to_vec());
    }
    let count = columns.first().map_or(0, Vec::len);
    if count == 0 {
        return None;
    }
    let draws: Vec<Vec<f64>> = (0..count).map(|j| columns.iter().map(|c| c[j]).collect()).collect();
    let normal = Belief::of_draws(&draws);
    let (size, log_size) = (table.quantity("model_error"), table.quantity("model_error_log"));
    Some(Known { from, names, best, draws, normal, model_error: size.zip(log_size).map(|(a, b)| [a, b]) })
}

/// How what was learned is put into a point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Use {
    /// The best explanation.
    Best,
    /// One of the believable machines.
    Draws,
    /// The normal distribution of them: changes smoothly with the point's numbers.
    Normal,
}

impl Known {
    /// Puts what is known into a point of which number `first + i` belongs to the unknown `names[i]`. What was learned of
    /// unknowns that are not among them takes the numbers that follow.
    pub fn point(&self, point: &Point, first: usize, names: &[String], how: Use) -> Point {
        let mut next = first + names.len();
        let places: Vec<usize> = self
            .names
            .iter()
            .map(|name| match names.iter().position(|n| n == name) {
                Some(at) => first + at,
                None => {
                    next += 1;
                    next - 1
                }
            })
            .collect();
        let normal = Normal::standard();
        let mut units: Vec<f64> = (0..next).map(|k| point.unit(k)).collect();
        let learned = match how {
            Use::Best => self.best.clone(),
            Use::Draws => {
                // the first of its numbers picks one
                let picked = places.first().map_or(0.0, |&k| units[k]) * self.draws.len() as f64;
                self.draws[(picked as usize).min(self.draws.len() - 1)].clone()
            }
            Use::Normal => self.normal.draw(&places.iter().map(|&k| normal.inverse_cdf(units[k])).collect::<Vec<_>>()),
        };
        for (&k, z) in places.iter().zip(learned) {
            units[k] = normal.cdf(z);
        }
        point.replaced(units)
    }

    /// Errors of the tools with the model error that batches showed.
    pub fn errors(&self, mut errors: Errors) -> Errors {
        if let Some([size, log_size]) = self.model_error {
            errors.model.moisture_ratio = size;
            errors.model.log_size = log_size;
        }
        errors
    }

    /// How many of the unknowns are not among `names`.
    pub fn further(&self, names: &[String]) -> usize {
        self.names.iter().filter(|n| !names.contains(n)).count()
    }
}
