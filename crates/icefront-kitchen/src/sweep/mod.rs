//! Many load sheets, one a line: line -> sheet -> answer, a bad line answered in its place.
//!
//! A line's answer depends on that line and the options alone, not on the lines around it, the number of threads or the
//! machine: a study can be cut up and run anywhere.

pub mod lines;

pub use lines::Lines;

use std::num::NonZeroUsize;

use icefront_core::ranges::Draws;
use serde::Serialize;
use serde_json::Value;

use crate::sheet::{self, Text};
use crate::{Failure, Storage, json};

/// How every sheet is planned.
#[derive(Clone, Copy, Debug)]
pub struct Effort {
    /// Number of draws; 0 for the typical numbers alone.
    pub draws: u32,
    /// Their seed.
    pub seed: u32,
}

#[derive(Serialize)]
struct Line {
    #[serde(skip_serializing_if = "Option::is_none")]
    id: Option<Value>,
    #[serde(flatten)]
    answer: Answer,
}

#[derive(Serialize)]
#[serde(rename_all = "snake_case")]
enum Answer {
    Answer(Value),
    Error(String),
}

/// A line of the output.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Answered {
    /// One JSON object.
    pub line: String,
    /// Whether it holds an error in place of an answer.
    pub refused: bool,
}

/// The answer to one line, as one line.
pub fn answer(line: &[u8], effort: Effort, files: &dyn Storage) -> Answered {
    let (id, sheet) = match read(line) {
        Ok((id, sheet)) => (id, Ok(sheet)),
        Err(reason) => (None, Err(reason)),
    };
    let answer = match sheet.and_then(|text| plan(&text, effort, files).map_err(|failure| failure.to_string())) {
        Ok(value) => Answer::Answer(value),
        Err(reason) => Answer::Error(reason),
    };
    // a line is made of JSON values alone, which always can be written
    let refused = matches!(answer, Answer::Error(_));
    Answered { line: serde_json::to_string(&Line { id, answer }).unwrap_or_default(), refused }
}

/// The sheet on a line as the TOML text that it stands for, and its `id`.
///
/// # Errors
/// What is wrong with the line, in words.
pub fn read(line: &[u8]) -> Result<(Option<Value>, Text), String> {
    if line.len() as u64 > lines::LONGEST {
        return Err(format!("this line is longer than {} bytes, the most that is read", lines::LONGEST));
    }
    let parsed: Value = serde_json::from_slice(line).map_err(|e| format!("this is not JSON: {e}"))?;
    let Value::Object(mut sheet) = parsed else {
        return Err("a sheet is a JSON object: {\"icefront\": 1, \"dryer\": ..., \"tray\": [...]}".into());
    };
    let id = sheet.remove("id");
    let table = toml::Table::try_from(&sheet).map_err(|e| format!("this is not a load sheet: {e}"))?;
    let text = toml::to_string(&table).map_err(|e| format!("this is not a load sheet: {e}"))?;
    Ok((id, Text { path: "sheet".into(), text }))
}

fn plan(text: &Text, effort: Effort, files: &dyn Storage) -> Result<Value, Failure> {
    let sheet = sheet::read(text, files)?;
    let draws = Draws { count: effort.draws as usize, seed: effort.seed, threads: NonZeroUsize::new(1) };
    let run = crate::plan::Run::of(&sheet, &draws)?;
    Ok(json::value(&crate::plan::answer(&run, None))?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::storage::Memory;

    const EFFORT: Effort = Effort { draws: 0, seed: 1 };
    const SHEET: &str = r#"{"id": 7, "icefront": 1, "dryer": "0.60 m2", "tray": [{"food": "peas", "shape": "layer", "depth": "12 mm"}]}"#;

    fn parsed(line: &str) -> Value {
        serde_json::from_str(&answer(line.as_bytes(), EFFORT, &Memory::default()).line).unwrap()
    }

    #[test]
    fn a_sheet_is_answered_as_plan_answers_it() {
        let toml =
            "icefront = 1\ndryer = \"0.60 m2\"\n[[tray]]\nfood = \"peas\"\nshape = \"layer\"\ndepth = \"12 mm\"\n";
        let sheet = sheet::read(&Text { path: "load.toml".into(), text: toml.into() }, &Memory::default()).unwrap();
        let run = crate::plan::Run::of(&sheet, &Draws { count: 0, ..Draws::default() }).unwrap();
        let plain: Value = serde_json::from_str(&json::text(&crate::plan::answer(&run, None)).unwrap()).unwrap();
        let swept = parsed(SHEET);
        assert_eq!(swept["answer"], plain);
        assert_eq!(swept["id"], 7);
    }

    #[test]
    fn what_is_wrong_with_a_line_is_its_answer() {
        for (line, want) in [
            ("", "not JSON"),
            ("[1]", "a sheet is a JSON object"),
            (r#"{"icefront": null}"#, "not a load sheet"),
            (
                r#"{"id": "x", "icefront": 1, "dryer": "0.60 m2", "tray": [{"food": "peas", "dpeth": "12 mm"}]}"#,
                "did you mean `depth`?",
            ),
        ] {
            let answer = parsed(line);
            let error = answer["error"].as_str().unwrap_or_else(|| panic!("{line} was not refused: {answer}"));
            assert!(error.contains(want), "{line}: {error}");
        }
        let long = parsed(&" ".repeat(lines::LONGEST as usize + 1));
        assert_eq!(long["error"], "this line is longer than 1048576 bytes, the most that is read");
        assert_eq!(parsed(r#"{"id": "x"}"#)["id"], "x", "the id comes back with an error too");
    }
}
