//! How well the name of a food fits some words: what it says beyond them costs.
//!
//! The costs are set by trying phrases that cooks use (`data/published/kitchen_words.csv` and a wider list of our own).

use crate::food::FoodTable;
use crate::food::kind::Token;
use crate::food::table::{ALSO, BRACKET, Row, WITHOUT};
use crate::food::words::{Says, Word};

use super::{Found, MOST_CHOICES};

/// A row that has all the words, and what its name says beyond them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Candidate {
    pub(super) row: usize,
    pub(super) cost: f64,
}

/// Another thing made of the food, in the first parts of a name and further on.
const FORM: f64 = 6.0;
const FORM_FURTHER: f64 = 2.5;
/// A form that the name is only sorted under.
const SORTED: f64 = 1.6;
/// A special kind.
const SPECIAL: f64 = 4.0;
/// A word that was not said, by the part of the name it stands in, and in brackets.
const STRANGE: [f64; 3] = [2.0, 1.2, 0.6];
const STRANGE_FURTHER: f64 = 0.3;
/// A word that was said, by the part of the name it stands in.
const SAID: [f64; 3] = [0.0, 0.0, 0.3];
const SAID_FURTHER: f64 = 0.6;
const SAID_ALSO: f64 = 0.4;
/// What a word is worth that may be left out, as how it is cut.
const SAID_ASIDE: f64 = 0.25;
/// What a dish is made of must not stand for the dish.
const LAST_FURTHER: f64 = 2.0;
/// Each word of a name.
const LENGTH: f64 = 0.02;
/// A state that was not said but is not usual, and one that was said otherwise.
const OTHER_STATE: f64 = 8.0;
/// Salt where none is wanted.
const WITH_SALT: f64 = 1.5;
/// Foods that cost no more than this beyond the best fit the words as well.
const AS_WELL: f64 = 1.0;
/// Those that are worth an offer.
const OFFERED: f64 = 3.0;
/// Cost up to which a food surely is the one.
const SURE: f64 = 3.2;

/// The words of a query by what they are for.
struct Wanted {
    /// Those that say which food.
    food: Vec<Word>,
    /// Those that may be left out.
    aside: Vec<Word>,
    /// States that were said.
    states: Says,
    /// Whether it is to be without salt.
    unsalted: bool,
}

impl FoodTable {
    fn wanted(&self, words: &[Word]) -> Wanted {
        let mut wanted = Wanted { food: Vec::new(), aside: Vec::new(), states: Says::default(), unsalted: false };
        let text = |word: &Word| self.words.text(*word);
        let without = words.windows(2).position(
            |pair| matches!(pair, [no, salt] if matches!(text(no), "no" | "without") && text(salt) == "salt"),
        );
        wanted.unsalted = without.is_some() || words.iter().any(|word| text(word) == "unsalted");
        let said = |at: &usize| without.is_none_or(|no| *at != no && *at != no + 1);
        for word in words.iter().enumerate().filter(|(at, _)| said(at)).map(|(_, word)| word) {
            let says = self.words.says(*word);
            wanted.states = wanted.states.and(says.only(Says::STATES));
            let number = is_number(self.words.text(*word));
            let list = match number || says.any(Says::CUT.and(Says::QUALITY).and(Says::STATES)) {
                true => &mut wanted.aside,
                false => &mut wanted.food,
            };
            if !list.contains(word) {
                list.push(*word);
            }
        }
        wanted
    }

    /// Rows that have all the words, the best first.
    pub(super) fn ranked(&self, words: &[Word]) -> Vec<Candidate> {
        let mut wanted = self.wanted(words);
        if wanted.food.is_empty() {
            // where all words say how it is cut, one of them may be a food
            let food = |word: &Word| !self.words.says(*word).any(Says::QUALITY.and(Says::STATES));
            wanted.food = wanted.aside.iter().copied().filter(food).collect();
            wanted.aside.clear();
        }
        if wanted.food.is_empty() {
            return Vec::new();
        }
        let rows = self.rows.iter().enumerate();
        let mut ranked: Vec<Candidate> =
            rows.filter_map(|(at, row)| Some(Candidate { row: at, cost: self.cost(row, &wanted)? })).collect();
        ranked.sort_by(|a, b| a.cost.total_cmp(&b.cost).then(a.row.cmp(&b.row)));
        ranked
    }

