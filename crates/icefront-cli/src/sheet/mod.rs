//! A load sheet: text -> table with places -> checked [`Load`]. Everything wrong with it is told at once.

pub mod dryer;
mod end;
mod expert;
mod foods;
mod freezing;
pub mod limits;
mod placement;
mod rig;
mod section;
mod text;
mod tray;

use std::collections::BTreeMap;
use std::path::Path;

use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_core::load::{Load, Tariff};
use icefront_core::machine::Dryer;

use crate::failure::Failure;
use crate::problem::spelling_help;
use foods::Pantry;
use section::Section;
pub use text::Text;

/// Keys at the top of a sheet.
const KEYS: [&str; 11] =
    ["icefront", "dryer", "rig", "room", "servings", "end", "tariff", "before_loading", "tray", "food", "recipe"];

/// Room, where the sheet does not say.
const ROOM_K: f64 = ZERO_CELSIUS_K + 20.0;

/// The invented load that is planned when no sheet is named.
pub fn demonstration() -> Text {
    Text {
        path: "demonstration (invented)".into(),
        text: include_str!("../../../../data/loads/demonstration.toml").into(),
    }
}

/// A sheet that was read and found right.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// What the model needs.
    pub load: Load,
    /// Foods as the sheet calls them, and what the table calls them where that differs.
    pub taken: BTreeMap<String, String>,
}

/// Checks a sheet and the dryer file it may name.
pub fn read(text: &Text) -> Result<Sheet, Failure> {
    let mut bad_dryer = None;
    let read = text.check(|root| {
        let sheet = root.open("icefront", &KEYS)?;
        let folder = text.path.parent().unwrap_or(Path::new(""));
        let machine = machine(&sheet, folder).unwrap_or_else(|failure| {
            bad_dryer = Some(failure);
            None
        });
        self::load(&sheet, machine)
    });
    match (read, bad_dryer) {
        (Ok(read), None) => Ok(read),
        (Err(sheet), None) => Err(Failure::BadFiles(vec![sheet])),
        (Err(sheet), Some(Failure::BadFiles(mut files))) if !sheet.problems.is_empty() => {
            files.insert(0, sheet);
            Err(Failure::BadFiles(files))
        }
        (_, Some(failure)) => Err(failure),
    }
}

fn load(sheet: &Section<'_>, machine: Option<Dryer>) -> Option<Sheet> {
    let room = sheet.quantity("room", &limits::ROOM).unwrap_or(ROOM_K);
    let servings = sheet.quantity("servings", &limits::SERVINGS);
    let end = match sheet.section("end", &end::END_KEYS) {
        Some(table) => end::read_end(&table),
        None => Some(end::DEFAULT_END),
    };
    let tariff = match sheet.section("tariff", &end::TARIFF_KEYS) {
        Some(table) => end::read_tariff(&table),
        None => Some(Tariff { price_per_kwh: None, currency: String::new() }),
    };
    let freezing = match sheet.section("before_loading", &freezing::KEYS) {
        Some(table) => freezing::read(&table, sheet.has("rig")),
        None => Some(freezing::usual(sheet.has("rig"))),
    };
    let pantry = Pantry::read(sheet);
    let common = tray::Common { machine: machine.as_ref(), freezing, pantry: &pantry };
    let tables = sheet.list("tray", &tray::KEYS);
    let trays: Option<Vec<_>> =
        tables.iter().map(|table| tray::read(table, &common)).collect::<Vec<_>>().into_iter().collect();
    if tables.is_empty() {
        let help = "begin one with [[tray]]; `icefront new` writes an example";
        sheet.note("tray", "there is no tray", "needs `[[tray]]`", Some(help.into()));
    }
    let load = Load { dryer: machine?, room_k: room, trays: trays?, end: end?, tariff: tariff?, servings };
    Some(Sheet { load, taken: pantry.into_taken() })
}

