//! The limits that `docs/load-sheet.md` documents for each key, and random values within them.
//!
//! They are read from the document and not from the code: a value that the document allows and the program refuses is a
//! finding too.

use std::sync::OnceLock;

use fastrand::Rng;

const DOCUMENT: &str = include_str!("../../docs/load-sheet.md");
/// Share of values that are put on either end of their range.
const ENDS: f64 = 0.1;
/// Decades below the upper end that are reached where the range begins at zero.
const DECADES_ABOVE_ZERO: f64 = 6.0;
/// Ranges whose ends are further apart than this factor are drawn evenly in their logarithm.
const WIDE: f64 = 10.0;

/// One key with its documented range.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// Table it stands in; empty at the top of the file.
    pub table: String,
    /// Key.
    pub key: String,
    /// Lowest value, in `unit`.
    pub low: f64,
    /// Highest value, in `unit`.
    pub high: f64,
    /// Unit that is written behind the number; empty for a bare number.
    pub unit: String,
}

impl Limit {
    /// A value anywhere in the range: on its ends now and then, otherwise even, or even in its logarithm where the range
    /// is wide.
    pub fn value(&self, rng: &mut Rng) -> f64 {
        let Self { low, high, .. } = *self;
        let (pick, share) = (rng.f64(), rng.f64());
        if pick < ENDS {
            return if rng.bool() { low } else { high };
        }
        let logarithmic = |from: f64| (from * (high / from).powf(share)).clamp(low, high);
        if low > 0.0 && high / low > WIDE {
            logarithmic(low)
        } else if low == 0.0 && high > 0.0 && rng.bool() {
            logarithmic(high * 10f64.powf(-DECADES_ABOVE_ZERO))
        } else {
            low + (high - low) * share
        }
    }

    /// A number as it is written in a file.
    pub fn written(&self, value: f64) -> String {
        if self.unit.is_empty() { format!("{value}") } else { format!("\"{value} {}\"", self.unit) }
    }

    /// The value of a text that was written in this unit.
    pub fn parsed(&self, written: &str) -> Option<f64> {
        let text = written.trim_matches('"');
        text.strip_suffix(&self.unit).unwrap_or(text).trim().parse().ok()
    }
}

/// Limits of all keys in the tables of a chapter whose heading begins like this.
pub fn of(chapter: &str) -> impl Iterator<Item = &'static Limit> {
    static ALL: OnceLock<Vec<(&'static str, Limit)>> = OnceLock::new();
    let all = ALL.get_or_init(|| {
        let (mut heading, mut table) = ("", "");
        let mut found = Vec::new();
        for line in DOCUMENT.lines() {
            if let Some(next) = line.strip_prefix("## ") {
                (heading, table) = (next, "");
            } else if let Some(next) = line.strip_prefix("### ") {
                table = next.trim_matches(['`', '[', ']']);
            } else if line.starts_with("| `") && !table.starts_with("learned") {
                found.extend(row(table, line).into_iter().map(|limit| (heading, limit)));
            }
        }
        found
    });
    all.iter().filter(move |(heading, _)| heading.starts_with(chapter)).map(|(_, limit)| limit)
}

/// The keys of a row with their range; nothing where the row documents none.
fn row(table: &str, line: &str) -> Vec<Limit> {
    let mut cells = line.trim_matches('|').split('|').map(str::trim);
    let Some(keys) = cells.next() else { return Vec::new() };
    let Some((low, high, unit)) = cells.find_map(range) else { return Vec::new() };
    let names = keys.split('`').skip(1).step_by(2);
    // a key that names its unit takes a bare number, and so does one without a dimension
    let is_bare = |key: &str| line.contains("| number |") || line.contains("| whole number |") || key.contains("_per_");
    names
        .map(|key| Limit {
            table: table.into(),
            key: key.into(),
            low,
            high,
            unit: if is_bare(key) { String::new() } else { unit.clone() },
        })
        .collect()
}

/// `0.01 m2 to 20 m2`, `0 to 1`, `1 g to 50 kg`: the ends and the unit of the lower one.
fn range(cell: &str) -> Option<(f64, f64, String)> {
    let (low, high) = cell.split_once(" to ")?;
    let (low, unit) = number(low)?;
    let (high, high_unit) = number(high)?;
    // ends in different units are not needed by any target
    (unit.is_empty() || unit == high_unit).then_some((low, high, unit))
}

fn number(text: &str) -> Option<(f64, String)> {
    let text = text.trim();
    let (number, rest) = text.split_once(' ').unwrap_or((text, ""));
    let number = number.trim_end_matches([',', ';', ':']);
    let unit: String = rest.chars().take_while(|c| !",;:".contains(*c)).collect();
    Some((number.parse().ok()?, unit.trim().to_string()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_document_is_understood() {
        let dryer: Vec<&Limit> = of("Dryer files").collect();
        let find = |table: &str, key: &str| dryer.iter().find(|l| l.table == table && l.key == key).unwrap();
        assert!(dryer.len() > 35, "{}", dryer.len());
        let leak = find("vacuum", "leak_pa_m3_per_s");
        assert_eq!((leak.low, leak.unit.as_str()), (0.0, ""));
        assert_eq!(find("", "shelf_area").unit, "m2");
        assert_eq!(find("heater", "cutback_to").unit, "Pa");
        assert_eq!(find("contact", "lining_gap").high, 100.0);
        assert_eq!(of("`[[tray]]`").find(|l| l.key == "depth").map(|l| (l.low, l.high)), Some((1.0, 80.0)));
        let expert: Vec<&Limit> = of("`[tray.expert]`").collect();
        assert!(expert.iter().any(|l| l.key == "permeability_kg_per_m_s_pa" && l.low == 1e-11), "{expert:?}");
        assert!(expert.len() > 28, "{}", expert.len());
    }

    #[test]
    fn values_stay_within_and_reach_the_ends() {
        let mut rng = Rng::with_seed(5);
        for limit in of("Dryer files") {
            let values: Vec<f64> = (0..400).map(|_| limit.value(&mut rng)).collect();
            assert!(values.iter().all(|v| *v >= limit.low && *v <= limit.high), "{limit:?}");
            assert!(values.contains(&limit.low) && values.contains(&limit.high), "{limit:?}");
            assert_eq!(limit.parsed(&limit.written(values[0])), Some(values[0]), "{limit:?}");
        }
    }
}
