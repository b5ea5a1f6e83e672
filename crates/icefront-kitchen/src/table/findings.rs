//! What is wrong with a table, once per kind.

use std::ops::Range;

use crate::problem::{MOST_SHOWN, Problem, Problems};

/// Problems by their kind. A whole column in the wrong unit is one problem, not a thousand.
#[derive(Debug, Default)]
pub struct Findings {
    kinds: Vec<(String, Problem, usize)>,
    /// Problems of kinds that came after as many kinds as are shown.
    more: usize,
}

impl Findings {
    /// Adds a problem at a place of the file; further ones of the same `kind` are only counted. `help` is
    /// empty where there is none.
    pub fn note(
        &mut self,
        kind: &str,
        span: &Range<usize>,
        title: impl Into<String>,
        label: impl Into<String>,
        help: impl Into<String>,
    ) {
        let full = self.kinds.len() >= MOST_SHOWN;
        match self.kinds.iter_mut().find(|(known, ..)| known == kind) {
            Some((_, _, more)) => *more += 1,
            None if full => self.more += 1,
            None => self.kinds.push((kind.into(), Problem::new(span.clone(), title, label, help), 0)),
        }
    }

    /// Whether nothing is wrong.
    pub fn is_empty(&self) -> bool {
        self.kinds.is_empty()
    }

    /// One problem of each kind in the order of the file, with the number of others like it.
    pub fn into_problems(self) -> Problems {
        let shown: Vec<Problem> = self.kinds.into_iter().map(|(_, problem, more)| counted(problem, more)).collect();
        let mut problems = Problems::from(shown);
        problems.add_more(self.more);
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
    fn problems_of_one_kind_are_counted() {
        let mut findings = Findings::default();
        for start in [40, 50, 60] {
            findings.note("air", &(start..start + 1), "too warm", "", "");
        }
        let problems = findings.into_problems();
        let all: Vec<&Problem> = problems.iter().collect();
        assert_eq!((all.len(), all[0].span.start), (1, 40));
        assert_eq!(all[0].help.as_deref(), Some("2 more like this"));
    }

    #[test]
    fn kinds_are_counted_too() {
        let mut findings = Findings::default();
        (0..10_000).for_each(|kind| findings.note(&kind.to_string(), &(kind..kind + 1), "too warm", "", ""));
        let problems = findings.into_problems();
        assert_eq!((problems.iter().count(), problems.more_words().as_deref()), (MOST_SHOWN, Some("and 9980 more")));
    }
}
