//! `--vary KEY=a,b,c`: which values of a sheet (or of the dryer it names) are to be changed, and to what.
//!
//! | key | what it means |
//! | --- | --- |
//! | `room` | a key at the top of the sheet |
//! | `depth` | a key of the trays: of those that give it, or of all where none does |
//! | `tray.2.depth` | of one tray, by number or name |
//! | `end.moisture`, `food.my mince.fat` | of another table |
//! | `method` | where a single table takes such a key, its name alone |
//! | `dryer.heater.set_point` | of the dryer file |
//! | `apart` | of the embedded pieces of every tray: on a tray of their own |
//! | `fill` | food on every tray, over what the sheet says |

use toml::de::{DeTable, DeValue};

use crate::Failure;
use crate::problem::spelling_help;
use crate::quantity::{Kind, Limit};
use crate::sheet::schema::Table;
use crate::sheet::schema::expert::EXPERT;
use crate::sheet::schema::load::{BEFORE_LOADING, END, LOAD, TARIFF, TRAY};
use crate::sheet::{Change, Text, Variant, change, embedded};

/// One `--vary`: a key and the values it gets.
#[derive(Clone, Debug, PartialEq)]
pub struct Vary {
    /// As typed.
    pub key: String,
    /// As typed, at least one.
    pub values: Vec<String>,
}

/// One cell of the grid.
#[derive(Clone, Debug, PartialEq)]
pub struct Cell {
    /// Keys and values as typed.
    pub values: Vec<(String, String)>,
    /// What they change.
    pub variant: Variant,
}

/// All cells, and what must be said of how the keys were understood.
#[derive(Clone, Debug, PartialEq)]
pub struct Grid {
    /// The first key changes slowest.
    pub cells: Vec<Cell>,
    /// One for each key that is not plain.
    pub notes: Vec<String>,
}

/// Stands for the amount of food on every tray.
const FILL: &str = "fill";
const FILL_SHARE: Limit = Limit::new(Kind::Share, 0.1, 4.0, "10 % to 400 %");
/// Most cells of a grid.
pub const MOST_CELLS: usize = 64;

impl Vary {
    /// Reads `KEY=a,b,c`; commas between quotes part nothing.
    ///
    /// # Errors
    /// What is wrong, in words.
    pub fn read(text: &str) -> Result<Self, String> {
        let (key, values) = text.split_once('=').ok_or("wanted is KEY=VALUE,VALUE, such as depth=8mm,12mm")?;
        let values: Vec<String> = split(values, ',').iter().map(|v| v.trim().to_string()).collect();
        if key.trim().is_empty() || values.iter().any(String::is_empty) {
            return Err("a key or a value is empty; wanted is KEY=VALUE,VALUE, such as depth=8mm,12mm".into());
        }
        Ok(Self { key: key.trim().to_string(), values })
    }
}

/// All combinations of the values.
///
/// # Errors
/// [`Failure::UnknownName`] for a key that nothing in the sheet takes; [`Failure::Unfit`] for too many cells.
pub fn grid(text: &Text, varied: &[Vary]) -> Result<Grid, Failure> {
    let count: usize = varied.iter().map(|v| v.values.len()).product();
    if count > MOST_CELLS {
        let reason = format!("{count} combinations are more than {MOST_CELLS}; vary less at once");
        return Err(Failure::unfit(&text.path, reason));
    }
    let (table, _) = DeTable::parse_recoverable(&text.text);
    let mut cells = vec![Cell { values: Vec::new(), variant: Variant::default() }];
    let mut notes = Vec::new();
    for vary in varied {
        let places = places(table.get_ref(), &vary.key)?;
        notes.extend(places.note(table.get_ref(), &vary.key));
        let mut next = Vec::with_capacity(cells.len() * vary.values.len());
        for cell in &cells {
            for value in &vary.values {
                let mut cell = cell.clone();
                cell.values.push((vary.key.clone(), value.clone()));
                places.put(&vary.key, value, &mut cell.variant)?;
                next.push(cell);
            }
        }
        cells = next;
    }
    Ok(Grid { cells, notes })
}

/// Where a key stands.
enum Places {
    Sheet(Vec<Vec<String>>),
    Dryer(Vec<String>),
    Fill,
}

