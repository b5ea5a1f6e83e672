//! A case: the files that one run of the program is given, by name.

use std::fs;
use std::io;
use std::path::Path;

/// Files by name, in the order they were added.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Case {
    files: Vec<(String, Vec<u8>)>,
}

impl Case {
    /// A case of one file.
    pub fn of(name: impl Into<String>, bytes: impl Into<Vec<u8>>) -> Self {
        Self::default().with(name, bytes)
    }

    /// The same with one more file.
    #[must_use]
    pub fn with(mut self, name: impl Into<String>, bytes: impl Into<Vec<u8>>) -> Self {
        self.files.push((name.into(), bytes.into()));
        self
    }

    /// All files.
    pub fn files(&self) -> &[(String, Vec<u8>)] {
        &self.files
    }

    /// The bytes of the first file.
    pub fn first(&self) -> &[u8] {
        self.files.first().map_or(&[], |(_, bytes)| bytes)
    }

    /// A file as text; `None` where there is none of that name. Files that are not UTF-8 never reach a reader.
    pub fn text(&self, name: &str) -> Option<String> {
        self.files.iter().find(|(known, _)| known == name).map(|(_, bytes)| String::from_utf8_lossy(bytes).into_owned())
    }

    /// Changes the bytes of a file that is there.
    pub fn change(&mut self, name: &str, with: impl FnOnce(&[u8]) -> Vec<u8>) {
        if let Some((_, bytes)) = self.files.iter_mut().find(|(known, _)| known == name) {
            *bytes = with(bytes);
        }
    }

    /// Reads a case: a folder with its files, or a single file.
    ///
    /// # Errors
    /// If it cannot be read.
    pub fn read(path: &Path) -> io::Result<Self> {
        let name = |path: &Path| path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        if path.is_file() {
            return Ok(Self::of(name(path), fs::read(path)?));
        }
        let mut paths: Vec<_> = fs::read_dir(path)?.map(|entry| entry.map(|e| e.path())).collect::<Result<_, _>>()?;
        paths.sort();
        paths.iter().try_fold(Self::default(), |case, path| Ok(case.with(name(path), fs::read(path)?)))
    }

    /// Writes its files into a folder, which is made if it is not there.
    ///
    /// # Errors
    /// If they cannot be written.
    pub fn write(&self, folder: &Path) -> io::Result<()> {
        fs::create_dir_all(folder)?;
        self.files.iter().try_for_each(|(name, bytes)| fs::write(folder.join(name), bytes))
    }
}

/// All cases of a corpus folder, in the order of their names.
///
/// # Errors
/// If they cannot be read.
pub fn corpus(folder: &Path) -> io::Result<Vec<Case>> {
    let mut paths: Vec<_> = fs::read_dir(folder)?.map(|entry| entry.map(|e| e.path())).collect::<Result<_, _>>()?;
    paths.sort();
    paths.iter().map(|path| Case::read(path)).collect()
}
