//! Every reader of files by its name, for whoever holds strange files against them: file in, taken or refused in words.

use std::path::PathBuf;
use std::sync::OnceLock;

use icefront_core::food::FoodTable;
use icefront_core::load::Load;

use icefront_kitchen::problem::{BadFile, Problems, shorten};
use icefront_kitchen::quantity::{Kind, Limit};
use icefront_kitchen::sheet::{self, Text, dryer};
use icefront_kitchen::storage::Memory;
use icefront_kitchen::table::Findings;
use icefront_kitchen::weather::Weather;
use icefront_kitchen::{Failure, history, pantry, readings};

/// A reader.
#[derive(Debug)]
pub struct Reader {
    /// What it reads.
    pub name: &'static str,
    /// Reads a file; the error is the message that a user sees.
    pub read: fn(&str) -> Result<(), String>,
}

impl Reader {
    /// All of them.
    pub const ALL: [Self; 8] = [
        Self { name: "sheet", read: |text| said(sheet::read(&named(text), &Memory::default())) },
        Self { name: "dryer", read: |text| said(dryer::read(&named(text))) },
        Self { name: "quantity", read: quantity },
        Self { name: "food", read: food },
        Self { name: "weather", read: |text| said(Weather::of(PathBuf::from("weather.csv"), text.into())) },
        Self { name: "readings", read: readings },
        Self { name: "history", read: |text| history::parse(text).map(drop).map_err(|p| shown(text, vec![p].into())) },
        Self { name: "pantry", read: |text| pantry::parse(text).map(drop).map_err(|problems| shown(text, problems)) },
    ];
}

fn named(text: &str) -> Text {
    Text { path: "file".into(), text: text.into() }
}

fn said<T>(read: Result<T, Failure>) -> Result<(), String> {
    read.map(drop).map_err(|failure| failure.to_string())
}

fn shown(text: &str, problems: Problems) -> String {
    BadFile { path: "file".into(), text: text.into(), problems }.to_string()
}

/// Kinds of quantities that have a unit.
const KINDS: [Kind; 9] = [
    Kind::Length,
    Kind::Temperature,
    Kind::Pressure,
    Kind::Mass,
    Kind::Volume,
    Kind::Area,
    Kind::Duration,
    Kind::Speed,
    Kind::Power,
];

/// Any quantity that has a unit.
fn quantity(text: &str) -> Result<(), String> {
    let text = text.trim();
    let tries: Vec<_> = KINDS.iter().map(|kind| Limit::new(*kind, f64::MIN, f64::MAX, "any").read_text(text)).collect();
    match tries.iter().find(|read| read.is_ok()).or(tries.first()) {
        Some(Err(refusal)) => Err(shorten(refusal.to_string())),
        _ => Ok(()),
    }
}

fn food(text: &str) -> Result<(), String> {
    let table = FoodTable::embedded().map_err(|e| e.to_string())?;
    table.listing(text, 40);
    table.find(text).map(drop).map_err(|e| shorten(e.to_string()))
}

/// Readings belong to a load: the demonstration's here.
fn readings(text: &str) -> Result<(), String> {
    static LOAD: OnceLock<Option<Load>> = OnceLock::new();
    let load =
        LOAD.get_or_init(|| sheet::read(&sheet::demonstration(), &Memory::default()).ok().map(|sheet| sheet.load));
    let Some(load) = load else { return Err("the demonstration cannot be read".into()) };
    let mut findings = Findings::default();
    readings::read_rows(text, load, 0.0, &mut findings);
    if findings.is_empty() { Ok(()) } else { Err(shown(text, findings.into_problems())) }
}
