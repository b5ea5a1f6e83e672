//! What is wrong with a file: place, value, what is allowed and the nearest spelling, all problems at once.

use std::fmt;
use std::ops::Range;
use std::path::{Path, PathBuf};

use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};

use crate::Look;
use crate::excerpt::Excerpt;
use crate::format::capital;
use crate::quantity::{KeyPath, Limit, QuantityError};
use crate::shown::shown;

/// What a text made of trays in words is called in place of a file.
pub const OF_WORDS: &str = "your words";
/// What begins a tray in such a text, before the words.
pub const WORDS_OF_TRAY: &str = "\n[[tray]] # ";

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
    /// The key it is with, in a sheet or a dryer file.
    pub key: Option<KeyPath>,
    /// Why its value cannot be used, and what is allowed, where that is a quantity.
    pub value: Option<Box<(QuantityError, Limit)>>,
}

/// Most problems of one file that a message shows.
pub const MOST_SHOWN: usize = 20;

/// The first problems of a file in its order, and how many more there are: however much is wrong with a file, what is
/// said about it stays short enough to be read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Problems {
    shown: Vec<Problem>,
    more: usize,
}

impl Problems {
    /// Adds a problem.
    pub fn add(&mut self, problem: Problem) {
        let at = self.shown.partition_point(|shown| shown.span.start <= problem.span.start);
        if at < MOST_SHOWN {
            self.shown.insert(at, problem.shortened());
        }
        if at >= MOST_SHOWN || self.shown.len() > MOST_SHOWN {
            self.more += 1;
            self.shown.truncate(MOST_SHOWN);
        }
    }

    /// Counts further problems that are not kept.
    pub fn add_more(&mut self, count: usize) {
        self.more += count;
    }

    /// Whether nothing is wrong.
    pub fn is_empty(&self) -> bool {
        self.shown.is_empty() && self.more == 0
    }

    /// Those that are shown.
    pub fn iter(&self) -> std::slice::Iter<'_, Problem> {
        self.shown.iter()
    }

    /// "and 6998 more", if there are more than are shown.
    pub fn more_words(&self) -> Option<String> {
        (self.more > 0).then(|| format!("and {} more", self.more))
    }
}

impl From<Vec<Problem>> for Problems {
    fn from(list: Vec<Problem>) -> Self {
        let mut problems = Self::default();
        list.into_iter().for_each(|problem| problems.add(problem));
        problems
    }
}

impl<'a> IntoIterator for &'a Problems {
    type Item = &'a Problem;
    type IntoIter = std::slice::Iter<'a, Problem>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

impl Problem {
    /// A problem at a place of a file; `help` is empty where there is none.
    pub fn new(
        span: Range<usize>,
        title: impl Into<String>,
        label: impl Into<String>,
        help: impl Into<String>,
    ) -> Self {
        let help = Some(help.into()).filter(|help| !help.is_empty());
        Self { span, title: title.into(), label: label.into(), help, key: None, value: None }
    }

    /// A value that its key does not take.
    pub fn of_value(span: Range<usize>, title: String, key: KeyPath, error: QuantityError, allowed: Limit) -> Self {
        let help = format!("use {} instead", error.allowed(&allowed));
        let value = Some(Box::new((error.clone(), allowed)));
        Self { value, ..Self::new(span, title, error.to_string(), help).at(key) }
    }

    /// The same with a key of the file.
    #[must_use]
    pub fn at(self, key: KeyPath) -> Self {
        Self { key: Some(key), ..self }
    }

