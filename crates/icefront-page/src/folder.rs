//! The folder the page was started in: sheets and dryer files by the names it lists, and nothing else.
//!
//! A name has no path parts, a link is not followed, a file is written whole or not at all, and only over the very
//! version that was opened.

use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use icefront_kitchen::Failure;
use icefront_kitchen::problem::BadFile;
use icefront_kitchen::sheet::{self, Sheet, Text};
use icefront_kitchen::storage::{Entry, Storage};
use icefront_kitchen::weather::Weather;
use toml::de::DeTable;

use crate::names::{Kind, READINGS_ENDING, SHEET_ENDING, check_name, ending, kind};

/// Largest file that is opened or saved, bytes.
pub const LARGEST_BYTES: usize = 64 * 1024;
/// What is enough to see what a file is, bytes.
const HEAD_BYTES: u64 = 8 * 1024;
/// What messages say of links and folders.
const NOT_PLAIN: &str = "it is not a plain file of this folder";
/// Most names that are listed.
const MOST_LISTED: usize = 200;

/// The folder. All writing goes through it, one file at a time.
#[derive(Debug)]
pub struct Folder {
    path: PathBuf,
    files: Box<dyn Storage>,
    writing: Mutex<()>,
}

/// What is in the folder.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Listing {
    /// Load sheets.
    pub sheets: Vec<String>,
    /// Dryer files.
    pub dryers: Vec<String>,
    /// Weather files.
    pub weather: Vec<String>,
}

/// A sheet as it was opened.
#[derive(Clone, Debug, PartialEq)]
pub struct Opened {
    /// The sheet.
    pub text: Text,
    /// Which version of the file it is.
    pub version: String,
}

impl Folder {
    /// A folder of these files.
    pub fn new(path: &Path, files: impl Storage + 'static) -> Self {
        Self { path: path.to_path_buf(), files: Box::new(files), writing: Mutex::default() }
    }

    /// The files, by paths such as [`Folder::place`] gives.
    pub fn files(&self) -> &dyn Storage {
        &*self.files
    }

    /// Its path.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Sheets, dryers and weather files in it, by name.
    pub fn list(&self) -> Listing {
        let mut listing = Listing::default();
        let known =
            self.files.names(&self.path).into_iter().filter_map(|name| ending(&name).map(|ending| (name, ending)));
        for (name, ending) in known.take(MOST_LISTED) {
            match self.head(&name).and_then(|text| kind(ending, &text)) {
                Some(Kind::Sheet) => listing.sheets.push(name),
                Some(Kind::Dryer) => listing.dryers.push(name),
                Some(Kind::Weather) => listing.weather.push(name),
                None => {}
            }
        }
        listing
    }

    /// Opens a sheet.
    pub fn open(&self, name: &str) -> Result<Opened, Failure> {
        check_name(name, SHEET_ENDING).map_err(|reason| Failure::Unreadable { path: name.into(), reason })?;
        let text = self.read(name)?.replace("\r\n", "\n");
        let version = version(&text);
        Ok(Opened { text: Text { path: name.into(), text }, version })
    }

    /// Checks a sheet as a file of this folder; the dryer file it names must be one that is listed.
    pub fn check(&self, name: &str, text: &str) -> Result<Sheet, Failure> {
        // the very parser that reads sheets, so that both see the same name
        let (table, _) = DeTable::parse_recoverable(text);
        let dryer = table.get_ref().get("dryer").and_then(|dryer| dryer.get_ref().as_str());
        dryer.map_or(Ok(()), |dryer| self.check_dryer(dryer))?;
        sheet::read(&self.text(name, text), self.files())
            .map_err(|failure| short(failure, dryer.unwrap_or(name).trim()))
    }

    /// A sheet's text as a file of this folder.
    pub fn text(&self, name: &str, text: &str) -> Text {
        Text { path: self.path.join(name), text: text.to_string() }
    }

    /// Checks that a sheet may name this dryer: a built-in one, or a file of this folder.
    pub fn check_dryer(&self, dryer: &str) -> Result<(), Failure> {
        let dryer = dryer.trim();
        if is_file(dryer) { self.read(dryer).map(drop) } else { Ok(()) }
    }

    /// Saves a sheet; gives the new version. `over` is the version that it may replace; without one the name must be free.
    pub fn save(&self, name: &str, text: &str, over: Option<&str>) -> Result<String, Failure> {
        check_name(name, SHEET_ENDING).map_err(|reason| Failure::Unwritable { path: name.into(), reason })?;
        self.write(name, text, over)
    }

    /// Saves a sheet or a table of readings, as [`Folder::save`].
    pub fn write(&self, name: &str, text: &str, over: Option<&str>) -> Result<String, Failure> {
        if text.len() > LARGEST_BYTES {
            let reason = format!("it is larger than {} KiB", LARGEST_BYTES / 1024);
            return Err(Failure::Unwritable { path: name.into(), reason });
        }
        // nobody else of this page writes between reading the version and writing
        let _alone = self.writing.lock().unwrap_or_else(PoisonError::into_inner);
        let (replace, bytes) = match over {
            None => (false, text.to_string()),
            Some(opened) => match self.read(name) {
                Ok(now) if version(&now) == opened => (true, with_line_ends_of(&now, text)),
                _ => return Err(Failure::Changed { path: name.into() }),
            },
        };
        let written = self.files.write(&self.path.join(name), bytes.as_bytes(), replace);
        written.map_err(|failure| short(failure, name))?;
        Ok(version(text))
    }

