//! A recipe: a mass-weighted mix of foods.

use super::{Composition, DryingClass, Food, FoodError};

/// Share of the fat-free dry matter above which one kind of food makes the whole dry like it.
const DOMINANT_SHARE: f64 = 0.7;

/// The food that these foods (each with its mass, kg) make together.
///
/// Composition: by mass. Air: by volume. Class: that of the kind which brings 70 % of the dry matter (fat not counted,
/// so neither water nor oil has a vote; berries and cut fruit vote together); if none does, mince or stew. The freezing point follows from the mix.
pub fn mix(name: &str, parts: &[(Food, f64)]) -> Result<Food, FoodError> {
    let refuse =
        |part: &str, mass_kg| FoodError::RecipeMass { recipe: name.to_owned(), part: part.to_owned(), mass_kg };
    if let Some((food, mass_kg)) = parts.iter().find(|(_, mass_kg)| !(mass_kg.is_finite() && *mass_kg > 0.0)) {
        return Err(refuse(&food.name, *mass_kg));
    }
    if parts.is_empty() {
        return Err(refuse("all parts", 0.0));
    }
    let mut checked = Vec::with_capacity(parts.len());
    for (food, mass_kg) in parts {
        checked.push((food.composition.check()?, food, *mass_kg));
    }
    let composition = Composition::mean(checked.iter().map(|(c, _, mass_kg)| (*c, *mass_kg)));
    let volume = |c: &Composition, mass_kg: f64| mass_kg / super::Mixture::unfrozen(c).density_kg_per_m3(MIXED_AT_K);
    let solid: f64 = checked.iter().map(|(c, _, m)| volume(c, *m)).sum();
    let total: f64 = checked.iter().map(|(c, food, m)| volume(c, *m) / (1.0 - food.porosity)).sum();
    Ok(Food { porosity: 1.0 - solid / total, ..Food::new(name, source(parts), composition, mixed_class(&checked)) })
}

/// Temperature at which volumes are added, K.
const MIXED_AT_K: f64 = crate::constants::ZERO_CELSIUS_K + 10.0;

/// The class with the dominant share of the fat-free dry matter, else mince or stew.
fn mixed_class(parts: &[(Composition, &Food, f64)]) -> DryingClass {
    let dry_of = |class: Option<DryingClass>| -> f64 {
        let of_class = parts.iter().filter(|(_, food, _)| class.is_none_or(|class| food.class == class));
        of_class.map(|(c, _, mass_kg)| c.fat_free_dry() * mass_kg).sum()
    };
    let all = dry_of(None);
    // whole berries and cut fruit are one kind, with or without the skin that most of it has
    let (skin, cut) = (dry_of(Some(DryingClass::SkinBerry)), dry_of(Some(DryingClass::CutFruit)));
    if skin + cut >= DOMINANT_SHARE * all {
        return if skin > cut { DryingClass::SkinBerry } else { DryingClass::CutFruit };
    }
    DryingClass::ALL
        .into_iter()
        .find(|class| dry_of(Some(*class)) >= DOMINANT_SHARE * all)
        .unwrap_or(DryingClass::MinceOrStew)
}

/// Sources of the parts, each once, in their order.
fn source(parts: &[(Food, f64)]) -> String {
    let mut sources: Vec<&str> = Vec::new();
    for (food, _) in parts {
        if !sources.contains(&food.source.as_str()) {
            sources.push(&food.source);
        }
    }
    format!("recipe from {}", sources.join("; "))
}
