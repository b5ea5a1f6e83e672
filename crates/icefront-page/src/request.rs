//! What a form sends: the sheet it was made from, its fields, and the action of the button that was pressed.

use std::str::FromStr;

use crate::anchor::Anchor;
use crate::editor::{MOST_TRAYS, TrayStep};
use crate::place::View;
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
    /// The view that is shown.
    pub view: View,
    /// The tray that is open.
    pub open: Option<usize>,
    /// When the machine starts, by the clock; empty for the usual time.
    pub start: String,
    /// What the last whole answer left.
    pub anchor: Option<Anchor>,
    /// Names of the parts that are unfolded.
    pub unfolded: Vec<String>,
    /// The sheet before the last change, for a page without a script.
    pub before: String,
    /// Fields by place.
    pub fields: Vec<(String, String)>,
}

/// What a button does.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
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
    /// Shows another view.
    View(View),
    /// Opens a tray, or closes the open one.
    Open(Option<usize>),
    /// Shows the chart of this file.
    Unfold(String),
    /// Changes the list of trays.
    Tray(TrayStep),
    /// Puts a value in a place of the sheet.
    Set {
        /// Where.
        place: String,
        /// What.
        value: String,
    },
    /// Takes the last change back.
    Undo,
    /// Answers the question of this command.
    Question(&'static str),
    /// Saves the sheet where it is in no file yet, and enters the start of the run.
    Begin,
    /// Adds a reading of the run, and shows what it says.
    AddReading,
    /// Removes the last reading.
    RemoveReading,
    /// Changes the pantry.
    Pantry(PantryStep),
}

/// What is done to the pantry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PantryStep {
    /// The packs of the sheet go in.
    Put,
    /// One pack of this lot is taken out.
    Take(u32),
    /// The last of these is taken back.
    Undo,
}

impl FromStr for Action {
    type Err = String;

    fn from_str(word: &str) -> Result<Self, String> {
        let unknown = || format!("`{}` is nothing this page can do", word.escape_default());
        let number = |text: &str| text.parse::<usize>().ok().filter(|tray| *tray < MOST_TRAYS).ok_or_else(unknown);
        if let Some(question) = questions::named(word) {
            return Ok(Self::Question(question));
        }
        if let Some((place, value)) = word.strip_prefix("set.").and_then(|rest| rest.split_once('=')) {
            return Ok(Self::Set { place: place.into(), value: value.into() });
        }
        match word.split_once('.') {
            None if word == "answer" => Ok(Self::Answer),
            None if word == "show" => Ok(Self::Show),
            None if word == "save" => Ok(Self::Save),
            None if word == "replace" => Ok(Self::Replace),
            None if word == "undo" => Ok(Self::Undo),
            None if word == "close" => Ok(Self::Open(None)),
            None if word == "begin" => Ok(Self::Begin),
            None if word == "put" => Ok(Self::Pantry(PantryStep::Put)),
            None if word == "untake" => Ok(Self::Pantry(PantryStep::Undo)),
            None if word == "read" => Ok(Self::AddReading),
            None if word == "unread" => Ok(Self::RemoveReading),
            None if word == "add" => Ok(Self::Tray(TrayStep::Add)),
            Some(("view", view)) => view.parse().map(Self::View).map_err(|()| unknown()),
            Some(("unfold", part)) => Ok(Self::Unfold(part.into())),
            Some(("take", lot)) => lot.parse().map(|lot| Self::Pantry(PantryStep::Take(lot))).map_err(|_| unknown()),
            Some(("open", tray)) => Ok(Self::Open(Some(number(tray)?))),
            Some(("copy", tray)) => Ok(Self::Tray(TrayStep::Copy(number(tray)?))),
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
                "view" => request.view = value.parse().unwrap_or_default(),
                "open" => request.open = value.parse().ok().filter(|tray| *tray < MOST_TRAYS),
                "start" => request.start = value.trim().to_string(),
                "anchor" => request.anchor = value.parse().ok(),
                "unfolded" => request.unfolded = value.split(',').map(String::from).collect(),
                "before" => request.before = value.replace("\r\n", "\n"),
                // a tick box sends its hidden stand-in first: the last value counts
                _ => {
                    request.fields.retain(|(known, _)| *known != name);
                    request.fields.push((name, value));
                }
            }
        }
        if request.sheet.len().max(request.before.len()) > LARGEST_BYTES {
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
            ("copy.1", Action::Tray(TrayStep::Copy(1))),
            ("open.2", Action::Open(Some(2))),
            ("view.run", Action::View(View::Run)),
            ("take.12", Action::Pantry(PantryStep::Take(12))),
            ("set.tray.0.food=Soup, pea=x", Action::Set { place: "tray.0.food".into(), value: "Soup, pea=x".into() }),
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
            "view.attic",
            "take.all",
            "set.room",
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
