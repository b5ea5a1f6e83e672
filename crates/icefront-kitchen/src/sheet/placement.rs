//! How the food lies on its tray: shape, size and amount put together.
//!
//! Where amount and depth are both given and agree, the food's density follows from the two, since a scale and a ruler beat a
//! table. Less food than fills the tray to that depth lies on a part of it; more contradicts the depth.

use icefront_core::shape::{LOOSE_COVERAGE, PieceForm, Shape};

use crate::sheet::section::Section;
use crate::{format, quantity};

/// Greatest share that equal disks can cover, pi/sqrt(12). Source: Thue's theorem on packing circles.
const DISK_PACKING: f64 = 0.906_899_682_117_109;
/// Amount and geometry may differ by this factor before they contradict each other.
const AGREE: f64 = 1.3;

/// A placed food.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed {
    /// Its shape.
    pub shape: Shape,
    /// Density that amount and depth give together, where both are given, kg/m3.
    pub density_kg_per_m3: Option<f64>,
    /// Share of the tray under the food of a layer; pieces have their own coverage.
    pub covered_frac: f64,
}

/// The tray and what is known of the food before it is placed.
#[derive(Clone, Copy, Debug)]
pub struct TrayGeometry {
    /// Floor of the tray, m2.
    pub area_m2: f64,
    /// Density of the food, kg/m3.
    pub density_kg_per_m3: f64,
    /// Amount given, kg.
    pub amount_kg: Option<f64>,
}

/// Reads shape and sizes and places the food; `None` if a problem was noted.
pub fn place(tray: &Section<'_>, geometry: Option<TrayGeometry>) -> Option<Placed> {
    let shape = tray.word("shape")?;
    if shape == "layer" {
        return layer(tray, geometry);
    }
    let piece = piece(tray, shape);
    let coverage = tray.quantity("coverage");
    let layers = layers(tray, piece);
    pieces(tray, geometry?, piece?, layers, coverage)
}

fn layer(tray: &Section<'_>, geometry: Option<TrayGeometry>) -> Option<Placed> {
    if tray.has("depth") && tray.has("filled_to") {
        let help = "for a layer both give the depth of the food";
        tray.note("filled_to", "`depth` and `filled_to` are both given", "give one of them", help);
    }
    let key = if tray.has("depth") { "depth" } else { "filled_to" };
    let depth_m = tray.quantity(key);
    let geometry = geometry?;
    let (depth_m, density, covered_frac) = match (depth_m, geometry.amount_kg) {
        (Some(depth_m), Some(amount_kg)) => {
            let geometric_kg = depth_m * geometry.area_m2 * geometry.density_kg_per_m3;
            if amount_kg * AGREE <= geometric_kg {
                (depth_m, None, amount_kg / geometric_kg)
            } else {
                agree(tray, key, amount_kg, geometric_kg)?;
                (depth_m, Some(amount_kg / (depth_m * geometry.area_m2)), 1.0)
            }
        }
        (Some(depth_m), None) => (depth_m, None, 1.0),
        (None, Some(amount_kg)) if !tray.has(key) => {
            (amount_kg / (geometry.area_m2 * geometry.density_kg_per_m3), None, 1.0)
        }
        _ => {
            if !tray.has(key) && !tray.has("amount") {
                let help = "such as depth = \"15 mm\" or amount = \"900 g\"";
                tray.note("shape", "neither `depth` nor `amount` is given", "how much?", help);
            }
            return None;
        }
    };
    if !(quantity::DEPTH.low..=quantity::DEPTH.high).contains(&depth_m) {
        let units = tray.units();
        let label = format!("makes a layer of {}", units.length(depth_m));
        let help = format!("on {} of tray; allowed depth: {}", units.area(geometry.area_m2), quantity::DEPTH.words);
        tray.note("amount", "the amount does not fit the tray", label, help);
        return None;
    }
    Some(Placed { shape: Shape::Layer { depth_m }, density_kg_per_m3: density, covered_frac })
}

