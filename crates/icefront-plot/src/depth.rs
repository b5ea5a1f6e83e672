//! The depth of a food as its ice front sees it: a layer from its top to the tray, a piece from its face to its middle.

use icefront_core::primary::Arrangement;
use icefront_core::shape::Shape;

/// Keeps the middle of a piece off the pole of its shape form, share of the depth. As the model does (`docs/model.md`, S2).
const SMALLEST_CORE: f64 = 0.08;

/// Depth and dimension.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Depth {
    /// From where the front ends to where it starts, m.
    pub length_m: f64,
    /// 1 for a layer, up to 3 for a ball.
    dimension: f64,
}

impl Depth {
    pub(crate) fn of(shape: &Shape) -> Self {
        // the area of the tray makes no difference to the depth
        match Arrangement::of(shape, 1.0) {
            Arrangement::Layer { depth_m, .. } => Self { length_m: depth_m, dimension: 1.0 },
            Arrangement::Pieces { form, .. } => {
                let core = form.core();
                Self { length_m: core.radius_m, dimension: core.dimension }
            }
        }
    }

    pub(crate) fn is_layer(&self) -> bool {
        self.dimension <= 1.0
    }

    /// Where the front stands with this share of the ice left, share of the depth.
    pub(crate) fn front(&self, ice_left: f64) -> f64 {
        libm::pow(ice_left.clamp(0.0, 1.0), 1.0 / self.dimension)
    }

    /// Temperature at `at`, share of the depth, with the front at `front`: straight in the dried part of a layer, steeper
    /// towards the middle of a piece (`docs/model.md`, S3), the front's own in the frozen part.
    pub(crate) fn temperature_k(&self, at: f64, front: f64, (front_k, surface_k): (f64, f64)) -> f64 {
        let front = if self.is_layer() { front } else { front.max(SMALLEST_CORE) };
        // integral from `from` to 1 of s^(1-n)
        let form = |from: f64| match self.dimension - 2.0 {
            over if over.abs() < 1e-6 => -libm::log(from),
            over => (libm::pow(from, -over) - 1.0) / over,
        };
        let whole = form(front);
        let share = if whole > 0.0 { form(at.max(front)) / whole } else { 0.0 };
        surface_k + share * (front_k - surface_k)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_the_ice_stands_where_the_shape_says() {
        // A layer: half its depth. A ball: (1/2)^(1/3) of its radius.
        let layer = Depth { length_m: 0.015, dimension: 1.0 };
        let ball = Depth { length_m: 0.007, dimension: 3.0 };
        assert_eq!(layer.front(0.5), 0.5);
        assert!((ball.front(0.5) - 0.793_700_526).abs() < 1e-9);
    }

    #[test]
    fn temperature_runs_from_front_to_surface_by_the_shape_form() {
        // Between front at 1/2 and the surface at 3/4: a layer half way; a ball (4/3 - 1)/(2 - 1), a stick ln(4/3)/ln 2.
        let ends = (250.0, 290.0);
        for (dimension, share) in [(1.0, 0.5), (2.0, (4.0_f64 / 3.0).ln() / 2.0_f64.ln()), (3.0, 1.0 / 3.0)] {
            let depth = Depth { length_m: 0.01, dimension };
            let kelvin = depth.temperature_k(0.75, 0.5, ends);
            assert!((kelvin - (290.0 - 40.0 * share)).abs() < 1e-9, "{dimension}: {kelvin}");
            assert_eq!(depth.temperature_k(0.2, 0.5, ends), 250.0);
            assert_eq!(depth.temperature_k(1.0, 0.5, ends), 290.0);
            assert_eq!(depth.temperature_k(1.0, 1.0, ends), 290.0);
        }
    }
}
