//! Why a command could not do its work.

use std::io;
use std::path::{Path, PathBuf};

use icefront_core::ModelError;
use icefront_core::food::FoodError;
use icefront_plot::PlotError;
use thiserror::Error;

use crate::look::Look;
use crate::problem::BadFile;

/// Anything that ends a command with exit code 2.
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
    #[error("`{path}` is there already and stays as it is; `--force` replaces it")]
    Exists {
        /// The target.
        path: PathBuf,
    },
    /// A file is not as it was when it was opened.
    #[error("`{path}` was changed after it was opened here, and stays as it is")]
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
    /// A target cannot be written.
    #[error("cannot write `{path}`: {reason}")]
    Unwritable {
        /// The target.
        path: PathBuf,
        /// Why, in words.
        reason: String,
    },
    /// A name that is none of those known.
    #[error("{what} `{asked}` is not known; {help}")]
    UnknownName {
        /// What kind of name.
        what: &'static str,
        /// The name asked for.
        asked: String,
        /// What is known, or the nearest.
        help: String,
    },
    /// A value that cannot be used.
    #[error("`{key}` cannot be used: {reason}; allowed: {allowed}")]
    BadValue {
        /// The key it was for.
        key: String,
        /// Why, in words.
        reason: String,
        /// What may be given.
        allowed: String,
    },
    /// A file was read and found right, but the question does not suit it.
    #[error("`{path}` does not suit this question: {reason}")]
    Unfit {
        /// The file.
        path: PathBuf,
        /// Why, in words.
        reason: String,
    },
    /// The physics could not answer.
    #[error("the run could not be computed: {0}")]
    Model(#[from] ModelError),
    /// The built-in foods could not be read.
    #[error("{0}")]
    Food(#[from] FoodError),
    /// The evidence table could not be made.
    #[error("the evidence table could not be made: {0}")]
    Evidence(#[from] crate::evidence::EvidenceError),
    /// A chart could not be drawn.
    #[error("the chart could not be drawn: {0}")]
    Plot(#[from] PlotError),
    /// Results could not be put out.
    #[error("cannot put out the result: {0}")]
    Output(#[from] io::Error),
}

impl Failure {
    /// A write that the system refused.
    pub fn unwritable(path: &Path, error: &io::Error) -> Self {
        Self::Unwritable { path: path.to_path_buf(), reason: plain_reason(error) }
    }

    /// The same, of a file in which some values were replaced: messages tell which.
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

    /// The message as the user sees it.
    pub fn render(&self, look: Look) -> String {
        match self {
            Self::BadFiles(files) => files.iter().map(|f| f.render(look)).collect::<Vec<_>>().join("\n\n"),
            other => format!("error: {other}"),
        }
    }
}

/// What the system said, in words a cook knows.
pub fn plain_reason(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "no such file or folder".into(),
        io::ErrorKind::IsADirectory => "it is a folder, not a file".into(),
        io::ErrorKind::NotADirectory => "a part of the path is a file, not a folder".into(),
        io::ErrorKind::PermissionDenied => "permission denied".into(),
        io::ErrorKind::ReadOnlyFilesystem => "the disk can only be read".into(),
        _ => error.to_string(),
    }
}
