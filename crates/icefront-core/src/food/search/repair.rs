//! Words that no name has: two written as one, one as two, or a slip of the pen.

use crate::food::FoodTable;
use crate::food::words::{Word, singular};

/// Words as they may be read.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Reading {
    pub(super) words: Vec<Word>,
    /// Whether a word is another than was written.
    pub(super) repaired: bool,
    /// Whether no other reading is as likely.
    pub(super) sure: bool,
}

/// Longest word that is repaired, letters.
const LONGEST: usize = 24;
/// Cost of a repair up to which the reading counts as sure.
const SURE: f64 = 1.3;
/// By how much the next best word must cost more.
const CLEAR: f64 = 0.15;

/// How the words may be read, the likeliest first: as they stand, repaired, and with two neighbours joined.
pub(super) fn readings(table: &FoodTable, written: &[String]) -> Vec<Reading> {
    // numbers that no name has say how much or how large, not which food
    let number = |word: &String| word.starts_with(|c: char| c.is_ascii_digit()) && table.words.known(word).is_none();
    let written: Vec<String> = written.iter().filter(|word| !number(word)).cloned().collect();
    let written = &written[..];
    let known: Vec<Option<Word>> = written.iter().map(|word| table.words.known(word)).collect();
    let mut readings = Vec::new();
    if let Some(words) = known.iter().copied().collect::<Option<Vec<_>>>() {
        readings.push(Reading { words, repaired: false, sure: true });
    }
    readings.extend(joined(table, written));
    if known.iter().any(Option::is_none) {
        let anything = known.iter().any(Option::is_some);
        let mut all = Reading { words: Vec::new(), repaired: true, sure: true };
        for (word, known) in written.iter().zip(known) {
            if let Some(known) = known {
                all.words.push(known);
            } else if let Some((first, second)) = split(table, word) {
                all.words.extend([first, second]);
            } else if let Some((like, sure)) = alike(table, word, anything) {
                all.words.push(like);
                all.sure &= sure;
            } else {
                return readings;
            }
        }
        readings.push(all);
    }
    readings
}

/// Two neighbours as one word.
fn joined(table: &FoodTable, written: &[String]) -> Vec<Reading> {
    let pair = |at: usize| {
        let whole = format!("{}{}", written.get(at)?, written.get(at + 1)?);
        let whole = table.words.known(&whole).filter(|word| in_names(table, *word))?;
        let word = |word: &String| table.words.known(word).or_else(|| Some(alike(table, word, true)?.0));
        let mut words: Vec<Word> = written.get(..at)?.iter().map(word).collect::<Option<_>>()?;
        words.push(whole);
        words.extend(written.get(at + 2..)?.iter().map(word).collect::<Option<Vec<_>>>()?);
        Some(Reading { words, repaired: true, sure: true })
    };
    (0..written.len().saturating_sub(1)).filter_map(pair).collect()
}

/// One word as two, each known and neither short.
fn split(table: &FoodTable, word: &str) -> Option<(Word, Word)> {
    const SHORTEST: usize = 3;
    let known = |part: Option<&str>| {
        let part = part.filter(|part| part.len() >= SHORTEST)?;
        table.words.known(part).filter(|word| in_names(table, *word))
    };
    let cuts = SHORTEST..word.len().saturating_sub(SHORTEST - 1);
    cuts.filter(|at| word.is_char_boundary(*at)).find_map(|at| Some((known(word.get(..at))?, known(word.get(at..))?)))
}

/// Whether names have this word.
fn in_names(table: &FoodTable, word: Word) -> bool {
    table.words.times(word) > 0
}

