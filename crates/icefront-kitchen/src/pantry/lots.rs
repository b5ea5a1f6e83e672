//! What is left: lots with their packs, in the order to eat them; sums by food.

use std::collections::BTreeMap;

use crate::pantry::entry::{Entry, Line, Put};
use crate::problem::{Problem, Problems};

/// Packs of one kind put in on one day, and how many are left.
#[derive(Clone, Debug, PartialEq)]
pub struct Lot {
    /// Number of the line that put them in.
    pub number: u32,
    /// As they were put in.
    pub put: Put,
    /// Packs left.
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
        problems.add(Problem { span: line.span.clone(), title, label: wrong, help: Some(help.into()) });
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
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ByFood {
    /// Packs.
    pub packs: u32,
    /// Dried food, g.
    pub dry_g: f64,
    /// Food energy of the packs that tell it, kJ.
    pub energy_kj: f64,
    /// Value of the packs that tell it, by currency.
    pub value: BTreeMap<String, f64>,
    /// Packs without a value.
    pub without_value: u32,
}

/// Sums by food, names without regard to capitals; and over all foods.
pub fn by_food(lots: &[Lot]) -> (BTreeMap<String, ByFood>, ByFood) {
    let mut foods: BTreeMap<String, (String, ByFood)> = BTreeMap::new();
    let mut all = ByFood::default();
    for lot in lots.iter().filter(|lot| lot.left > 0) {
        let entry = foods.entry(lot.put.food.to_lowercase());
        let (_, food) = entry.or_insert_with(|| (lot.put.food.clone(), ByFood::default()));
        food.add(lot);
        all.add(lot);
    }
    (foods.into_values().collect(), all)
}

impl ByFood {
    fn add(&mut self, lot: &Lot) {
        let left = f64::from(lot.left);
        self.packs += lot.left;
        self.dry_g += left * lot.put.dry_g;
        self.energy_kj += left * lot.put.energy_kj.unwrap_or(0.0);
        match lot.put.value {
            Some(value) => *self.value.entry(lot.put.currency.clone()).or_default() += left * value,
            None => self.without_value += lot.left,
        }
    }
}
