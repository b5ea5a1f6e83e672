//! `embedded`: pieces of another food in a layer, such as minced pork in a stew.

use icefront_core::load::Embedded;
use icefront_core::shape::PieceForm;

use super::foods::Pantry;
use super::limits;
use super::section::Section;

/// Keys of the pieces.
const KEYS: [&str; 3] = ["food", "size", "share"];

/// The pieces that a tray tells; `None` if it tells none, or a problem was noted.
pub fn read(tray: &Section<'_>, pantry: &Pantry) -> Option<Embedded> {
    if tray.peek("shape").is_some_and(|shape| shape != "layer") {
        tray.refuse(
            &["embedded"],
            "pieces",
            "other pieces lie in a layer, such as a stew; give them a tray of their own",
        );
    }
    let own = tray.section("embedded", &KEYS)?;
    let asked = own.required("food", own.text("food"), "such as food = \"pork, ground\"");
    let stock = pantry.food(&own, "food");
    let edge_m = own.required("size", own.quantity("size", &limits::PIECE), "the edge of a piece, such as \"15 mm\"");
    let share = own.quantity("share", &limits::EMBEDDED);
    let share_frac = own.required("share", share, "of what is on the tray, by volume, such as \"30 %\"");
    let (food, stock, edge_m, share_frac) = (asked?.to_string(), stock?, edge_m?, share_frac?);
    match stock.food.model() {
        Ok(model) => Some(Embedded {
            food,
            model,
            spread: Some(stock.food.spread()),
            form: PieceForm::Brick { length_m: edge_m, width_m: edge_m, height_m: edge_m },
            share_frac,
        }),
        Err(e) => {
            own.note("food", format!("`{food}` cannot be freeze-dried"), e.to_string(), None);
            None
        }
    }
}
