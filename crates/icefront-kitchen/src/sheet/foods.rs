//! Foods of a sheet: those of the table, the user's own (`[food.x]`) and recipes (`[recipe.x]`); and how much of each.

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;

use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_core::food::{Composition, Fit, Food, FoodEntry, FoodError, FoodTable, Mixture, mix};

use crate::problem::{MOST_SHOWN, nearest};
use crate::quantity::Amount;
use crate::sheet::section::Section;

/// Temperature of food in a measuring cup.
const MEASURED_AT_K: f64 = ZERO_CELSIUS_K + 20.0;

/// A food as it is called in the sheet.
#[derive(Clone, Debug)]
pub struct Stock {
    /// The cook's name for it.
    pub name: String,
    /// What it is.
    pub food: Food,
    /// The entry of the table that knows its household measures; without one, a measure is filled without gaps.
    pub entry: Option<&'static FoodEntry>,
    /// Ingredients by name, with the share of each by mass; a food that is no recipe is its own.
    pub parts: Vec<(String, f64)>,
    /// Whether raw meat, fish or egg is in it.
    pub raw: bool,
    /// Whether the sheet gives its water content.
    pub water_given: bool,
}

/// Kinds of food of the table that carry the germs of animals.
const ANIMAL: [&str; 6] = ["poultry", "beef", "pork", "lamb veal game", "fish", "egg"];
const RAW: [&str; 2] = ["raw", "uncooked"];

impl Stock {
    /// A food that is no recipe. The table holds few raw ones: a food of the cook's own that is like meat and called raw
    /// is raw.
    fn plain(name: &str, food: Food, entry: Option<&'static FoodEntry>) -> Self {
        let called_raw = name.split_whitespace().any(|word| RAW.contains(&word.to_lowercase().as_str()));
        let raw = entry.is_some_and(|e| ANIMAL.contains(&e.category.as_str()) && (e.state == "raw" || called_raw));
        Self { name: name.into(), food, entry, parts: vec![(name.into(), 1.0)], raw, water_given: false }
    }

    /// The food that these make together, each with its mass, kg.
    ///
    /// # Errors
    /// [`FoodError`] where they make none.
    pub fn of_parts(name: &str, parts: &[(Self, f64)]) -> Result<Self, FoodError> {
        let all_kg: f64 = parts.iter().map(|(_, mass_kg)| mass_kg).sum();
        let foods: Vec<(Food, f64)> = parts.iter().map(|(stock, mass_kg)| (stock.food.clone(), *mass_kg)).collect();
        let share = |(stock, mass_kg): &(Self, f64)| (stock.name.clone(), mass_kg / all_kg);
        Ok(Self {
            parts: parts.iter().map(share).collect(),
            raw: parts.iter().any(|(stock, _)| stock.raw),
            ..Self::plain(name, mix(name, &foods)?, None)
        })
    }

    /// Whether the table calls it unfit for freeze-drying.
    pub fn poor(&self) -> bool {
        self.entry.is_some_and(|e| e.fit == Fit::Poor)
    }

    /// The food as it lies in a layer: with the air between grains or pieces that its cup measure shows.
    pub fn as_layer(&self) -> Food {
        let heaped = || {
            let density = FoodTable::embedded().ok()?.bulk_density_kg_per_m3(self.entry?, "").ok()?;
            let heaped = self.food.with_bulk_density(density).ok()?;
            (heaped.porosity > self.food.porosity).then_some(heaped)
        };
        heaped().unwrap_or_else(|| self.food.clone())
    }

    /// The same food with the fat that the tray gives, if it does; its other parts keep their proportions.
    pub fn with_fat(mut self, tray: &Section<'_>) -> Option<Self> {
        if !tray.has("fat") {
            return Some(self);
        }
        let fat = tray.quantity("fat")?;
        let old = self.food.composition;
        let composition = whole(tray, "fat", changed(&old, [None, None, Some(fat), None, None, None], None, None))?;
        // a freezing point that was measured belongs to the food as it was
        self.food.freezing_point_k = self.food.freezing_point_k.filter(|_| composition == old);
        self.food.composition = composition;
        Some(self)
    }

    fn density_kg_per_m3(&self) -> f64 {
        let porosity = self.food.porosity;
        Mixture::unfrozen(&self.food.composition).density_kg_per_m3(MEASURED_AT_K) * (1.0 - porosity)
    }
}