fn piece(tray: &Section<'_>, shape: &str) -> Option<PieceForm> {
    let size = |key| tray.quantity(key);
    match shape {
        "spheres" => Some(PieceForm::Sphere { diameter_m: size("size")? }),
        "cubes" => {
            let edge_m = size("size")?;
            Some(PieceForm::Brick { length_m: edge_m, width_m: edge_m, height_m: edge_m })
        }
        "sticks" => Some(PieceForm::Cylinder { diameter_m: size("thickness")?, length_m: size("length")? }),
        "slices" => {
            let (thickness_m, width_m) = (size("thickness")?, size("width")?);
            Some(PieceForm::Brick { length_m: width_m, width_m, height_m: thickness_m })
        }
        _ => Some(PieceForm::Brick { length_m: size("length")?, width_m: size("width")?, height_m: size("height")? }),
    }
}

/// Layers of pieces, by their number or by the height the food is filled to.
fn layers(tray: &Section<'_>, piece: Option<PieceForm>) -> Option<usize> {
    let layers = tray.whole("layers");
    let filled_m = tray.quantity("filled_to");
    if tray.has("layers") && tray.has("filled_to") {
        let help = "both give the height of the pieces";
        tray.note("filled_to", "`layers` and `filled_to` are both given", "give one of them", help);
    }
    layers.or_else(|| Some((filled_m? / piece?.lying().height_m).round().max(1.0) as usize))
}

fn pieces(
    tray: &Section<'_>,
    geometry: TrayGeometry,
    form: PieceForm,
    layers: Option<usize>,
    coverage: Option<f64>,
) -> Option<Placed> {
    let lying = form.lying();
    let full_layer_kg = geometry.density_kg_per_m3 * geometry.area_m2 * lying.volume_m3 / lying.footprint_m2;
    let densest = if matches!(form, PieceForm::Sphere { .. }) { DISK_PACKING } else { 1.0 };

    let (layers, coverage) = match geometry.amount_kg {
        None => (layers.unwrap_or(1), coverage.unwrap_or(LOOSE_COVERAGE)),
        Some(amount_kg) => {
            let full_layers = amount_kg / full_layer_kg;
            if let (Some(layers), Some(coverage)) = (layers, coverage) {
                agree(tray, "coverage", amount_kg, full_layer_kg * coverage * layers as f64)?;
            }
            let layers =
                layers.unwrap_or_else(|| (full_layers / coverage.unwrap_or(LOOSE_COVERAGE)).ceil().max(1.0) as usize);
            (layers, full_layers / layers as f64)
        }
    };
    if coverage > densest {
        let key = if geometry.amount_kg.is_some() { "amount" } else { "coverage" };
        let label = format!("would cover {} of the tray in each layer", format::percent(coverage));
        let most = tray.units().mass(full_layer_kg * densest * layers as f64);
        let help = format!("such pieces cover at most {}: {most} of food here", format::percent(densest));
        tray.note(key, "the pieces do not fit the tray", label, help);
        return None;
    }
    let shape = Shape::Pieces { form, layers, coverage };
    if shape.height_m() > quantity::DEPTH.high {
        let units = tray.units();
        let label = format!("is {} high", units.length(shape.height_m()));
        let help = format!("allowed height: up to {}", units.length(quantity::DEPTH.high));
        let key = ["amount", "layers", "filled_to"].into_iter().find(|k| tray.has(k)).unwrap_or("shape");
        tray.note(key, "the food is too high", label, help);
        return None;
    }
    Some(Placed { shape, density_kg_per_m3: None, covered_frac: 1.0 })
}

/// Notes amount and geometry that contradict each other.
fn agree(tray: &Section<'_>, key: &str, amount_kg: f64, geometric_kg: f64) -> Option<()> {
    if amount_kg / geometric_kg < AGREE && geometric_kg / amount_kg < AGREE {
        return Some(());
    }
    let units = tray.units();
    let title = format!("`amount` and `{key}` contradict each other");
    let label = format!("{} of food, but by `{key}` it is {}", units.mass(amount_kg), units.mass(geometric_kg));
    tray.note("amount", title, label, "leave one of them out; the other follows");
    None
}
