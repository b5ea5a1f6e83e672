//! What a form sends: the sheet it was made from, its fields, and the action of the button that was pressed.

use std::str::FromStr;

use crate::editor::{MOST_TRAYS, TrayStep};
use crate::{LARGEST_BYTES, questions};

/// A form as it was sent.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Request {
    /// The sheet it was made from.
    pub sheet: String,
    /// Name of its file.
    pub file: String,
    /// Version of that file when it was opened; empty if it was not opened from one.
    pub version: String,
    /// Name of that file.
    pub opened: String,
    /// Version of somebody else's file that is to be replaced.
    pub theirs: String,
    /// What is to be done.
    pub action: Action,
    /// Whether something is being dragged.
    pub dragging: bool,
    /// Fields by place.
    pub fields: Vec<(String, String)>,
}

/// What a button does.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Action {
    /// Answers.
    #[default]
    Answer,
    /// Answers with the whole form: the browser showed another sheet than the page.
    Show,
    /// Saves over the version that was opened, or under a free name.
    Save,
    /// Saves over somebody else's version, which was shown.
    Replace,
    /// Changes the list of trays.
    Tray(TrayStep),
    /// Answers the question of this command.
    Question(&'static str),
    /// Adds a reading of the run, and shows what it says.
    AddReading,
    /// Removes the last reading.
    RemoveReading,
}

impl FromStr for Action {
    type Err = String;

    fn from_str(word: &str) -> Result<Self, String> {
        let unknown = || format!("`{}` is nothing this page can do", word.escape_default());
        let number = |text: &str| text.parse::<usize>().ok().filter(|tray| *tray < MOST_TRAYS).ok_or_else(unknown);
        if let Some(question) = questions::named(word) {
            return Ok(Self::Question(question));
        }
        match word.split_once('.') {
            None if word == "answer" => Ok(Self::Answer),
            None if word == "show" => Ok(Self::Show),
            None if word == "save" => Ok(Self::Save),
            None if word == "replace" => Ok(Self::Replace),
            None if word == "read" => Ok(Self::AddReading),
            None if word == "unread" => Ok(Self::RemoveReading),
            None if word == "add" => Ok(Self::Tray(TrayStep::Add)),
            Some(("remove", tray)) => Ok(Self::Tray(TrayStep::Remove(number(tray)?))),
            Some(("up", tray)) => Ok(Self::Tray(TrayStep::Up(number(tray)?))),
            Some(("down", tray)) => Ok(Self::Tray(TrayStep::Down(number(tray)?))),
            _ => Err(unknown()),
        }
    }
}

impl Request {
    /// A sheet that is in no file.
    pub fn new(sheet: String) -> Self {
        Self { sheet, ..Self::default() }
    }

    /// Whether it writes the sheet to its file.
    pub fn saves(&self) -> bool {
        matches!(self.action, Action::Save | Action::Replace)
    }

    /// A sheet as it is opened from a file.
    pub fn open(sheet: String, file: String, version: String) -> Self {
        Self { sheet, opened: file.clone(), file, version, ..Self::default() }
    }

    /// The content of a field; empty if it was not sent.
    pub fn field(&self, name: &str) -> &str {
        self.fields.iter().find(|(known, _)| known == name).map_or("", |(_, value)| value.trim())
    }

    /// The same, or what is usual where it is empty.
    pub fn field_or<'a>(&'a self, name: &str, usual: &'a str) -> &'a str {
        Some(self.field(name)).filter(|value| !value.is_empty()).unwrap_or(usual)
    }

    /// Whether a box is ticked.
    pub fn is_on(&self, name: &str) -> bool {
        self.field(name) == "true"
    }

    /// Reads the pairs of a form.
    ///
    /// # Errors
    /// An unknown action or a sheet that is too large, in words.
    pub fn read(pairs: Vec<(String, String)>) -> Result<Self, String> {
        let mut request = Self::default();
        for (name, value) in pairs {
            match name.as_str() {
                // browsers send line ends of their own
                "sheet" => request.sheet = value.replace("\r\n", "\n"),
                "file" => request.file = value.trim().to_string(),
                "version" => request.version = value,
                "opened" => request.opened = value.trim().to_string(),
                "theirs" => request.theirs = value,
                "do" => request.action = value.parse()?,
                "pace" => request.dragging = value == "drag",
                // a tick box sends its hidden stand-in first: the last value counts
                _ => {
                    request.fields.retain(|(known, _)| *known != name);
                    request.fields.push((name, value));
                }
            }
        }
        if request.sheet.len() > LARGEST_BYTES {
            return Err(format!("the sheet is larger than {} KiB", LARGEST_BYTES / 1024));
        }
        Ok(request)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn buttons_are_known_and_others_refused() {
        for (word, action) in [
            ("answer", Action::Answer),
            ("save", Action::Save),
            ("add", Action::Tray(TrayStep::Add)),
            ("remove.3", Action::Tray(TrayStep::Remove(3))),
            ("up.0", Action::Tray(TrayStep::Up(0))),
            ("explain", Action::Question("explain")),
        ] {
            assert_eq!(word.parse(), Ok(action));
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
            assert!(word.parse::<Action>().is_err(), "{word}");
        }
    }

    #[test]
    fn the_last_of_two_like_fields_counts() {
        let pairs = [("tray.0.lined", "false"), ("tray.0.lined", "true"), ("sheet", "a\r\nb")];
        let request = Request::read(pairs.map(|(n, v)| (n.into(), v.into())).to_vec()).unwrap();
        assert_eq!(request.fields, [("tray.0.lined".to_string(), "true".to_string())]);
        assert_eq!(request.sheet, "a\nb");
    }
}
