//! Finding a food by the words a household uses for it.

use super::table::FoodEntry;
use super::words::{CUT, PLAIN, is_one_of, words};
use super::{FoodError, FoodTable};

/// Words in names that are no food by themselves.
const NO_FOOD: [&str; 4] = ["skin", "flesh", "fruit", "meat"];
/// Longest name that is looked for, bytes; the longest of the table has half as many. Likeness takes time as the product
/// of the lengths.
const LONGEST: usize = 300;

/// The words that say which food is meant; where all say how it is cut, all of them.
fn wanted(query: &str) -> Vec<String> {
    let all = words(query);
    let foods: Vec<String> = all.iter().filter(|word| !is_one_of(&CUT, word)).cloned().collect();
    if foods.is_empty() { all } else { foods }
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
    pub fn find(&self, query: &str) -> Result<&FoodEntry, FoodError> {
        self.known(query).ok_or_else(|| {
            let query: String = query.trim().chars().take(LONGEST).collect();
            FoodError::UnknownFood { nearest: self.nearest(&query), query }
        })
    }

    /// The same without the names most like it, which take longer to find.
    pub fn known(&self, query: &str) -> Option<&FoodEntry> {
        if query.len() > LONGEST {
            return None;
        }
        let wanted = wanted(query);
        let exact = |entry: &&FoodEntry| entry.id == query || entry.description.eq_ignore_ascii_case(query.trim());
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
    pub fn search(&self, query: &str) -> Vec<&FoodEntry> {
        if query.len() > LONGEST {
            return Vec::new();
        }
        let wanted = words(query);
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
    pub fn nearest(&self, query: &str) -> Vec<String> {
        if query.len() > LONGEST {
            return Vec::new();
        }
        let wanted = &wanted(query);
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
            let weight = |word: &String| if is_one_of(&PLAIN, word) { PLAIN_WEIGHT } else { 1.0 };
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
    let is_food = |word: &&String| !(NO_FOOD.contains(&word.as_str()) || is_one_of(&PLAIN, word));
    wanted.iter().filter(is_food).any(|word| name.head.contains(word) || name.kind.contains(word))
        && wanted.iter().all(|word| name.all().any(|known| known == word) || is_state(entry, word))
}

/// Whether this word names the state the food is in.
fn is_state(entry: &FoodEntry, word: &str) -> bool {
    entry.state.split([' ', '-']).any(|known| known == word)
}

/// Order of preference, smallest first: words of the query that are not the food itself, already dried foods, further words in
/// the food's own name, raw before cooked, further words in all, length.
fn rank(entry: &FoodEntry, query: &[String]) -> (usize, bool, usize, usize, usize, usize) {
    let name = &entry.name;
    let named = |word: &&String| name.head.contains(word) || name.kind.contains(word) || is_state(entry, word);
    let missing = query.iter().filter(|word| !named(word)).count();
    let strange_in_head = name.head.iter().filter(|word| !query.contains(word)).count();
    let state = match entry.state.as_str() {
        "raw" | "fluid" => 0,
        "frozen" => 1,
        _ => 2,
    };
    (missing, entry.is_dried(), strange_in_head, state, name.strange(query), name.all().count())
}
