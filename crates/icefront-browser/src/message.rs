//! What goes over the byte interface, either way: four bytes with the length of the head (little-endian), the head as JSON,
//! then the bytes of the files that the head lists, one after the other.

use std::str;

use icefront_kitchen::weather::clock::{Date, read_date};
use icefront_page::Settings;
use icefront_page::host::{Pairs, Reply};
use serde::{Deserialize, Serialize};

/// A file by its name; `None` where there is none of that name any more.
pub type File = (String, Option<Vec<u8>>);

/// A request.
#[derive(Clone, Debug, PartialEq)]
pub struct Message {
    /// The path that is asked for.
    pub path: String,
    /// The form that is sent to it.
    pub form: Option<Pairs>,
    /// The day.
    pub today: Date,
    /// Samples where a moment's worth is enough: as many as there is time for.
    pub few: usize,
    /// All samples.
    pub all: usize,
    /// Files that changed since the last call.
    pub files: Vec<File>,
}

/// An answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// What the page says.
    pub reply: Reply,
    /// Whether it was made with all samples.
    pub whole: bool,
    /// Files that it changed.
    pub files: Vec<File>,
}

/// A file in a head: its bytes follow.
#[derive(Debug, Deserialize, Serialize)]
struct Entry {
    name: String,
    /// Number of bytes; none: the file is gone.
    bytes: Option<usize>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Asked {
    path: String,
    form: Option<Pairs>,
    today: String,
    few: usize,
    all: Option<usize>,
    #[serde(default)]
    files: Vec<Entry>,
}

#[derive(Serialize)]
struct Answered<'a> {
    status: u16,
    text: &'a str,
    saved: Option<&'a str>,
    whole: bool,
    files: Vec<Entry>,
}

impl Message {
    /// Reads a message.
    ///
    /// # Errors
    /// What is wrong with it; only a fault of the caller makes it so.
    pub fn read(bytes: &[u8]) -> Result<Self, String> {
        let short = || "a message that breaks off".to_string();
        let (length, rest) = bytes.split_first_chunk().ok_or_else(short)?;
        let (head, mut rest) = rest.split_at_checked(u32::from_le_bytes(*length) as usize).ok_or_else(short)?;
        let asked: Asked = serde_json::from_slice(head).map_err(|error| error.to_string())?;
        let today = read_date(&asked.today).ok_or("a day is written as 2026-11-25")?;
        let mut files = Vec::with_capacity(asked.files.len());
        for Entry { name, bytes } in asked.files {
            let content = match bytes {
                None => None,
                Some(count) => {
                    let (content, after) = rest.split_at_checked(count).ok_or_else(short)?;
                    rest = after;
                    Some(content.to_vec())
                }
            };
            files.push((name, content));
        }
        Ok(Self {
            path: asked.path,
            form: asked.form,
            today,
            few: asked.few,
            all: asked.all.unwrap_or(Settings::USUAL.draws),
            files,
        })
    }
}

impl Answer {
    /// A fault of the program.
    pub fn fault(words: &str) -> Self {
        Self { reply: Reply { text: words.into(), ..Reply::broken_off() }, whole: false, files: Vec::new() }
    }

    /// The answer as a message.
    pub fn write(&self) -> Vec<u8> {
        let Reply { status, text, saved, .. } = &self.reply;
        let entry = |(name, content): &File| Entry { name: name.clone(), bytes: content.as_ref().map(Vec::len) };
        let files = self.files.iter().map(entry).collect();
        let head = Answered { status: *status, text, saved: saved.as_deref(), whole: self.whole, files };
        let head = serde_json::to_vec(&head).unwrap_or_default();
        let length = u32::try_from(head.len()).unwrap_or(u32::MAX);
        let contents = self.files.iter().filter_map(|(_, content)| content.as_deref());
        [&length.to_le_bytes()[..], &head].into_iter().chain(contents).collect::<Vec<_>>().concat()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn message(head: &str, files: &[u8]) -> Vec<u8> {
        [&(head.len() as u32).to_le_bytes()[..], head.as_bytes(), files].concat()
    }

    #[test]
    fn files_follow_the_head_in_its_order() {
        let head = r#"{"path": "/live", "form": [["do", "answer"]], "today": "2026-11-25",
            "few": 8, "files": [{"name": "a", "bytes": 2}, {"name": "gone"}, {"name": "b", "bytes": 1}]}"#;
        let read = Message::read(&message(head, b"xyz")).unwrap();
        assert_eq!(read.path, "/live");
        let expected = [("a", Some(&b"xy"[..])), ("gone", None), ("b", Some(b"z"))];
        assert_eq!(read.files, expected.map(|(name, content)| (name.to_string(), content.map(<[u8]>::to_vec))));
        assert_eq!(read.form, Some(vec![("do".to_string(), "answer".to_string())]));
    }

    #[test]
    fn what_breaks_off_is_refused() {
        let whole =
            message(r#"{"path": "/", "today": "2026-11-25", "few": 0, "files": [{"name": "a", "bytes": 2}]}"#, b"xy");
        assert!(Message::read(&whole).is_ok());
        for end in 0..whole.len() {
            assert!(Message::read(&whole[..end]).is_err(), "{end}");
        }
        assert!(Message::read(&message(r#"{"path": "/", "today": "yesterday", "few": 0}"#, b"")).is_err());
    }
}