impl Places {
    /// Which trays a key of the trays means, and what gives way to it.
    fn note(&self, root: &DeTable<'_>, key: &str) -> Option<String> {
        let Self::Sheet(paths) = self else { return None };
        let trays = tray_tables(root);
        let number = |path: &Vec<String>| match &path[..] {
            [list, number, ..] if list == "tray" => number.parse::<usize>().ok(),
            _ => None,
        };
        let numbers: Vec<usize> = paths.iter().filter_map(number).collect();
        let (first, last) = (numbers.first()?, numbers.last()?);
        let which = if numbers.len() == trays.len() && trays.len() > 1 {
            "all trays".to_string()
        } else if first == last {
            format!("tray {first}")
        } else {
            format!("trays {}", numbers.iter().map(ToString::to_string).collect::<Vec<_>>().join(", "))
        };
        let gone: Vec<String> = change::give_way(paths.first()?.last()?)
            .iter()
            .filter(|other| numbers.iter().any(|n| trays.get(n - 1).is_some_and(|tray| tray.contains_key(**other))))
            .map(|other| format!("`{other}`"))
            .collect();
        let gone = if gone.is_empty() { String::new() } else { format!("; {} gives way to it", gone.join(" and ")) };
        Some(format!("`{key}` is that of {which}{gone}"))
    }

    fn put(&self, key: &str, value: &str, variant: &mut Variant) -> Result<(), Failure> {
        match self {
            Self::Sheet(paths) => {
                let changes = paths.iter().map(|path| Change { path: path.clone(), value: literal(value) });
                variant.sheet.extend(changes);
            }
            Self::Dryer(path) => variant.dryer.push(Change { path: path.clone(), value: literal(value) }),
            Self::Fill => {
                let share = FILL_SHARE.read_text(value).or_else(|_| FILL_SHARE.read_number(value));
                variant.fill = Some(share.map_err(|e| Failure::BadValue {
                    key: key.into(),
                    reason: e.to_string(),
                    allowed: FILL_SHARE.words.into(),
                })?);
            }
        }
        Ok(())
    }
}

fn places(root: &DeTable<'_>, key: &str) -> Result<Places, Failure> {
    let parts: Vec<String> = split(key, '.').iter().map(|part| unquoted(part.trim())).collect();
    let words: Vec<&str> = parts.iter().map(String::as_str).collect();
    match words[..] {
        [FILL] => Ok(Places::Fill),
        [one] => bare(root, one).map(Places::Sheet),
        ["dryer", ..] => Ok(Places::Dryer(parts[1..].to_vec())),
        ["tray", which, ..] => {
            let number = tray_number(root, which)?;
            let path = ["tray".to_string(), number.to_string()].into_iter().chain(parts[2..].iter().cloned());
            Ok(Places::Sheet(vec![path.collect()]))
        }
        [first, ..] if LOAD.has(first) => Ok(Places::Sheet(vec![parts])),
        _ => Err(unknown(key, &LOAD.names())),
    }
}

/// Tables whose keys may be named alone.
const NAMED_ALONE: [(&str, &Table); 3] = [("before_loading", &BEFORE_LOADING), ("end", &END), ("tariff", &TARIFF)];

/// A key without its table.
fn bare(root: &DeTable<'_>, key: &str) -> Result<Vec<Vec<String>>, Failure> {
    let top = ["room", "shelf", "servings", "dryer"];
    if top.contains(&key) {
        return Ok(vec![vec![key.to_string()]]);
    }
    let trays = || tray_tables(root).into_iter().enumerate();
    let in_tray = |index: usize, tables: &[&str]| {
        let start = ["tray".to_string(), (index + 1).to_string()];
        start.into_iter().chain(tables.iter().map(ToString::to_string)).chain([key.to_string()]).collect::<Vec<_>>()
    };
    let in_trays = |tables: &[&str]| {
        let given: Vec<_> = trays().filter(|(_, t)| gives(t, tables, key)).map(|(i, _)| in_tray(i, tables)).collect();
        if given.is_empty() { trays().map(|(i, _)| in_tray(i, tables)).collect() } else { given }
    };
    if key == embedded::APART {
        let holds: Vec<_> = trays().filter(|(_, t)| t.contains_key("embedded")).collect();
        if holds.is_empty() {
            return Err(Failure::unknown("what goes", key, "no tray has `embedded` pieces"));
        }
        return Ok(holds.into_iter().map(|(i, _)| in_tray(i, &["embedded"])).collect());
    }
    if TRAY.has(key) && !["name", "before_loading", "expert"].contains(&key) {
        return Ok(in_trays(&[]));
    }
    if EXPERT.has(key) {
        return Ok(in_trays(&["expert"]));
    }
    let tables: Vec<&str> = NAMED_ALONE.iter().filter(|(_, table)| table.has(key)).map(|(name, _)| *name).collect();
    match tables[..] {
        [table] => {
            let mut places = vec![vec![table.to_string(), key.to_string()]];
            // a tray that has such a table of its own does not look at the sheet's
            let own = trays().filter(|(_, t)| t.contains_key(table)).map(|(i, _)| in_tray(i, &[table]));
            places.extend(own);
            Ok(places)
        }
        [] => {
            let mut known: Vec<&str> = top.into_iter().chain(TRAY.names()).chain([FILL]).collect();
            known.extend(NAMED_ALONE.iter().flat_map(|(_, table)| table.names()).chain(EXPERT.names()));
            Err(unknown(key, &known))
        }
        _ => {
            let help = tables.iter().map(|t| format!("`{t}.{key}`")).collect::<Vec<_>>().join(" or ");
            Err(Failure::unknown("the one table of key", key, format!("say {help}")))
        }
    }
}

