//! `[price.x]` and `[[tariff.period]]`: what ingredients cost, and electricity by the hour.

use std::collections::BTreeMap;

use icefront_core::tariff::Period;

use crate::problem::nearest;
use crate::sheet::dish::Dish;
use crate::sheet::foods;
use crate::sheet::section::Section;
use crate::weather::clock::Clock;

/// What was paid for a purchase, and how much of the ingredient it gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Price {
    /// Currency units.
    pub paid: f64,
    /// Ingredient as the load counts it, kg.
    pub gives_kg: f64,
}

/// Prices by ingredient or food; each must be in the load.
pub fn read_prices(sheet: &Section<'_>, dishes: &[Dish], all_foods: &foods::Foods<'_>) -> BTreeMap<String, Price> {
    let mut prices = BTreeMap::new();
    let Some(tables) = sheet.section("price") else { return prices };
    let known: Vec<&str> = dishes.iter().flat_map(|d| d.parts.iter().map(|(name, _)| name.as_str())).collect();
    for name in tables.keys() {
        let Some(table) = tables.section(name) else { continue };
        if !known.contains(&name) {
            let near = nearest(name, known.iter().copied());
            let help = near.map_or_else(
                || "write its name as the recipe or the tray does".into(),
                |n| format!("did you mean `{n}`?"),
            );
            tables.note(name, format!("`{name}` is not in this load"), "nothing here needs it", help);
            continue;
        }
        let resolved = all_foods.quietly(name);
        let (paid, gives) = (table.quantity("paid"), foods::mass(&table, "gives", resolved.as_ref()));
        if let (Some(paid), Some(gives_kg)) = (paid, gives) {
            prices.insert(name.to_string(), Price { paid, gives_kg });
        }
    }
    prices
}

/// Hours with a price of their own.
pub fn read_periods(tariff: &Section<'_>) -> Vec<Period> {
    let tables = tariff.list("period");
    tables.iter().filter_map(read_period).collect()
}

fn read_period(table: &Section<'_>) -> Option<Period> {
    let clock = |key: &str| {
        let read = Clock::read(table.text(key)?);
        if let Err(label) = &read {
            table.note(key, format!("`{key}` cannot be used"), label.clone(), "");
        }
        read.ok()
    };
    let (from, until, price) = (clock("from"), clock("until"), table.quantity("price_per_kwh"));
    let (from, until, price_per_kwh) = (from?, until?, price?);
    if from == until {
        table.note("until", "the period has no length", "the same as `from`", "");
    }
    Some(Period { from_s: from.0, until_s: until.0, price_per_kwh })
}
