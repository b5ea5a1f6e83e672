//! The food table: 6,554 unbranded foods (USDA SR28, public domain). Names are read when a food is first looked for, the
//! numbers of a food when it is used.
//!
//! How a row becomes a composition:
//! - carbohydrate in the source includes fibre: fibre is taken off;
//! - a blank is not zero: blank fibre and sugars are filled with the mean share of the carbohydrate in rows that begin with the
//!   same words (`Potatoes`), or in all rows of the group where fewer than three of those report it, and the entry says so;
//! - salt is sodium times 2.542 (NaCl over Na), at most the ash;
//! - the sum is scaled to 1 (it is within 2 % but for a few fish).

use std::ops::Range;
use std::sync::OnceLock;

use serde::{Deserialize, Serialize};

use super::allergen::{Allergen, FatState};
use super::kind::{Facts, Kinds, Reason, Token};
use super::search::Names;
use super::source::{self, Cells};
use super::words::{Says, Vocabulary, written};
use super::{Composition, DryingClass, Food, FoodError};

/// NaCl over Na by mass. Source: 58.44/22.99 (IUPAC atomic masses).
const SALT_PER_SODIUM: f64 = 58.44 / 22.99;
/// Source line of every food in the table.
const SOURCE: &str = "USDA SR28";
/// Part of a name that stands in brackets: mostly another name of the food.
pub(super) const BRACKET: u8 = 200;
/// Part for what the source also calls the food.
pub(super) const ALSO: u8 = 201;
/// Part for what the food is without, or for.
pub(super) const WITHOUT: u8 = 202;
/// Part of a name that what the food is made or served with counts to at least.
const WITH: u8 = 3;

/// Whether a food suits freeze-drying at home (our own judgement).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fit {
    /// Usually suits.
    Suits,
    /// With care: much fat, cream or sugar.
    WithCare,
    /// Poor.
    Poor,
}

impl Fit {
    /// By its short name.
    pub(super) fn of_id(id: &str) -> Option<Self> {
        Some(match id {
            "suits" => Self::Suits,
            "with-care" => Self::WithCare,
            "poor" => Self::Poor,
            _ => return None,
        })
    }
}

/// One food of the table.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FoodEntry {
    /// Number in the source.
    pub id: String,
    /// Name in the source.
    pub description: String,
    /// Kind of food, our own label.
    pub category: &'static str,
    /// Raw, cooked, frozen, canned, dry or ready.
    pub state: &'static str,
    /// Whether it suits.
    pub fit: Fit,
    /// Composition, summing to 1.
    pub composition: Composition,
    /// How it dries.
    pub class: DryingClass,
    /// Share of air in a piece.
    pub porosity: f64,
    /// Whether it is raw meat, fish, egg or flour, which must be cooked before it is eaten.
    pub raw: bool,
    /// Allergens that it surely contains; one that is missing is not ruled out.
    pub allergens: Vec<Allergen>,
    /// What its fat is like.
    pub fat_state: FatState,
    /// Fractions that were blank in the source and filled from like foods.
    pub filled: Vec<&'static str>,
    /// Why it is taken for this kind of food.
    #[serde(skip)]
    pub reasons: Vec<Reason>,
}

impl FoodEntry {
    /// The food.
    pub fn food(&self) -> Food {
        let source = format!("{SOURCE} {}", self.id);
        Food { porosity: self.porosity, ..Food::new(&self.description, source, self.composition, self.class) }
    }

    /// Whether the row is a food already dried.
    pub fn is_dried(&self) -> bool {
        self.state == "dry" && self.composition.water < ALREADY_DRY
    }
}

/// Water below which a food that is called dry counts as dried already, kg/kg.
const ALREADY_DRY: f64 = 0.35;

/// A row whose numbers are not read yet.
#[derive(Debug)]
pub(super) struct Row {
    pub(super) id: &'static str,
    pub(super) description: String,
    pub(super) group: &'static str,
    /// Its words, and where its own name ends and what it is also called begins.
    words: Range<u32>,
    /// What its words say.
    pub(super) says: Says,
    numbers: &'static str,
    entry: OnceLock<FoodEntry>,
}

/// The foods and the names households give them.
#[derive(Debug)]
pub struct FoodTable {
    pub(super) rows: Vec<Row>,
    tokens: Vec<Token>,
    pub(super) words: Vocabulary,
    kinds: Kinds,
    pub(super) names: Names,
    shares: Vec<OnceLock<Shares>>,
    groups: Vec<&'static str>,
}