fn gives(tray: &DeTable<'_>, tables: &[&str], key: &str) -> bool {
    let table = tables.iter().try_fold(tray, |table, step| table.get(*step)?.get_ref().as_table());
    table.is_some_and(|table| table.contains_key(key))
}

fn tray_tables<'t, 'a>(root: &'t DeTable<'a>) -> Vec<&'t DeTable<'a>> {
    let list = root.get("tray").and_then(|trays| trays.get_ref().as_array());
    list.map_or_else(Vec::new, |list| list.iter().filter_map(|tray| tray.get_ref().as_table()).collect())
}

/// Number of a tray by its number or name.
fn tray_number(root: &DeTable<'_>, which: &str) -> Result<usize, Failure> {
    let trays = tray_tables(root);
    let numbered = which.parse().ok().filter(|n| (1..=trays.len()).contains(n));
    let names: Vec<&str> =
        trays.iter().map(|t| t.get("name").and_then(|name| name.get_ref().as_str()).unwrap_or("")).collect();
    let named = || names.iter().position(|name| !name.is_empty() && *name == which).map(|i| i + 1);
    numbered.or_else(named).ok_or_else(|| {
        let names: Vec<&str> = names.into_iter().filter(|name| !name.is_empty()).collect();
        let help = format!("the sheet has trays 1 to {}; {}", trays.len(), spelling_help(which, &names));
        Failure::unknown("tray", which, help.trim_end_matches("; "))
    })
}

fn unknown(key: &str, known: &[&str]) -> Failure {
    Failure::unknown("key", key, spelling_help(key, known))
}

/// Parts of a text, but not between quotes.
fn split(text: &str, at: char) -> Vec<&str> {
    let (mut parts, mut start, mut quote) = (Vec::new(), 0, None);
    for (place, letter) in text.char_indices() {
        match (quote, letter) {
            (None, '"' | '\'') => quote = Some(letter),
            (Some(open), _) if open == letter => quote = None,
            (None, _) if letter == at => {
                parts.push(&text[start..place]);
                start = place + letter.len_utf8();
            }
            _ => {}
        }
    }
    parts.push(&text[start..]);
    parts
}

fn unquoted(text: &str) -> String {
    let inner = ['"', '\''].iter().find_map(|q| text.strip_prefix(*q)?.strip_suffix(*q));
    inner.unwrap_or(text).to_string()
}

/// A typed value as TOML: numbers, `true` and `false` as they are, all else as text.
fn literal(value: &str) -> String {
    match DeValue::parse(value) {
        Ok(parsed) if !matches!(parsed.get_ref(), DeValue::Datetime(_) | DeValue::Array(_) | DeValue::Table(_)) => {
            value.to_string()
        }
        _ => toml::Value::String(unquoted(value)).to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn commas_between_quotes_part_nothing() {
        let vary = Vary::read("food=\"apples, raw\",'pears, raw', plums").unwrap();
        assert_eq!(vary.values, ["\"apples, raw\"", "'pears, raw'", "plums"]);
        assert!(Vary::read("depth").is_err() && Vary::read("depth=8mm,,9mm").is_err());
    }

    #[test]
    fn values_are_numbers_or_text() {
        for (typed, toml) in
            [("8mm", "\"8mm\""), ("2", "2"), ("true", "true"), ("10..20 %", "\"10..20 %\""), ("07:00", "\"07:00\"")]
        {
            assert_eq!(literal(typed), toml);
        }
    }
}
