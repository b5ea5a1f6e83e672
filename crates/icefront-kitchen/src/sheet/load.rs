//! The whole of a sheet, once its text is a table: room, end, money, foods and trays.

use std::collections::BTreeMap;

use icefront_core::load::{Load, Tariff};
use icefront_core::machine::Dryer;
use icefront_core::tariff::Period;
use icefront_core::units::DateOrder;

use crate::format;
use crate::sheet::dish::Dish;
use crate::sheet::foods::{Foods, Found};
use crate::sheet::money::{self, Price};
use crate::sheet::pack::PackOptions;
use crate::sheet::section::Section;
use crate::sheet::{dryer, embedded, end, freezing, tray};

/// What one reading of the text gives.
pub(super) struct Read {
    pub(super) load: Load,
    pub(super) found: Found,
    pub(super) dishes: Vec<Dish>,
    pub(super) prices: BTreeMap<String, Price>,
    pub(super) periods: Vec<Period>,
}

impl Read {
    /// Reads all that stands in a sheet, foods of the table as they are known already; `None` if a problem was noted.
    pub(super) fn of(sheet: &Section<'_>, machine: Option<Dryer>, known: &Found) -> Option<Self> {
        let room = sheet.usual("room");
        let servings = sheet.quantity("servings");
        let end = match sheet.section("end") {
            Some(table) => end::read_end(&table),
            None => Some(end::usual_end()),
        };
        let (tariff, periods) = match sheet.section("tariff") {
            Some(table) => (end::read_tariff(&table), money::read_periods(&table)),
            None => (Some(Tariff { price_per_kwh: None, currency: String::new() }), Vec::new()),
        };
        let pack = match sheet.section("pack") {
            Some(table) => PackOptions::read(&table, &PackOptions::none()),
            None => PackOptions::none(),
        };
        let freezing = match sheet.section("before_loading") {
            Some(table) => freezing::read(&table, sheet.has("rig")),
            None => Some(freezing::usual(sheet.has("rig"))),
        };
        let machine = machine.map(|machine| used_as_the_sheet_says(sheet, machine));
        let all_foods = Foods::read(sheet, known);
        let common = tray::Common { machine: machine.as_ref(), freezing, all_foods: &all_foods, pack: &pack };
        let tables = sheet.list("tray");
        let trays: Option<Vec<_>> =
            tables.iter().map(|table| tray::read(table, &common)).collect::<Vec<_>>().into_iter().collect();
        if tables.is_empty() {
            let help = "add [[tray]]; `icefront new` writes an example";
            sheet.note("tray", "there is no tray", "needs `[[tray]]`", help);
        }
        let shelves = match &machine {
            Some(Dryer::Cabinet(cabinet)) => cabinet.shelves,
            _ => usize::MAX,
        };
        a_shelf_each(&tables, shelves)?;
        let (mut loaded, apart): (Vec<_>, Vec<_>) = trays?.into_iter().unzip();
        let apart: Vec<_> = apart.into_iter().flatten().collect();
        if !apart.is_empty() {
            embedded::room_for(&tables, shelves, &loaded, apart.len())?;
        }
        loaded.extend(apart);
        let (trays, dishes): (Vec<_>, Vec<_>) = loaded.into_iter().unzip();
        let prices = money::read_prices(sheet, &dishes, &all_foods);
        let load = Load {
            dryer: machine?,
            room_k: room,
            trays,
            end: end?,
            tariff: tariff?,
            servings,
            units: sheet.units(),
            dates: sheet.word("dates").and_then(DateOrder::named),
        };
        Some(Self { load, found: all_foods.into_found(), dishes, prices, periods })
    }
}

/// The dryer with its shelves heated, and paused or not, as the sheet says.
fn used_as_the_sheet_says(sheet: &Section<'_>, mut machine: Dryer) -> Dryer {
    match &mut machine {
        Dryer::Cabinet(cabinet) => {
            if let Some(set_point) = dryer::set_point(sheet, "shelf") {
                cabinet.heater.set_point = set_point;
            }
            cabinet.can_pause = sheet.flag("can_pause").unwrap_or(cabinet.can_pause);
        }
        Dryer::Prescribed(_) => {
            sheet.refuse(&["shelf"], "a `[rig]`", "`shelf` of the rig says it");
            sheet.refuse(&["can_pause"], "a `[rig]`", "leave it out: a rig is always open to a scale");
        }
    }
    machine
}

/// Notes the first tray for which there is no shelf.
fn a_shelf_each(tables: &[Section<'_>], shelves: usize) -> Option<()> {
    let Some(first) = tables.get(shelves) else { return Some(()) };
    let shelves = if shelves == 1 { "1 shelf".into() } else { format!("{shelves} shelves") };
    let label = format!("{} on {shelves}", format::count(tables.len(), "tray"));
    let help = "dry the rest as another load, or name a larger dryer (`icefront dryers`); trays that share a shelf are one tray \
                with the area of both";
    first.note("name", "there is no shelf for this tray", label, help);
    None
}
