//! The pantry as text.

use std::path::Path;

use icefront_core::units::UnitSystem;

use crate::Look;
use crate::blocks::wrap::wrap;
use crate::blocks::{Column, Table, Words, in_order};
use crate::pack::amounts::{kitchen_mass, kitchen_water};
use crate::pack::safety;
use crate::pantry::{Lot, Put, Sum, Take, by_food};
use crate::weather::clock::Date;

/// What is left, by what to eat first.
pub fn list(lots: &[Lot], today: Date, units: UnitSystem, look: Look) -> String {
    let left: Vec<&Lot> = lots.iter().filter(|lot| lot.left > 0).collect();
    if left.is_empty() {
        return in_order(&[&Words::new("", "The pantry is empty. `icefront store put` adds packs.")], look);
    }
    let row = |lot: &&Lot| {
        let put = &lot.put;
        vec![
            format!("{}{}", put.eat_first, if put.eat_first < today { "!" } else { "" }),
            lot.number.to_string(),
            put.food.clone(),
            lot.left.to_string(),
            kitchen_mass(1e-3 * put.dry_g, units),
            put.date.to_string(),
            remark(put),
        ]
    };
    let [lot, packs, dried] = ["lot", "packs", "dried in one"].map(Column::number);
    let [packed, remarks] = [Column::words("packed", 10), Column::words("remark", 12)];
    let table = Table::new(
        "best by",
        [Column::words("", 11), lot, Column::words("food", 18), packs, dried, packed, remarks],
        left.iter().map(row),
    )
    .note("!: the best-by date has passed. Look at it and smell it, then eat it next or throw it out.");
    in_order(&[&table, &safety::pantry()], look)
}

fn remark(put: &Put) -> String {
    let fat = match put.fat_percent {
        Some(fat) if fat >= 25.0 => "fatty",
        Some(_) => "",
        None => "fat?",
    };
    let air = if put.without_oxygen { "" } else { "air" };
    let raw = if put.note.starts_with("RAW") { "RAW" } else { "" };
    [raw, fat, air].into_iter().filter(|word| !word.is_empty()).collect::<Vec<_>>().join(", ")
}

/// Sums by food.
pub fn summary(lots: &[Lot], units: UnitSystem, look: Look) -> String {
    let (foods, all) = by_food(lots);
    let row = |name: &str, sum: &Sum| {
        let energy = if sum.energy_kj > 0.0 { format!("{:.0}", sum.energy_kj) } else { "-".into() };
        vec![name.to_string(), sum.packs.to_string(), kitchen_mass(1e-3 * sum.dry_g, units), energy, value(sum)]
    };
    let mut rows: Vec<Vec<String>> = foods.iter().map(|food| row(&food.food, &food.sum)).collect();
    rows.push(row("all", &all));
    let unknown = format!("{} packs have no value and are not in the sum.", all.packs_without_value);
    let [packs, dried, energy] = ["packs", "dried", "energy, kJ"].map(Column::number);
    let table = Table::new("pantry", [Column::words("", 22), packs, dried, energy, Column::words("value", 30)], rows)
        .notes(if all.packs_without_value > 0 { vec![unknown] } else { Vec::new() });
    in_order(&[&table], look)
}

fn value(sum: &Sum) -> String {
    let parts: Vec<String> = sum.value.iter().map(|(currency, value)| format!("{value:.2} {currency}")).collect();
    parts.join(" + ")
}

/// What was put in.
pub fn put<'a>(file: &Path, lots: impl Iterator<Item = (u32, &'a Put)>, units: UnitSystem) -> String {
    let mut text = String::new();
    for (number, put) in lots {
        text.push_str(&format!(
            "Lot {number}: {} {} of {}, {} dried in each, best by {}\n",
            put.packs,
            if put.packs == 1 { "pack" } else { "packs" },
            put.food,
            kitchen_mass(1e-3 * put.dry_g, units),
            put.eat_first
        ));
    }
    text + &format!("Saved in {}. Write the lot number on each pack.\n", file.display())
}

/// What was taken out.
pub fn taken(taken: &[(Take, Lot)], units: UnitSystem) -> String {
    let mut text = String::new();
    for (take, lot) in taken {
        let noun = if take.packs == 1 { "pack" } else { "packs" };
        let water = lot
            .put
            .water_ml
            .map_or_else(String::new, |ml| format!("; add {} to each", kitchen_water(1e-3 * ml, units)));
        let left = lot.left - take.packs;
        let food = &lot.put.food;
        text.push_str(&format!("{} {noun} of {food} from lot {}{water}; {left} left\n", take.packs, take.lot));
        if !lot.put.allergens.is_empty() {
            text.push_str(&wrap("  ", &format!("Allergens: {}", lot.put.allergens)));
        }
        if !lot.put.note.is_empty() {
            text.push_str(&wrap("  ", &lot.put.note));
        }
    }
    text + &wrap("", "Once wet it is fresh food: eat it at once or chill it.")
}
