//! Parts of a tray side by side: the plain food, the columns in which embedded pieces lie, strips of better and worse
//! contact. They share the shelf below, what is above and the chamber; nothing passes sideways.

use super::state::DEPTHS;
use crate::cuts::CutFront;
use crate::food::FoodModel;
use crate::load::{Embedded, Freezing, Tray};
use crate::primary::{Arrangement, Body};
use crate::shape::Shape;

/// One part of a tray.
#[derive(Clone, Debug)]
pub struct Part {
    /// Its food.
    pub model: FoodModel,
    /// Whether embedded pieces lie in it.
    pub with_pieces: bool,
    /// Its share of the tray's floor, m2.
    pub area_m2: f64,
    /// Factor on the heat that comes from below.
    pub below_factor: f64,
    /// How its food lies.
    pub arrangement: Arrangement,
    /// Fronts from the bottom up.
    pub bodies: Vec<Body>,
    /// Place of the middle of each depth, per front ([`Body::place`]).
    pub places: Vec<[f64; DEPTHS]>,
}

impl Part {
    fn new(model: FoodModel, with_pieces: bool, tray: &Tray, area_m2: f64, below_factor: f64) -> Self {
        let model = settling(model, tray);
        let arrangement = Arrangement::of(&tray.shape, area_m2);
        let mut bodies = arrangement.bodies(&model, area_m2);
        if let (Some(cuts), Shape::Layer { .. }) = (&tray.cuts, &tray.shape) {
            for layer in &mut bodies {
                let edge_m = tray.area_m2.sqrt();
                layer.cut = CutFront::new(cuts, layer.radius_m, layer.surface_m2, edge_m, &model.dried);
                layer.surface_m2 = layer.cut.map_or(layer.surface_m2, |cut| cut.surface_m2());
            }
        }
        let middle = |k: usize| (k as f64 + 0.5) / DEPTHS as f64;
        Self {
            places: bodies.iter().map(|b| std::array::from_fn(|k| b.place(middle(k)))).collect(),
            model,
            with_pieces,
            area_m2,
            below_factor,
            arrangement,
            bodies,
        }
    }

    /// Whether the food lies as a layer, with heat from below going to its front.
    pub fn is_layer(&self) -> bool {
        matches!(self.arrangement, Arrangement::Layer { .. })
    }

    /// Floor that its heat from below comes from, m2: what a layer covers, the whole tray under pieces.
    pub fn floor_m2(&self) -> f64 {
        match self.arrangement {
            Arrangement::Layer { area_m2, .. } => area_m2,
            Arrangement::Pieces { .. } => self.area_m2,
        }
    }
}

/// How pieces lie in a layer: the share of the floor over which there is one, and the share of the depth it takes there.
///
/// ```text
/// f = d/L      a = phi/f        d = V/A_seen, mean height of a piece; phi: share of the volume
/// ```
/// Pieces taller than the layer stand in it from bottom to top (f = 1). Where they would overlap (a > 1) they lie one
/// above the other all over (a = 1, f = phi).
pub fn columns_of(embedded: &Embedded, depth_m: f64) -> (f64, f64) {
    let lying = embedded.form.lying();
    let filled = (lying.volume_m3 / lying.footprint_m2 / depth_m).min(1.0);
    let area = embedded.share_frac / filled;
    if area > 1.0 { (1.0, embedded.share_frac) } else { (area, filled) }
}

/// Parts of a tray that lies in these strips.
pub fn parts_of(tray: &Tray, strips: &[Strip]) -> Vec<Part> {
    let plain = || (tray.model.clone(), false, 1.0);
    let foods = match (&tray.embedded, &tray.shape) {
        (Some(embedded), Shape::Layer { depth_m }) if embedded.share_frac > 0.0 => {
            let (area, filled) = columns_of(embedded, *depth_m);
            let mixed = (tray.model.in_series(&embedded.model, filled), true, area);
            if area < 1.0 { vec![(tray.model.clone(), false, 1.0 - area), mixed] } else { vec![mixed] }
        }
        _ => vec![plain()],
    };
    let mut parts = Vec::with_capacity(foods.len() * strips.len());
    for strip in strips {
        for (model, with_pieces, share) in &foods {
            let area_m2 = tray.area_m2 * share * strip.area_frac;
            parts.push(Part::new(model.clone(), *with_pieces, tray, area_m2, strip.below_factor));
        }
    }
    parts
}

/// A part of a tray that lies alike all over.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strip {
    /// Share of the tray.
    pub area_frac: f64,
    /// Factor on the heat from below.
    pub below_factor: f64,
}

/// A tray whose contact is uneven by `u`, as strips from the worst to the best.
///
/// ```text
/// three   1/3, 1/3, 1/3 of the tray     1-u, 1, 1+u           mean 1, standard deviation u sqrt(2/3)
/// two     2/5, 3/5                      1-u, 1+2u/3           the same mean, deviation and worst strip
/// ```
pub fn strips_of(uneven_frac: f64, count: usize) -> Vec<Strip> {
    let strip = |area_frac, below_factor| Strip { area_frac, below_factor };
    let third = |below_factor| strip(1.0 / 3.0, below_factor);
    match count {
        _ if uneven_frac <= 0.0 => vec![strip(1.0, 1.0)],
        0 | 1 => vec![strip(1.0, 1.0)],
        2 => vec![strip(0.4, 1.0 - uneven_frac), strip(0.6, 1.0 + uneven_frac * 2.0 / 3.0)],
        _ => vec![third(1.0 - uneven_frac), third(1.0), third(1.0 + uneven_frac)],
    }
}

/// The food as it can be followed: what is still to freeze has at least as much dissolved in its water as tap water has.
pub fn settling(model: FoodModel, tray: &Tray) -> FoodModel {
    if matches!(tray.freezing, Freezing::Frozen { .. }) { model } else { model.with_some_solute() }
}