    /// The food that fits best, if one fits; a shade or a plain word that no name has is left out.
    pub(super) fn by_rank(&self, words: &[Word]) -> Option<Found<'_>> {
        let fitting =
            |words: &[Word]| self.ranked(words).into_iter().take_while(|c| c.cost < OTHER_STATE).collect::<Vec<_>>();
        let mut ranked = fitting(words);
        let shade = |word: &&Word| self.words.says(**word).any(Says::SHADE.and(Says::PLAIN));
        let left_out = ranked.is_empty() && words.iter().any(|word| shade(&word));
        if left_out {
            ranked = fitting(&words.iter().filter(|word| !shade(word)).copied().collect::<Vec<_>>());
        }
        let best = *ranked.first()?;
        let row = |candidate: &Candidate| self.rows.get(candidate.row);
        let state = row(&best)?.state();
        let near = |candidate: &&Candidate, by: f64| candidate.cost <= best.cost + by;
        let like = ranked.iter().skip(1).filter(|c| near(c, AS_WELL) && row(c).is_some_and(|row| row.state() == state));
        let other_states = ranked.iter().filter(|c| near(c, AS_WELL)).filter_map(row).map(Row::state);
        let said = self.wanted(words).states.any(Says::STATES);
        let raw_or_cooked = !said
            && row(&best).is_some_and(animal)
            && ["raw", "cooked"].contains(&state)
            && other_states.into_iter().any(|other| other != state && ["raw", "cooked"].contains(&other));
        let choices = ranked.iter().filter(|c| near(c, OFFERED)).take(MOST_CHOICES);
        Some(Found {
            entry: self.entry(best.row)?,
            like: like.take(MOST_LIKE).filter_map(|candidate| self.entry(candidate.row)).collect(),
            choices: choices.filter_map(|candidate| self.entry(candidate.row)).collect(),
            sure: best.cost <= SURE && !raw_or_cooked && !left_out,
            raw_or_cooked,
            read_as: None,
        })
    }

    /// What the name says beyond the words; `None` if it lacks one of them.
    fn cost(&self, row: &Row, wanted: &Wanted) -> Option<f64> {
        let tokens = self.tokens(row);
        let mut cost = 0.0;
        let mut first = false;
        let last = wanted.food.last();
        for word in &wanted.food {
            let part = tokens.iter().filter(|t| t.word == *word && t.part != WITHOUT).map(place).min()?;
            first |= part < 2;
            cost += match part {
                usize::MAX => SAID_ALSO,
                part => SAID.get(part).copied().unwrap_or(SAID_FURTHER),
            };
            let form = self.words.says(*word).any(Says::FORM) && !animal(row);
            if Some(word) == last && form && (2..usize::MAX).contains(&part) {
                cost += LAST_FURTHER;
            }
        }
        // skin alone is no food
        let form = |word: &Word| self.words.says(*word).any(Says::FORM);
        let in_head = |word: &Word| tokens.iter().any(|token| token.word == *word && token.part == 0);
        if wanted.food.iter().all(form) && !wanted.food.iter().any(in_head) {
            cost += OTHER_STATE;
        }
        let also = |word: &Word| tokens.iter().any(|token| token.word == *word && token.part == ALSO);
        if !first && !animal(row) && !wanted.food.iter().any(also) {
            cost += LAST_FURTHER;
        }
        let mut before: Option<&Token> = None;
        for token in tokens {
            cost += LENGTH;
            if !wanted.food.contains(&token.word) {
                cost += match wanted.aside.contains(&token.word) {
                    true => -SAID_ASIDE,
                    false => self.strange(row, token, before),
                };
            }
            before = Some(token);
        }
        let salted = if wanted.unsalted && row.description.contains("with salt") { WITH_SALT } else { 0.0 };
        Some(cost + of_group(row) + of_state(row, wanted.states) + salted)
    }

    /// Cost of a word that was not said.
    fn strange(&self, row: &Row, token: &Token, before: Option<&Token>) -> f64 {
        let row_is_ready = ["Restaurant", "Fast"].iter().any(|group| row.group.starts_with(group));
        let says = self.words.says(token.word);
        // the seeds of beans are the beans
        let of_pulse = before.is_some_and(|before| matches!(self.words.text(before.word), "mature" | "immature"));
        match () {
            () if token.part >= ALSO || of_pulse => 0.0,
            () if token.part == BRACKET => STRANGE_FURTHER,
            () if says.any(Says::SPECIAL) => SPECIAL,
            // `Cheese, cheddar` is cheddar
            () if says.any(Says::FORM) && says.any(Says::SILENT) && before.is_none() && token.part == 0 => SORTED,
            () if says.any(Says::FORM) => {
                if token.part < 2 {
                    FORM
                } else {
                    FORM_FURTHER
                }
            }
            () if says.any(Says::PLAIN.and(Says::STATES)) || is_number(self.words.text(token.word)) => 0.0,
            () if says.any(Says::SILENT) && (token.part == 0 || row_is_ready) => 0.0,
            () => STRANGE.get(usize::from(token.part)).copied().unwrap_or(STRANGE_FURTHER),
        }
    }
}