/// The word that was most likely meant, and whether no other is as likely. A short word alone is hardly repaired: `soap` is
/// no soup.
fn alike(table: &FoodTable, word: &str, beside_others: bool) -> Option<(Word, bool)> {
    let length = word.chars().count();
    let most = match length {
        0..3 | LONGEST.. => return None,
        3 => 0.5,
        4 if !beside_others => 0.5,
        4 => 0.8,
        5 => 1.0,
        6 | 7 => 1.4,
        8 | 9 => 1.8,
        _ => 2.2,
    };
    let (as_written, one) = (letters(word), letters(&singular(word.to_owned())));
    let without_s = letters(word.strip_suffix('s').unwrap_or(word));
    let mut found: Vec<(f64, u16, &str)> = Vec::new();
    for (known, times) in table.words.counted().filter(|(known, _)| known.len() > 2 && known.is_ascii()) {
        // a wrong first letter is seldom cheap enough
        let other_start = known.as_bytes().first() != as_written.first();
        if known.len().abs_diff(length) > 3 || other_start && most < WRONG_START {
            continue;
        }
        let known_letters = letters(known);
        let cost = [&as_written, &one, &without_s].into_iter().map(|word| slips(word, &known_letters, most));
        let cost = cost.fold(f64::INFINITY, f64::min);
        if cost <= most {
            found.push((cost, times, known));
        }
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)).then(a.2.cmp(b.2)));
    let (cost, _, best) = *found.first()?;
    let clear = found.get(1).is_none_or(|next| next.0 > cost + CLEAR);
    Some((table.words.known(best)?, clear && cost <= SURE))
}

/// The word of a name that is most like this one, however far off within reason; to offer, not to take.
pub(super) fn most_alike(table: &FoodTable, word: &str) -> Option<Word> {
    /// Least likeness (Jaro-Winkler, 0 to 1) worth an offer, by trying misspellings.
    const CLOSE: f64 = 0.85;
    let word = singular(word.chars().take(LONGEST).collect());
    let like = table.words.counted().filter(|(_, times)| *times > 0);
    let like = like.map(|(known, _)| (strsim::jaro_winkler(known, &word), known)).filter(|(like, _)| *like >= CLOSE);
    table.words.known(like.max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(a.1)))?.1)
}

fn letters(word: &str) -> Vec<u8> {
    word.bytes().collect()
}

/// Cost of the slips that make one word of the other; more than `most` is given as soon as it is sure.
///
/// A letter doubled or left single is the commonest slip, then vowels and neighbours changed, then a letter left out.
fn slips(written: &[u8], known: &[u8], most: f64) -> f64 {
    let (n, m) = (written.len(), known.len());
    let mut before: Vec<f64> = vec![f64::INFINITY; m + 1];
    let mut above: Vec<f64> = (0..=m).map(|j| (0..j).map(|k| gap(known, k)).sum()).collect();
    for i in 1..=n {
        let mut row = vec![f64::INFINITY; m + 1];
        row[0] = above[0] + gap(written, i - 1);
        for j in 1..=m {
            let same = above[j - 1] + changed(written[i - 1], known[j - 1]) * first(i, j);
            let left_out = row[j - 1] + gap(known, j - 1);
            let too_many = above[j] + gap(written, i - 1);
            row[j] = same.min(left_out).min(too_many);
            if i > 1 && j > 1 && written[i - 1] == known[j - 2] && written[i - 2] == known[j - 1] {
                row[j] = row[j].min(before[j - 2] + if written[i - 1] == written[i - 2] { 0.0 } else { SWAPPED });
            }
        }
        if row.iter().all(|cost| *cost > most) {
            return f64::INFINITY;
        }
        before = std::mem::replace(&mut above, row);
    }
    above[m]
}

const SWAPPED: f64 = 0.8;
/// A first letter too many or too few.
const WRONG_START: f64 = 1.4;

fn is_vowel(letter: u8) -> bool {
    b"aeiouy".contains(&letter)
}

/// Cost of a letter too many or too few: little beside the same letter.
fn gap(word: &[u8], at: usize) -> f64 {
    let letter = word.get(at).copied().unwrap_or_default();
    let beside = |at: Option<usize>| at.and_then(|at| word.get(at)) == Some(&letter);
    match () {
        () if beside(at.checked_sub(1)) || beside(Some(at + 1)) => 0.4,
        () if at == 0 => WRONG_START,
        () if is_vowel(letter) || letter == b'h' => 0.8,
        () => 1.0,
    }
}

/// Cost of one letter for another.
fn changed(a: u8, b: u8) -> f64 {
    const ALIKE: [&[u8]; 5] = [b"ckq", b"szc", b"yi", b"dt", b"gj"];
    match () {
        () if a == b => 0.0,
        () if ALIKE.iter().any(|like| like.contains(&a) && like.contains(&b)) => 0.6,
        () if is_vowel(a) && is_vowel(b) => 0.7,
        () => 1.2,
    }
}

/// The first letter is seldom wrong.
fn first(i: usize, j: usize) -> f64 {
    if i == 1 && j == 1 { 1.7 } else { 1.0 }
}
