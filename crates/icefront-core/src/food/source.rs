//! The food table as it is built in: compressed, one food a line, and read only as far as it is needed.

use std::io::Read;
use std::sync::OnceLock;

use flate2::read::GzDecoder;

use super::FoodError;

const FOODS: &[u8] = include_bytes!(concat!(env!("CARGO_MANIFEST_DIR"), "/data/foods/usda_all.csv.gz"));
const MEASURES: &[u8] = include_bytes!(concat!(env!("CARGO_MANIFEST_DIR"), "/data/foods/usda_all_measures.csv.gz"));
/// Foods that the compressed table leaves out, in the same columns.
const ADDED: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/data/foods/usda_added.csv"));
const MEASURES_ADDED: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/data/foods/usda_added_measures.csv"));
/// Largest text that is unpacked, bytes; ten times what there is.
const LARGEST: u64 = 10_000_000;

/// Text of all foods.
pub(super) fn foods() -> Result<&'static str, FoodError> {
    static TEXT: OnceLock<Result<String, FoodError>> = OnceLock::new();
    unpacked(&TEXT, FOODS, ADDED, "usda_all.csv.gz")
}

/// Text of all household measures.
pub(super) fn measures() -> Result<&'static str, FoodError> {
    static TEXT: OnceLock<Result<String, FoodError>> = OnceLock::new();
    unpacked(&TEXT, MEASURES, MEASURES_ADDED, "usda_all_measures.csv.gz")
}

/// Rows of both files without their headers.
fn unpacked(
    place: &'static OnceLock<Result<String, FoodError>>,
    packed: &[u8],
    added: &str,
    what: &str,
) -> Result<&'static str, FoodError> {
    let read = || {
        let mut text = String::new();
        let read = GzDecoder::new(packed).take(LARGEST).read_to_string(&mut text);
        read.map_err(|_| FoodError::Table { line: 0, what: what.to_owned() })?;
        text.push_str(added.split_once('\n').map_or("", |(_, rows)| rows));
        Ok(text)
    };
    let text = place.get_or_init(read).as_ref().map_err(Clone::clone)?;
    Ok(text.split_once('\n').map_or("", |(_, rows)| rows))
}

/// Cells of one line.
pub(super) struct Cells<'a>(Option<&'a str>);

impl<'a> Cells<'a> {
    /// The cells of this line; a cell in quotes holds no line break in these files.
    pub(super) fn of(line: &'a str) -> Self {
        Self(Some(line))
    }

    /// The next cell as it stands, quotes taken off, and whether quotes in it are doubled.
    fn raw(&mut self) -> (&'a str, bool) {
        let Some(rest) = self.0 else { return ("", false) };
        let Some(quoted) = rest.strip_prefix('"') else {
            let (cell, rest) = rest.split_once(',').map_or((rest, None), |(cell, rest)| (cell, Some(rest)));
            self.0 = rest;
            return (cell, false);
        };
        let mut from = 0;
        let mut doubled = false;
        while let Some(at) = quoted.get(from..).and_then(|rest| rest.find('"')).map(|at| from + at) {
            if quoted.get(at + 1..).is_some_and(|after| after.starts_with('"')) {
                doubled = true;
                from = at + 2;
                continue;
            }
            self.0 = quoted.get(at + 1..).and_then(|after| after.strip_prefix(','));
            return (quoted.get(..at).unwrap_or_default(), doubled);
        }
        self.0 = None;
        (quoted, doubled)
    }

    /// The next cell as text.
    pub(super) fn text(&mut self) -> String {
        match self.raw() {
            (cell, true) => cell.replace("\"\"", "\""),
            (cell, false) => cell.to_owned(),
        }
    }

    /// The next cell as it stands; quotes in it stay doubled.
    pub(super) fn word(&mut self) -> &'a str {
        self.raw().0
    }

    /// The next cell as a number; `None` where it is blank.
    pub(super) fn number(&mut self) -> Option<f64> {
        self.raw().0.parse().ok()
    }

    /// What is left of the line.
    pub(super) fn rest(self) -> &'a str {
        self.0.unwrap_or_default()
    }
}