/// Whether a word begins with a digit.
pub(super) fn is_number(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_digit())
}

/// Most foods alike that are kept.
const MOST_LIKE: usize = 40;

/// Part of a name, brackets behind the food counted with it and other names apart.
fn place(token: &Token) -> usize {
    match token.part {
        BRACKET => 0,
        ALSO => usize::MAX,
        part => usize::from(part),
    }
}

/// Whether it is meat or fish, whose cuts stand far back in the name.
fn animal(row: &Row) -> bool {
    ["Beef", "Pork", "Poultry", "Lamb", "Finfish"].iter().any(|group| row.group.starts_with(group))
}

/// Cost of what is seldom cooked at home.
fn of_group(row: &Row) -> f64 {
    let begins = |groups: &[&str]| groups.iter().any(|group| row.group.starts_with(group));
    match () {
        () if begins(&["American"]) => 2.5,
        () if begins(&["Fast", "Restaurant"]) => 1.5,
        () if begins(&["Beverages"]) => 0.6,
        () => 0.0,
    }
}

/// Whether a row is in the states that were said, or at least may be.
pub(super) fn agrees(row: &Row, said: Says, at_least: bool) -> bool {
    !said.any(Says::STATES) || of_state(row, said) < if at_least { MAY_AGREE } else { AGREES }
}

/// Cost of a state below which it is the one that was said, and below which it may be.
const AGREES: f64 = 0.9;
const MAY_AGREE: f64 = 2.0;

/// Cost of the state a row is in.
fn of_state(row: &Row, said: Says) -> f64 {
    let state = row.state();
    let begins = |groups: &[&str]| groups.iter().any(|group| row.group.starts_with(group));
    let frozen = row.says.any(Says::FROZEN);
    if !said.any(Says::STATES) {
        return match state {
            "raw" if row.description.contains("mature seeds") || begins(&["Cereal"]) => 1.2,
            "dry" if begins(&["Cereal", "Legumes", "Breakfast"]) => 1.2,
            "canned" if begins(&["Legumes"]) => 0.8,
            "cooked" if begins(&["Cereal", "Legumes", "Breakfast", "Baked", "Nut", "Snacks", "Dairy"]) => 0.0,
            "cooked" if begins(&["Fruits", "Vegetables"]) => 1.0 + if frozen { 0.5 } else { 0.0 },
            "cooked" if animal(row) => 0.2 + if frozen { 0.2 } else { 0.0 },
            "frozen" => 1.2,
            "canned" if begins(&["Soups", "Sauces", "Meals"]) => 0.0,
            "canned" => 1.6,
            "dry" if begins(&["Spices", "Nut", "Snacks", "Sweets", "Baked"]) => 0.0,
            "dry" => 3.0,
            _ => 0.0,
        };
    }
    let mut cost = 0.0;
    if said.any(Says::CANNED) {
        cost += if state == "canned" { 0.0 } else { OTHER_STATE };
    }
    if said.any(Says::DRY) {
        let pulse = begins(&["Cereal", "Legumes"]) && state == "raw";
        cost += if state == "dry" || pulse || begins(&["Spices", "Baked"]) { 0.0 } else { OTHER_STATE };
    }
    if said.any(Says::COOKED) {
        cost += match state {
            "cooked" => 0.0,
            "ready" if !begins(&["Spices"]) => 0.8,
            "canned" => 1.5,
            "frozen" if !begins(&["Fruits", "Vegetables"]) => 1.5,
            _ if said.any(Says::CANNED) => 0.0,
            _ => OTHER_STATE,
        };
    }
    if said.any(Says::RAW) {
        cost += match state {
            "raw" => 0.0,
            "ready" => 0.8,
            "frozen" => 1.2,
            "dry" if begins(&["Cereal", "Legumes"]) => 0.0,
            _ => OTHER_STATE,
        };
    }
    if said.any(Says::FROZEN) && !frozen {
        // most foods are not listed frozen: frozen raw ones are the raw ones
        cost += match state {
            "raw" | "ready" => 1.0,
            "cooked" => 2.0,
            _ => 3.0,
        };
    }
    if said.any(Says::FROZEN) && !said.any(Says::COOKED) && state == "cooked" {
        cost += 0.8;
    }
    cost
}
