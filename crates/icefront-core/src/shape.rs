//! Shape of the food on a tray: a layer, pieces one deep, or a bed of pieces.

use std::f64::consts::PI;

use crate::brick::Ratios;
use serde::{Deserialize, Serialize};

/// How the food lies on its tray. All lengths in metres.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Shape {
    /// A layer over the whole tray: heat from below and above, vapour leaves from the top.
    Layer {
        /// Thickness, m.
        depth_m: f64,
    },
    /// Pieces of one form and size, one or more layers deep. Each piece dries from its surface inwards.
    Pieces {
        /// Form of a piece.
        form: PieceForm,
        /// Layers of pieces one above the other, at least 1.
        layers: usize,
        /// Share of the tray that one layer covers seen from above, 0 to 1.
        coverage: f64,
    },
}

/// Form of a piece. All lengths in metres.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum PieceForm {
    /// A ball: peas, berries.
    Sphere {
        /// Diameter, m.
        diameter_m: f64,
    },
    /// A long stick or a whole bean pod, lying.
    Cylinder {
        /// Diameter, m.
        diameter_m: f64,
        /// Length, m.
        length_m: f64,
    },
    /// A cube, brick or slice. The third edge stands upright.
    Brick {
        /// Edge along the tray, m.
        length_m: f64,
        /// Edge across the tray, m.
        width_m: f64,
        /// Height, m.
        height_m: f64,
    },
}

/// A piece as a shrinking core of radius `R` and dimension `n`.
///
/// ```text
/// n    1 for a slab, 2 for a long cylinder, 3 for a sphere, between 1 and 3.4 for bricks
/// R    n V/A0 of all but bricks; of bricks such that the front reaches the middle when it does
/// ```
/// Volume and surface are kept exactly; `docs/model.md`, S1 and S14 to S16.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Core {
    /// Half thickness or radius, m.
    pub radius_m: f64,
    /// Dimension n of the shell form, 1 to 3.4.
    pub dimension: f64,
    /// Radius R of the shell form, m: that of a ball or stick, longer than half a brick's least edge.
    pub shell_radius_m: f64,
    /// Outer surface that lets vapour out, m2.
    pub surface_m2: f64,
    /// How large it is as it lies.
    pub lying: Lying,
}

/// A piece as it lies on its tray.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lying {
    /// Volume of the piece, m3.
    pub volume_m3: f64,
    /// Area seen from above, m2.
    pub footprint_m2: f64,
    /// Height as it lies, m.
    pub height_m: f64,
    /// Mean gap between a flat tray and the part of the piece that faces it, m; 0 where a flat face lies on it.
    pub mean_gap_m: f64,
}

/// Pieces that would cover the tray `covers` times, in as few layers as cover it no denser than this.
fn spread_out(form: PieceForm, covers: f64, densest: f64) -> Shape {
    let layers = layers_of(covers, densest);
    Shape::Pieces { form, layers, coverage: covers / layers as f64 }
}

/// As few layers as cover the tray no denser than this.
fn layers_of(covers: f64, densest: f64) -> usize {
    // round-off must not make one more layer
    ((covers / densest - 1e-9).ceil() as usize).max(1)
}

/// How dense pieces may lie that lie so now: as dense as loose ones do, or as they do where they lie in more layers than
/// they need. Another amount of them, or another size, then lies as they were laid.
fn densest(coverage: f64, layers: usize) -> f64 {
    let usual = coverage.max(LOOSE_COVERAGE);
    if layers_of(coverage * layers as f64, usual) == layers { usual } else { coverage }
}

/// A slice is at least this many times as wide as it is thick; it is cut by its thickness alone.
const SLICE: f64 = 3.0;

impl PieceForm {
    /// A piece `factor` times as large.
    pub fn cut(&self, factor: f64) -> Self {
        match *self {
            Self::Sphere { diameter_m } => Self::Sphere { diameter_m: diameter_m * factor },
            Self::Cylinder { diameter_m, length_m } => Self::Cylinder { diameter_m: diameter_m * factor, length_m },
            Self::Brick { length_m, width_m, height_m } if length_m.min(width_m) >= SLICE * height_m => {
                Self::Brick { length_m, width_m, height_m: height_m * factor }
            }
            Self::Brick { length_m, width_m, height_m } => {
                Self::Brick { length_m: length_m * factor, width_m: width_m * factor, height_m: height_m * factor }
            }
        }
    }

    /// How large a piece is as it lies.
    pub fn lying(&self) -> Lying {
        match *self {
            Self::Sphere { diameter_m: d } => Lying {
                volume_m3: PI * d.powi(3) / 6.0,
                footprint_m2: PI * d * d / 4.0,
                height_m: d,
                // mean over the disk of R - sqrt(R^2 - r^2) is R/3
                mean_gap_m: d / 6.0,
            },
            Self::Cylinder { diameter_m: d, length_m: l } => Lying {
                volume_m3: PI * d * d * l / 4.0,
                footprint_m2: d * l,
                height_m: d,
                // mean over the width of R - sqrt(R^2 - x^2) is R (1 - pi/4)
                mean_gap_m: 0.5 * d * (1.0 - PI / 4.0),
            },
            Self::Brick { length_m, width_m, height_m } => Lying {
                volume_m3: length_m * width_m * height_m,
                footprint_m2: length_m * width_m,
                height_m,
                mean_gap_m: 0.0,
            },
        }
    }

