//! What a form sends, taken apart.

use std::str::FromStr;

use crate::page::draft::{MOST_TRAYS, TrayStep};
use crate::page::files::LARGEST_BYTES;
use crate::page::tools::Tool;

/// A form as it was sent.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Asked {
    /// The sheet it was made from.
    pub sheet: String,
    /// Name of its file.
    pub file: String,
    /// Version of that file when it was opened; empty where it was not opened from one.
    pub version: String,
    /// Name of that file.
    pub opened: String,
    /// Version of another's file that is to be replaced.
    pub theirs: String,
    /// What is to be done.
    pub act: Act,
    /// Whether something is being dragged.
    pub dragging: bool,
    /// Fields by place.
    pub fields: Vec<(String, String)>,
}

/// What a button does.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Act {
    /// Answers.
    #[default]
    Answer,
    /// Answers, with the whole form: the browser held another sheet than the page.
    Show,
    /// Saves over the version that was opened, or under a free name.
    Save,
    /// Saves over another's version, which was seen.
    Replace,
    /// Changes the list of trays.
    Tray(TrayStep),
    /// Asks more than the answer tells.
    More(Tool),
    /// Adds a reading of the run, and asks what it says.
    Read,
    /// Takes the last reading back.
    Unread,
}

impl FromStr for Act {
    type Err = String;

    fn from_str(word: &str) -> Result<Self, String> {
        let unknown = || format!("`{}` is nothing this page can do", word.escape_default());
        let number = |text: &str| text.parse::<usize>().ok().filter(|tray| *tray < MOST_TRAYS).ok_or_else(unknown);
        if let Some(tool) = Tool::ALL.into_iter().find(|tool| tool.name() == word) {
            return Ok(Self::More(tool));
        }
        match word.split_once('.') {
            None if word == "answer" => Ok(Self::Answer),
            None if word == "show" => Ok(Self::Show),
            None if word == "save" => Ok(Self::Save),
            None if word == "replace" => Ok(Self::Replace),
            None if word == "read" => Ok(Self::Read),
            None if word == "unread" => Ok(Self::Unread),
            None if word == "add" => Ok(Self::Tray(TrayStep::Add)),
            Some(("remove", tray)) => Ok(Self::Tray(TrayStep::Remove(number(tray)?))),
            Some(("up", tray)) => Ok(Self::Tray(TrayStep::Up(number(tray)?))),
            Some(("down", tray)) => Ok(Self::Tray(TrayStep::Down(number(tray)?))),
            _ => Err(unknown()),
        }
    }
}

impl Asked {
    /// What a field holds; empty where it was not sent.
    pub fn field(&self, name: &str) -> &str {
        self.fields.iter().find(|(known, _)| known == name).map_or("", |(_, value)| value.trim())
    }

    /// Takes a form apart; the error says what is wrong with it.
    pub fn read(pairs: Vec<(String, String)>) -> Result<Self, String> {
        let mut asked = Self::default();
        for (name, value) in pairs {
            match name.as_str() {
                // browsers send line ends of their own
                "sheet" => asked.sheet = value.replace("\r\n", "\n"),
                "file" => asked.file = value.trim().to_string(),
                "version" => asked.version = value,
                "opened" => asked.opened = value.trim().to_string(),
                "theirs" => asked.theirs = value,
                "do" => asked.act = value.parse()?,
                "pace" => asked.dragging = value == "drag",
                // of a tick box and what stands in for it unticked, the last one counts
                _ => {
                    asked.fields.retain(|(known, _)| *known != name);
                    asked.fields.push((name, value));
                }
            }
        }
        if asked.sheet.len() > LARGEST_BYTES {
            return Err(format!("the sheet is larger than {} KiB", LARGEST_BYTES / 1024));
        }
        Ok(asked)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn buttons_are_known_and_others_refused() {
        for (word, act) in [
            ("answer", Act::Answer),
            ("save", Act::Save),
            ("add", Act::Tray(TrayStep::Add)),
            ("remove.3", Act::Tray(TrayStep::Remove(3))),
            ("up.0", Act::Tray(TrayStep::Up(0))),
        ] {
            assert_eq!(word.parse(), Ok(act));
        }
        for word in [
            "",
            "up",
            "up.",
            "up.-1",
            "down.x",
            "format c:",
            "up.40",
            "up.18446744073709551615",
            "up.99999999999999999999",
        ] {
            assert!(word.parse::<Act>().is_err(), "{word}");
        }
    }

    #[test]
    fn the_last_of_two_like_fields_counts() {
        let pairs = [("tray.0.lined", "false"), ("tray.0.lined", "true"), ("sheet", "a\r\nb")];
        let asked = Asked::read(pairs.map(|(n, v)| (n.into(), v.into())).to_vec()).unwrap();
        assert_eq!(asked.fields, [("tray.0.lined".to_string(), "true".to_string())]);
        assert_eq!(asked.sheet, "a\nb");
    }
}
