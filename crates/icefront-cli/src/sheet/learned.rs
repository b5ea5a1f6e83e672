//! `[learned]` of a dryer file: what logged batches taught about the machine and the foods, as `icefront learn` writes it.
//!
//! The numbers of the file stay as they were entered. What was learned is told for all unknowns together, since batches
//! narrow combinations (more cold and less heat give the same night) far more than any single number: a middle for each
//! unknown, in standard deviations of its band, and a few directions in which less is left unknown.

use icefront_core::learning::{Belief, Direction};
use icefront_core::ranges::Point;
use statrs::distribution::{ContinuousCDF, Normal};

use super::limits::Limit;
use super::section::Section;

/// Keys of `[learned]`.
pub const KEYS: [&str; 3] = ["from", "left", "unknown"];
/// Keys of `[[learned.unknown]]`.
pub const UNKNOWN_KEYS: [&str; 3] = ["name", "middle", "along"];

const MIDDLE: Limit = Limit::number(-6.0, 6.0, "-6 to 6");
const LEFT: Limit = Limit::number(1e-4, 1.0, "0.0001 to 1");
const ALONG: Limit = Limit::number(-1.0, 1.0, "-1 to 1");
/// How far a direction's length may be from 1 by rounding.
const ROUNDING: f64 = 0.01;

/// What was learned.
#[derive(Clone, Debug, PartialEq)]
pub struct Known {
    /// The evidence, in words.
    pub from: String,
    /// Names of the unknowns.
    pub names: Vec<String>,
    /// What is believed of them.
    pub belief: Belief,
}

/// Reads `[learned]`; `None` if a problem was noted.
pub fn read(table: &Section<'_>) -> Option<Known> {
    let from = table.required("from", table.text("from"), "which batches it was learned from");
    let left =
        table.required("left", table.numbers("left", &LEFT), "what is left in each direction, such as [0.3, 0.6]");
    let rows = table.list("unknown", &UNKNOWN_KEYS);
    let (from, left) = (from?.to_string(), left?);
    let mut known = Known { from, names: Vec::new(), belief: Belief::prior(0) };
    known.belief.directions = left.iter().map(|left| Direction { left: *left, along: Vec::new() }).collect();
    for row in &rows {
        let name = row.required("name", row.text("name"), "such as \"contact.gap\"");
        let middle = row.required("middle", row.quantity("middle", &MIDDLE), "in standard deviations of the band");
        let along = row.required("along", row.numbers("along", &ALONG), "a number for each direction");
        let (name, middle, along) = (name?, middle?, along?);
        if along.len() != left.len() {
            let label = format!("{} numbers for {} directions", along.len(), left.len());
            row.note("along", "`along` does not fit `left`", label, None);
            return None;
        }
        if known.names.iter().any(|n| n == name) {
            row.note("name", format!("`{name}` is told twice"), "again", None);
            return None;
        }
        known.names.push(name.to_string());
        known.belief.middle.push(middle);
        known.belief.directions.iter_mut().zip(along).for_each(|(d, a)| d.along.push(a));
    }
    for direction in &mut known.belief.directions {
        let length = direction.along.iter().map(|a| a * a).sum::<f64>().sqrt();
        if (length - 1.0).abs() > ROUNDING {
            let label = format!("a direction of length {length:.3} instead of 1");
            table.note("unknown", "the directions are not whole", label, Some("let `icefront learn` write it".into()));
            return None;
        }
        direction.along.iter_mut().for_each(|a| *a /= length);
    }
    Some(known)
}

impl Known {
    /// Puts what is known into a point of which number `first + i` belongs to the unknown `names[i]`. What was learned of
    /// unknowns that are not among them takes the numbers that follow.
    pub fn point(&self, point: &Point, first: usize, names: &[String]) -> Point {
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
        let standard: Vec<f64> = places.iter().map(|&k| normal.inverse_cdf(units[k])).collect();
        for (&k, z) in places.iter().zip(self.belief.draw(&standard)) {
            units[k] = normal.cdf(z);
        }
        Point::given(units)
    }

    /// How many of the unknowns are not among `names`.
    pub fn further(&self, names: &[String]) -> usize {
        self.names.iter().filter(|n| !names.contains(n)).count()
    }
}