    /// The piece as a shrinking core.
    pub fn core(&self) -> Core {
        let lying = self.lying();
        match *self {
            Self::Sphere { diameter_m: d } => {
                Core { radius_m: 0.5 * d, dimension: 3.0, shell_radius_m: 0.5 * d, surface_m2: PI * d * d, lying }
            }
            Self::Cylinder { diameter_m: d, length_m: l } => {
                let surface_m2 = PI * d * l + PI * d * d / 2.0;
                let radius_m = 0.5 * d.min(l);
                Core {
                    radius_m,
                    dimension: (surface_m2 * radius_m / lying.volume_m3).clamp(1.0, 3.0),
                    shell_radius_m: radius_m,
                    surface_m2,
                    lying,
                }
            }
            Self::Brick { length_m, width_m, height_m } => {
                let surface_m2 = 2.0 * (length_m * width_m + width_m * height_m + length_m * height_m);
                brick([length_m, width_m, height_m], surface_m2, lying)
            }
        }
    }

    /// The same of a piece whose underside lies on its tray and lets no vapour out: the upper half of one twice as high.
    /// Round ones touch with a point only.
    pub fn lying_core(&self) -> Core {
        match *self {
            Self::Brick { length_m, width_m, height_m } => {
                let surface_m2 = length_m * width_m + 2.0 * (width_m + length_m) * height_m;
                brick([length_m, width_m, 2.0 * height_m], surface_m2, self.lying())
            }
            _ => self.core(),
        }
    }
}

/// A brick of which `surface_m2` is open, so that its front moves as in one with these edges.
fn brick(edges_m: [f64; 3], surface_m2: f64, lying: Lying) -> Core {
    let ratios = Ratios::of(edges_m);
    let (middle, dimension) = ratios.middle_and_dimension();
    Core {
        radius_m: 0.5 * edges_m.into_iter().fold(f64::INFINITY, f64::min),
        dimension,
        shell_radius_m: ratios.radius(middle) * lying.volume_m3 / surface_m2,
        surface_m2,
        lying,
    }
}

/// Share of a tray that loose pieces cover in one layer unless stated otherwise. From memory.
pub const LOOSE_COVERAGE: f64 = 0.75;

/// Thinnest food that is computed, m.
pub(crate) const LEAST_HEIGHT_M: f64 = 5e-4;

impl Shape {
    /// Loose pieces that hold this volume per tray area (m), in as few layers as cover the tray no denser than loose
    /// pieces do.
    pub fn loose(form: PieceForm, volume_per_area_m: f64) -> Self {
        let lying = form.lying();
        spread_out(form, volume_per_area_m * lying.footprint_m2 / lying.volume_m3, LOOSE_COVERAGE)
    }

    /// The same food, `share` times as much of it: a deeper layer, or more layers of pieces that cover the tray no
    /// denser than before.
    pub fn filled(&self, share: f64) -> Self {
        match *self {
            Self::Layer { depth_m } => Self::Layer { depth_m: depth_m * share },
            Self::Pieces { form, layers, coverage } => {
                spread_out(form, coverage * layers as f64 * share, densest(coverage, layers))
            }
        }
    }

    /// As much food in pieces `factor` times as large, slices as much thicker; a layer stays as it is.
    pub fn cut(&self, factor: f64) -> Self {
        match *self {
            Self::Layer { .. } => *self,
            Self::Pieces { form, layers, coverage } => {
                let cut = form.cut(factor);
                let filled = |form: PieceForm| form.lying().volume_m3 / form.lying().footprint_m2;
                let covers = coverage * layers as f64 * filled(form) / filled(cut);
                spread_out(cut, covers, densest(coverage, layers))
            }
        }
    }
    /// Volume of food per tray area, m3/m2 (a layer's depth).
    pub fn volume_per_area_m(&self) -> f64 {
        match self {
            Self::Layer { depth_m } => *depth_m,
            Self::Pieces { form, layers, coverage } => {
                let lying = form.lying();
                lying.volume_m3 / lying.footprint_m2 * coverage * *layers as f64
            }
        }
    }

    /// Height of the food above the tray, m.
    pub fn height_m(&self) -> f64 {
        match self {
            Self::Layer { depth_m } => *depth_m,
            Self::Pieces { form, layers, .. } => form.lying().height_m * *layers as f64,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn as_much_food_of_the_same_size_lies_as_it_did() {
        let form = PieceForm::Sphere { diameter_m: 0.01 };
        for (layers, coverage) in [(1, 0.3), (1, 0.9), (2, 0.3), (2, 0.6), (4, 0.2), (3, 1.0)] {
            let shape = Shape::Pieces { form, layers, coverage };
            for same in [shape.filled(1.0), shape.cut(1.0)] {
                let Shape::Pieces { layers: lies_in, coverage: covers, .. } = same else { panic!("{same:?}") };
                assert_eq!(lies_in, layers, "{shape:?}");
                assert!((covers - coverage).abs() < 1e-12);
            }
            // more of it lies in no fewer layers
            let Shape::Pieces { layers: more, .. } = shape.filled(1.25) else { panic!("pieces") };
            assert!(more >= layers, "{shape:?}");
        }
    }
}
