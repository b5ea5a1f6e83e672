//! One line of a pantry, and its columns.

use std::ops::Range;

use serde::Serialize;

use crate::pantry::cell;
use crate::weather::clock::Date;

/// Columns of version 1 in the order they are written.
pub const COLUMNS: &str = "pantry_1,date,action,lot,food,packs,dry_g,water_ml,energy_kj,fat_percent,oxygen,shelf_c,eat_first,\
                           value,currency,allergens,note";
/// The first of them: it holds the number of the line and names the version.
pub const NUMBER: &str = "pantry_1";

/// One line.
#[derive(Clone, Debug, PartialEq)]
pub enum Entry {
    /// Packs put in.
    Put(Put),
    /// Packs of a lot taken out.
    Take {
        /// Day.
        date: Date,
        /// Lot they are from.
        lot: u32,
        /// How many.
        packs: u32,
    },
}

/// Packs of one kind put in on one day; the number of the line is their lot. Amounts are per pack, in the units of the
/// columns.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Put {
    /// Day.
    pub date: Date,
    /// Food.
    pub food: String,
    /// Packs.
    #[serde(rename = "packs_put")]
    pub packs: u32,
    /// Dried food, g.
    pub dry_g: f64,
    /// Water that brings it back, ml.
    pub water_ml: Option<f64>,
    /// Food energy, kJ.
    pub energy_kj: Option<f64>,
    /// Fat in the dry matter, %.
    pub fat_percent: Option<f64>,
    /// Whether the oxygen was taken out.
    pub without_oxygen: bool,
    /// Shelf, degC.
    pub shelf_c: f64,
    /// Date on its label.
    pub eat_first: Date,
    /// Cost of a pack.
    pub value: Option<f64>,
    /// Currency of it.
    pub currency: String,
    /// In the cook's words.
    pub allergens: String,
    /// Anything else.
    pub note: String,
}

impl Put {
    /// As it is read back once it was written: numbers to three decimals, text on one line.
    pub fn as_written(&self) -> Self {
        let number = |value: f64| cell::read_signed(&cell::write_number(value, false), false).unwrap_or(value);
        let text = |text: &str| cell::read_text(&cell::write_text(text));
        Self {
            date: self.date,
            food: text(&self.food),
            packs: self.packs,
            dry_g: number(self.dry_g),
            water_ml: self.water_ml.map(number),
            energy_kj: self.energy_kj.map(number),
            fat_percent: self.fat_percent.map(number),
            without_oxygen: self.without_oxygen,
            shelf_c: number(self.shelf_c),
            eat_first: self.eat_first,
            value: self.value.map(number),
            currency: text(&self.currency),
            allergens: text(&self.allergens),
            note: text(&self.note),
        }
    }
}

/// An entry with its number and its place in the file.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Number, each once in a file.
    pub number: u32,
    /// What was put in or taken out.
    pub entry: Entry,
    /// Bytes it fills.
    pub span: Range<usize>,
}
