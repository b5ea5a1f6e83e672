//! Several loads side by side.

use std::num::NonZeroUsize;

use icefront_cli::Disk;
use icefront_core::decide::compare::Pairing;
use icefront_core::ranges::Draws;
use icefront_kitchen::compare::{self, Question};
use icefront_kitchen::sheet::vary::Vary;
use icefront_kitchen::{Failure, Look, Text, json};
use pyo3::prelude::*;

use crate::answer::{Answer, Parts};
use crate::source::Source;

struct Compared {
    question: Question,
    answer: compare::Answer,
}

impl Parts for Compared {
    fn text(&self, look: Look) -> String {
        compare::text(&self.question, &self.answer, look)
    }

    fn charts(&self) -> Result<Vec<(String, String, String)>, Failure> {
        let svg = compare::chart(&self.question, &self.answer)?;
        Ok(vec![("compare".into(), "Loads side by side".into(), svg)])
    }
}

/// Compares loads, and variations of them, with the first.
#[pyfunction(name = "compare")]
pub fn ask(
    py: Python<'_>,
    sources: Vec<(Py<Source>, Option<String>)>,
    vary: Vec<(String, Vec<String>)>,
    samples: Option<usize>,
    seed: u32,
    threads: Option<NonZeroUsize>,
    independent: bool,
) -> PyResult<Answer> {
    let sources: Vec<(Source, Option<String>)> =
        sources.into_iter().map(|(source, name)| (source.get().clone(), name)).collect();
    Answer::computed(py, || {
        let named = |(source, name): &(Source, Option<String>)| -> Result<Text, Failure> {
            let (text, _) = source.text()?;
            Ok(name.as_ref().map_or_else(|| text.clone(), |name| Text { path: name.into(), text: text.text.clone() }))
        };
        let texts: Vec<Text> = sources.iter().map(named).collect::<Result<_, _>>()?;
        let vary: Vec<Vary> = vary.into_iter().map(|(key, values)| Vary { key, values }).collect();
        let (loads, notes) = compare::loads(&texts, &vary, &Disk)?;
        if let [only] = &loads[..] {
            return Err(Failure::unfit(&only.file, "there is nothing to compare it with; add `vary` or another load"));
        }
        let count = samples.unwrap_or_else(|| Question::draws_for(loads.len()));
        let pairing = Pairing { draws: Draws { count, seed, threads }, independent };
        let question = Question { loads, notes, pairing };
        let answer = question.answer()?;
        let json = json::text(&compare::comparison(&question, &answer))?;
        Ok(Answer::new(json, Compared { question, answer }))
    })
}
