//! What a readings file holds, for people: `icefront help readings`.

use crate::blocks::wrap::wrap;
use crate::readings::column::{ALL, EVENTS};
use crate::readings::when;

/// A readings file of four lines.
pub const SAMPLE: &str = "\
time,event,tray,weight_g,energy_kWh
2026-01-15 18:00,started,,,
2026-01-15 22:30,pump started,,,
2026-01-16 04:00,,2,612,4.1
";

/// What the columns hold, by the beginning of their names.
const ABOUT: [(&str, &str); 8] = [
    ("weight", "Weight of the food on the tray, without the tray."),
    ("water_lost", "First weight minus this weight; the tray's own weight cancels out."),
    ("drained", "Water that ran out at defrost: all that the food has lost."),
    ("product", "Temperature of a probe in the coldest part of the food."),
    ("shelf", "Temperature of the shelf under the tray."),
    ("pressure", "Pressure of the chamber. Many gauges read about 1.5 times too high in water vapour."),
    ("energy", "Reading of the plug meter since the start, kWh."),
    ("rise", "How fast the pressure rises with the valve to condenser and pump closed."),
];

/// The text.
pub fn text() -> String {
    let entry = |name: &str, about: &str| wrap(&format!("  {name:<12}  "), about);
    let mut text = String::from("A READINGS FILE\n");
    text += &SAMPLE.lines().map(|line| format!("  {line}\n")).collect::<String>();
    text += "\nCOLUMNS, in any order; leave a cell empty where you read nothing\n";
    text += &entry("time", &format!("When, {}.", when::HELP));
    text += &entry("time_h", "Hours since the start, in place of `time`.");
    text += &entry("time_since_pump_h", "Hours since the pump started, in place of `time`.");
    text += &entry("tray", "Number of the tray from the bottom, its name or its food.");
    text += &entry("event", &format!("{}. Clock times need `started` once, or --start.", events()));
    for (name, about) in ABOUT {
        text += &entry(name, &format!("{about} Columns: {}.", names(name)));
    }
    text += &entry("note, remark", "For you; not read.");
    text += "\nA column without a unit in its name takes the unit from the cell: 1 lb 3 oz, 14 \u{b0}F, 90 mTorr.\n";
    text.lines().map(|line| if line.chars().count() > 80 { wrap("", line) } else { format!("{line}\n") }).collect()
}

fn events() -> String {
    EVENTS.map(|(name, _)| name).join(", ")
}

/// The columns whose names begin so.
fn names(begin: &str) -> String {
    let all = ALL.iter().map(|column| column.name).filter(|name| name.starts_with(begin));
    all.collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_column_and_event_is_explained_in_80_columns() {
        let text = text();
        let names = ALL.iter().map(|c| c.name).chain(EVENTS.iter().map(|(name, _)| *name));
        let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let missing: Vec<&str> = names.filter(|name| !words.contains(name)).collect();
        assert!(missing.is_empty(), "{missing:?}");
        assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    }
}
