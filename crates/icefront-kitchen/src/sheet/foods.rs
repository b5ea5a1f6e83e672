//! Foods of a sheet: those of the table, the user's own (`[food.x]`) and recipes (`[recipe.x]`); and how much of each.

use std::cell::{Cell, RefCell};
use std::collections::{BTreeMap, BTreeSet};

use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_core::food::{
    Allergen, Composition, Fit, Food, FoodEntry, FoodError, FoodTable, Found as FoundFood, Mixture, mix,
};

use crate::problem::{MOST_SHOWN, nearest};
use crate::quantity::Amount;
use crate::sheet::section::Section;
use crate::sheet::taken::Taken;

/// Temperature of food in a measuring cup.
const MEASURED_AT_K: f64 = ZERO_CELSIUS_K + 20.0;

/// A food as it is called in the sheet.
#[derive(Clone, Debug)]
pub struct ResolvedFood {
    /// The cook's name for it.
    pub name: String,
    /// What it is.
    pub food: Food,
    /// Its entry of the table, if it has one.
    pub entry: Option<&'static FoodEntry>,
    /// Density as it lies in a cup, kg/m3, where the table knows; without an entry, a cup is filled without gaps.
    pub cup_kg_per_m3: Option<f64>,
    /// Ingredients by name, with the share of each by mass; a food that is no recipe is its own.
    pub parts: Vec<(String, f64)>,
    /// Whether raw meat, fish, egg or flour is in it.
    pub raw: bool,
    /// Allergens that the table knows in it.
    pub allergens: Vec<Allergen>,
    /// Whether the sheet gives its water content.
    pub water_given: bool,
    /// What the name was taken for, where it leaves room.
    pub taken: Option<Taken>,
}

/// Kinds of food of the table that carry the germs of animals.
pub(super) const ANIMAL: [&str; 7] = ["poultry", "beef", "pork", "lamb veal game", "fish", "egg", "sausage"];
const RAW: [&str; 2] = ["raw", "uncooked"];

impl ResolvedFood {
    /// A food that is no recipe. A food of the cook's own that is like meat and called raw is raw.
    fn plain(name: &str, food: Food, entry: Option<&'static FoodEntry>, cup_kg_per_m3: Option<f64>) -> Self {
        let called_raw = name.split_whitespace().any(|word| RAW.contains(&word.to_lowercase().as_str()));
        let raw = entry.is_some_and(|e| e.raw || ANIMAL.contains(&e.category) && called_raw);
        Self {
            name: name.into(),
            food,
            entry,
            cup_kg_per_m3,
            parts: vec![(name.into(), 1.0)],
            raw,
            allergens: entry.map_or_else(Vec::new, |e| e.allergens.clone()),
            water_given: false,
            taken: None,
        }
    }

    /// A food of the table by a name that may fit others as well.
    fn found(name: &str, found: &FoundFood<'static>, cup_kg_per_m3: Option<f64>) -> Self {
        let entry = found.entry;
        Self { taken: Taken::of(name, found), ..Self::plain(name, entry.food(), Some(entry), cup_kg_per_m3) }
    }

    /// The food as a draw has it: one of those that its name fits. In the middle it is the plain one.
    fn drawn(mut self, section: &Section<'_>, key: &str) -> Self {
        let Some(taken) = &self.taken else { return self };
        if taken.others() > 0 {
            self.food.composition = taken.drawn(self.food.composition, section.draw(key));
        }
        self
    }

    /// The food that these make together, each with its mass, kg.
    ///
    /// # Errors
    /// [`FoodError`] where they make none.
    pub fn of_parts(name: &str, parts: &[(Self, f64)]) -> Result<Self, FoodError> {
        let all_kg: f64 = parts.iter().map(|(_, mass_kg)| mass_kg).sum();
        let foods: Vec<(Food, f64)> =
            parts.iter().map(|(resolved, mass_kg)| (resolved.food.clone(), *mass_kg)).collect();
        let share = |(resolved, mass_kg): &(Self, f64)| (resolved.name.clone(), mass_kg / all_kg);
        Ok(Self {
            parts: parts.iter().map(share).collect(),
            raw: parts.iter().any(|(resolved, _)| resolved.raw),
            allergens: all_allergens(parts),
            ..Self::plain(name, mix(name, &foods)?, None, None)
        })
    }

