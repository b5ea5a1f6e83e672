//! `[tray.expert]`: each number of the food model and of the tray's contact, by its SI name.

use icefront_core::food::Structure;

use crate::sheet::schema::expert::{EXPERT, Target};
use crate::sheet::section::Section;

/// Replaces what the sheet gives.
pub fn apply(expert: &Section<'_>, target: &mut Target) {
    for key in EXPERT.keys {
        if let Some((set, value)) = key.sets.zip(expert.quantity(key.name)) {
            set(target, value);
        }
    }
    if let Some(word) = expert.word("structure") {
        target.model.limit.kind = match word {
            "tissue" => Structure::Tissue,
            "gel" => Structure::Gel,
            _ => Structure::Solution,
        };
    }
    let curve = &target.model.curve;
    if curve.unfreezable_frac > curve.water_frac {
        let label = format!("{} against {} of water", curve.unfreezable_frac, curve.water_frac);
        let key = if expert.has("unfreezable_frac") { "unfreezable_frac" } else { "water_frac" };
        expert.note(key, "more water is unfreezable than there is", label, "");
    }
}
