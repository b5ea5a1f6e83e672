//! What kind of food a row of the table is, from its group, its name and its composition.
//!
//! The rules are data: `data/foods/kinds.csv`. Of each aspect the first rule that holds decides (of allergens every one
//! counts), and its reason can be shown. A condition is `key=one|other`, words joined by `_` stand side by side:
//! `group` begins the source's group, `head` is the name up to its first comma, `top` up to the second, `word` anywhere,
//! `no` nowhere, `nohead` not in the head; `category` and `state` are what was decided before; `fat>0.3` compares a mass fraction, `.._dry` one of
//! the dry matter, `sat_of_fat` the saturated share of the fat.

use super::table::WITHOUT;
use super::words::{Vocabulary, Word};
use super::{Allergen, Composition, DryingClass, FatState, Fit};

const KINDS_CSV: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/data/foods/kinds.csv"));

/// A word of a name and the part of the name it stands in, from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Token {
    pub(super) word: Word,
    pub(super) part: u8,
}

/// What is known of a row before its kind.
pub(super) struct Facts<'a> {
    /// The source's group.
    pub(super) group: &'a str,
    /// Its name, what it is also called left out.
    pub(super) name: &'a [Token],
    /// Raw, cooked and so on.
    pub(super) state: &'static str,
    /// Composition.
    pub(super) composition: &'a Composition,
    /// Saturated share of the fat, where the source gives it.
    pub(super) saturated_of_fat: Option<f64>,
}

/// What was decided, and by which rules.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Kind {
    pub(super) category: &'static str,
    pub(super) class: DryingClass,
    pub(super) fit: Fit,
    pub(super) porosity: f64,
    pub(super) raw: bool,
    pub(super) fat_state: FatState,
    pub(super) allergens: Vec<Allergen>,
    pub(super) reasons: Vec<Reason>,
}

/// One decision about a food of the table, with its reason.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reason {
    /// What was decided: `class`, `raw`.
    pub aspect: &'static str,
    /// How.
    pub value: &'static str,
    /// Why.
    pub why: &'static str,
}

/// All rules, their words by number.
#[derive(Debug)]
pub(super) struct Kinds(Vec<Rule>);

#[derive(Debug)]
struct Rule {
    aspect: &'static str,
    value: &'static str,
    why: &'static str,
    when: Vec<Condition>,
}

