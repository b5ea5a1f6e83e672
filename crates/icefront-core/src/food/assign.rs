//! How a food of the table dries, from its category and composition.

use super::{Composition, DryingClass};

/// Berries that are dried whole in a tight skin.
const SKIN_BERRIES: [&str; 6] = ["Blueberries", "Cranberries", "Currants", "Elderberries", "Gooseberries", "Grapes"];
/// Words for meat cut small.
const MINCED: [&str; 4] = ["ground", "Ground", "crumbles", "hash"];
/// Starch over dry matter from which a food dries like rice rather than like a vegetable.
const STARCHY_FROM: f64 = 0.5;
/// The same for pulses, whose protein and fibre take part.
const STARCHY_PULSE_FROM: f64 = 0.3;
/// Sugars over dry matter from which cooked fruit dries like syrup.
const SYRUP_FROM: f64 = 0.8;
/// The same for sauces, which have no cells left.
const SYRUP_SAUCE_FROM: f64 = 0.6;
/// Dry matter under which a soup is a clear broth, kg/kg.
const BROTH_BELOW: f64 = 0.04;

/// Class by the table's category and state; starch and sugar decide where the category leaves it open.
pub(super) fn class_of(description: &str, category: &str, state: &str, composition: &Composition) -> DryingClass {
    let dry = composition.dry().max(f64::MIN_POSITIVE);
    let starch = composition.starch() / dry;
    let sugars = composition.sugars / dry;
    match category {
        "fruit" if SKIN_BERRIES.iter().any(|berry| description.starts_with(berry)) => DryingClass::SkinBerry,
        "fruit" if state == "cooked" && sugars > SYRUP_FROM => DryingClass::SyrupOrJuice,
        "fruit" => DryingClass::CutFruit,
        "vegetable" if starch > STARCHY_FROM => DryingClass::Starchy,
        "vegetable" if state == "cooked dish" => DryingClass::MinceOrStew,
        "vegetable" | "herb" => DryingClass::Vegetable,
        "dairy" | "egg" => DryingClass::DairyOrEgg,
        "poultry" | "beef" | "pork" | "lamb veal game" | "fish" if MINCED.iter().any(|w| description.contains(w)) => {
            DryingClass::MinceOrStew
        }
        "poultry" | "beef" | "pork" | "lamb veal game" | "fish" => DryingClass::LeanMeatOrFish,
        "legume" if starch > STARCHY_PULSE_FROM => DryingClass::Starchy,
        "grain" | "bread bake" => DryingClass::Starchy,
        "soup" if dry < BROTH_BELOW => DryingClass::Extract,
        "sauce" if sugars > SYRUP_SAUCE_FROM => DryingClass::SyrupOrJuice,
        "sweet" if state == "ready" => DryingClass::DairyOrEgg, // puddings
        "sweet" => DryingClass::SyrupOrJuice,
        "mixed dish" if starch > STARCHY_FROM => DryingClass::Starchy,
        _ => DryingClass::MinceOrStew,
    }
}

/// Share of air inside a piece. All from memory; foods not named have little and get none.
pub(super) fn porosity_of(description: &str) -> f64 {
    let begins = |word: &str| description.starts_with(word);
    if begins("Bread") || begins("Candies, marshmallows") {
        0.7
    } else if begins("Ice cream") {
        0.45
    } else if begins("Eggplant") || begins("Mushrooms") {
        0.3
    } else if begins("Apples, raw") && !description.contains("cooked") {
        0.2
    } else {
        0.0
    }
}
