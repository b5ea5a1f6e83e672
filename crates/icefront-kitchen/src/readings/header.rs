//! The header of a readings file: which column holds what, however a cook calls it.

use crate::problem::nearest;
use crate::readings::column::{self, Column};
use crate::table::{Findings, Record, Separator};

/// What a column is used for.
#[derive(Clone, Copy)]
pub enum Use {
    /// A time of day, with or without a date, or counted from the start.
    Clock,
    /// Hours since the start.
    Hours,
    /// Hours since the pump started.
    HoursOfPump,
    /// A tray.
    Tray,
    /// What happened.
    Event,
    /// A reading.
    Value(Column),
    /// What is not read.
    Remark,
}

const OTHERS: [(&str, Use); 7] = [
    ("time", Use::Clock),
    ("time_h", Use::Hours),
    ("time_since_pump_h", Use::HoursOfPump),
    ("tray", Use::Tray),
    ("event", Use::Event),
    ("note", Use::Remark),
    ("remark", Use::Remark),
];
/// Words of a name that say nothing new.
const IDLE: [&str; 5] = ["temperature", "temp", "reading", "used", "chamber"];
/// Other words for those of a name.
const ALIASES: [(&str, &str); 17] = [
    ("probe", "product"),
    ("core", "product"),
    ("meter", "energy"),
    ("plug", "energy"),
    ("electricity", "energy"),
    ("vacuum", "pressure"),
    ("clock", "time"),
    ("events", "event"),
    ("notes", "note"),
    ("remarks", "remark"),
    ("comment", "remark"),
    ("gram", "g"),
    ("grams", "g"),
    ("ounces", "oz"),
    ("lbs", "lb"),
    ("pounds", "lb"),
    ("loss", "lost"),
];
/// Whole names for others.
const NAMES: [(&str, &str); 4] =
    [("kwh", "energy_kwh"), ("hours", "time_h"), ("food_temperature", "product"), ("energy_energy", "energy")];

/// A column's name as it is known: `Weight (g)` is `weight_g`, `shelf temperature \u{b0}F` is `shelf_f`.
fn known_name(text: &str) -> String {
    let plain = text.to_lowercase().replace(['(', ')', '[', ']', ',', '\u{b0}', '_'], " ");
    let plain = plain.replace("food temp", "product temp");
    let words: Vec<&str> = plain.split_whitespace().filter(|word| !IDLE.contains(word)).collect();
    let mut words: Vec<&str> = words.into_iter().map(known_word).collect();
    words.dedup();
    let name = words.join("_");
    NAMES.iter().find(|(alias, _)| *alias == name).map_or(name, |(_, known)| (*known).to_string())
}

fn known_word(word: &str) -> &str {
    ALIASES.iter().find(|(alias, _)| *alias == word).map_or(word, |(_, name)| *name)
}

fn use_of(text: &str) -> Option<Use> {
    let name = known_name(text);
    let other = OTHERS.iter().find(|(known, _)| *known == name).map(|(_, what)| *what);
    other.or_else(|| column::ALL.iter().find(|c| c.name.eq_ignore_ascii_case(&name)).map(|c| Use::Value(*c)))
}

/// What each column is used for; `None` where something is wrong with one, which is noted.
pub fn read(header: &Record<'_>, findings: &mut Findings) -> Option<Vec<Use>> {
    let mut uses = Vec::with_capacity(header.cells.len());
    let mut listed = false;
    for (i, cell) in header.cells.iter().enumerate() {
        match use_of(&cell.text) {
            Some(_) if header.cells.iter().take(i).any(|c| c.text == cell.text) => {
                findings.note(&cell.text, &cell.span, format!("two columns `{}`", cell.text), "again", "");
            }
            Some(found) => uses.push(found),
            None => {
                let title = format!("no column is named `{}`", cell.text);
                findings.note(&cell.text, &cell.span, title, "unknown name or unit", unknown(&cell.text, &mut listed));
            }
        }
    }
    let times = uses.iter().filter(|u| matches!(u, Use::Clock | Use::Hours | Use::HoursOfPump)).count();
    if times != 1 && findings.is_empty() {
        let help = "`time` holds times (18:30, 6 PM, 2026-01-15 18:30, after 7 h), `time_h` hours since the start";
        let label = if times == 0 { "no time" } else { "two times" };
        findings.note("time", &header.span, "give one column for the time", label, help);
    }
    findings.is_empty().then_some(uses)
}

/// What to write instead of an unknown name; all names are listed once.
fn unknown(text: &str, listed: &mut bool) -> String {
    let names: Vec<&str> = OTHERS.iter().map(|(n, _)| *n).chain(column::ALL.iter().map(|c| c.name)).collect();
    if let Some(near) = nearest(text, names.iter().copied()) {
        return format!("did you mean `{near}`? The unit is part of the name (`icefront help readings`)");
    }
    if std::mem::replace(listed, true) {
        return "`note` holds what is not read".to_string();
    }
    let all = names.iter().map(|n| format!("`{n}`")).collect::<Vec<_>>().join(", ");
    format!("allowed: {all}; `icefront help readings` explains them")
}

/// Units of the columns, each behind a number.
pub fn units(uses: &[Use]) -> Vec<String> {
    let unit = |one: &Use| if let Use::Value(column) = one { Some(format!("1 {}", column.unit())) } else { None };
    uses.iter().filter_map(unit).collect()
}

/// What to write where the start is missing: the line that says it, as this file has it.
pub fn start_line(uses: &[Use], separator: Separator) -> String {
    let cell = |one: &Use| match one {
        Use::Clock => "18:00",
        Use::Event => "started",
        _ => "",
    };
    let has_event = uses.iter().any(|one| matches!(one, Use::Event));
    let cells: Vec<&str> = uses.iter().map(cell).chain((!has_event).then_some("started")).collect();
    let line = cells.join(&char::from(separator.byte()).to_string());
    let column = if has_event { "" } else { "add a column `event` at the end, and " };
    format!("{column}write when it was switched on as the first line below the header, such as `{line}`")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_known_however_they_are_called() {
        for (text, name) in [
            ("Weight (g)", "weight_g"),
            ("kWh", "energy_kwh"),
            ("kwh", "energy_kwh"),
            ("plug meter, kWh", "energy_kwh"),
            ("shelf temperature", "shelf"),
            ("product temperature (\u{b0}F)", "product_f"),
            ("Food temp C", "product_c"),
            ("water loss grams", "water_lost_g"),
            ("chamber pressure mTorr", "pressure_mtorr"),
            ("hours", "time_h"),
            ("Comment", "remark"),
            ("time_since_pump_h", "time_since_pump_h"),
        ] {
            assert_eq!(known_name(text), name, "{text}");
            assert!(use_of(text).is_some(), "{text}");
        }
    }

    #[test]
    fn the_line_of_the_start_fits_the_file() {
        let uses = |names: &[&str]| names.iter().filter_map(|name| use_of(name)).collect::<Vec<_>>();
        let short = start_line(&uses(&["time", "event"]), Separator::Comma);
        assert!(short.ends_with("`18:00,started`"), "{short}");
        let without = start_line(&uses(&["time", "tray", "weight_g"]), Separator::Semicolon);
        assert!(without.contains("a column `event`") && without.ends_with("`18:00;;;started`"), "{without}");
    }
}
