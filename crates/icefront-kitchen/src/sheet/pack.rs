//! `[pack]` and `[tray.pack]`: how dried food is divided, packed and kept.

use icefront_core::aftercare::Wall;

use crate::sheet::schema::Key;
use crate::sheet::schema::load::PACK;
use crate::sheet::section::Section;

/// Walls by the word that names them.
fn wall(word: &str) -> Wall {
    match word {
        "foil" => Wall::Foil,
        "metallised" => Wall::Metallised,
        "nylon" => Wall::Nylon,
        "polyethylene" => Wall::Polyethylene,
        _ => Wall::GlassOrMetal,
    }
}

/// What the cook wants, SI; `None` where the sheet does not say.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PackOptions {
    /// Servings in one pack.
    pub servings: Option<f64>,
    /// One serving as it went on the tray, kg.
    pub serving_kg: Option<f64>,
    /// Most dried food in one pack, kg.
    pub size_kg: Option<f64>,
    /// Room in one pack, m3.
    pub container_m3: Option<f64>,
    /// What a pack is made of.
    pub wall: Wall,
    /// Oxygen that one absorber at hand takes up, m3; 0 where none are used.
    pub absorber_m3: Option<f64>,
    /// Price of one empty pack.
    pub price: Option<f64>,
    /// Price of one absorber.
    pub absorber_price: Option<f64>,
    /// Allergens in the cook's words.
    pub allergens: Option<String>,
    /// Relative humidity of the kitchen, 0 to 1.
    pub humidity: f64,
    /// Height above the sea, m.
    pub altitude_m: f64,
    /// Shelf the packs will stand on, K.
    pub shelf_k: f64,
}

impl PackOptions {
    /// What holds where a sheet has no such table.
    pub fn none() -> Self {
        let usual = |key| PACK.row(key, None).map_or(f64::NAN, Key::example_si);
        Self { humidity: usual("humidity"), altitude_m: usual("altitude"), shelf_k: usual("shelf"), ..Self::default() }
    }

    /// A table over what holds without it: a tray's over the sheet's.
    pub fn read(table: &Section<'_>, usual: &Self) -> Self {
        if table.has("size") {
            table.refuse(&["servings", "serving"], "`size`", "give one of them");
        }
        // servings of a tray of its own take the place of the sheet's size
        let by_serving = table.has("servings") || table.has("serving");
        let usual_size_kg = usual.size_kg.filter(|_| !by_serving);
        Self {
            servings: table.quantity("servings").or(usual.servings),
            serving_kg: table.quantity("serving").or(usual.serving_kg),
            size_kg: table.quantity("size").or(usual_size_kg),
            container_m3: table.quantity("container").or(usual.container_m3),
            wall: table.word("wall").map_or(usual.wall, wall),
            absorber_m3: table.quantity("absorber").or(usual.absorber_m3),
            price: table.quantity("price").or(usual.price),
            absorber_price: table.quantity("absorber_price").or(usual.absorber_price),
            allergens: table.text("allergens").map(str::to_string).or_else(|| usual.allergens.clone()),
            humidity: table.quantity("humidity").unwrap_or(usual.humidity),
            altitude_m: table.quantity("altitude").unwrap_or(usual.altitude_m),
            shelf_k: table.quantity("shelf").unwrap_or(usual.shelf_k),
        }
    }
}
