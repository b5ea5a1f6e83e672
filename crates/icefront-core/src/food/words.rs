//! Words of food names, each in one form and with what it says about a food.
//!
//! The list is data: `data/foods/words.csv`. A word of the table has a number, so that names are compared without text.

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

const WORDS_CSV: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/data/foods/words.csv"));

/// A word by its number.
pub(super) type Word = u16;

/// What a word says, as bits.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Says(u16);

impl Says {
    /// Makes a food no special kind of its kind.
    pub(super) const PLAIN: Self = Self(1);
    /// How a food is cut, not which food it is.
    pub(super) const CUT: Self = Self(1 << 1);
    /// What a cook says about any food: `leftover`, `my`.
    pub(super) const QUALITY: Self = Self(1 << 2);
    /// Not cooked.
    pub(super) const RAW: Self = Self(1 << 3);
    /// Cooked in some way.
    pub(super) const COOKED: Self = Self(1 << 4);
    /// Frozen.
    pub(super) const FROZEN: Self = Self(1 << 5);
    /// From a can.
    pub(super) const CANNED: Self = Self(1 << 6);
    /// Dried or dry.
    pub(super) const DRY: Self = Self(1 << 7);
    /// Another thing made of a food: `oil`, `soup`.
    pub(super) const FORM: Self = Self(1 << 8);
    /// A special kind, seldom meant: `reduced`, `imitation`.
    pub(super) const SPECIAL: Self = Self(1 << 9);
    /// Stands in names only to sort them: `nuts`, `spices`.
    pub(super) const SILENT: Self = Self(1 << 10);
    /// A shade of a food, which its name may leave out: `red`.
    pub(super) const SHADE: Self = Self(1 << 11);
    /// Any state a food may be in.
    pub(super) const STATES: Self = Self(Self::RAW.0 | Self::COOKED.0 | Self::FROZEN.0 | Self::CANNED.0 | Self::DRY.0);

    /// Both together.
    pub(super) const fn and(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// All but these.
    pub(super) const fn without(self, of: Self) -> Self {
        Self(self.0 & !of.0)
    }

    /// Whether one of these is said.
    pub(super) const fn any(self, of: Self) -> bool {
        self.0 & of.0 != 0
    }

    /// Those of these that are said.
    pub(super) const fn only(self, of: Self) -> Self {
        Self(self.0 & of.0)
    }

    /// By the first column of the list.
    fn of_kind(kind: &str) -> Option<Self> {
        Some(match kind {
            "plain" => Self::PLAIN,
            "cut" => Self::CUT,
            "quality" => Self::QUALITY,
            "raw" => Self::RAW,
            "cooked" => Self::COOKED,
            "frozen" => Self::FROZEN,
            "canned" => Self::CANNED,
            "dry" => Self::DRY,
            "form" => Self::FORM,
            "special" => Self::SPECIAL,
            "silent" => Self::SILENT,
            "shade" => Self::SHADE,
            _ => return None,
        })
    }
}

/// Multiplies byte by byte: words are short, and come from the table or a line of limited length.
#[derive(Debug, Default)]
pub(super) struct ShortHasher(u64);

impl Hasher for ShortHasher {
    fn write(&mut self, bytes: &[u8]) {
        for chunk in bytes.chunks(8) {
            let word = chunk.iter().fold(0_u64, |word, byte| (word << 8) | u64::from(*byte));
            self.0 = (self.0.rotate_left(5) ^ word).wrapping_mul(0x517c_c1b7_2722_0a95);
        }
    }

