//! What the words for a food mean, and what else they could mean: as `icefront foods` finds it.

use icefront_core::food::FoodTable;
use icefront_kitchen::catalogue;

/// Most foods that are offered.
const MOST: usize = 6;

/// What some words mean.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Meaning {
    /// The food that is taken, by the name the table has; `None` where there is none.
    pub taken: Option<String>,
    /// Whether the words leave no doubt.
    pub sure: bool,
    /// Names that mean other foods, the likeliest first: exact texts.
    pub others: Vec<String>,
}

/// Finds what words mean.
pub fn meaning(words: &str) -> Meaning {
    let words = words.trim();
    if words.is_empty() {
        return Meaning::default();
    }
    match catalogue::foods(words) {
        Ok(found) => {
            let taken = found.foods.iter().find(|entry| Some(entry.id.as_str()) == found.id);
            let others = found.foods.iter().filter(|entry| Some(entry.id.as_str()) != found.id);
            Meaning {
                taken: taken.map(|entry| entry.description.clone()),
                sure: found.sure && !found.raw_or_cooked,
                others: others.take(MOST).map(|entry| entry.description.clone()).collect(),
            }
        }
        Err(_) => {
            let nearest = FoodTable::embedded().map(|table| table.nearest(words)).unwrap_or_default();
            Meaning { taken: None, sure: false, others: nearest }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn choices_are_exact_names_that_mean_themselves() {
        let chili = meaning("chili");
        assert!(chili.taken.is_some() && !chili.others.is_empty(), "{chili:?}");
        for name in &chili.others {
            assert_eq!(meaning(name).taken.as_ref(), Some(name));
        }
        let unknown = meaning("unicorn soup");
        assert!(unknown.taken.is_none() && !unknown.sure, "{unknown:?}");
        assert_eq!(meaning(" "), Meaning::default());
    }
}
