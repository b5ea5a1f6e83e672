//! Finding a food by the words a household uses for it.

use super::rows::Cells;
use super::table::FoodEntry;
use super::{FoodError, FoodTable};

/// Words that say how a food is cut, not which food it is.
const CUT_WORDS: [&str; 16] = [
    "slice",
    "dice",
    "cube",
    "chopped",
    "chunk",
    "piece",
    "strip",
    "half",
    "quartered",
    "shredded",
    "grated",
    "cut",
    "small",
    "large",
    "fresh",
    "of",
];
/// Words that make a food no special kind of its kind.
const PLAIN_WORDS: [&str; 27] = [
    "raw",
    "fresh",
    "plain",
    "cooked",
    "boiled",
    "drained",
    "without",
    "salt",
    "regular",
    "enriched",
    "white",
    "whole",
    "common",
    "all",
    "variety",
    "commercial",
    "ripe",
    "year",
    "round",
    "average",
    "mature",
    "seed",
    "meat",
    "only",
    "dry",
    "heat",
    "unsweetened",
];
/// Words in names that are no food by themselves.
const NO_FOOD: [&str; 4] = ["skin", "flesh", "fruit", "meat"];
/// Names that differ between kitchens, each as the table has it, and one form for each way to cut.
const SYNONYMS: [(&str, &str); 22] = [
    ("sliced", "slice"),
    ("diced", "dice"),
    ("cubed", "cube"),
    ("halved", "half"),
    ("halve", "half"),
    ("yoghurt", "yogurt"),
    ("minced", "ground"),
    ("mince", "ground"),
    ("courgette", "zucchini"),
    ("aubergine", "eggplant"),
    ("prawn", "shrimp"),
    ("rocket", "arugula"),
    ("beetroot", "beet"),
    ("swede", "rutabaga"),
    ("chilli", "chili"),
    ("sweetcorn", "corn"),
    ("maize", "corn"),
    ("ketchup", "catsup"),
    ("bell", "sweet"),
    ("cilantro", "coriander"),
    ("kiwi", "kiwifruit"),
    ("lasagne", "lasagna"),
];

/// Longest name that is looked for, bytes; the longest of the table has half as many. Likeness takes time as the product
/// of the lengths.
const LONGEST: usize = 300;

/// A description cut into words.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Name {
    /// Words up to the first comma: the food.
    head: Vec<String>,
    /// Words up to the second comma (the third, where the first only names a place): the kind.
    kind: Vec<String>,
    /// All further words.
    rest: Vec<String>,
}

impl Name {
    pub(super) fn of(description: &str) -> Self {
        // "chuck for stew" is chuck, no stew
        let mut parts = description.split(',').map(|part| part.split(" for ").next().unwrap_or_default());
        let head = words(parts.next().unwrap_or_default());
        let mut kind = words(parts.next().unwrap_or_default());
        if head.iter().any(|word| word == "restaurant") {
            kind.extend(words(parts.next().unwrap_or_default()));
        }
        Self { head, kind, rest: parts.flat_map(words).collect() }
    }

    fn all(&self) -> impl Iterator<Item = &String> {
        self.head.iter().chain(&self.kind).chain(&self.rest)
    }

    /// How many words of the name are neither asked for nor plain.
    fn strange(&self, asked: &[String]) -> usize {
        self.all().filter(|word| !asked.contains(word) && !PLAIN_WORDS.contains(&word.as_str())).count()
    }
}

/// Lower-case words in the singular, synonyms as the table has them.
pub(super) fn words(text: &str) -> Vec<String> {
    let cut = |c: char| !(c.is_alphanumeric() || c == '%');
    text.split(cut).filter(|word| !word.is_empty()).map(|word| canonical(word.to_lowercase())).collect()
}

/// The words that say which food is asked for; where all say how it is cut, all of them.
fn wanted(asked: &str) -> Vec<String> {
    let all = words(asked);
    let foods: Vec<String> = all.iter().filter(|word| !CUT_WORDS.contains(&word.as_str())).cloned().collect();
    if foods.is_empty() { all } else { foods }
}

/// The singular, or the name the table has.
fn canonical(word: String) -> String {
    let one = singular(word);
    SYNONYMS.iter().find(|(said, _)| *said == one).map_or(one, |(_, meant)| (*meant).to_owned())
}

/// English singular by its endings; what matters is that both sides are treated alike.
fn singular(mut word: String) -> String {
    let ends = |endings: &[&str]| endings.iter().any(|ending| word.ends_with(ending));
    let (cut, add) = match () {
        () if word.len() < 4 || !word.ends_with('s') || ends(&["ss", "us", "is"]) => return word,
        () if ends(&["ies"]) => (3, "y"),
        () if ends(&["oes", "ches", "shes", "sses", "xes"]) => (2, ""),
        () => (1, ""),
    };
    word.truncate(word.len() - cut);
    word + add
}

/// One row: `asked, ndb_id`.
pub(super) fn read_alias(cells: &Cells, entries: &[FoodEntry]) -> Result<(Vec<String>, usize), FoodError> {
    let at = entries.iter().position(|entry| entry.id == cells.text(1)).ok_or_else(|| cells.error("ndb_id"))?;
    Ok((words(cells.text(0)), at))
}