    /// Path of a file of this name, which need not exist yet; a link or a folder is refused.
    pub fn place(&self, name: &str) -> Result<PathBuf, Failure> {
        let path = self.path.join(name);
        match self.files.entry(&path) {
            Entry::Other => Err(Failure::Unreadable { path: name.into(), reason: NOT_PLAIN.into() }),
            Entry::File | Entry::Missing => Ok(path),
        }
    }

    /// Reads a listed weather file.
    pub fn weather(&self, name: &str) -> Result<Weather, Failure> {
        if self.list().weather.iter().any(|known| known == name) {
            return Weather::read(&self.place(name)?, self.files());
        }
        Err(Failure::unreadable(name, "it is no weather file of this folder"))
    }

    /// The beginning of a plain file, enough to see what it is.
    fn head(&self, name: &str) -> Option<String> {
        let bytes = self.files.head(&self.place(name).ok()?, HEAD_BYTES)?;
        Some(String::from_utf8_lossy(&bytes).into_owned())
    }

    /// The version of a sheet or a table of readings that exists.
    pub fn version(&self, name: &str) -> Option<String> {
        self.read(name).ok().map(|text| version(&text))
    }

    /// The text of a sheet, a dryer file or a table of readings.
    pub fn read(&self, name: &str) -> Result<String, Failure> {
        let ending = if name.ends_with(READINGS_ENDING) { READINGS_ENDING } else { SHEET_ENDING };
        check_name(name, ending).map_err(|reason| Failure::Unreadable { path: name.into(), reason })?;
        let path = self.place(name)?;
        let read = self.files.read(&path, LARGEST_BYTES as u64).and_then(|bytes| Text::of_sheet(&path, bytes));
        read.map(|text| text.text).map_err(|failure| short(failure, name))
    }
}

/// Whether a sheet means a file by this name of a dryer, as the sheet reader sees it.
fn is_file(dryer: &str) -> bool {
    sheet::dryer::built_in(dryer).is_none()
        && Path::new(dryer).extension().is_some_and(|extension| extension.eq_ignore_ascii_case("toml"))
}

fn without_folder(file: BadFile) -> BadFile {
    let path = file.path.file_name().map_or_else(|| file.path.clone(), PathBuf::from);
    BadFile { path, ..file }
}

/// Messages show the name alone, not where the folder is.
pub fn short(failure: Failure, name: &str) -> Failure {
    let path = || PathBuf::from(name);
    match failure {
        Failure::Unreadable { reason, .. } => Failure::Unreadable { path: path(), reason },
        Failure::Unwritable { reason, .. } => Failure::Unwritable { path: path(), reason },
        Failure::Exists { .. } => Failure::Exists { path: path() },
        Failure::AlreadyLogged { batch, .. } => Failure::AlreadyLogged { path: path(), batch },
        Failure::BadFiles(files) => Failure::BadFiles(files.into_iter().map(without_folder).collect()),
        other => other,
    }
}

/// A text with the line ends of the file it replaces; forms have only plain ones.
fn with_line_ends_of(old: &str, text: &str) -> String {
    let plain = text.replace("\r\n", "\n");
    if old.split_once('\n').is_some_and(|(first, _)| first.ends_with('\r')) {
        return plain.replace('\n', "\r\n");
    }
    plain
}

/// Which version a text is, whatever its line ends. Only this program compares it, and only to find changes, not attacks:
/// whoever may write may replace the file anyway.
pub fn version(text: &str) -> String {
    let mut hasher = DefaultHasher::new();
    text.replace("\r\n", "\n").hash(&mut hasher);
    format!("{:016x}", hasher.finish())
}

#[cfg(test)]
mod tests {
    use super::*;
    use icefront_kitchen::storage::Memory;

    #[test]
    fn a_save_replaces_only_the_version_that_was_opened() {
        let folder = Folder::new(Path::new(""), Memory::default());
        let first = folder.save("a.toml", "icefront = 1\n", None).unwrap();
        assert!(matches!(folder.save("a.toml", "other", None), Err(Failure::Exists { .. })));
        let second = folder.save("a.toml", "icefront = 1 # two\n", Some(&first)).unwrap();
        let late = folder.save("a.toml", "icefront = 1 # late\n", Some(&first));
        assert!(matches!(late, Err(Failure::Changed { .. })));
        assert_eq!(folder.open("a.toml").unwrap().text.text, "icefront = 1 # two\n");
        assert_eq!(folder.version("a.toml"), Some(second));
        let gone = folder.save("b.toml", "x", Some("00"));
        assert!(matches!(gone, Err(Failure::Changed { .. })));
        let table = folder.save("a.readings.csv", "time\n", None);
        assert!(matches!(table, Err(Failure::Unwritable { .. })), "a sheet is not saved as a table");
    }

    #[test]
    fn a_file_keeps_its_line_ends() {
        let folder = Folder::new(Path::new("here"), Memory::of(&[("here/a.toml", "icefront = 1\r\n# mine\r\n")]));
        let opened = folder.open("a.toml").unwrap();
        assert_eq!(opened.text.text, "icefront = 1\n# mine\n");
        folder.save("a.toml", "icefront = 1\n# yours\n", Some(&opened.version)).unwrap();
        assert_eq!(folder.files().read(Path::new("here/a.toml"), 99).unwrap(), b"icefront = 1\r\n# yours\r\n");
    }

    #[test]
    fn only_sheets_and_dryers_are_listed() {
        let files = [("b.toml", "# mine\nicefront = 1\n"), ("d.toml", "icefront_dryer = 1\n"), ("o.toml", "x = 1\n")];
        let folder = Folder::new(Path::new(""), Memory::of(&[&files[..], &[("t.txt", "")]].concat()));
        let listed = Listing { sheets: vec!["b.toml".into()], dryers: vec!["d.toml".into()], weather: Vec::new() };
        assert_eq!(folder.list(), listed);
    }
}
