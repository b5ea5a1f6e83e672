//! The food table: compositions of 512 foods (USDA SR28, public domain), read once.
//!
//! How a row becomes a composition:
//! - carbohydrate in the source includes fibre: fibre is taken off;
//! - a blank is not zero: blank fibre and sugars are filled with the mean share of the carbohydrate in the rows of the
//!   same category and state that report them, and the entry says so;
//! - salt is sodium times 2.542 (NaCl over Na), at most the ash;
//! - the sum is scaled to 1 (it is within 2 % but for a few fish).

use std::collections::BTreeMap;
use std::sync::OnceLock;

use serde::{Deserialize, Serialize};

use super::assign::{class_of, porosity_of};
use super::rows::{Cells, read_rows};
use super::words::{Name, words};
use super::{Composition, DryingClass, Food, FoodError};

const COMPOSITION_CSV: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/data/foods/usda_composition.csv"));
const ALIASES_CSV: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/data/foods/aliases.csv"));
/// NaCl over Na by mass. Source: 58.44/22.99 (IUPAC atomic masses).
const SALT_PER_SODIUM: f64 = 58.44 / 22.99;
/// Source line of every food in the table.
const SOURCE: &str = "USDA SR28";

/// Whether a food suits freeze-drying at home (our own judgement).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fit {
    /// Usually suits.
    #[serde(alias = "y")]
    Suits,
    /// With care: much fat, cream or sugar.
    #[serde(alias = "c")]
    WithCare,
    /// Poor.
    #[serde(alias = "n")]
    Poor,
}

/// One food of the table.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FoodEntry {
    /// Number in the source.
    pub id: String,
    /// Name in the source.
    pub description: String,
    /// Kind of food, our own label.
    pub category: String,
    /// Raw, cooked, ready and so on, our own label.
    pub state: String,
    /// Whether it suits.
    pub fit: Fit,
    /// Composition, summing to 1.
    pub composition: Composition,
    /// How it dries.
    pub class: DryingClass,
    /// Share of air in a piece.
    pub porosity: f64,
    /// Fractions that were blank in the source and filled from like foods.
    pub filled: Vec<&'static str>,
    #[serde(skip)]
    pub(super) name: Name,
}

impl FoodEntry {
    /// The food.
    pub fn food(&self) -> Food {
        let source = format!("{SOURCE} {}", self.id);
        Food { porosity: self.porosity, ..Food::new(&self.description, source, self.composition, self.class) }
    }

    /// Whether the row is a food already dried, kept to compare with.
    pub fn is_dried(&self) -> bool {
        self.state.ends_with("reference")
    }
}

/// The foods and the names households give them.
#[derive(Clone, Debug, PartialEq)]
pub struct FoodTable {
    pub(super) entries: Vec<FoodEntry>,
    /// What households say, as sorted words, and which entry they mean.
    pub(super) aliases: Vec<(Vec<String>, usize)>,
}

impl FoodTable {
    /// The table that is built in, read on first use.
    pub fn embedded() -> Result<&'static Self, FoodError> {
        static TABLE: OnceLock<Result<FoodTable, FoodError>> = OnceLock::new();
        TABLE.get_or_init(|| Self::read(COMPOSITION_CSV, ALIASES_CSV)).as_ref().map_err(Clone::clone)
    }

    /// All foods in the order of the table.
    pub fn entries(&self) -> &[FoodEntry] {
        &self.entries
    }

    fn read(composition: &str, aliases: &str) -> Result<Self, FoodError> {
        let rows = read_rows(composition, true, |cells| cells.all::<Row>())?;
        let shares = Shares::of(&rows);
        let mut entries: Vec<FoodEntry> = rows.into_iter().map(|row| row.entry(&shares)).collect();
        entries.push(kitchen_basic("water", "Water", Composition { water: 1.0, ..Composition::default() }));
        entries.push(kitchen_basic("salt", "Salt", Composition { ash: 1.0, salt: 1.0, ..Composition::default() }));
        let aliases = read_rows(aliases, true, |cells| alias(cells, &entries))?;
        Ok(Self { entries, aliases })
    }
}

/// Water and salt, whose composition needs no source.
fn kitchen_basic(id: &str, description: &str, composition: Composition) -> FoodEntry {
    FoodEntry {
        id: id.to_owned(),
        description: description.to_owned(),
        category: "basic".to_owned(),
        state: "ready".to_owned(),
        fit: Fit::Poor,
        composition,
        class: DryingClass::Extract,
        porosity: 0.0,
        filled: Vec::new(),
        name: Name::of(description),
    }
}

/// A row as printed, g per 100 g; the fields in the order of the columns.
#[derive(Deserialize)]
struct Row {
    id: String,
    description: String,
    category: String,
    state: String,
    fit: Fit,
    water: f64,
    protein: f64,
    fat: f64,
    carbohydrate: f64,
    fibre: Option<f64>,
    sugars: Option<f64>,
    ash: f64,
    sodium_mg: f64,
}

impl Row {
    fn entry(self, shares: &Shares) -> FoodEntry {
        let mut filled = Vec::new();
        let mut or_share = |value: Option<f64>, which: &'static str, share: f64| {
            value.unwrap_or_else(|| {
                filled.push(which);
                share * self.carbohydrate
            })
        };
        let [fibre_share, sugar_share] = shares.for_row(&self);
        let fibre = or_share(self.fibre, "fibre", fibre_share);
        let sugars = or_share(self.sugars, "sugars", sugar_share);
        let carbohydrate = (self.carbohydrate - fibre).max(0.0);
        let composition = Composition {
            water: self.water,
            protein: self.protein,
            fat: self.fat,
            carbohydrate,
            fibre,
            ash: self.ash,
            sugars,
            salt: self.sodium_mg / 1e3 * SALT_PER_SODIUM,
        }
        .normalised();
        FoodEntry {
            class: class_of(&self.description, &self.category, &self.state, &composition),
            porosity: porosity_of(&self.description),
            name: Name::of(&self.description),
            id: self.id,
            description: self.description,
            category: self.category,
            state: self.state,
            fit: self.fit,
            composition,
            filled,
        }
    }
}

/// Fibre and sugars over carbohydrate, by category and state, summed over the rows that report them.
struct Shares(BTreeMap<(String, String), [Share; 2]>);

#[derive(Clone, Copy, Default)]
struct Share {
    part: f64,
    carbohydrate: f64,
}

impl Shares {
    fn of(rows: &[Row]) -> Self {
        let mut shares = BTreeMap::<_, [Share; 2]>::new();
        for row in rows {
            let of_kind = shares.entry((row.category.clone(), row.state.clone())).or_default();
            for (share, part) in of_kind.iter_mut().zip([row.fibre, row.sugars]) {
                if let Some(part) = part {
                    share.part += part;
                    share.carbohydrate += row.carbohydrate;
                }
            }
        }
        Self(shares)
    }

    /// Mean shares for foods like this one: fibre, sugars.
    fn for_row(&self, row: &Row) -> [f64; 2] {
        let share = |s: Share| if s.carbohydrate > 0.0 { s.part / s.carbohydrate } else { 0.0 };
        self.0.get(&(row.category.clone(), row.state.clone())).map_or([0.0; 2], |shares| shares.map(share))
    }
}

/// One row of the household names: words, number of the food.
fn alias(cells: &Cells, entries: &[FoodEntry]) -> Result<(Vec<String>, usize), FoodError> {
    let at = entries.iter().position(|entry| entry.id == cells.text(1)).ok_or_else(|| cells.error("ndb_id"))?;
    Ok((words(cells.text(0)), at))
}