impl FoodTable {
    /// The food meant by these words, in any order, singular or plural.
    ///
    /// The name or number in the source finds its own food, a household name (`rice`, `chicken`) the plain form.
    /// Otherwise every word must be in the name or state of the food, one at least in the first two parts of its name; raw
    /// and plain foods and short names come first. Words that only say how it is cut (`diced`) do not count.
    ///
    /// # Errors
    /// [`FoodError::UnknownFood`] with the names most like it.
    pub fn find(&self, asked: &str) -> Result<&FoodEntry, FoodError> {
        self.known(asked).ok_or_else(|| {
            let asked: String = asked.trim().chars().take(LONGEST).collect();
            FoodError::UnknownFood { nearest: self.nearest(&asked), asked }
        })
    }

    /// The same without the names most like it, which take longer to find.
    pub fn known(&self, asked: &str) -> Option<&FoodEntry> {
        if asked.len() > LONGEST {
            return None;
        }
        let wanted = wanted(asked);
        let exact = |entry: &&FoodEntry| entry.id == asked || entry.description.eq_ignore_ascii_case(asked.trim());
        if let Some(entry) = self.entries.iter().find(exact).or_else(|| self.household_name(&wanted)) {
            return Some(entry);
        }
        self.entries.iter().filter(|entry| matches(entry, &wanted)).min_by_key(|entry| rank(entry, &wanted))
    }

    /// The food of a household name, with or without the state it is in (`rice`, `cooked rice`).
    fn household_name(&self, wanted: &[String]) -> Option<&FoodEntry> {
        let said = |known: &[String], entry: &FoodEntry| {
            known.iter().all(|word| wanted.contains(word))
                && wanted.iter().all(|word| known.contains(word) || is_state(entry, word))
        };
        let meant = |(known, at): &(Vec<String>, usize)| self.entries.get(*at).filter(|entry| said(known, entry));
        self.aliases.iter().find_map(meant)
    }

    /// All foods that these words could mean, best first; words may be beginnings, and categories count (`fruit`).
    pub fn search(&self, asked: &str) -> Vec<&FoodEntry> {
        if asked.len() > LONGEST {
            return Vec::new();
        }
        let wanted = words(asked);
        let fits = |entry: &&FoodEntry| {
            let labels = words(&format!("{} {}", entry.category, entry.state));
            let begins = |word: &str| entry.name.all().chain(&labels).any(|known| known.starts_with(word));
            wanted.iter().all(|word| begins(word))
        };
        let mut found: Vec<&FoodEntry> = self.entries.iter().filter(fits).collect();
        found.sort_by_key(|entry| rank(entry, &wanted));
        found
    }

    /// Descriptions most like the words, best first; only close ones.
    pub fn nearest(&self, asked: &str) -> Vec<String> {
        if asked.len() > LONGEST {
            return Vec::new();
        }
        let wanted = &wanted(asked);
        /// Least mean likeness (Jaro-Winkler, 0 to 1) worth an offer, what a word further down the name and what a plain
        /// word counts, and how many are offered; by trying misspellings.
        const CLOSE: f64 = 0.8;
        const FURTHER: f64 = 0.9;
        const PLAIN_WEIGHT: f64 = 0.3;
        const OFFERED: usize = 3;
        let likeness = |entry: &FoodEntry| {
            let best = |word: &String| {
                let like = |known: &String| strsim::jaro_winkler(known, word);
                let food = entry.name.head.iter().chain(&entry.name.kind).map(like);
                let further = entry.name.rest.iter().chain([&entry.state]).map(|known| FURTHER * like(known));
                food.chain(further).fold(0.0, f64::max)
            };
            let weight = |word: &String| if PLAIN_WORDS.contains(&word.as_str()) { PLAIN_WEIGHT } else { 1.0 };
            let all: f64 = wanted.iter().map(weight).sum();
            wanted.iter().map(|word| weight(word) * best(word)).sum::<f64>() / all
        };
        let mut close: Vec<(f64, &FoodEntry)> =
            self.entries.iter().map(|entry| (likeness(entry), entry)).filter(|(like, _)| *like >= CLOSE).collect();
        close.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| rank(a.1, wanted).cmp(&rank(b.1, wanted))));
        close.into_iter().take(OFFERED).map(|(_, entry)| entry.description.clone()).collect()
    }
}

/// Whether every word is in name or state, and one of them in what the food is.
fn matches(entry: &FoodEntry, wanted: &[String]) -> bool {
    let name = &entry.name;
    let is_food = |word: &&String| !(NO_FOOD.contains(&word.as_str()) || PLAIN_WORDS.contains(&word.as_str()));
    wanted.iter().filter(is_food).any(|word| name.head.contains(word) || name.kind.contains(word))
        && wanted.iter().all(|word| name.all().any(|known| known == word) || is_state(entry, word))
}

/// Whether this word tells the state the food is in.
fn is_state(entry: &FoodEntry, word: &str) -> bool {
    entry.state.split([' ', '-']).any(|known| known == word)
}

/// Order of preference, smallest first: asked words that are not the food itself, already dried foods, further words in
/// the food's own name, raw before cooked, further words in all, length.
fn rank(entry: &FoodEntry, asked: &[String]) -> (usize, bool, usize, usize, usize, usize) {
    let name = &entry.name;
    let told = |word: &&String| name.head.contains(word) || name.kind.contains(word) || is_state(entry, word);
    let missing = asked.iter().filter(|word| !told(word)).count();
    let strange_in_head = name.head.iter().filter(|word| !asked.contains(word)).count();
    let state = match entry.state.as_str() {
        "raw" | "fluid" => 0,
        "frozen" => 1,
        _ => 2,
    };
    (missing, entry.is_dried(), strange_in_head, state, name.strange(asked), name.all().count())
}