/// The dryer or rig; the error is a dryer file that cannot be used.
fn machine(sheet: &Section<'_>, folder: &Path) -> Result<Option<Dryer>, Failure> {
    if sheet.has("rig") {
        sheet.refuse(&["dryer"], "a `[rig]`", "give one of them");
        return Ok(sheet.section("rig", &rig::KEYS).and_then(|table| rig::read(&table)).map(Dryer::Prescribed));
    }
    let names: Vec<&str> = dryer::BUILT_IN.iter().map(|(name, _)| *name).collect();
    let help = "such as dryer = \"0.60 m2\"; `icefront dryers` lists them";
    let Some(name) = sheet.required("dryer", sheet.text("dryer"), help) else { return Ok(None) };
    if let Some(text) = dryer::built_in(name) {
        return Ok(Some(Dryer::Cabinet(Box::new(dryer::read_text(&text)?))));
    }
    if Path::new(name).extension().is_some_and(|e| e.eq_ignore_ascii_case("toml")) {
        return Ok(Some(Dryer::Cabinet(Box::new(dryer::read_file(&folder.join(name))?))));
    }
    let help = format!("{}; or the path of a dryer file ending in .toml", spelling_help(name, &names));
    sheet.note("dryer", format!("no dryer is named `{name}`"), "not a built-in dryer", Some(help));
    Ok(None)
}

#[cfg(test)]
mod tests {
    use super::*;

    const DOC: &str = include_str!("../../../../docs/load-sheet.md");

    #[test]
    fn the_document_tells_every_key() {
        let mut keys: Vec<&str> = KEYS.to_vec();
        keys.extend(tray::KEYS);
        keys.extend(freezing::KEYS);
        keys.extend(end::END_KEYS);
        keys.extend(end::TARIFF_KEYS);
        keys.extend(foods::FOOD_KEYS);
        keys.extend(rig::KEYS);
        keys.extend(rig::POINT_KEYS);
        keys.extend(expert::keys());
        keys.extend(dryer::all_keys());
        let untold: Vec<&str> = keys.into_iter().filter(|key| !DOC.contains(&format!("`{key}`"))).collect();
        assert!(untold.is_empty(), "docs/load-sheet.md does not tell {untold:?}");
    }

    #[test]
    fn the_document_tells_every_range() {
        let ranges = [
            ("depth", limits::DEPTH),
            ("filled_to", limits::DEPTH),
            ("size", limits::PIECE),
            ("thickness", limits::PIECE),
            ("height", limits::PIECE),
            ("width", limits::PIECE_LENGTH),
            ("length", limits::PIECE_LENGTH),
            ("coverage", limits::COVERAGE),
            ("amount", limits::AMOUNT),
            ("amount", limits::MEASURE),
            ("area", limits::TRAY_AREA),
            ("room", limits::ROOM),
            ("servings", limits::SERVINGS),
            ("temperature", limits::FOOD_TEMPERATURE),
            ("temperature", limits::FROZEN_TEMPERATURE),
            ("air", limits::COLD_AIR),
            ("wind", limits::WIND),
            ("time", limits::TIME_BEFORE),
            ("moisture", limits::END_MOISTURE),
            ("time", limits::END_TIME),
            ("difference", limits::END_DIFFERENCE),
            ("loss", limits::END_LOSS),
            ("over", limits::END_OVER),
            ("price_per_kwh", limits::PRICE),
            ("water", limits::WATER_SHARE),
            ("fat", limits::SHARE),
            ("freezing_point", limits::FREEZING_POINT),
            ("air", limits::AIR_SHARE),
            ("shelf", limits::SHELF),
            ("vapour_pressure", limits::VAPOUR),
            ("air_pressure", limits::AIR),
            ("point", limits::RIG_TIME),
        ];
        let ranges = ranges.map(|(key, limit)| (key, limit.words)).into_iter();
        for (key, words) in ranges.chain(expert::ranges()) {
            let told = DOC.lines().any(|line| line.contains(&format!("`{key}`")) && line.contains(words));
            assert!(told, "docs/load-sheet.md: no line tells `{key}` from {words}");
        }
    }
}
