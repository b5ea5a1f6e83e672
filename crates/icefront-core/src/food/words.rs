//! Names of foods cut into words, each in one form.

/// Words that make a food no special kind of its kind.
pub(super) const PLAIN_WORDS: [&str; 27] = [
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
        self.all().filter(|word| !query.contains(word) && !PLAIN_WORDS.contains(&word.as_str())).count()
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
