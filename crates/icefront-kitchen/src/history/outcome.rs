//! How a batch turned out, noted when it was opened or eaten: what verdicts are checked against.

use serde::Serialize;

use crate::Failure;
use crate::problem::spelling_help;

/// How the food of a tray turned out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TurnedOut {
    /// Crisp, in shape, dry.
    Good,
    /// Smaller or harder than it went in.
    Shrunk,
    /// Soft, sticky or foamed.
    Sticky,
    /// The pack felt damp, or the food was not crisp.
    Damp,
    /// Smelled or tasted rancid.
    Rancid,
}

/// All with their words.
pub const ALL: [(&str, TurnedOut); 5] = [
    ("good", TurnedOut::Good),
    ("shrunk", TurnedOut::Shrunk),
    ("sticky", TurnedOut::Sticky),
    ("damp", TurnedOut::Damp),
    ("rancid", TurnedOut::Rancid),
];

impl TurnedOut {
    /// Its word.
    pub fn word(self) -> &'static str {
        ALL.iter().find(|(_, one)| *one == self).map_or("", |(word, _)| word)
    }

    /// By its word.
    pub fn of_word(word: &str) -> Option<Self> {
        ALL.iter().find(|(known, _)| known.eq_ignore_ascii_case(word.trim())).map(|(_, one)| *one)
    }
}

/// An outcome of one tray.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Outcome {
    /// Place of the tray from the bottom, from 0.
    pub tray: usize,
    /// How it turned out.
    pub turned_out: TurnedOut,
}

/// Reads `2: shrunk`, or `good` for all of so many trays.
///
/// # Errors
/// A tray that is not there, or a word that is none of [`ALL`].
pub fn read(text: &str, trays: usize) -> Result<Vec<Outcome>, Failure> {
    let wrong = |reason: String, allowed: String| Failure::BadValue { key: "--turned-out".into(), reason, allowed };
    let (tray, word) = text.split_once(':').map_or((None, text), |(tray, word)| (Some(tray), word));
    let words = ALL.map(|(word, _)| word);
    let turned_out = TurnedOut::of_word(word)
        .ok_or_else(|| wrong(format!("`{}` is not an outcome", word.trim()), spelling_help(word.trim(), &words)))?;
    let Some(tray) = tray else { return Ok((0..trays).map(|tray| Outcome { tray, turned_out }).collect()) };
    let digits = tray.trim().trim_start_matches("tray").trim();
    let number = digits.parse::<usize>().ok().and_then(|n| n.checked_sub(1)).filter(|n| *n < trays);
    let number = number.ok_or_else(|| {
        wrong(format!("there is no tray `{}`", tray.trim()), format!("tray 1 to {trays}, from the bottom"))
    })?;
    Ok(vec![Outcome { tray: number, turned_out }])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn outcomes_are_read_for_one_tray_or_all() {
        let shrunk = Outcome { tray: 1, turned_out: TurnedOut::Shrunk };
        assert_eq!(read("tray 2: Shrunk", 3).unwrap(), [shrunk]);
        assert_eq!(read("2:shrunk", 3).unwrap(), [shrunk]);
        assert_eq!(read("good", 2).unwrap().len(), 2);
        assert!(read("4: good", 3).unwrap_err().to_string().contains("no tray"));
        assert!(read("1: crunchy", 3).unwrap_err().to_string().contains("not an outcome"));
    }
}
