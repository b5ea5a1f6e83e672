//! Points that differ by shape.

use std::f64::consts::TAU;

use crate::canvas::{Pen, Place};
use crate::error::PlotError;
use crate::style::{PAPER, series_colour};

/// Corners of a shape, and how far it is turned from having one corner at the top, as a share of a full turn.
const SHAPES: [(usize, f64); 5] = [(24, 0.0), (4, 0.125), (3, 0.0), (4, 0.0), (3, 0.5)];
/// Radius of each shape, px: all of about the same area.
const RADII_PX: [f64; 5] = [4.4, 5.4, 6.2, 5.6, 6.2];
const RIM_PX: f64 = 1.7;

/// Draws a point of group `index`; ten groups differ by shape (round, square, triangles, diamond; filled, then open).
pub(crate) fn draw_marker(pen: &mut Pen<'_>, index: usize, centre: Place) -> Result<(), PlotError> {
    let shape = index % SHAPES.len();
    let open = (index / SHAPES.len()) % 2 == 1;
    let (corners, turn) = SHAPES.get(shape).copied().unwrap_or((24, 0.0));
    let radius_px = RADII_PX.get(shape).copied().unwrap_or(4.4);
    let outline = |radius_px: f64| -> Vec<Place> {
        let angles = (0..corners).map(|corner| (turn + corner as f64 / corners as f64) * TAU);
        angles.map(|angle| (centre.0 + radius_px * libm::sin(angle), centre.1 - radius_px * libm::cos(angle))).collect()
    };
    pen.area(&outline(radius_px + 1.2), PAPER)?;
    pen.area(&outline(radius_px), series_colour(index))?;
    if open { pen.area(&outline(radius_px - RIM_PX), PAPER) } else { Ok(()) }
}
