//! What is wrong with a file: place, value, what is allowed and the nearest spelling, all problems at once.

use std::cell::RefCell;
use std::fmt;
use std::ops::Range;
use std::path::PathBuf;

use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};

use crate::look::Look;
use crate::output::shown;
use crate::sheet::Rough;

/// One problem and where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// Bytes of the text it points at.
    pub span: Range<usize>,
    /// One line: where and what.
    pub title: String,
    /// Words beside the marked text.
    pub label: String,
    /// What is allowed, or the nearest spelling.
    pub help: Option<String>,
}

/// What comes up while a file is checked: problems, and quantities that are only roughly known.
#[derive(Debug)]
pub struct Notes {
    problems: RefCell<Vec<Problem>>,
    /// Rough quantities and how their values are picked.
    pub rough: Rough,
}

impl Notes {
    /// None so far; rough quantities are picked in this way.
    pub fn new(rough: Rough) -> Self {
        Self { problems: RefCell::default(), rough }
    }

    /// Adds a problem.
    pub fn add(&self, problem: Problem) {
        self.problems.borrow_mut().push(problem);
    }

    /// All problems in the order of the file, and the places of rough quantities.
    pub fn finish(self) -> (Vec<Problem>, Vec<String>) {
        let mut problems = self.problems.into_inner();
        problems.sort_by_key(|p| p.span.start);
        (problems, self.rough.into_found())
    }
}

/// A file with its problems.
#[derive(Clone, Debug, PartialEq)]
pub struct BadFile {
    /// File as the user named it.
    pub path: PathBuf,
    /// Its text.
    pub text: String,
    /// At least one.
    pub problems: Vec<Problem>,
}

impl BadFile {
    /// All problems, each with the line it stands on.
    pub fn render(&self, look: Look) -> String {
        let renderer = if look == Look::Colour { Renderer::styled() } else { Renderer::plain() };
        let show = |problem: &Problem| match look {
            Look::Plain => self.sentence(problem),
            Look::Colour | Look::Bare | Look::Page => self.render_one(problem, &renderer),
        };
        self.problems.iter().map(show).collect::<Vec<_>>().join("\n\n")
    }

    /// The same words without drawings, to be read out.
    fn sentence(&self, problem: &Problem) -> String {
        let before = self.text.get(..problem.span.start).unwrap_or_default();
        let line = before.matches('\n').count() + 1;
        let written = self.text.lines().nth(line - 1).unwrap_or_default().trim();
        let help = problem.help.as_ref().map_or(String::new(), |help| format!("\nHelp: {help}"));
        let (path, title, label) = (self.path.display(), &problem.title, &problem.label);
        format!("Error: {title}\n{path}, line {line}: {written}\nHere: {label}{help}")
    }

    fn render_one(&self, problem: &Problem, renderer: &Renderer) -> String {
        let path = self.path.display().to_string();
        let (title, label, path) = (shown(&problem.title), shown(&problem.label), shown(&path));
        let help = problem.help.as_deref().map(shown);
        let mark = AnnotationKind::Primary.span(problem.span.clone()).label(&*label);
        let snippet = Snippet::source(&self.text).path(&*path).annotation(mark);
        let mut group = Level::ERROR.primary_title(&*title).element(snippet);
        if let Some(help) = &help {
            group = group.element(Level::HELP.message(&**help));
        }
        renderer.render(&[group])
    }
}

impl fmt::Display for BadFile {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.render(Look::Bare))
    }
}

/// The allowed word nearest to `word`, if it is near enough to have been meant.
pub fn nearest<'a>(word: &str, allowed: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = word.to_lowercase();
    let far = word.chars().count() / 3 + 1;
    allowed
        .into_iter()
        .map(|a| (strsim::damerau_levenshtein(&word, &a.to_lowercase()), a))
        .filter(|(distance, _)| *distance <= far)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, a)| a)
}

/// Longest list of allowed words that a message holds.
const LISTED: usize = 20;

/// "nearest: `x`; allowed: `x`, `y`" for a word that is none of `allowed`.
pub fn spelling_help(word: &str, allowed: &[&str]) -> String {
    let list = if allowed.len() > LISTED {
        "see docs/load-sheet.md".to_string()
    } else {
        allowed.iter().map(|a| format!("`{a}`")).collect::<Vec<_>>().join(", ")
    };
    match nearest(word, allowed.iter().copied()) {
        Some(near) => format!("nearest: `{near}`; allowed: {list}"),
        None => format!("allowed: {list}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nearest_offers_only_what_is_close() {
        assert_eq!(nearest("dpeth", ["depth", "food"]), Some("depth"));
        assert_eq!(nearest("Depth", ["depth", "food"]), Some("depth"));
        assert_eq!(nearest("banana", ["depth", "food"]), None);
    }

    #[test]
    fn every_problem_is_shown_with_its_line() {
        let text = "room = 20\ndoor = 1\n";
        let problem = |span: Range<usize>, title: &str| Problem {
            span,
            title: title.into(),
            label: "here".into(),
            help: Some("do that".into()),
        };
        let bad = BadFile {
            path: "x.toml".into(),
            text: text.into(),
            problems: vec![problem(7..9, "no unit"), problem(10..14, "unknown key")],
        };
        let shown = bad.to_string();
        for part in ["no unit", "x.toml:1:8", "unknown key", "x.toml:2:1", "do that"] {
            assert!(shown.contains(part), "{part} is missing in\n{shown}");
        }
        let second = "Error: unknown key\nx.toml, line 2: door = 1\nHere: here\nHelp: do that";
        assert_eq!(bad.render(Look::Plain).split_once("\n\n").map(|(_, second)| second), Some(second));
    }
}
