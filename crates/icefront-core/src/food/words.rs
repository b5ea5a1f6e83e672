//! Names of foods cut into words, each in one form.

use std::sync::LazyLock;

const WORDS_CSV: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/data/foods/words.csv"));

/// Words with what each means.
type Words = LazyLock<Vec<(&'static str, &'static str)>>;

/// Words that make a food no special kind of its kind.
pub(super) static PLAIN: Words = LazyLock::new(|| of_kind("plain"));
/// Words that say how a food is cut, not which food it is.
pub(super) static CUT: Words = LazyLock::new(|| of_kind("cut"));
/// Names that differ between kitchens, each as the table has it, and one form for each way to cut.
static SYNONYMS: Words = LazyLock::new(|| of_kind("synonym"));

fn of_kind(kind: &str) -> Vec<(&'static str, &'static str)> {
    let rows = WORDS_CSV.lines().filter_map(|line| line.strip_prefix(kind)?.strip_prefix(',')?.split_once(','));
    rows.collect()
}

/// Whether a word is one of these.
pub(super) fn is_one_of(words: &Words, word: &str) -> bool {
    words.iter().any(|(known, _)| *known == word)
}

/// A description cut into words.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Name {
    /// Words up to the first comma: the food.
    pub(super) head: Vec<String>,
    /// Words up to the second comma (the third, where the first only names a place): the kind.
    pub(super) kind: Vec<String>,
    /// All further words.
    pub(super) rest: Vec<String>,
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

    pub(super) fn all(&self) -> impl Iterator<Item = &String> {
        self.head.iter().chain(&self.kind).chain(&self.rest)
    }

    /// How many words of the name are neither in the query nor plain.
    pub(super) fn strange(&self, query: &[String]) -> usize {
        self.all().filter(|word| !query.contains(word) && !is_one_of(&PLAIN, word)).count()
    }
}

/// Lower-case words in the singular, synonyms as the table has them.
pub(super) fn words(text: &str) -> Vec<String> {
    let cut = |c: char| !(c.is_alphanumeric() || c == '%');
    text.split(cut).filter(|word| !word.is_empty()).map(|word| canonical(word.to_lowercase())).collect()
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
