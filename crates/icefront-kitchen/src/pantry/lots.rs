//! What is left: lots with their packs, in the order to eat them; sums by food.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::pantry::entry::{Entry, Line, Put};
use crate::problem::{Problem, Problems};
use crate::weather::clock::Date;

/// Packs of one kind put in on one day, and how many are left.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Lot {
    /// Number of the line that put them in.
    #[serde(rename = "lot")]
    pub number: u32,
    /// As they were put in.
    #[serde(flatten)]
    pub put: Put,
    /// Packs left.
    #[serde(rename = "packs_left")]
    pub left: u32,
}

/// All lots by what to eat first: the date on the label, then the older lot. The order of the lines does not matter.
pub fn lots(lines: &[Line]) -> Result<Vec<Lot>, Problems> {
    let mut lots: BTreeMap<u32, Lot> = BTreeMap::new();
    for line in lines {
        if let Entry::Put(put) = &line.entry {
            lots.insert(line.number, Lot { number: line.number, put: put.clone(), left: put.packs });
        }
    }
    let mut problems = Problems::default();
    for line in lines {
        let Entry::Take { lot: number, packs, .. } = &line.entry else { continue };
        let wrong = match lots.get_mut(number) {
            None => format!("no line puts lot {number} in"),
            Some(lot) if lot.left < *packs => format!("only {} of lot {number} were left", lot.left),
            Some(lot) => {
                lot.left -= packs;
                continue;
            }
        };
        let help = "lines are only ever added; was one taken out or changed by hand?";
        let title = format!("{packs} packs of lot {number} cannot have been taken");
        problems.add(Problem::new(line.span.clone(), title, wrong, help));
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    let mut lots: Vec<Lot> = lots.into_values().collect();
    lots.sort_by_key(|lot| (lot.put.eat_first, lot.put.date, lot.number));
    Ok(lots)
}

/// Packs to take from a lot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Take {
    /// Lot.
    pub lot: u32,
    /// How many.
    pub packs: u32,
}

/// So many packs from the lots that are to be eaten first; `None` where there are not so many.
pub fn take_oldest<'a>(lots: impl IntoIterator<Item = &'a Lot>, packs: u32) -> Option<Vec<Take>> {
    let mut wanted = packs;
    let mut takes = Vec::new();
    for lot in lots {
        let packs = wanted.min(lot.left);
        if packs > 0 {
            takes.push(Take { lot: lot.number, packs });
            wanted -= packs;
        }
    }
    (wanted == 0).then_some(takes)
}

/// What is left of one food.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct ByFood {
    /// Its name.
    pub food: String,
    /// All of it.
    #[serde(flatten)]
    pub sum: Sum,
}

/// Packs together.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Sum {
    /// Packs.
    pub packs: u32,
    /// Dried food, g.
    pub dry_g: f64,
    /// Food energy of the packs for which it is known, kJ.
    pub energy_kj: f64,
    /// Value of the packs for which it is known, by currency.
    pub value: BTreeMap<String, f64>,
    /// Packs without a value.
    pub packs_without_value: u32,
}

/// Sums by food, names without regard to capitals; and over all foods.
pub fn by_food(lots: &[Lot]) -> (Vec<ByFood>, Sum) {
    let mut foods: BTreeMap<String, ByFood> = BTreeMap::new();
    let mut all = Sum::default();
    for lot in lots.iter().filter(|lot| lot.left > 0) {
        let entry = foods.entry(lot.put.food.to_lowercase());
        entry.or_insert_with(|| ByFood { food: lot.put.food.clone(), ..ByFood::default() }).sum.add(lot);
        all.add(lot);
    }
    (foods.into_values().collect(), all)
}

impl Sum {
    fn add(&mut self, lot: &Lot) {
        let left = f64::from(lot.left);
        self.packs += lot.left;
        self.dry_g += left * lot.put.dry_g;
        self.energy_kj += left * lot.put.energy_kj.unwrap_or(0.0);
        match lot.put.value {
            Some(value) => *self.value.entry(lot.put.currency.clone()).or_default() += left * value,
            None => self.packs_without_value += lot.left,
        }
    }
}

/// What is left in a pantry, by what to eat first.
#[derive(Clone, Debug, Serialize)]
pub struct Left<'a> {
    /// The day.
    pub today: Date,
    /// Lots with packs left.
    pub lots: Vec<LotLeft<'a>>,
}

/// A lot with packs left.
#[derive(Clone, Debug, Serialize)]
pub struct LotLeft<'a> {
    /// The lot.
    #[serde(flatten)]
    pub lot: &'a Lot,
    /// Whether the date on its label has passed.
    pub passed: bool,
}

/// What is left on a day.
pub fn left(lots: &[Lot], today: Date) -> Left<'_> {
    let left = lots.iter().filter(|lot| lot.left > 0);
    Left { today, lots: left.map(|lot| LotLeft { lot, passed: lot.put.eat_first < today }).collect() }
}

/// A pantry by food.
#[derive(Clone, Debug, Serialize)]
pub struct Summary {
    /// The day.
    pub today: Date,
    /// Foods by name.
    pub foods: Vec<ByFood>,
    /// All of them.
    pub all: Sum,
}

/// The sums on a day.
pub fn sums(lots: &[Lot], today: Date) -> Summary {
    let (foods, all) = by_food(lots);
    Summary { today, foods, all }
}
