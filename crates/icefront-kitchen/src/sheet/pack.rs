//! `[pack]` and `[tray.pack]`: how dried food is divided, packed and kept.

use icefront_core::aftercare::Wall;
use icefront_core::constants::ZERO_CELSIUS_K;

use crate::sheet::limits;
use crate::sheet::section::Section;

/// Keys of both tables.
pub const KEYS: [&str; 12] = [
    "servings",
    "serving",
    "size",
    "container",
    "wall",
    "absorber",
    "price",
    "absorber_price",
    "allergens",
    "humidity",
    "altitude",
    "shelf",
];

/// Humidity of a kitchen, where the sheet does not say.
const HUMIDITY: f64 = 0.5;
/// Shelf that packs stand on, where the sheet does not say.
const SHELF_K: f64 = ZERO_CELSIUS_K + 20.0;

/// Walls by the word that names them.
pub const WALLS: [(&str, Wall); 6] = [
    ("glass", Wall::GlassOrMetal),
    ("metal", Wall::GlassOrMetal),
    ("foil", Wall::Foil),
    ("metallised", Wall::Metallised),
    ("nylon", Wall::Nylon),
    ("polyethylene", Wall::Polyethylene),
];

/// What the cook wants, SI; `None` where the sheet does not say.
#[derive(Clone, Debug, PartialEq)]
pub struct Wishes {
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

impl Wishes {
    /// What holds where a sheet has no such table.
    pub fn none() -> Self {
        Self {
            servings: None,
            serving_kg: None,
            size_kg: None,
            container_m3: None,
            wall: Wall::GlassOrMetal,
            absorber_m3: None,
            price: None,
            absorber_price: None,
            allergens: None,
            humidity: HUMIDITY,
            altitude_m: 0.0,
            shelf_k: SHELF_K,
        }
    }

    /// A table over what holds without it: a tray's over the sheet's.
    pub fn read(table: &Section<'_>, usual: &Self) -> Self {
        if table.has("size") {
            table.refuse(&["servings", "serving"], "`size`", "give one of them");
        }
        // servings of a tray of its own take the place of the sheet's size
        let by_serving = table.has("servings") || table.has("serving");
        let usual_size_kg = usual.size_kg.filter(|_| !by_serving);
        let quantity = |key: &str, limit| table.quantity(key, limit);
        Self {
            servings: quantity("servings", &limits::SERVINGS).or(usual.servings),
            serving_kg: quantity("serving", &limits::AMOUNT).or(usual.serving_kg),
            size_kg: quantity("size", &limits::AMOUNT).or(usual_size_kg),
            container_m3: quantity("container", &limits::CONTAINER).or(usual.container_m3),
            wall: table.choice("wall", &WALLS).unwrap_or(usual.wall),
            absorber_m3: quantity("absorber", &limits::ABSORBER).or(usual.absorber_m3),
            price: quantity("price", &limits::MONEY).or(usual.price),
            absorber_price: quantity("absorber_price", &limits::MONEY).or(usual.absorber_price),
            allergens: table.text("allergens").map(str::to_string).or_else(|| usual.allergens.clone()),
            humidity: quantity("humidity", &limits::HUMIDITY).unwrap_or(usual.humidity),
            altitude_m: quantity("altitude", &limits::ALTITUDE).unwrap_or(usual.altitude_m),
            shelf_k: quantity("shelf", &limits::PACK_SHELF).unwrap_or(usual.shelf_k),
        }
    }
}