impl FoodTable {
    /// The table that is built in, read on first use.
    pub fn embedded() -> Result<&'static Self, FoodError> {
        static TABLE: OnceLock<Result<FoodTable, FoodError>> = OnceLock::new();
        TABLE.get_or_init(|| source::foods().and_then(Self::read)).as_ref().map_err(Clone::clone)
    }

    /// All foods in the order of the table.
    pub fn entries(&self) -> impl Iterator<Item = &FoodEntry> {
        (0..self.rows.len()).filter_map(|at| self.entry(at))
    }

    /// The food of a number in the source.
    pub fn by_id(&self, id: &str) -> Option<&FoodEntry> {
        self.entry(self.names.row_of(id)?)
    }

    fn read(text: &'static str) -> Result<Self, FoodError> {
        let mut words = Vocabulary::of_list();
        let mut rows = Vec::with_capacity(7_000);
        let mut tokens = Vec::with_capacity(80_000);
        let mut groups = Vec::new();
        for line in text.lines().chain(KITCHEN_BASICS) {
            let mut cells = Cells::of(line);
            let id = cells.word();
            let (description, also, group) = (cells.text(), cells.word(), cells.word());
            if groups.last() != Some(&group) && !groups.contains(&group) {
                groups.push(group);
            }
            let from = tokens.len();
            let says = tokenise(&description, also, &mut words, &mut tokens);
            let range = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
            let (words, numbers) = (range(from)..range(tokens.len()), cells.rest());
            rows.push(Row { id, description, group, words, says, numbers, entry: OnceLock::new() });
        }
        let names = Names::read(&mut words, &rows)?;
        let kinds = Kinds::read(&words);
        let shares = groups.iter().map(|_| OnceLock::new()).collect();
        Ok(Self { rows, tokens, words, kinds, names, shares, groups })
    }

    /// Words of a row.
    pub(super) fn tokens(&self, row: &Row) -> &[Token] {
        let range = row.words.start as usize..row.words.end as usize;
        self.tokens.get(range).unwrap_or_default()
    }

    /// The food of a row.
    pub(super) fn entry(&self, at: usize) -> Option<&FoodEntry> {
        self.rows.get(at).map(|row| row.entry.get_or_init(|| self.made(row)))
    }

    fn made(&self, row: &Row) -> FoodEntry {
        let printed = Printed::of(row.numbers);
        let mut filled = Vec::new();
        let sure = |value: Option<f64>| value.unwrap_or(0.0);
        let all = sure(printed.carbohydrate);
        let mut or_share = |value: Option<f64>, which: &'static str, at: usize| {
            value.unwrap_or_else(|| {
                filled.push(which);
                self.share(row, at) * all
            })
        };
        let (fibre, sugars) = (or_share(printed.fibre, "fibre", 0), or_share(printed.sugars, "sugars", 1));
        let composition = Composition {
            water: sure(printed.water),
            protein: sure(printed.protein),
            fat: sure(printed.fat),
            carbohydrate: (all - fibre).max(0.0),
            fibre,
            ash: sure(printed.ash),
            sugars,
            salt: sure(printed.sodium_mg) / 1e3 * SALT_PER_SODIUM,
        }
        .normalised();
        let state = row.state();
        let tokens = self.tokens(row);
        let own = tokens.iter().position(|token| token.part == ALSO).unwrap_or(tokens.len());
        let kind = self.kinds.of(&Facts {
            group: row.group,
            name: tokens.get(..own).unwrap_or_default(),
            state,
            composition: &composition,
            saturated_of_fat: printed.fat.zip(printed.saturated).map(|(fat, of)| of / fat.max(f64::MIN_POSITIVE)),
        });
        FoodEntry {
            id: row.id.to_owned(),
            description: row.description.clone(),
            category: kind.category,
            state,
            fit: kind.fit,
            composition,
            class: kind.class,
            porosity: kind.porosity,
            raw: kind.raw,
            allergens: kind.allergens,
            fat_state: kind.fat_state,
            filled,
            reasons: kind.reasons,
        }
    }

    /// Share of the carbohydrate that is fibre (0) or sugars (1) in foods like this one.
    fn share(&self, row: &Row, which: usize) -> f64 {
        let Some(at) = self.groups.iter().position(|group| *group == row.group) else { return 0.0 };
        let Some(shares) = self.shares.get(at) else { return 0.0 };
        let shares = shares.get_or_init(|| Shares::of(self.rows.iter().filter(|other| other.group == row.group)));
        shares.of_row(row, which)
    }
}

/// Foods whose composition needs no source, in the columns of the table.
const KITCHEN_BASICS: [&str; 2] =
    ["water,Water,,Kitchen,100,0,0,,0,0,0,,0,,0,,", "salt,Salt,,Kitchen,0,0,0,,0,0,0,,100,,39340,,"];