/// All foods that a sheet may name.
pub struct Pantry {
    table: Option<&'static FoodTable>,
    /// The user's own; `None` where one could not be read, which was noted.
    own: BTreeMap<String, Option<Stock>>,
    recipes: BTreeMap<String, Option<Stock>>,
    /// Names in the sheet that the table does not begin with, and the names it has.
    taken: RefCell<BTreeMap<String, String>>,
    /// Names that were found nowhere so far.
    unknown: Cell<usize>,
}

impl Pantry {
    /// Reads `[food.x]` and `[recipe.x]`.
    pub fn read(sheet: &Section<'_>) -> Self {
        let mut pantry = Self {
            table: table(sheet),
            own: BTreeMap::new(),
            recipes: BTreeMap::new(),
            taken: RefCell::default(),
            unknown: Cell::new(0),
        };
        if let Some(foods) = sheet.section("food") {
            for name in foods.keys() {
                let own = foods.section(name).and_then(|s| pantry.own_food(name, &s));
                pantry.own.insert(name.to_string(), own);
            }
        }
        if let Some(recipes) = sheet.section("recipe") {
            for name in recipes.keys() {
                let made = recipes.section(name).and_then(|s| pantry.cook(name, &s));
                pantry.recipes.insert(name.to_string(), made);
            }
        }
        pantry
    }

    /// The food that `key` names.
    pub fn food(&self, section: &Section<'_>, key: &str) -> Option<Stock> {
        let name = section.text(key)?;
        let recipe = self.recipes.contains_key(name);
        let recipe = recipe.then(|| format!("there is a recipe of that name: recipe = \"{name}\""));
        self.noted(section, key, &format!("food `{name}`"), name, recipe)
    }

    /// A food of the user's or of the table; notes a name that is neither.
    fn noted(&self, section: &Section<'_>, key: &str, what: &str, name: &str, help: Option<String>) -> Option<Stock> {
        self.find(name).unwrap_or_else(|near| {
            section.note(key, format!("{what} is not in the food table"), "not a known food", help.or(Some(near)));
            None
        })
    }

    /// The recipe that `key` names.
    pub fn recipe(&self, section: &Section<'_>, key: &str) -> Option<Stock> {
        let name = section.text(key)?;
        if let Some(known) = self.recipes.get(name) {
            return known.clone();
        }
        let names = self.recipes.keys().map(String::as_str);
        let help = match nearest(name, names) {
            Some(near) => format!("nearest: `{near}`"),
            None => format!("write it down under [recipe.\"{name}\"]"),
        };
        section.note(key, format!("there is no recipe `{name}`"), "not a recipe of this sheet", Some(help));
        None
    }

    /// The food of a name that stands elsewhere in the sheet, where anything wrong with it was noted.
    pub fn quietly(&self, name: &str) -> Option<Stock> {
        self.recipes.get(name).cloned().flatten().or_else(|| self.find(name).ok().flatten())
    }

    /// Names in the sheet and what the table calls them, where that differs.
    pub fn into_taken(self) -> BTreeMap<String, String> {
        self.taken.into_inner()
    }

    /// A food of the user's or of the table; the error is the help for a name that is neither. Looking for names alike
    /// takes far longer than looking for the name, so it is done for as many names as a message shows.
    fn find(&self, name: &str) -> Result<Option<Stock>, String> {
        if let Some(own) = self.own.get(name) {
            return Ok(own.clone());
        }
        let Some(table) = self.table else { return Ok(None) };
        if let Some(entry) = table.known(name) {
            if !entry.description.to_lowercase().starts_with(&name.to_lowercase()) {
                self.taken.borrow_mut().insert(name.to_string(), entry.description.clone());
            }
            return Ok(Some(Stock::plain(name, entry.food(), Some(entry))));
        }
        let unknown = self.unknown.replace(self.unknown.get() + 1);
        let of_table = if unknown < MOST_SHOWN { table.nearest(name) } else { Vec::new() };
        let own = self.own.keys().map(String::as_str).filter(|_| unknown < MOST_SHOWN);
        let near = nearest(name, own).or(of_table.first().map(String::as_str));
        let list = "`icefront foods WORD` looks foods up";
        Err(near.map_or(list.into(), |near| format!("nearest name: `{near}`; {list}")))
    }

