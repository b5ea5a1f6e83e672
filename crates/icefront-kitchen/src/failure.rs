//! Why a command could not do its work.

use std::io;
use std::path::{Path, PathBuf};

use icefront_core::ModelError;
use icefront_core::food::FoodError;
use icefront_plot::PlotError;
use thiserror::Error;

use crate::Look;
use crate::problem::{BadFile, shorten};
use crate::shown::shown;

/// Anything that ends a command with an exit code other than 0.
#[derive(Debug, Error)]
pub enum Failure {
    /// A file could not be read at all.
    #[error("cannot read `{path}`: {reason}")]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// Why, in words.
        reason: String,
    },
    /// Files were read and found wrong.
    #[error("{}", .0.iter().map(BadFile::to_string).collect::<Vec<_>>().join("\n\n"))]
    BadFiles(Vec<BadFile>),
    /// A target is there already.
    #[error("`{path}` already exists; use --force to overwrite it")]
    Exists {
        /// The target.
        path: PathBuf,
    },
    /// A file is not as it was when it was opened.
    #[error("`{path}` was changed after it was opened here; it was not overwritten")]
    Changed {
        /// The file.
        path: PathBuf,
    },
    /// A page cannot be served at an address.
    #[error("cannot serve a page on {address}: {reason}")]
    NoDoor {
        /// Where.
        address: String,
        /// Why, in words.
        reason: String,
    },
    /// A batch is in the history already.
    #[error(
        "batch `{batch}` is in `{path}` already; nothing was added (another batch of the same sheet needs a `--name`)"
    )]
    AlreadyLogged {
        /// The history.
        path: PathBuf,
        /// The batch that is there.
        batch: String,
    },
    /// The same packs are in the pantry already.
    #[error(
        "`{path}` has these packs already ({there}); nothing was put in. `icefront store put --again` puts as many in once more"
    )]
    AlreadyPut {
        /// The pantry.
        path: PathBuf,
        /// The lot that is there, in words.
        there: String,
    },
    /// A target cannot be written.
    #[error("cannot write `{path}`: {reason}")]
    Unwritable {
        /// The target.
        path: PathBuf,
        /// Why, in words.
        reason: String,
    },
    /// A name that is none of those known.
    #[error("{what} `{name}` is not known; {help}")]
    UnknownName {
        /// What kind of name.
        what: &'static str,
        /// The name.
        name: String,
        /// What is known, or the nearest.
        help: String,
    },
    /// A value that cannot be used.
    #[error("`{key}` cannot be used: {reason}. Use {allowed} instead")]
    BadValue {
        /// The key it was for.
        key: String,
        /// Why, in words.
        reason: String,
        /// What may be given.
        allowed: String,
    },
    /// Words that leave something open.
    #[error("{question}{}", words.as_ref().map_or_else(String::new, |words| format!(" (`{words}`)")))]
    Unclear {
        /// The words, if there are any.
        words: Option<String>,
        /// What to ask, and how it may be answered.
        question: String,
    },
    /// Several of these, one for each tray in words that is wrong.
    #[error("{}", .0.iter().map(Self::to_string).collect::<Vec<_>>().join("\n"))]
    Several(Vec<Failure>),
    /// A file was read and found right, but the question does not suit it.
    #[error("{reason} (`{path}`)")]
    Unfit {
        /// The file.
        path: PathBuf,
        /// Why, in words.
        reason: String,
    },
    /// Some sheets of a study were refused, and the exit code is to say so.
    #[error("{refused} of {of} sheets were refused, the first of them sheet {first}; their lines say why")]
    SheetsRefused {
        /// How many.
        refused: usize,
        /// Of how many.
        of: usize,
        /// The first, from 1.
        first: usize,
    },
    /// The physics could not answer.
    #[error("the run could not be computed: {0}")]
    Model(#[from] ModelError),
    /// The built-in foods could not be read.
    #[error("{0}")]
    Food(#[from] FoodError),
    /// A chart could not be drawn.
    #[error("the chart could not be drawn: {0}")]
    Plot(#[from] PlotError),
    /// Results could not be put out.
    #[error("cannot put out the result: {0}")]
    Output(String),
    /// Files were written, but the report of it could not be shown.
    #[error("{} written, but the report of it could not be shown: {reason}", are(.written))]
    Unshown {
        /// The files.
        written: Vec<PathBuf>,
        /// Why, in words.
        reason: String,
    },
}

impl Failure {
    /// How the program ends: 1 where it did its work and found what the user wanted it to fail on, 2 where it could
    /// not, 3 where it wrote its files but could not show the report.
    pub fn exit_code(&self) -> u8 {
        match self {
            Self::SheetsRefused { .. } => 1,
            Self::Unshown { .. } => 3,
            _ => 2,
        }
    }

    /// All that were found, as one.
    pub fn all(mut failures: Vec<Self>) -> Option<Self> {
        let last = failures.pop()?;
        if failures.is_empty() {
            return Some(last);
        }
        failures.push(last);
        Some(Self::Several(failures))
    }

    /// A file that does not suit the question.
    pub fn unfit(path: impl Into<PathBuf>, reason: impl ToString) -> Self {
        Self::Unfit { path: path.into(), reason: reason.to_string() }
    }

    /// A file that cannot be read at all.
    pub fn unreadable(path: impl Into<PathBuf>, reason: impl Into<String>) -> Self {
        Self::Unreadable { path: path.into(), reason: reason.into() }
    }

    /// A name that is none of those known.
    pub fn unknown(what: &'static str, name: impl Into<String>, help: impl Into<String>) -> Self {
        Self::UnknownName { what, name: name.into(), help: help.into() }
    }

    /// A write that the system refused.
    pub fn unwritable(path: &Path, error: &io::Error) -> Self {
        Self::Unwritable { path: path.to_path_buf(), reason: plain_reason(error) }
    }

    /// The same, of a file in which some values were replaced: messages say which.
    #[must_use]
    pub fn in_variant(self, changed: &str) -> Self {
        match self {
            Self::BadFiles(mut files) => {
                for file in &mut files {
                    file.path = format!("{}, with {changed}", file.path.display()).into();
                }
                Self::BadFiles(files)
            }
            other => other,
        }
    }

    /// The message as the user sees it, with nothing in it that steers a terminal but colours of ours.
    pub fn render(&self, look: Look) -> String {
        match self {
            Self::BadFiles(files) => files.iter().map(|f| f.render(look)).collect::<Vec<_>>().join("\n\n"),
            Self::Several(all) => all.iter().map(|one| one.render(look)).collect::<Vec<_>>().join("\n"),
            other => shown(&format!("error: {}", shorten(other.to_string()))).into_owned(),
        }
    }
}

/// `` `a` and `b` are``: names of files, the first of many.
fn are(files: &[PathBuf]) -> String {
    match files {
        [] => "nothing is".into(),
        [file] => format!("`{}` is", file.display()),
        [first, rest @ ..] => {
            format!("`{}` and {} are", first.display(), crate::format::count(rest.len(), "more file"))
        }
    }
}

/// What went wrong while results were put together or put out.
impl From<io::Error> for Failure {
    fn from(error: io::Error) -> Self {
        Self::Output(plain_reason(&error))
    }
}

/// An answer that cannot be written as JSON.
impl From<serde_json::Error> for Failure {
    fn from(error: serde_json::Error) -> Self {
        io::Error::from(error).into()
    }
}

/// What the system said, in words a cook knows.
pub fn plain_reason(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "no such file or folder".into(),
        io::ErrorKind::IsADirectory => "it is a folder, not a file".into(),
        io::ErrorKind::NotADirectory => "a part of the path is a file, not a folder".into(),
        io::ErrorKind::PermissionDenied => "permission denied".into(),
        io::ErrorKind::StorageFull => "the disk is full".into(),
        io::ErrorKind::ReadOnlyFilesystem => "the disk can only be read".into(),
        _ => error.to_string(),
    }
}
