//! Every sentence that a cook can see: how easily it reads, and that no clumsy phrase of old is in it.

use crate::program::{run, said};

/// Screens of the main commands on the demonstration, and how each is made.
const SCREENS: [(&str, &[&str]); 11] = [
    ("plan", &["plan", "--demo", "--samples", "32"]),
    ("plan --details", &["plan", "--demo", "--details", "--samples", "32"]),
    ("explain", &["explain", "--demo"]),
    ("compare", &["compare", "--vary", "depth=8mm,16mm", "--samples", "16"]),
    ("best", &["best", "--demo", "--samples", "16"]),
    ("prefreeze", &["prefreeze", "--demo", "--temperature", "-10 C"]),
    ("bill", &["bill", "--demo", "--samples", "32"]),
    ("pack", &["pack", "--demo", "--samples", "32"]),
    ("update", &["update", "load.toml", "--readings", "readings.csv", "--samples", "64"]),
    ("dry", &["dry", "load.toml", "--readings", "readings.csv", "--samples", "64"]),
    ("store list", &["store", "list"]),
];

/// Lists, whose words are names of foods, machines and publications.
const LISTS: [(&str, &[&str]); 3] =
    [("foods", &["foods", "apple"]), ("dryers", &["dryers"]), ("evidence", &["evidence"])];

/// A kitchen with a sheet, readings of its run and a pantry. All invented.
fn kitchen() -> tempfile::TempDir {
    let folder = crate::program::kitchen(crate::program::TWO_LAYERS);
    std::fs::write(folder.path().join("readings.csv"), "time_h,tray,water_lost_g\n4,1,250\n8,1,500\n").unwrap();
    let put = ["store", "put", "--food", "peas", "--packs", "6", "--dry", "50 g", "--today", "2026-01-05"];
    said(folder.path(), &put);
    folder
}

/// Phrases that are no plain English in a kitchen; words of one line or several, in small letters.
const CLUMSY: &[&str] = &[
    "draws",
    "draw of",
    "held water",
    "ice front",
    "bears",
    "binds",
    "told",
    "lies as",
    "ails",
    "trait",
    "judged",
    "asked",
    "given up",
    "unfit",
    "grave",
    "does not suit",
    "is there already",
    "stays as it is",
    "files that are there",
    "hold several",
    "held against",
    "eat first by",
    "for order",
    "no promise",
    "the middle one",
    "knows better",
    "computed again",
    "eight times in ten",
    "less that others decide",
    "of nothing",
    "cannot be told",
    "sharpen",
    "not saved",
    "dry means under",
    "numbers of the lots",
    "cell walls",
    "side by side",
    "freezable water",
    "one trait",
    "most likely eight times",
    "lots on the packs",
    "draws of each",
    "is written next",
];

/// Small letters and digits, with one blank between words.
fn flat(text: &str) -> String {
    let letters: String = text.to_lowercase().chars().map(|c| if c.is_alphanumeric() { c } else { ' ' }).collect();
    format!(" {} ", letters.split_whitespace().collect::<Vec<_>>().join(" "))
}

fn clumsy(source: &str, text: &str) -> Vec<String> {
    let flat = flat(text);
    let found = CLUMSY.iter().filter(|phrase| flat.contains(&format!(" {phrase} ")));
    let mind = text.lines().any(|line| line.starts_with("MIND") || line.contains(">Mind<"));
    found.map(|phrase| format!("{source}: {phrase}")).chain(mind.then(|| format!("{source}: mind"))).collect()
}

