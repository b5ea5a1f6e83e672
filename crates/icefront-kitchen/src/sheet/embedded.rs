//! `embedded`: pieces of another food in a layer, such as minced pork in a stew.

use icefront_core::food::FoodError;
use icefront_core::load::{Embedded, Tray};
use icefront_core::shape::PieceForm;

use crate::sheet::dish::LoadedTray;
use crate::sheet::foods::{Foods, ResolvedFood};
use crate::sheet::section::Section;

/// The key that puts them on a tray of their own.
pub const APART: &str = "apart";

/// The pieces of a tray.
pub struct Pieces {
    /// For the model.
    pub embedded: Embedded,
    /// What they are to the cook.
    pub resolved: ResolvedFood,
    /// Whether they go on a tray of their own.
    pub apart: bool,
}

/// Notes that there are fewer shelves than trays once pieces go apart, and which tray to take out.
pub fn room_for(tables: &[Section<'_>], shelves: usize, loaded: &[LoadedTray], apart: usize) -> Option<()> {
    if loaded.len() + apart <= shelves {
        return Some(());
    }
    let kilograms = |tray: &Tray| tray.model.density_kg_per_m3 * tray.shape.volume_per_area_m() * tray.area_m2;
    let plain = loaded.iter().zip(tables).filter(|(_, table)| !table.has("embedded"));
    let whole = plain.map(|((tray, _), _)| tray);
    let least = whole.min_by(|a, b| kilograms(a).total_cmp(&kilograms(b)));
    let over = loaded.len() + apart - shelves;
    let label = format!("{} trays and {apart} for the pieces on {shelves} shelves", loaded.len());
    let least = least.map_or(String::new(), |tray| format!(", such as `{}`, which holds least", tray.name));
    let help = format!("take {over} out{least}; or leave the pieces where they are");
    let first = tables.iter().find(|table| table.has("embedded"))?;
    first.note("embedded", "no tray is free for the pieces", label, help);
    None
}

impl ResolvedFood {
    /// What lies between the pieces and the pieces together, by what each weighs on the tray.
    ///
    /// # Errors
    /// [`FoodError`] where they make no food.
    pub fn with_pieces(&self, tray: &Tray, pieces: &Pieces) -> Result<Self, FoodError> {
        let Embedded { model, share_frac, .. } = &pieces.embedded;
        let base = Self { food: self.as_layer(), ..self.clone() };
        let parts = [
            (base, (1.0 - share_frac) * tray.model.density_kg_per_m3),
            (pieces.resolved.clone(), share_frac * model.density_kg_per_m3),
        ];
        let whole = Self::of_parts(&self.name, &parts)?;
        // the ingredients of a recipe go on counting one by one
        let all_kg: f64 = parts.iter().map(|(_, kg)| kg).sum();
        let own = |(resolved, kg): &(Self, f64)| {
            let share = kg / all_kg;
            resolved.parts.iter().map(move |(name, part)| (name.clone(), part * share)).collect::<Vec<_>>()
        };
        let water_given = self.water_given && pieces.resolved.water_given;
        Ok(Self { parts: parts.iter().flat_map(own).collect(), water_given, ..whole })
    }
}

/// The pieces of a tray; `None` if it has none, or a problem was noted.
pub fn read(tray: &Section<'_>, all_foods: &Foods<'_>) -> Option<Pieces> {
    let own = tray.section("embedded")?;
    let (food, resolved) = (own.text("food")?.to_string(), all_foods.food(&own, "food")?);
    let (edge_m, share_frac) = (own.quantity("size")?, own.quantity("share")?);
    let apart = own.flag(APART).unwrap_or(false);
    let note = |e: &FoodError| own.note("food", format!("`{food}` cannot be freeze-dried"), e.to_string(), "");
    let model = resolved.food.model().inspect_err(note).ok()?;
    let form = PieceForm::Brick { length_m: edge_m, width_m: edge_m, height_m: edge_m };
    let spread = Some(resolved.food.spread());
    Some(Pieces { embedded: Embedded { food, model, spread, form, share_frac }, resolved, apart })
}
