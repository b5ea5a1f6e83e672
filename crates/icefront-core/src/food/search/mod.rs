//! Finding a food by the words a cook uses for it.
//!
//! 1. The number or the exact name in the source.
//! 2. Words that no name has are repaired: two written as one or one as two, a slip of the pen (`repair`).
//! 3. What kitchens call it (`names`): set phrases come before the words that say how it is cut.
//! 4. Every other word must stand in the name of the food. What the name says beyond that costs (`rank`): another
//!    thing made of it most, a special kind much, plain words nothing. The food that costs least is meant.
//!
//! Words that fit several like foods mean the plain one; the others are kept, to say how much it matters.

mod names;
mod rank;
mod repair;

pub(super) use names::Names;

use super::table::FoodEntry;
use super::words::{Says, Word, written};
use super::{FoodError, FoodTable};

/// Longest name that is looked for, bytes; the longest of the table has half as many.
const LONGEST: usize = 300;
/// Most words that are looked for.
const MOST_WORDS: usize = 24;
/// Most foods that are offered to choose from.
const MOST_CHOICES: usize = 8;
/// Most foods offered where none is found.
const MOST_NEAREST: usize = 3;

/// What some words mean.
#[derive(Clone, Debug, PartialEq)]
pub struct Found<'t> {
    /// The food: the plain form where the words fit several.
    pub entry: &'t FoodEntry,
    /// Foods of the same kind that the words fit as well, the most usual first, `entry` left out.
    pub like: Vec<&'t FoodEntry>,
    /// Foods to choose from, `entry` first; alone where the words leave no choice.
    pub choices: Vec<&'t FoodEntry>,
    /// Whether the words surely mean this food or one like it.
    pub sure: bool,
    /// Whether the words fit raw food and cooked food alike, and neither is usual.
    pub raw_or_cooked: bool,
    /// The words as they were read, where some were repaired.
    pub read_as: Option<String>,
}

impl FoodTable {
    /// The food meant by these words, in any order, singular or plural.
    ///
    /// # Errors
    /// [`FoodError::UnknownFood`] with the names most like it.
    pub fn find(&self, query: &str) -> Result<&FoodEntry, FoodError> {
        self.look_up(query).map(|found| found.entry)
    }

