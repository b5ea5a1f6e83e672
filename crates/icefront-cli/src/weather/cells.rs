//! A table of text as lines and cells, each with its place, and what is wrong with it, told once per kind.

use std::ops::Range;

use crate::problem::Problem;

/// One cell without blanks and quotation marks around it.
#[derive(Clone, Debug, PartialEq)]
pub struct Cell<'a> {
    /// What it says.
    pub text: &'a str,
    /// Bytes of the file it fills.
    pub span: Range<usize>,
}

/// One line.
#[derive(Clone, Debug, PartialEq)]
pub struct Line<'a> {
    /// Bytes of the file it fills, without its end.
    pub span: Range<usize>,
    /// Its cells; one for an empty line.
    pub cells: Vec<Cell<'a>>,
}

/// All lines of a text, split at commas.
pub fn lines(text: &str) -> impl Iterator<Item = Line<'_>> {
    let mut at = 0;
    text.split_inclusive('\n').map(move |whole| {
        let start = at;
        at += whole.len();
        let line = whole.trim_end_matches(['\n', '\r']);
        Line { span: start..start + line.len(), cells: cells(line, start) }
    })
}

fn cells(line: &str, start: usize) -> Vec<Cell<'_>> {
    let mut at = start;
    line.split(',')
        .map(|whole| {
            let edge = |c: char| c.is_whitespace() || c == '"';
            let text = whole.trim_matches(edge);
            let from = at + whole.len() - whole.trim_start_matches(edge).len();
            at += whole.len() + 1;
            Cell { text, span: from..from + text.len() }
        })
        .collect()
}

/// What is wrong with a table. A whole column in the wrong unit is one problem, not a thousand.
#[derive(Debug, Default)]
pub struct Findings(Vec<(String, Problem, usize)>);

impl Findings {
    /// Adds a problem; further ones of the same `kind` are only counted.
    pub fn add(&mut self, kind: impl Into<String>, problem: Problem) {
        let kind = kind.into();
        match self.0.iter_mut().find(|(known, ..)| *known == kind) {
            Some((_, _, more)) => *more += 1,
            None => self.0.push((kind, problem, 0)),
        }
    }

    /// Whether nothing is wrong.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// One problem of each kind in the order of the file, with the number of others like it.
    pub fn into_problems(self) -> Vec<Problem> {
        let mut problems: Vec<Problem> = self.0.into_iter().map(|(_, problem, more)| counted(problem, more)).collect();
        problems.sort_by_key(|p| p.span.start);
        problems
    }
}

fn counted(mut problem: Problem, more: usize) -> Problem {
    if more > 0 {
        let others = format!("{more} more like this");
        problem.help = Some(problem.help.map_or(others.clone(), |help| format!("{help}; {others}")));
    }
    problem
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_know_their_places() {
        let text = "time, air\r\n\"1\",,-2.5 \n";
        let found: Vec<Line<'_>> = lines(text).collect();
        assert_eq!(found.len(), 2);
        let told: Vec<&str> = found[1].cells.iter().map(|c| c.text).collect();
        assert_eq!(told, ["1", "", "-2.5"]);
        for cell in found.iter().flat_map(|l| &l.cells) {
            assert_eq!(&text[cell.span.clone()], cell.text);
        }
    }

    #[test]
    fn problems_of_one_kind_are_counted() {
        let mut findings = Findings::default();
        for start in [40, 50, 60] {
            let title = "too warm".to_string();
            findings.add("air", Problem { span: start..start + 1, title, label: String::new(), help: None });
        }
        let problems = findings.into_problems();
        assert_eq!((problems.len(), problems[0].span.start), (1, 40));
        assert_eq!(problems[0].help.as_deref(), Some("2 more like this"));
    }
}
