//! Food energy of a composition.

use crate::food::Composition;

/// General Atwater factors, J/kg: protein and carbohydrate 17 kJ/g, fat 37 kJ/g, fibre 8 kJ/g, as food labels reckon
/// (Regulation (EU) 1169/2011, annex XIV; from memory).
const PROTEIN_J_PER_KG: f64 = 17e6;
const CARBOHYDRATE_J_PER_KG: f64 = 17e6;
const FAT_J_PER_KG: f64 = 37e6;
const FIBRE_J_PER_KG: f64 = 8e6;

/// Energy that a food label would tell, J per kg of food of this composition.
///
/// ```text
/// e = 17 MJ/kg (protein + carbohydrate) + 37 MJ/kg fat + 8 MJ/kg fibre
/// ```
/// Carbohydrate is without fibre. Alcohol and organic acids are not counted.
pub fn energy_j_per_kg(food: &Composition) -> f64 {
    PROTEIN_J_PER_KG * food.protein
        + CARBOHYDRATE_J_PER_KG * food.carbohydrate
        + FAT_J_PER_KG * food.fat
        + FIBRE_J_PER_KG * food.fibre
}
