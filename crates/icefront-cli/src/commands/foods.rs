//! `icefront foods`: the food table, looked up by word.

use clap::Args;
use icefront_core::food::{Fit, FoodEntry};

use crate::output;
use icefront_kitchen::blocks::{List, Part, Words, in_order};
use icefront_kitchen::catalogue::{self, Foods};
use icefront_kitchen::{Failure, format, json};

/// Raw arguments.
#[derive(Debug, Args)]
pub struct Arguments {
    /// What you call it, such as `frozen peas` or `courgette`; a number of the table, or its exact name.
    words: Vec<String>,
    /// Say why the food is taken for this kind of food.
    #[arg(long)]
    why: bool,
    /// Print JSON instead of text; its keys are in docs/json.md.
    #[arg(long)]
    json: bool,
}

/// Says what the words mean, then what else they could mean, the likely ones first.
pub fn run(arguments: &Arguments, plain: bool) -> Result<(), Failure> {
    let mut foods = catalogue::foods(&arguments.words.join(" "))?;
    if !arguments.why {
        foods.why.clear();
    }
    let json = || json::text(&foods);
    output::answer(arguments.json, plain, json, |look| {
        let parts = parts(&foods);
        in_order(&parts.iter().map(AsRef::as_ref).collect::<Vec<_>>(), look)
    })
}

fn parts(foods: &Foods<'_>) -> Vec<Box<dyn Part>> {
    let mut parts: Vec<Box<dyn Part>> = Vec::new();
    let mut rest = &foods.foods[..];
    if let (Some((first, others)), Some(_)) = (rest.split_first(), foods.id) {
        let read = foods.read_as.as_ref().map_or(String::new(), |words| format!(" Read as \"{words}\"."));
        let state = match () {
            () if foods.raw_or_cooked => " Raw or cooked? Put the word before it: both fit.",
            () if !foods.sure => " Not sure: choose from the list if it is another.",
            () => "",
        };
        parts.push(Box::new(Words::new("food", format!("{}{read}{state}", item(first)))));
        let why = foods
            .why
            .iter()
            .map(|known| format!("{}: {}, {}.", known.aspect.replace('_', " "), known.value, known.why));
        let why: Vec<String> = why.collect();
        if !why.is_empty() {
            parts.push(Box::new(List { label: "why", items: why }));
        }
        let (choices, further) = others.split_at(foods.choices.len().saturating_sub(1).min(others.len()));
        if !choices.is_empty() {
            parts.push(Box::new(List {
                label: "fits as well",
                items: choices.iter().map(|entry| item(entry)).collect(),
            }));
        }
        rest = further;
    }
    let mut kinds: Vec<&str> = Vec::new();
    for entry in rest {
        if !kinds.contains(&entry.category) {
            kinds.push(entry.category);
        }
    }
    for kind in kinds {
        let of_kind = rest.iter().filter(|entry| entry.category == kind);
        parts.push(Box::new(List { label: kind, items: of_kind.map(|entry| item(entry)).collect() }));
    }
    let more =
        if foods.more > 0 { format!("{} more; add a word to narrow it down. ", foods.more) } else { String::new() };
    let note = format!("{more}With care: much fat, cream or sugar. Composition: USDA SR28.");
    parts.push(Box::new(Words::new("", note)));
    parts
}

fn item(entry: &FoodEntry) -> String {
    let fit = match entry.fit {
        Fit::Suits => "",
        Fit::WithCare => "; dries with care",
        Fit::Poor => "; dries poorly",
    };
    let raw = if entry.raw { "; raw: cook before eating" } else { "" };
    let (water, fat) = (format::percent_1(entry.composition.water), format::percent_1(entry.composition.fat));
    format!("{}: {water} water, {fat} fat{raw}{fit}.", entry.description)
}