    /// The same, with what else the words may mean.
    ///
    /// # Errors
    /// [`FoodError::UnknownFood`] with the names most like it.
    pub fn look_up(&self, query: &str) -> Result<Found<'_>, FoodError> {
        self.known(query).ok_or_else(|| {
            let query: String = query.trim().chars().take(LONGEST).collect();
            FoodError::UnknownFood { nearest: self.nearest(&query), query }
        })
    }

    /// The same without the names most like it, which take longer to find.
    pub fn known(&self, query: &str) -> Option<Found<'_>> {
        if query.len() > LONGEST {
            return None;
        }
        if let Some(entry) = self.exact(query.trim()) {
            return Some(Found::only(entry));
        }
        let written = written(query);
        if written.is_empty() || written.len() > MOST_WORDS {
            return None;
        }
        // the first reading that is sure, else the first that means anything
        let mut unsure = None;
        for reading in repair::readings(self, &written) {
            let Some(found) = self.meant(&reading.words) else { continue };
            let read_as = reading.repaired.then(|| self.in_words(&reading.words));
            let found = Found { sure: found.sure && reading.sure, read_as, ..found };
            if found.sure {
                return Some(found);
            }
            unsure = unsure.or(Some(found));
        }
        unsure
    }

    /// Other foods that these words could mean, best first, at most so many, and how many there are in all.
    pub fn listing(&self, query: &str, most: usize) -> (Vec<&FoodEntry>, usize) {
        let written = written(query);
        if query.len() > LONGEST || written.len() > MOST_WORDS {
            return (Vec::new(), 0);
        }
        let reading = repair::readings(self, &written).into_iter().map(|reading| self.names.translated(&reading.words));
        let ranked = reading.map(|words| self.ranked(&words)).find(|ranked| !ranked.is_empty());
        let ranked = ranked.unwrap_or_default();
        let foods = ranked.iter().take(most).filter_map(|candidate| self.entry(candidate.row));
        (foods.collect(), ranked.len())
    }

    /// Names of foods most like the words, best first; only close ones.
    pub fn nearest(&self, query: &str) -> Vec<String> {
        let mut written = written(query);
        written.truncate(MOST_WORDS);
        let known: Vec<Word> = written.iter().filter_map(|word| self.words.known(word)).collect();
        let mut words = self.names.translated(&known);
        loop {
            if words.is_empty() {
                break;
            }
            let ranked = self.ranked(&words);
            if !ranked.is_empty() {
                let names = ranked.iter().filter_map(|candidate| self.rows.get(candidate.row));
                return names.take(MOST_NEAREST).map(|row| row.description.clone()).collect();
            }
            words.remove(0);
        }
        let alike = written.iter().filter(|word| word.len() > 3).filter_map(|word| repair::most_alike(self, word));
        let ranked = alike.flat_map(|word| self.ranked(&[word]).into_iter().take(1));
        let names = ranked.filter_map(|candidate| self.rows.get(candidate.row));
        names.take(MOST_NEAREST).map(|row| row.description.clone()).collect()
    }

    /// Names that kitchens use, each for its plain food, to be suggested.
    pub fn kitchen_names(&self) -> impl Iterator<Item = &str> {
        self.names.said()
    }

    fn exact(&self, query: &str) -> Option<&FoodEntry> {
        let row = self.names.row_of(query);
        let by_name = || self.rows.iter().position(|row| row.description.eq_ignore_ascii_case(query));
        self.entry(row.or_else(by_name)?)
    }

    fn in_words(&self, words: &[Word]) -> String {
        words.iter().map(|word| self.words.text(*word)).collect::<Vec<_>>().join(" ")
    }

    /// The food that these words mean by a kitchen name, else by the names of the table, else by a kitchen name of a food
    /// in another state.
    fn meant(&self, words: &[Word]) -> Option<Found<'_>> {
        let translated = self.names.translated(words);
        let by_name = |at_least| {
            let found = self.by_kitchen_name(words, at_least);
            found.or_else(|| self.by_kitchen_name(&translated, at_least))
        };
        // a name of the table that has the very way it is cooked comes before a kitchen name that leaves it aside; `cooked`
        // alone names no way
        let cooked = |word: &&Word| self.words.says(**word).any(Says::COOKED) && self.words.text(**word) != "cooked";
        let very = || {
            let ways: Vec<Word> = words.iter().filter(cooked).copied().collect();
            let found = self.by_rank(&translated).filter(|found| !ways.is_empty() && found.sure)?;
            let named = |entry: &FoodEntry| self.has_words(entry, &ways);
            (named(found.entry) && !by_name(false).is_some_and(|found| named(found.entry))).then_some(found)
        };
        // a shade that no name has: the food without it, and not surely
        let shade = |word: &&Word| self.words.says(**word).any(Says::SHADE);
        let without = || {
            let rest: Vec<Word> = words.iter().filter(|word| !shade(word)).copied().collect();
            let found = self.by_kitchen_name(&rest, false).filter(|_| rest.len() < words.len())?;
            Some(Found { sure: false, ..found })
        };
        let ranked = || self.by_rank(&translated);
        very().or_else(|| by_name(false)).or_else(ranked).or_else(|| by_name(true)).or_else(without)
    }

    /// Whether the name of this food has all of these words.
    fn has_words(&self, entry: &FoodEntry, words: &[Word]) -> bool {
        let row = self.names.row_of(&entry.id).and_then(|at| self.rows.get(at));
        let tokens = row.map_or(&[][..], |row| self.tokens(row));
        words.iter().all(|word| tokens.iter().any(|token| token.word == *word))
    }
}

impl<'t> Found<'t> {
    /// A food that leaves no choice.
    fn only(entry: &'t FoodEntry) -> Self {
        Self { entry, like: Vec::new(), choices: vec![entry], sure: true, raw_or_cooked: false, read_as: None }
    }
}