    /// Whether the table calls it unfit for freeze-drying.
    pub fn poor(&self) -> bool {
        self.entry.is_some_and(|e| e.fit == Fit::Poor)
    }

    /// The food as it lies in a layer: with the air between grains or pieces that its cup measure shows.
    pub fn as_layer(&self) -> Food {
        let heaped = || {
            let heaped = self.food.with_bulk_density(self.cup_kg_per_m3?).ok()?;
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

/// Allergens of all parts, each once.
fn all_allergens(parts: &[(ResolvedFood, f64)]) -> Vec<Allergen> {
    let all: BTreeSet<Allergen> = parts.iter().flat_map(|(resolved, _)| resolved.allergens.iter().copied()).collect();
    all.into_iter().collect()
}

/// Foods of the table by the names that a sheet has for them.
pub type Found = BTreeMap<String, ResolvedFood>;

/// Why a name means no food.
enum NotFound {
    /// It is not in the table; help for it.
    Unknown { near: String },
    /// It fits raw food and cooked food alike.
    RawOrCooked,
}

/// All foods that a sheet may name.
pub struct Foods<'a> {
    table: Option<&'static FoodTable>,
    /// Those that were looked up when the sheet was checked.
    known: &'a Found,
    /// The user's own; `None` where one could not be read, which was noted.
    own: BTreeMap<String, Option<ResolvedFood>>,
    recipes: BTreeMap<String, Option<ResolvedFood>>,
    /// Those looked up since.
    found: RefCell<Found>,
    /// Names that were found nowhere so far.
    unknown: Cell<usize>,
}

impl<'a> Foods<'a> {
    /// Reads `[food.x]` and `[recipe.x]`.
    pub fn read(sheet: &Section<'_>, known: &'a Found) -> Self {
        let mut all_foods = Self {
            table: table(sheet),
            known,
            own: BTreeMap::new(),
            recipes: BTreeMap::new(),
            found: RefCell::default(),
            unknown: Cell::new(0),
        };
        if let Some(foods) = sheet.section("food") {
            for name in foods.keys() {
                let own = foods.section(name).and_then(|s| all_foods.own_food(name, &s));
                all_foods.own.insert(name.to_string(), own);
            }
        }
        if let Some(recipes) = sheet.section("recipe") {
            for name in recipes.keys() {
                let made = recipes.section(name).and_then(|s| all_foods.cook(name, &s));
                all_foods.recipes.insert(name.to_string(), made);
            }
        }
        all_foods
    }

    /// The food that `key` names.
    pub fn food(&self, section: &Section<'_>, key: &str) -> Option<ResolvedFood> {
        let name = section.text(key)?;
        // a recipe of the sheet is meant where it has the very name
        if let Some(made) = self.recipes.get(name).filter(|_| !self.own.contains_key(name)) {
            return made.clone();
        }
        self.noted(section, key, &format!("food `{name}`"), name)
    }

    /// A food of the user's or of the table; notes a name that is neither.
    fn noted(&self, section: &Section<'_>, key: &str, what: &str, name: &str) -> Option<ResolvedFood> {
        match self.find(name) {
            Ok(found) => found.map(|resolved| resolved.drawn(section, key)),
            Err(NotFound::Unknown { near }) => {
                section.note(key, format!("{what} is not in the food table"), "not a known food", near);
                None
            }
            Err(NotFound::RawOrCooked) => {
                let help = format!("write `raw {name}` or `cooked {name}`");
                section.note(key, format!("{what} may be raw or cooked"), "raw or cooked?", help);
                None
            }
        }
    }

    /// The recipe that `key` names.
    pub fn recipe(&self, section: &Section<'_>, key: &str) -> Option<ResolvedFood> {
        let name = section.text(key)?;
        if let Some(known) = self.recipes.get(name) {
            return known.clone();
        }
        let names = self.recipes.keys().map(String::as_str);
        let help = match nearest(name, names) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("write it down under [recipe.\"{name}\"]"),
        };
        section.note(key, format!("there is no recipe `{name}`"), "not a recipe of this sheet", help);
        None
    }

    /// The food of a name that stands elsewhere in the sheet, where anything wrong with it was noted.
    pub fn quietly(&self, name: &str) -> Option<ResolvedFood> {
        self.recipes.get(name).cloned().flatten().or_else(|| self.find(name).ok().flatten())
    }

    /// The foods of the table that were looked up.
    pub fn into_found(self) -> Found {
        self.found.into_inner()
    }

    /// A food of the user's or of the table; the error is the help for a name that is neither. Looking for names alike
    /// takes far longer than looking for the name, so it is done for as many names as a message shows.
    fn find(&self, name: &str) -> Result<Option<ResolvedFood>, NotFound> {
        if let Some(own) = self.own.get(name) {
            return Ok(own.clone());
        }
        if let Some(known) = self.known.get(name) {
            return Ok(Some(known.clone()));
        }
        let Some(table) = self.table else { return Ok(None) };
        if let Some(found) = table.known(name) {
            if found.raw_or_cooked {
                return Err(NotFound::RawOrCooked);
            }
            let cup_kg_per_m3 = table.bulk_density_kg_per_m3(found.entry, "").ok();
            let resolved = ResolvedFood::found(name, &found, cup_kg_per_m3);
            self.found.borrow_mut().insert(name.into(), resolved.clone());
            return Ok(Some(resolved));
        }
        let unknown = self.unknown.replace(self.unknown.get() + 1);
        let of_table = if unknown < MOST_SHOWN { table.nearest(name) } else { Vec::new() };
        let own = self.own.keys().map(String::as_str).filter(|_| unknown < MOST_SHOWN);
        let near = nearest(name, own).or(of_table.first().map(String::as_str));
        let list = "`icefront foods WORD` looks foods up";
        Err(NotFound::Unknown { near: near.map_or(list.into(), |near| format!("nearest name: `{near}`; {list}")) })
    }

    fn own_food(&self, name: &str, section: &Section<'_>) -> Option<ResolvedFood> {
        section.text("like")?;
        let like = self.food(section, "like");
        let share = |key| section.quantity(key);
        let given = ["water", "protein", "fat", "carbohydrate", "fibre", "ash"].map(share);
        let (sugars, salt) = (share("sugars"), share("salt"));
        let (freezing_point_k, air) = (share("freezing_point"), share("air"));
        let ResolvedFood { food, entry, cup_kg_per_m3, .. } = like?;
        let composition = whole(section, "", changed(&food.composition, given, sugars, salt))?;
        let measured = freezing_point_k.or(food.freezing_point_k.filter(|_| composition == food.composition));
        let porosity = air.unwrap_or(food.porosity);
        let food = Food { name: name.into(), composition, freezing_point_k: measured, porosity, ..food };
        Some(ResolvedFood {
            water_given: section.has("water"),
            ..ResolvedFood::plain(name, food, entry, cup_kg_per_m3)
        })
    }

    /// Ingredients by amount.
    fn cook(&self, name: &str, section: &Section<'_>) -> Option<ResolvedFood> {
        let ingredients: Vec<&str> = section.keys().into_iter().filter(|key| !COOKING.contains(key)).collect();
        if ingredients.is_empty() {
            section.note("", "the recipe has no ingredients", "such as \"onions, raw\" = \"200 g\"", "");
        }
        let parts: Vec<Option<(ResolvedFood, f64)>> = ingredients
            .into_iter()
            .map(|name| {
                let resolved = if name.eq_ignore_ascii_case("water") {
                    Some(ResolvedFood::plain(name, Food::water(), None, None))
                } else {
                    self.noted(section, name, &format!("ingredient `{name}`"), name)
                };
                let mass_kg = mass(section, name, resolved.as_ref());
                Some((resolved?, mass_kg?))
            })
            .collect();
        let note = |e: &FoodError| section.note("", "the ingredients do not make a food", e.to_string(), "");
        let parts = parts.into_iter().collect::<Option<Vec<_>>>()?;
        let mixed = ResolvedFood::of_parts(name, &parts).inspect_err(note).ok()?;
        boiled_off(section, mixed, parts.iter().map(|(_, mass_kg)| mass_kg).sum())
    }
}

fn table(sheet: &Section<'_>) -> Option<&'static FoodTable> {
    let note = |e: &FoodError| sheet.note("", "the food table cannot be read", e.to_string(), "");
    FoodTable::embedded().inspect_err(note).ok()
}

/// A composition whose parts fit together; notes one whose parts do not.
fn whole(section: &Section<'_>, key: &str, composition: Composition) -> Option<Composition> {
    let title = "the parts of this food do not fit together";
    composition.check().inspect_err(|e| section.note(key, title, e.to_string(), "")).ok()
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
pub fn mass(section: &Section<'_>, key: &str, resolved: Option<&ResolvedFood>) -> Option<f64> {
    let cubic_metres = match section.amount(key)? {
        Amount::Kilograms(mass_kg) => return Some(mass_kg),
        Amount::CubicMetres(volume_m3) => volume_m3,
        Amount::Pieces { count, words } => return mass_of_pieces(section, key, resolved?, count, &words),
    };
    let resolved = resolved?;
    if resolved.entry.is_none() {
        return Some(cubic_metres * resolved.density_kg_per_m3());
    }
    if resolved.cup_kg_per_m3.is_none() {
        let title = format!("what a cup of `{}` weighs is not known", resolved.name);
        section.note(key, title, "weigh it instead", "such as \"900 g\"");
    }
    resolved.cup_kg_per_m3.map(|density| density * cubic_metres)
}

/// Mass of some pieces by the measures of the table; the food's own name in the words says nothing more.
fn mass_of_pieces(section: &Section<'_>, key: &str, resolved: &ResolvedFood, count: f64, words: &str) -> Option<f64> {
    let note = |label: String, help: String| {
        section.note(key, format!("what {words} of `{}` weigh is not known", resolved.name), label, help);
    };
    let (Some(entry), Ok(table)) = (resolved.entry, FoodTable::embedded()) else {
        note("weigh it instead".into(), "such as \"900 g\"".into());
        return None;
    };
    table.mass_of_named_pieces(entry, count, words, &resolved.name).map_or_else(
        |error| {
            let known = match error {
                FoodError::UnknownMeasure { known, .. } if !known.is_empty() => format!("known: {}", known.join("; ")),
                _ => "such as \"900 g\"".into(),
            };
            note("weigh it instead".into(), known);
            None
        },
        Some,
    )
}

/// Keys of a recipe that are no ingredients.
const COOKING: [&str; 2] = ["cooked_weight", "simmered_down"];
/// Share of the water that cooking cannot take off without drying the food.
const STAYS: f64 = 0.05;

/// The recipe with the water that boiled off while it was cooked taken out; cooked food is no longer raw.
fn boiled_off(section: &Section<'_>, mixed: ResolvedFood, raw_kg: f64) -> Option<ResolvedFood> {
    let key = COOKING.into_iter().find(|key| section.has(key));
    let Some(key) = key else { return Some(mixed) };
    if section.has("cooked_weight") {
        section.refuse(&["simmered_down"], "`cooked_weight`", "give one of them");
    }
    let cooked_kg = match section.quantity("simmered_down") {
        Some(share) => raw_kg * (1.0 - share),
        None => mass(section, "cooked_weight", Some(&mixed))?,
    };
    let water_kg = mixed.food.composition.water * raw_kg - (raw_kg - cooked_kg);
    let water_frac = water_kg / cooked_kg;
    if cooked_kg > raw_kg || water_kg < STAYS * mixed.food.composition.water * raw_kg {
        let label =
            format!("{:.0} g go in, {:.0} g of it water", 1e3 * raw_kg, 1e3 * mixed.food.composition.water * raw_kg);
        section.note(key, "this much cannot boil off", label, "weigh the dish and its pot, and take the pot off");
        return None;
    }
    let note = |e: &FoodError| section.note(key, "the ingredients do not make a food", e.to_string(), "");
    let food = mixed.food.with_water(water_frac).inspect_err(note).ok()?;
    Some(ResolvedFood { food, raw: false, ..mixed })
}
