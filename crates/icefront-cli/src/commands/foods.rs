//! `icefront foods`: the food table, looked up by word.

use clap::Args;
use icefront_core::food::{Fit, FoodEntry, FoodError, FoodTable};

use crate::output;
use icefront_kitchen::blocks::{List, Words, in_order};
use icefront_kitchen::catalogue::Foods;
use icefront_kitchen::{Failure, format, json};

/// Raw arguments.
#[derive(Debug, Args)]
pub struct Arguments {
    /// Words of its name, or a kind such as fruit; beginnings are enough.
    words: Vec<String>,
    /// Print JSON instead of text; its keys are in docs/json.md.
    #[arg(long)]
    json: bool,
}

/// Lists what the words could mean, best first.
pub fn run(arguments: &Arguments, plain: bool) -> Result<(), Failure> {
    let table = FoodTable::embedded()?;
    let wanted = arguments.words.join(" ");
    let found: Vec<&FoodEntry> =
        if wanted.trim().is_empty() { table.entries().iter().collect() } else { table.search(&wanted) };
    if found.is_empty() {
        return Err(unknown(table, wanted));
    }
    let foods = List { label: "foods", items: found.iter().map(|entry| item(entry)).collect() };
    let note = Words::new("", "With care: much fat, cream or sugar. Composition: USDA SR28.");
    let json = || json::text(&Foods { foods: &found });
    output::answer(arguments.json, plain, json, |look| in_order(&[&foods, &note], look))
}

fn item(entry: &FoodEntry) -> String {
    let fit = match entry.fit {
        Fit::Suits => "",
        Fit::WithCare => "; dries with care",
        Fit::Poor => "; dries poorly",
    };
    let (water, fat) = (format::percent_1(entry.composition.water), format::percent_1(entry.composition.fat));
    format!("{}: {water} water, {fat} fat{fit}.", entry.description)
}

fn unknown(table: &FoodTable, given: String) -> Failure {
    let help = match table.find(&given) {
        Err(FoodError::UnknownFood { nearest, .. }) if !nearest.is_empty() => {
            format!("nearest: {}", nearest.iter().map(|n| format!("`{n}`")).collect::<Vec<_>>().join(", "))
        }
        _ => "try one word of it, or a kind such as fruit".to_string(),
    };
    Failure::UnknownName { what: "food", name: given, help }
}
