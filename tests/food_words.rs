//! Foods found by the words that cooks use, and what the rules make of them, against lists judged by hand.
//!
//! Data: `tests/data/kitchen_words.csv` (160 phrases), `tests/data/kitchen_words_more.csv` (480 more, of which the last 160 were
//! tried once all names were in: 157 right, none silently wrong), `tests/data/food_phrases.csv` (phrases of our own),
//! `tests/data/food_sample.csv` (200 foods drawn at random).

use icefront_core::food::{FoodTable, Found};

struct Score {
    phrases: usize,
    right: usize,
    silent: usize,
    refused: usize,
    misses: Vec<String>,
}

impl Score {
    fn of(list: impl Iterator<Item = (String, bool, Box<dyn Fn(&Found<'_>) -> bool>)>) -> Self {
        let mut score = Self { phrases: 0, right: 0, silent: 0, refused: 0, misses: Vec::new() };
        for (phrase, may_refuse, accepted) in list {
            score.phrases += 1;
            let found = FoodTable::embedded().unwrap().look_up(&phrase).ok();
            let right = found.as_ref().map_or(may_refuse, &*accepted);
            score.right += usize::from(right);
            score.refused += usize::from(!right && found.is_none());
            score.silent += usize::from(!right && found.as_ref().is_some_and(|f| f.sure && f.choices.len() < 2));
            if !right {
                score.misses.push(format!("{phrase}: {:?}", found.map(|found| &found.entry.description)));
            }
        }
        score
    }

    fn printed(&self, name: &str) {
        let Self { phrases, right, silent, refused, misses } = self;
        println!("{name}: {right} of {phrases} right, {silent} silently wrong, {refused} refused; {misses:#?}");
    }
}

fn rows(text: &'static str) -> impl Iterator<Item = Vec<String>> {
    let reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
    reader.into_records().map(|row| row.unwrap().iter().map(str::to_string).collect())
}

#[test]
fn phrases_of_a_kitchen_find_their_food() {
    let lists = [
        ("kitchen words", include_str!("data/kitchen_words.csv"), 160),
        ("more kitchen words", include_str!("data/kitchen_words_more.csv"), 480),
    ];
    for (name, text, phrases) in lists {
        let score = Score::of(rows(text).map(|row| {
            let accept: Vec<String> = row[3].split_whitespace().map(str::to_string).collect();
            let accepted = move |found: &Found<'_>| accept.contains(&found.entry.id);
            (row[0].clone(), row[1] == "none", Box::new(accepted) as Box<dyn Fn(&Found<'_>) -> bool>)
        }));
        score.printed(name);
        assert_eq!(score.phrases, phrases);
        assert!(score.right * 100 >= score.phrases * 95 && score.silent * 100 <= score.phrases);
    }
}

/// The name must hold one of the parts given, each with all of its words.
#[test]
fn a_wider_list_finds_its_food() {
    let list = rows(include_str!("data/food_phrases.csv")).map(|row| {
        let parts: Vec<Vec<String>> =
            row[1].split('|').map(|part| part.split('&').map(str::to_string).collect()).collect();
        let accepted = move |found: &Found<'_>| {
            let name = format!("^{}", found.entry.description.to_lowercase());
            let holds = |part: &Vec<String>| part.iter().all(|word| !word.is_empty() && name.contains(word.as_str()));
            parts.iter().any(holds)
        };
        (row[0].clone(), row[2] == "yes", Box::new(accepted) as Box<dyn Fn(&Found<'_>) -> bool>)
    });
    let score = Score::of(list);
    score.printed("phrases of our own");
    assert!(score.phrases > 250);
    assert!(score.right * 100 >= score.phrases * 95 && score.silent * 100 <= score.phrases);
}

/// Class, raw and allergens of 200 foods drawn at random agree with what was judged by hand before the rules were tried.
#[test]
fn kinds_agree_with_a_sample_judged_by_hand() {
    let table = FoodTable::embedded().unwrap();
    let mut agree = 0;
    let mut misses = Vec::new();
    for row in rows(include_str!("data/food_sample.csv")) {
        let entry = table.by_id(&row[0]).unwrap();
        assert_eq!(entry.description, row[1]);
        let allergens: Vec<&str> = entry.allergens.iter().map(|known| known.id()).collect();
        let class = row[2].split('|').any(|class| class == entry.class.id());
        let raw = row[3].contains(if entry.raw { 'y' } else { 'n' });
        let sure = row[4].split_whitespace().all(|must| allergens.contains(&must));
        let known = |found: &&str| row[4].split_whitespace().chain(row[5].split_whitespace()).any(|a| a == *found);
        if class && raw && sure && allergens.iter().all(known) {
            agree += 1;
        } else {
            misses.push(format!("{}: {:?}, raw {}, {allergens:?}", row[1], entry.class, entry.raw));
        }
    }
    println!("{agree} of 200 agree; {misses:#?}");
    assert!(agree >= 190, "{agree} of 200");
}