    fn finish(&self) -> u64 {
        self.0
    }
}

/// Words as keys.
pub(super) type ByWord<K, V> = HashMap<K, V, BuildHasherDefault<ShortHasher>>;

/// All words of the table and of the kitchen, by number.
#[derive(Debug)]
pub(super) struct Vocabulary {
    numbers: ByWord<String, Word>,
    /// The same for words as written, before they are brought to one form.
    written: ByWord<String, Word>,
    /// Each in its one form, what it says, and how often it stands in names.
    words: Vec<(String, Says, u16)>,
    synonyms: ByWord<&'static str, &'static str>,
}

impl Vocabulary {
    /// The words of the list.
    pub(super) fn of_list() -> Self {
        let mut all = Self {
            numbers: ByWord::default(),
            written: ByWord::default(),
            words: Vec::new(),
            synonyms: ByWord::default(),
        };
        let cells = || WORDS_CSV.lines().skip(1).filter_map(|line| line.split_once(','));
        for (_, rest) in cells().filter(|(kind, _)| *kind == "synonym") {
            if let Some((said, meant)) = rest.split_once(',') {
                all.synonyms.insert(said, meant);
            }
        }
        for (kind, rest) in cells() {
            let (Some(says), Some((word, _))) = (Says::of_kind(kind), rest.split_once(',')) else { continue };
            let number = all.number(word);
            if let Some(entry) = all.words.get_mut(usize::from(number)) {
                entry.1 = entry.1.and(says);
            }
        }
        all
    }

    /// Number of a word as it is written; a new word gets one.
    pub(super) fn number(&mut self, written: &str) -> Word {
        if let Some(known) = self.written.get(written) {
            return *known;
        }
        let word = self.one_form(written);
        let number = self.numbers.get(&word).copied().unwrap_or_else(|| {
            let next = Word::try_from(self.words.len()).unwrap_or(Word::MAX);
            self.words.push((word.clone(), Says::default(), 0));
            self.numbers.insert(word, next);
            next
        });
        self.written.insert(written.to_owned(), number);
        number
    }

    /// Number of a word as a cook writes it, if it is known.
    pub(super) fn known(&self, written: &str) -> Option<Word> {
        self.written.get(written).or_else(|| self.numbers.get(&self.one_form(written))).copied()
    }

    /// What a word says.
    pub(super) fn says(&self, word: Word) -> Says {
        self.words.get(usize::from(word)).map_or(Says::default(), |(_, says, _)| *says)
    }

    /// The word in its one form.
    pub(super) fn text(&self, word: Word) -> &str {
        self.words.get(usize::from(word)).map_or("", |(text, _, _)| text)
    }

    /// Counts a word of a food's name.
    pub(super) fn count(&mut self, word: Word) {
        if let Some(entry) = self.words.get_mut(usize::from(word)) {
            entry.2 = entry.2.saturating_add(1);
        }
    }

    /// How often a word stands in names.
    pub(super) fn times(&self, word: Word) -> u16 {
        self.words.get(usize::from(word)).map_or(0, |(_, _, count)| *count)
    }

    /// Every word with how often it stands in names.
    pub(super) fn counted(&self) -> impl Iterator<Item = (&str, u16)> {
        self.words.iter().map(|(text, _, count)| (text.as_str(), *count))
    }

    /// The singular, or the name the table has.
    pub(super) fn one_form(&self, word: &str) -> String {
        let same = |word: String| self.synonyms.get(word.as_str()).map_or(word, |meant| (*meant).to_owned());
        same(singular(same(word.to_owned())))
    }
}

/// Lower-case words without accents, in their order.
pub(super) fn written(text: &str) -> Vec<String> {
    let mut words = Vec::new();
    let mut word = String::new();
    for letter in text.chars() {
        let letter = plain_letter(letter);
        match letter {
            // the apostrophe of "shepherd's", the point of "3.25"
            '\'' | '\u{2019}' => {}
            '%' => word.push(letter),
            _ if letter.is_alphanumeric() => word.extend(letter.to_lowercase()),
            _ => words.extend((!word.is_empty()).then(|| std::mem::take(&mut word))),
        }
    }
    words.extend((!word.is_empty()).then_some(word));
    words
}

/// A Latin letter without its accent.
fn plain_letter(letter: char) -> char {
    match letter {
        'à'..='å' | 'À'..='Å' | 'ā' => 'a',
        'è'..='ë' | 'È'..='Ë' | 'ē' => 'e',
        'ì'..='ï' | 'Ì'..='Ï' | 'ī' => 'i',
        'ò'..='ö' | 'Ò'..='Ö' | 'ō' => 'o',
        'ù'..='ü' | 'Ù'..='Ü' | 'ū' => 'u',
        'ç' | 'Ç' => 'c',
        'ñ' | 'Ñ' => 'n',
        _ => letter,
    }
}

/// English singular by its endings; what matters is that both sides are treated alike.
pub(super) fn singular(mut word: String) -> String {
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