#[derive(Debug)]
enum Condition {
    Group(Vec<&'static str>),
    Category(Vec<String>),
    State(Vec<&'static str>),
    Words { place: Place, none: bool, terms: Vec<Vec<Word>> },
    Number { of: Number, above: bool, limit: f64 },
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Place {
    Head,
    Top,
    Anywhere,
}

#[derive(Clone, Copy, Debug)]
enum Number {
    Water,
    Dry,
    Fat,
    Sugars,
    StarchOfDry,
    SugarsOfDry,
    SaturatedOfFat,
}

impl Kinds {
    /// Reads the rules; a line that cannot be read is left out, and a test looks for such lines.
    pub(super) fn read(words: &Vocabulary) -> Self {
        Self(KINDS_CSV.lines().skip(1).filter_map(|line| Rule::read(line, words)).collect())
    }

    /// Kind of a row.
    pub(super) fn of(&self, facts: &Facts<'_>) -> Kind {
        let mut kind = Kind {
            category: "",
            class: DryingClass::MinceOrStew,
            fit: Fit::Suits,
            porosity: 0.0,
            raw: false,
            fat_state: FatState::None,
            allergens: Vec::new(),
            reasons: Vec::new(),
        };
        let mut decided = "";
        for rule in &self.0 {
            if rule.aspect != "allergen" && rule.aspect == decided {
                continue;
            }
            if !rule.when.iter().all(|condition| condition.holds(facts, kind.category)) {
                continue;
            }
            decided = rule.aspect;
            if kind.take(rule.aspect, rule.value) {
                kind.reasons.push(Reason { aspect: rule.aspect, value: rule.value, why: rule.why });
            }
        }
        kind
    }

    /// How many rules were read.
    #[cfg(test)]
    fn len(&self) -> usize {
        self.0.len()
    }
}

impl Kind {
    /// Notes a decision; whether it says anything new.
    fn take(&mut self, aspect: &str, value: &'static str) -> bool {
        match aspect {
            "category" => self.category = value,
            "class" => self.class = DryingClass::of_id(value).unwrap_or(self.class),
            "fit" => self.fit = Fit::of_id(value).unwrap_or(self.fit),
            "porosity" => self.porosity = value.parse().unwrap_or(0.0),
            "raw" => self.raw = value == "yes",
            "fat_state" => self.fat_state = FatState::of_id(value).unwrap_or(self.fat_state),
            _ => {
                let Some(allergen) = Allergen::of_id(value).filter(|new| !self.allergens.contains(new)) else {
                    return false;
                };
                self.allergens.push(allergen);
            }
        }
        true
    }
}

impl Rule {
    fn read(line: &'static str, words: &Vocabulary) -> Option<Self> {
        let (aspect, rest) = line.split_once(',')?;
        let (value, rest) = rest.split_once(',')?;
        let (when, why) = rest.split_once(',')?;
        let when: Option<Vec<_>> = when.split_whitespace().map(|text| Condition::read(text, words)).collect();
        Some(Self { aspect, value, why: why.trim_matches('"'), when: when? })
    }
}

impl Condition {
    fn read(text: &'static str, words: &Vocabulary) -> Option<Self> {
        if let Some((key, values)) = text.split_once('=') {
            let values = values.split('|');
            let (place, none) = match key {
                "group" => return Some(Self::Group(values.collect())),
                "category" => return Some(Self::Category(values.map(|value| value.replace('_', " ")).collect())),
                "state" => return Some(Self::State(values.collect())),
                "head" => (Place::Head, false),
                "top" => (Place::Top, false),
                "word" => (Place::Anywhere, false),
                "no" => (Place::Anywhere, true),
                "nohead" => (Place::Head, true),
                _ => return None,
            };
            // a term with a word that no name has holds nowhere
            let term = |term: &str| term.split('_').map(|word| words.known(word)).collect::<Option<Vec<_>>>();
            return Some(Self::Words { place, none, terms: values.filter_map(term).collect() });
        }
        let at = text.find(['<', '>'])?;
        let of = match text.get(..at)? {
            "water" => Number::Water,
            "dry" => Number::Dry,
            "fat" => Number::Fat,
            "sugars" => Number::Sugars,
            "starch_dry" => Number::StarchOfDry,
            "sugars_dry" => Number::SugarsOfDry,
            "sat_of_fat" => Number::SaturatedOfFat,
            _ => return None,
        };
        Some(Self::Number { of, above: text.get(at..)?.starts_with('>'), limit: text.get(at + 1..)?.parse().ok()? })
    }

    fn holds(&self, facts: &Facts<'_>, category: &str) -> bool {
        match self {
            Self::Group(groups) => groups
                .iter()
                .any(|group| facts.group.get(..group.len()).is_some_and(|start| start.eq_ignore_ascii_case(group))),
            Self::Category(categories) => categories.iter().any(|known| known == category),
            Self::State(states) => states.contains(&facts.state),
            Self::Words { place, none, terms } => terms.iter().any(|term| stands(facts.name, term, *place)) != *none,
            Self::Number { of, above, limit } => of.value(facts).is_some_and(|value| (value > *limit) == *above),
        }
    }
}

/// Whether these words stand side by side in the name.
fn stands(name: &[Token], term: &[Word], place: Place) -> bool {
    let last = match place {
        Place::Head => 0,
        Place::Top => 1,
        Place::Anywhere => u8::MAX,
    };
    name.windows(term.len()).any(|window| {
        window.iter().zip(term).all(|(token, word)| token.word == *word && token.part <= last && token.part != WITHOUT)
    })
}

impl Number {
    fn value(self, facts: &Facts<'_>) -> Option<f64> {
        let c = facts.composition;
        let dry = c.dry().max(f64::MIN_POSITIVE);
        Some(match self {
            Self::Water => c.water,
            Self::Dry => c.dry(),
            Self::Fat => c.fat,
            Self::Sugars => c.sugars,
            Self::StarchOfDry => c.starch() / dry,
            Self::SugarsOfDry => c.sugars / dry,
            Self::SaturatedOfFat => return facts.saturated_of_fat,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_rule_is_read_and_its_value_is_known() {
        let kinds = Kinds::read(&Vocabulary::of_list());
        assert_eq!(kinds.len(), KINDS_CSV.lines().count() - 1);
        for rule in &kinds.0 {
            let known = match rule.aspect {
                "category" => true,
                "class" => DryingClass::of_id(rule.value).is_some(),
                "fit" => Fit::of_id(rule.value).is_some(),
                "porosity" => rule.value.parse::<f64>().is_ok(),
                "raw" => ["yes", "no"].contains(&rule.value),
                "fat_state" => FatState::of_id(rule.value).is_some(),
                "allergen" => Allergen::of_id(rule.value).is_some(),
                _ => false,
            };
            assert!(known, "{rule:?}");
        }
    }
}
