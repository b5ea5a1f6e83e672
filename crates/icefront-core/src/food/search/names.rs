//! What kitchens call a food, from `data/foods/kitchen_names.csv`: `said,means,note`.
//!
//! `means` is either words that the table knows better (`eggplant` for `aubergine`), put in their place wherever they stand,
//! or numbers of foods, the plain form first, which hold for these words alone, with or without a state and how it is cut.

use crate::food::table::Row;
use crate::food::words::{ByWord, Says, Vocabulary, Word, written};
use crate::food::{FoodError, FoodTable};

use super::rank::{agrees, is_number};
use super::{Found, MOST_CHOICES};

const NAMES_CSV: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/data/foods/kitchen_names.csv"));

/// All kitchen names, and rows by number.
#[derive(Debug)]
pub(in crate::food) struct Names {
    /// Longest first.
    phrases: Vec<Phrase>,
    translations: Vec<(Vec<Word>, Vec<Word>)>,
    rows: ByWord<&'static str, usize>,
}

/// Words that mean some foods.
#[derive(Debug)]
struct Phrase {
    said: &'static str,
    words: Vec<Word>,
    /// The plain form first.
    rows: Vec<usize>,
}

impl Names {
    /// Reads the names.
    pub(in crate::food) fn read(words: &mut Vocabulary, rows: &[Row]) -> Result<Self, FoodError> {
        let rows: ByWord<&'static str, usize> = rows.iter().enumerate().map(|(at, row)| (row.id, at)).collect();
        let (mut phrases, mut translations) = (Vec::new(), Vec::new());
        for (line, text) in NAMES_CSV.lines().enumerate().skip(1) {
            let wrong = |what: &str| FoodError::Table { line: line as u64 + 1, what: format!("kitchen name {what}") };
            let mut cells = text.splitn(3, ',');
            let (said, means) = (cells.next().unwrap_or_default(), cells.next().ok_or_else(|| wrong("row"))?);
            let mut numbers = |text: &str| written(text).iter().map(|word| words.number(word)).collect::<Vec<_>>();
            let said_words = numbers(said);
            if means.starts_with(|c: char| c.is_ascii_digit()) || rows.contains_key(means) {
                let row = |id: &str| rows.get(id).copied().ok_or_else(|| wrong(id));
                let rows = means.split(' ').map(row).collect::<Result<_, _>>()?;
                phrases.push(Phrase { said, words: said_words, rows });
            } else {
                translations.push((said_words, numbers(means)));
            }
        }
        // what cooks write often shall be a word to repair to
        phrases.iter().flat_map(|phrase| &phrase.words).for_each(|word| words.count(*word));
        translations.iter().flat_map(|(said, _)| said).for_each(|word| words.count(*word));
        phrases.sort_by_key(|phrase| std::cmp::Reverse(phrase.words.len()));
        translations.sort_by_key(|(said, _)| std::cmp::Reverse(said.len()));
        Ok(Self { phrases, translations, rows })
    }

    /// The row of a number of the source.
    pub(in crate::food) fn row_of(&self, id: &str) -> Option<usize> {
        self.rows.get(id).copied()
    }

    /// Names for which there is a plain food.
    pub(super) fn said(&self) -> impl Iterator<Item = &str> {
        self.phrases.iter().map(|phrase| phrase.said)
    }

    /// The words with those of one kitchen put as the table has them, each word once.
    pub(super) fn translated(&self, words: &[Word]) -> Vec<Word> {
        let mut translated = Vec::with_capacity(words.len());
        let mut rest = words;
        while let Some(first) = rest.first() {
            let known = self.translations.iter().find(|(said, _)| rest.starts_with(said));
            let (taken, put) = known.map_or((1, std::slice::from_ref(first)), |(said, means)| (said.len(), &means[..]));
            translated.extend(put);
            rest = rest.get(taken.max(1)..).unwrap_or_default();
        }
        translated
    }
}

impl FoodTable {
    /// The food of a kitchen name in these words, if they say no more than its state and how it is cut.
    pub(super) fn by_kitchen_name(&self, words: &[Word], at_least: bool) -> Option<Found<'_>> {
        let says = |word: Word| self.words.says(word);
        let aside = |word: Word| {
            is_number(self.words.text(word)) || says(word).any(Says::CUT.and(Says::QUALITY).and(Says::STATES))
        };
        let fits = |phrase: &&Phrase| {
            phrase.words.iter().all(|word| words.contains(word))
                && words.iter().all(|word| phrase.words.contains(word) || aside(*word))
        };
        // "stew beef" is no beef stew: the order counts where the words are the same
        let in_order = |phrase: &&Phrase| words.windows(phrase.words.len().max(1)).any(|part| part == phrase.words);
        let phrases = || self.names.phrases.iter().filter(fits);
        let longest = phrases().next()?.words.len();
        let first = phrases().filter(|phrase| phrase.words.len() == longest && in_order(phrase));
        first.chain(phrases()).find_map(|phrase| {
            let left = words.iter().filter(|word| !phrase.words.contains(word));
            let wanted = left.fold(Says::default(), |all, word| all.and(says(*word))).only(Says::STATES);
            let agreeing: Vec<usize> = phrase
                .rows
                .iter()
                .copied()
                .filter(|at| self.rows.get(*at).is_some_and(|row| agrees(row, wanted, at_least)))
                .collect();
            let first = *agreeing.first()?;
            let state = |at: usize| self.rows.get(at).map_or("", Row::state);
            let like = agreeing.iter().skip(1).filter(|at| state(**at) == state(first));
            Some(Found {
                entry: self.entry(first)?,
                like: like.filter_map(|at| self.entry(*at)).collect(),
                choices: agreeing.iter().take(MOST_CHOICES).filter_map(|at| self.entry(*at)).collect(),
                sure: true,
                raw_or_cooked: false,
                read_as: None,
            })
        })
    }
}