    /// The same problem without the middle of texts that are too long to be read.
    fn shortened(mut self) -> Self {
        self.title = shorten(self.title);
        self.label = shorten(self.label);
        self.help = self.help.map(shorten);
        self
    }
}

/// Longest text of a message, bytes, and what is kept of the start and the end of a longer one.
const LONGEST_TEXT: usize = 1000;
const KEPT_OF_TEXT: [usize; 2] = [600, 200];

/// A text of a message; a long one, which quotes a file or an argument, without its middle.
pub fn shorten(text: String) -> String {
    if text.len() <= LONGEST_TEXT {
        return text;
    }
    let [start, end] = KEPT_OF_TEXT;
    let first = (0..=start).rev().find_map(|at| text.get(..at)).unwrap_or_default();
    let last = (text.len() - end..text.len()).find_map(|at| text.get(at..)).unwrap_or_default();
    format!("{first} ... {last}")
}

/// A file with its problems.
#[derive(Clone, Debug, PartialEq)]
pub struct BadFile {
    /// File as the user named it.
    pub path: PathBuf,
    /// Its text.
    pub text: String,
    /// At least one.
    pub problems: Problems,
}

impl BadFile {
    /// The problems, each with the line it stands on, and how many more there are.
    pub fn render(&self, look: Look) -> String {
        if self.path == Path::new(OF_WORDS) {
            return self.in_words();
        }
        let renderer = if look == Look::Colour { Renderer::styled() } else { Renderer::plain() };
        let show = |problem: &Problem| match look {
            Look::Plain => self.sentence(problem),
            Look::Colour | Look::Bare | Look::Page => self.render_one(problem, &renderer),
        };
        self.problems.iter().map(show).chain(self.problems.more_words()).collect::<Vec<_>>().join("\n\n")
    }

    /// Of trays in words, which have no lines: each problem once, with the words of its tray.
    fn in_words(&self) -> String {
        let mut said: Vec<String> = Vec::new();
        for problem in self.problems.iter() {
            // `tray 2: what is wrong` of each of several like trays
            let title = match problem.title.split_once(": ") {
                Some((tray, rest)) if tray.starts_with("tray ") => rest,
                _ => &problem.title,
            };
            let before = self.text.get(..problem.span.start).unwrap_or_default();
            let words = before.rsplit_once(WORDS_OF_TRAY).map(|(_, tray)| tray.lines().next().unwrap_or_default());
            let words = words.map_or(String::new(), |words| format!(" (`{words}`)"));
            let label = if problem.label.is_empty() { String::new() } else { format!(": {}", problem.label) };
            let help = problem.help.as_ref().map_or(String::new(), |help| format!("\nhelp: {help}"));
            let line = format!("error: {}{label}{words}{help}", capital(title));
            if !said.contains(&line) {
                said.push(line);
            }
        }
        said.into_iter()
            .chain(self.problems.more_words())
            .map(|line| shown(&line).into_owned())
            .collect::<Vec<_>>()
            .join("\n")
    }

    /// The same words without drawings, to be read out.
    fn sentence(&self, problem: &Problem) -> String {
        let Excerpt { shown, line, .. } = Excerpt::of(&self.text, &problem.span);
        let help = problem.help.as_ref().map_or(String::new(), |help| format!("\nHelp: {help}"));
        let (path, title, label) = (self.path.display(), &problem.title, &problem.label);
        format!("Error: {title}\n{path}, line {line}: {}\nHere: {label}{help}", shown.trim())
    }

    fn render_one(&self, problem: &Problem, renderer: &Renderer) -> String {
        let Excerpt { shown: line_shown, mark, line, column } = Excerpt::of(&self.text, &problem.span);
        let shown_column = line_shown.get(..mark.start).map_or(0, |before| before.chars().count()) + 1;
        let path = self.path.display().to_string();
        let (title, label, path) = (shown(&problem.title), shown(&problem.label), shown(&path));
        let help = problem.help.as_deref().map(shown);
        let mark = AnnotationKind::Primary.span(mark).label(&*label);
        let snippet = Snippet::source(line_shown).path(&*path).line_start(line).annotation(mark);
        let mut group = Level::ERROR.primary_title(&*title).element(snippet);
        if let Some(help) = &help {
            group = group.element(Level::HELP.message(&**help));
        }
        let drawn = renderer.render(&[group]);
        // the renderer counts columns in what is shown of a line
        if shown_column == column {
            drawn
        } else {
            drawn.replacen(&format!(":{line}:{shown_column}\n"), &format!(":{line}:{column}\n"), 1)
        }
    }
}

impl fmt::Display for BadFile {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.render(Look::Bare))
    }
}

/// Longest word that is compared with others, bytes: comparing takes time as the product of the lengths.
const LONGEST_WORD: usize = 200;