#[test]
fn no_screen_and_no_help_text_has_a_clumsy_phrase() {
    let folder = kitchen();
    let mut found = Vec::new();
    for (name, arguments) in SCREENS.into_iter().chain(LISTS) {
        found.extend(clumsy(name, &said(folder.path(), arguments)));
    }
    let first = said(folder.path(), &["--help"]);
    let commands = first.lines().filter(|line| line.starts_with("  ") && !line.trim_start().starts_with(['-', '0']));
    let commands: Vec<&str> = commands
        .filter_map(|line| line.split_whitespace().next())
        .filter(|word| word.chars().all(char::is_lowercase) && *word != "icefront")
        .collect();
    assert!(commands.len() > 20, "{commands:?}");
    found.extend(clumsy("--help", &first));
    for command in commands {
        let output = run(folder.path(), &[command, "--help"]);
        found.extend(clumsy(&format!("{command} --help"), &String::from_utf8_lossy(&output.stdout)));
    }
    for topic in ["sheet", "dryer"] {
        // a key of a file keeps its name
        let text = said(folder.path(), &["help", topic]);
        let lines: Vec<&str> = text.lines().filter(|line| !line.starts_with("  draws ")).collect();
        found.extend(clumsy(topic, &lines.join("\n")));
    }
    said(folder.path(), &["report", "--demo", "--out", "report.html"]);
    let page = std::fs::read_to_string(folder.path().join("report.html")).unwrap();
    found.extend(clumsy("report", &page));
    assert!(found.is_empty(), "{found:#?}");
}

/// Syllables of an English word by its groups of vowels: a rule of thumb, right for nine words in ten.
fn syllables(word: &str) -> usize {
    let word = word.to_lowercase();
    let vowel = |c: char| "aeiouy".contains(c);
    let mut groups = 0;
    let mut before = false;
    for c in word.chars() {
        groups += usize::from(vowel(c) && !before);
        before = vowel(c);
    }
    let ends = |ending: &str| word.ends_with(ending);
    let silent_e = ends("e") && !ends("le") || ends("le") && word.chars().rev().nth(2).is_some_and(vowel);
    let silent_ed = ends("ed") && !ends("ted") && !ends("ded") && !ends("eed") && !ends("ied");
    let silent_es = ends("es") && !["ses", "zes", "ches", "shes", "xes", "ges", "ces", "ies"].iter().any(|e| ends(e));
    groups.saturating_sub(usize::from(silent_e || silent_ed || silent_es)).max(1)
}

/// Words and syllables of sentences.
#[derive(Clone, Copy, Default)]
struct Counts {
    sentences: usize,
    words: usize,
    syllables: usize,
}

impl Counts {
    fn of(words: &[&str]) -> Self {
        Self { sentences: 1, words: words.len(), syllables: words.iter().map(|word| syllables(word)).sum() }
    }

    fn and(self, other: Self) -> Self {
        Self {
            sentences: self.sentences + other.sentences,
            words: self.words + other.words,
            syllables: self.syllables + other.syllables,
        }
    }

    /// Reading ease: 206.835 - 0.846 wl - 1.015 sl, with wl syllables per 100 words and sl words per sentence.
    /// Source: Flesch, R. (1948), A new readability yardstick, Journal of Applied Psychology 32(3), 221-233.
    fn ease(self) -> f64 {
        let (sentences, words, syllables) = (self.sentences as f64, self.words as f64, self.syllables as f64);
        206.835 - 84.6 * syllables / words - 1.015 * words / sentences
    }
}

/// Names in the demonstration and the kitchen, which say nothing about the language.
const NAMES: &[&str] = &[
    "bean",
    "stew",
    "diced",
    "turkey",
    "apple",
    "slices",
    "cooked",
    "rice",
    "plain",
    "yogurt",
    "mixed",
    "berries",
    "demonstration",
    "invented",
    "icefront",
    "university",
    "extension",
    "services",
];

/// Fewest words of a sentence that counts.
const FEWEST_WORDS: usize = 5;