/// Cuts name and other names into words, and gives what they say together.
fn tokenise(description: &str, also: &str, words: &mut Vocabulary, tokens: &mut Vec<Token>) -> Says {
    let from = tokens.len();
    let mut says = Says::default();
    let mut bracket = false;
    let mut word = String::new();
    let mut part = 0_u8;
    let mut push = |word: &mut String, part: u8, says: &mut Says, tokens: &mut Vec<Token>| {
        if word.is_empty() {
            return;
        }
        let number = words.number(word);
        words.count(number);
        if part < ALSO {
            *says = says.and(words.says(number).only(Says::STATES));
        }
        tokens.push(Token { word: number, part });
        word.clear();
    };
    let mut least = 0;
    for letter in description.chars().chain([',']) {
        match letter {
            '\'' => {}
            '%' => word.push(letter),
            _ if letter.is_alphanumeric() => word.extend(letter.to_lowercase()),
            _ => {
                match word.as_str() {
                    "with" | "in" | "from" | "on" | "made" => least = WITH,
                    // chuck for stew is no stew
                    "without" | "no" | "not" | "for" => least = WITHOUT,
                    _ => {}
                }
                let own = if bracket { BRACKET } else { part };
                push(&mut word, own.max(least), &mut says, tokens);
                match letter {
                    '(' => bracket = true,
                    ')' => bracket = false,
                    ',' if !bracket => (part, least) = (part.saturating_add(1).min(BRACKET - 1), 0),
                    _ => {}
                }
            }
        }
    }
    if !also.starts_with("Includes") && !also.contains("ommodity") && !also.contains('#') {
        written(also).iter_mut().for_each(|word| push(word, ALSO, &mut says, tokens));
    }
    // a dry mix that was prepared is no longer dry, and the dry curd of cottage cheese never was
    let moist = |token: &Token| ["prepared", "curd"].contains(&words.text(token.word));
    let own = tokens.get(from..).unwrap_or_default();
    if own.iter().any(moist) { says.without(Says::DRY) } else { says }
}

impl Row {
    /// Raw, cooked, frozen, canned, dry or ready, by the words of its name.
    pub(super) fn state(&self) -> &'static str {
        let says = |what| self.says.any(what);
        let plant = self.group.starts_with("Fruits") || self.group.starts_with("Vegetables");
        match () {
            () if says(Says::CANNED) => "canned",
            () if says(Says::FROZEN) && plant && (!says(Says::COOKED) || says(Says::RAW)) => "frozen",
            () if says(Says::DRY) && !says(Says::COOKED) => "dry",
            // apples, raw, without skin, cooked
            () if says(Says::RAW) && !(plant && says(Says::COOKED)) => "raw",
            () if says(Says::COOKED) => "cooked",
            () if says(Says::DRY) => "dry",
            () if says(Says::FROZEN) => "frozen",
            () if self.group.starts_with("Spices") && self.description.ends_with("fresh") => "raw",
            () => "ready",
        }
    }
}

/// A row as printed, fractions; `None` where it is blank.
struct Printed {
    water: Option<f64>,
    protein: Option<f64>,
    fat: Option<f64>,
    saturated: Option<f64>,
    carbohydrate: Option<f64>,
    fibre: Option<f64>,
    sugars: Option<f64>,
    ash: Option<f64>,
    sodium_mg: Option<f64>,
}

impl Printed {
    /// g per 100 g, mg of sodium.
    fn of(numbers: &str) -> Self {
        let mut cells = Cells::of(numbers);
        let mut next = || cells.number();
        let [water, protein, fat, saturated, carbohydrate, fibre, sugars, _starch, ash, _alcohol, sodium_mg] =
            std::array::from_fn(|_| next());
        Self { water, protein, fat, saturated, carbohydrate, fibre, sugars, ash, sodium_mg }
    }
}

/// Fibre and sugars over carbohydrate in one group: first words of a name, sums over the rows that report them.
#[derive(Debug)]
struct Shares(Vec<(String, [Share; 2])>, [Share; 2]);

#[derive(Clone, Copy, Debug, Default)]
struct Share {
    rows: usize,
    part: f64,
    carbohydrate: f64,
}

impl Shares {
    /// Fewest rows of the same first words that are taken for their mean.
    const ENOUGH: usize = 3;

    fn of<'a>(rows: impl Iterator<Item = &'a Row>) -> Self {
        let mut by_name: std::collections::BTreeMap<&str, [Share; 2]> = std::collections::BTreeMap::new();
        let mut all = [Share::default(); 2];
        for row in rows {
            let printed = Printed::of(row.numbers);
            let of_name = by_name.entry(first_words(row)).or_default();
            for (at, part) in [printed.fibre, printed.sugars].into_iter().enumerate() {
                let (Some(part), Some(carbohydrate)) = (part, printed.carbohydrate) else { continue };
                for share in [of_name.get_mut(at), all.get_mut(at)].into_iter().flatten() {
                    share.rows += 1;
                    share.part += part;
                    share.carbohydrate += carbohydrate;
                }
            }
        }
        Self(by_name.into_iter().map(|(name, shares)| (name.to_owned(), shares)).collect(), all)
    }

    fn of_row(&self, row: &Row, which: usize) -> f64 {
        let own = self.0.iter().find(|(name, _)| name == first_words(row)).and_then(|(_, shares)| shares.get(which));
        let enough = own.filter(|share| share.rows >= Self::ENOUGH && share.carbohydrate > 0.0);
        let share = enough.or(self.1.get(which)).copied().unwrap_or_default();
        if share.carbohydrate > 0.0 { share.part / share.carbohydrate } else { 0.0 }
    }
}

/// What a name begins with.
fn first_words(row: &Row) -> &str {
    row.description.split(',').next().unwrap_or_default()
}