/// The allowed word nearest to `word`, if it is near enough to have been meant.
pub fn nearest<'a>(word: &str, allowed: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let far = word.chars().take(LONGEST_WORD).count() / 3 + 1;
    nearest_within(word, allowed, far)
}

/// The allowed word nearest to `word`, if not more than `far` letters must be changed to make one of the other.
pub fn nearest_within<'a>(word: &str, allowed: impl IntoIterator<Item = &'a str>, far: usize) -> Option<&'a str> {
    if word.len() > LONGEST_WORD {
        return None;
    }
    let word = word.to_lowercase();
    allowed
        .into_iter()
        .filter(|a| a.len() <= LONGEST_WORD)
        .map(|a| (strsim::damerau_levenshtein(&word, &a.to_lowercase()), a))
        .filter(|(distance, _)| *distance <= far)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, a)| a)
}

/// Longest list of allowed words that a message holds.
const LISTED: usize = 20;

/// "did you mean `x`? allowed: `x`, `y`" for a word that is none of `allowed`.
pub fn spelling_help(word: &str, allowed: &[&str]) -> String {
    let list = if allowed.len() > LISTED {
        "`icefront help sheet` lists all keys".to_string()
    } else {
        let list = allowed.iter().map(|a| format!("`{a}`")).collect::<Vec<_>>().join(", ");
        if list.is_empty() { list } else { format!("allowed: {list}") }
    };
    match nearest(word, allowed.iter().copied()) {
        Some(near) => format!("did you mean `{near}`? {list}"),
        None => list,
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
        let problem = |span: Range<usize>, title: &str| Problem::new(span, title, "here", "do that");
        let bad = BadFile {
            path: "x.toml".into(),
            text: text.into(),
            problems: vec![problem(10..14, "unknown key"), problem(7..9, "no unit")].into(),
        };
        let shown = bad.to_string();
        for part in ["no unit", "x.toml:1:8", "unknown key", "x.toml:2:1", "do that"] {
            assert!(shown.contains(part), "{part} is missing in\n{shown}");
        }
        let second = "Error: unknown key\nx.toml, line 2: door = 1\nHere: here\nHelp: do that";
        assert_eq!(bad.render(Look::Plain).split_once("\n\n").map(|(_, second)| second), Some(second));
    }

    #[test]
    fn ten_thousand_problems_are_twenty_and_a_number() {
        let text = "x\n".repeat(10_000);
        let mut problems = Problems::default();
        for line in (0..10_000).rev() {
            let (title, label) = (format!("wrong {line}"), "a".repeat(100_000));
            problems.add(Problem::new(2 * line..2 * line + 1, title, label, ""));
        }
        let bad = BadFile { path: "x.toml".into(), text, problems };
        for look in [Look::Bare, Look::Plain] {
            let shown = bad.render(look);
            assert!(shown.contains("wrong 0\n") && shown.contains("wrong 19\n") && !shown.contains("wrong 20\n"));
            assert!(shown.ends_with("\n\nand 9980 more"), "{shown}");
            assert!(shown.len() < MOST_SHOWN * 2 * LONGEST_TEXT, "{} bytes", shown.len());
        }
    }

    #[test]
    fn a_long_line_gives_a_short_message_with_the_right_column() {
        let text = format!("name = \"{}\" junk\n", "n".repeat(360_000));
        let at = text.find("junk").unwrap();
        let problem = Problem::new(at..at + 4, "not TOML", "here", "");
        let bad = BadFile { path: "x.toml".into(), text, problems: vec![problem].into() };
        let shown = bad.to_string();
        assert!(shown.contains("x.toml:1:360011") && shown.contains("junk") && shown.len() < 1000, "{shown}");
    }

    #[test]
    fn long_words_are_not_compared() {
        let long = "a".repeat(1_000_000);
        assert_eq!(nearest(&long, ["aaa", &long]), None);
        assert_eq!(nearest("depht", [long.as_str(), "depth"]), Some("depth"));
    }

    #[test]
    fn a_long_text_keeps_its_ends() {
        let short = shorten(format!("food `{}` is not known", "ä".repeat(10_000)));
        assert!(short.starts_with("food `ä") && short.ends_with("ä` is not known") && short.len() < LONGEST_TEXT);
        assert_eq!(shorten("a word".into()), "a word");
    }
}