/// Sentences of a screen as words, without tables, numbers, names and what is quoted.
fn sentences(screen: &str) -> Vec<Vec<String>> {
    // rows of tables have two blanks between columns; a label of capitals begins a paragraph
    let mut prose = String::new();
    for line in screen.lines() {
        let text = line.trim();
        let table = text.contains("  ") || text.contains('█');
        let begins = text.starts_with("- ")
            || !line.starts_with(' ')
                && line.find(':').is_some_and(|at| {
                    line.get(..at).is_some_and(|label| label.chars().all(|c| c.is_uppercase() || c == ' '))
                });
        prose += if table || text.is_empty() || begins { ". " } else { " " };
        let shown = match text.split_once(": ") {
            Some((label, rest)) if begins && !text.starts_with("- ") && !label.is_empty() => rest,
            _ => text.trim_start_matches("- "),
        };
        prose += if table { "" } else { shown };
    }
    let prose = prose.replace(['(', ')', ';'], " ");
    let unquoted: String = prose.split('`').step_by(2).collect::<Vec<_>>().join(" ");
    let ends =
        |piece: &str| piece.split(". ").flat_map(|s| s.split(['!', '?'])).map(str::to_string).collect::<Vec<_>>();
    let named = |word: &str| NAMES.contains(&word.to_lowercase().as_str());
    let is_word = |word: &&str| {
        let letters = word.chars().all(|c| c.is_alphabetic() || c == '\'' || c == '-');
        let capitals = word.len() > 1 && word.chars().all(char::is_uppercase);
        letters
            && !capitals
            && !named(word)
            && !["h", "mm", "kg", "ml", "min", "kWh", "Pa", "kW", "kJ", "kcal", "C", "L", "g"].contains(word)
    };
    let words = |sentence: &String| -> Vec<String> {
        let bare = sentence.split_whitespace().map(|w| w.trim_matches(|c: char| !c.is_alphanumeric()));
        bare.filter(|word| !word.is_empty()).filter(is_word).map(str::to_string).collect()
    };
    ends(&unquoted).iter().map(words).filter(|words| words.len() >= FEWEST_WORDS).collect()
}

/// Reading ease of every screen, and of the worst tenth of all sentences, that is reached.
const EASE_OF_A_SCREEN: f64 = 72.0;
const EASE_OF_THE_WORST_TENTH: f64 = 52.0;

#[test]
fn every_screen_reads_easily() {
    let folder = kitchen();
    let mut report = String::new();
    let mut all: Vec<(f64, Counts, String)> = Vec::new();
    let mut worst_screen = f64::INFINITY;
    for (name, arguments) in SCREENS {
        let found = sentences(&said(folder.path(), arguments));
        let counts: Vec<Counts> =
            found.iter().map(|words| Counts::of(&words.iter().map(String::as_str).collect::<Vec<_>>())).collect();
        let whole = counts.iter().copied().fold(Counts::default(), Counts::and);
        if whole.sentences == 0 {
            continue;
        }
        report += &format!("{name}: {:.0} over {} sentences\n", whole.ease(), whole.sentences);
        worst_screen = worst_screen.min(whole.ease());
        all.extend(counts.iter().zip(found).map(|(counts, words)| (counts.ease(), *counts, words.join(" "))));
    }
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all.dedup_by(|a, b| a.2 == b.2);
    let tenth = all.len().div_ceil(10);
    let worst = all.iter().take(tenth).map(|(_, counts, _)| *counts).fold(Counts::default(), Counts::and).ease();
    let listed: Vec<String> = all.iter().take(tenth).map(|(ease, _, words)| format!("{ease:.0}: {words}")).collect();
    report += &format!("worst tenth: {worst:.0}\n{}", listed.join("\n"));
    println!("{report}");
    assert!(worst_screen >= EASE_OF_A_SCREEN && worst >= EASE_OF_THE_WORST_TENTH, "{report}");
}

#[test]
fn syllables_are_counted_as_a_dictionary_does() {
    let known = [
        ("dry", 1),
        ("freezer", 2),
        ("dried", 1),
        ("heated", 2),
        ("table", 2),
        ("machine", 2),
        ("minutes", 2),
        ("whole", 1),
        ("temperature", 4),
        ("condenser", 3),
        ("strawberries", 3),
        ("chilled", 1),
        ("pieces", 2),
        ("sooner", 2),
    ];
    let wrong: Vec<_> = known.iter().filter(|(word, count)| syllables(word) != *count).collect();
    assert!(wrong.is_empty(), "{wrong:?}");
}
