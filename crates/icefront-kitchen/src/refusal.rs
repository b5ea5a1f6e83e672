//! Why a command could not do its work, as data.

use serde::Serialize;

use crate::Failure;
use crate::excerpt::Excerpt;

/// What is wrong, where, and what to type instead.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Refusal {
    /// What is wrong, in one sentence.
    pub error: String,
    /// File with line and column, or option; `null` where it has no place.
    #[serde(rename = "where")]
    pub place: Option<String>,
    /// What may be written instead; `null` where nothing else would do.
    pub allowed: Option<String>,
    /// All other mistakes of the same files.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub others: Vec<Refusal>,
}

impl Refusal {
    /// The same as the message says.
    pub fn of(failure: &Failure) -> Self {
        let one = |error: String, place: Option<String>, allowed: Option<String>| Self {
            error,
            place,
            allowed,
            others: Vec::new(),
        };
        match failure {
            Failure::BadFiles(files) => {
                let mut all = files.iter().flat_map(|file| {
                    file.problems.iter().map(move |problem| {
                        let Excerpt { line, column, .. } = Excerpt::of(&file.text, &problem.span);
                        let place = format!("{}:{line}:{column}", file.path.display());
                        let error = format!("{}: {}", problem.title, problem.label);
                        one(error.trim_end_matches(": ").to_string(), Some(place), problem.help.clone())
                    })
                });
                let first = all.next().unwrap_or_else(|| one(failure.to_string(), None, None));
                Self { others: all.collect(), ..first }
            }
            Failure::Unreadable { path, .. } | Failure::Unwritable { path, .. } | Failure::Unfit { path, .. } => {
                one(failure.to_string(), Some(path.display().to_string()), None)
            }
            Failure::Exists { path } => {
                one(failure.to_string(), Some(path.display().to_string()), Some("--force".into()))
            }
            Failure::UnknownName { what, name, help } => {
                one(format!("{what} `{name}` is not known"), Some((*what).to_string()), Some(help.clone()))
            }
            Failure::BadValue { key, reason, allowed } => {
                one(format!("`{key}` cannot be used: {reason}"), Some(key.clone()), Some(allowed.clone()))
            }
            Failure::Several(failures) => {
                let mut all = failures.iter().map(Self::of);
                let first = all.next().unwrap_or_else(|| one(failure.to_string(), None, None));
                Self { others: all.collect(), ..first }
            }
            Failure::Unclear { words, question } => one(question.clone(), words.clone(), None),
            other => one(other.to_string(), None, None),
        }
    }

    /// As one line of JSON.
    pub fn json(&self) -> String {
        serde_json::to_string(self).unwrap_or_else(|_| "{\"error\":\"unknown\"}".into())
    }
}