    fn own_food(&self, name: &str, section: &Section<'_>) -> Option<Stock> {
        section.text("like")?;
        let like = self.food(section, "like");
        let share = |key| section.quantity(key);
        let given = ["water", "protein", "fat", "carbohydrate", "fibre", "ash"].map(share);
        let (sugars, salt) = (share("sugars"), share("salt"));
        let (freezing_point_k, air) = (share("freezing_point"), share("air"));
        let Stock { food, entry, .. } = like?;
        let composition = whole(section, "", changed(&food.composition, given, sugars, salt))?;
        let measured = freezing_point_k.or(food.freezing_point_k.filter(|_| composition == food.composition));
        let porosity = air.unwrap_or(food.porosity);
        let food = Food { name: name.into(), composition, freezing_point_k: measured, porosity, ..food };
        Some(Stock { water_given: section.has("water"), ..Stock::plain(name, food, entry) })
    }

    /// Ingredients by amount.
    fn cook(&self, name: &str, section: &Section<'_>) -> Option<Stock> {
        let ingredients = section.keys();
        if ingredients.is_empty() {
            section.note("", "the recipe has no ingredients", "such as \"onions, raw\" = \"200 g\"", None);
        }
        let parts: Vec<Option<(Stock, f64)>> = ingredients
            .into_iter()
            .map(|name| {
                let stock = if name.eq_ignore_ascii_case("water") {
                    Some(Stock::plain(name, Food::water(), None))
                } else {
                    self.noted(section, name, &format!("ingredient `{name}`"), name, None)
                };
                let mass_kg = mass(section, name, stock.as_ref());
                Some((stock?, mass_kg?))
            })
            .collect();
        let note = |e: &FoodError| section.note("", "the ingredients do not make a food", e.to_string(), None);
        Stock::of_parts(name, &parts.into_iter().collect::<Option<Vec<_>>>()?).inspect_err(note).ok()
    }
}

fn table(sheet: &Section<'_>) -> Option<&'static FoodTable> {
    let note = |e: &FoodError| sheet.note("", "the food table cannot be read", e.to_string(), None);
    FoodTable::embedded().inspect_err(note).ok()
}

/// A composition whose parts fit together; notes one whose parts do not.
fn whole(section: &Section<'_>, key: &str, composition: Composition) -> Option<Composition> {
    let title = "the parts of this food do not fit together";
    composition.check().inspect_err(|e| section.note(key, title, e.to_string(), None)).ok()
}

/// Given fractions as they are; the others share what is left in their old proportions.
fn changed(base: &Composition, given: [Option<f64>; 6], sugars: Option<f64>, salt: Option<f64>) -> Composition {
    let old = [base.water, base.protein, base.fat, base.carbohydrate, base.fibre, base.ash];
    let fixed: f64 = given.iter().flatten().sum();
    let rest: f64 = old.iter().zip(given).filter(|(_, g)| g.is_none()).map(|(o, _)| o).sum();
    let factor = if rest > 0.0 { (1.0 - fixed) / rest } else { 0.0 };
    let mut new = old.iter().zip(given).map(|(old, given)| given.unwrap_or(old * factor));
    let mut next = || new.next().unwrap_or(0.0);
    let (water, protein, fat, carbohydrate, fibre, ash) = (next(), next(), next(), next(), next(), next());
    let part = |given: Option<f64>, part: f64, old: f64, new: f64| {
        given.unwrap_or(if old > 0.0 { part * new / old } else { 0.0 })
    };
    let sugars = part(sugars, base.sugars, base.carbohydrate, carbohydrate);
    let salt = part(salt, base.salt, base.ash, ash);
    Composition { water, protein, fat, carbohydrate, fibre, ash, sugars, salt }
}

/// Mass of a food from `"900 g"` or a household measure such as `"3 cups"`.
pub fn mass(section: &Section<'_>, key: &str, stock: Option<&Stock>) -> Option<f64> {
    let cubic_metres = match section.amount(key)? {
        Amount::Kilograms(mass_kg) => return Some(mass_kg),
        Amount::CubicMetres(volume_m3) => volume_m3,
    };
    let stock = stock?;
    let Some((table, entry)) = FoodTable::embedded().ok().zip(stock.entry) else {
        return Some(cubic_metres * stock.density_kg_per_m3());
    };
    let note = |_: &FoodError| {
        let title = format!("what a cup of `{}` weighs is not known", stock.name);
        section.note(key, title, "weigh it instead", Some("such as \"900 g\"".into()));
    };
    table.mass_of_volume(entry, cubic_metres, "").inspect_err(note).ok()
}
