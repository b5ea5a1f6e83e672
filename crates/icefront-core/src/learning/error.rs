//! How far a reading may be off: each tool's error, part of it anew at each reading and part common to all of its readings.
//!
//! A plug meter that reads 2 % too high does so all night: reading it every hour does not make it better. Errors are
//! normal; the common part ties the readings of one tool (on one tray) together in the covariance.

use super::{Discrepancy, Quantity, Reading};
use crate::numerics::linear::Matrix;

/// Standard deviations of one tool.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ToolError {
    /// Anew at each reading, SI.
    pub own: f64,
    /// The same at all readings, SI.
    pub common: f64,
    /// The same at all readings, as a share of the reading.
    pub common_share: f64,
}

/// Errors of all tools. The default ones are `common practice, no source`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Errors {
    /// Kitchen scale: 10 g (5 g of the scale; crumbs, frost and moist air on the way to it).
    pub scale: ToolError,
    /// Probe in the food: 1 K, and 2 K for where its tip lies.
    pub product: ToolError,
    /// Thermometer on a shelf: 0.5 K, and 1 K of its own.
    pub shelf: ToolError,
    /// Pressure gauge: 2 Pa, and 15 % of its own.
    pub gauge: ToolError,
    /// Plug meter: 0.02 kWh, and 2 % of its own.
    pub plug_meter: ToolError,
    /// Pressure rise: 0.01 Pa/s, and 20 % for the volume of the chamber.
    pub rise: ToolError,
    /// Water caught at defrost: 30 g, and 3 % that stays in the machine or leaves through the pump.
    pub drained: ToolError,
    /// Clock at the start of the pump: 10 min.
    pub clock: ToolError,
    /// Clock at the end: 30 min, since nobody watches all the time.
    pub finish: ToolError,
    /// What the model itself may be off.
    pub model: Discrepancy,
}

impl Default for Errors {
    fn default() -> Self {
        let tool = |own, common, common_share| ToolError { own, common, common_share };
        Self {
            scale: tool(0.010, 0.0, 0.0),
            product: tool(1.0, 2.0, 0.0),
            shelf: tool(0.5, 1.0, 0.0),
            gauge: tool(2.0, 0.0, 0.15),
            plug_meter: tool(0.02 * 3.6e6, 0.0, 0.02),
            rise: tool(0.01, 0.0, 0.2),
            drained: tool(0.030, 0.0, 0.03),
            clock: tool(600.0, 0.0, 0.0),
            finish: tool(1_800.0, 0.0, 0.0),
            model: Discrepancy::default(),
        }
    }
}

impl Errors {
    /// The error of a quantity's tool.
    pub fn of(&self, quantity: Quantity) -> ToolError {
        match quantity {
            Quantity::Weight { .. } | Quantity::WaterLost { .. } => self.scale,
            Quantity::Product { .. } => self.product,
            Quantity::Shelf { .. } => self.shelf,
            Quantity::Pressure => self.gauge,
            Quantity::Energy => self.plug_meter,
            Quantity::PressureRise => self.rise,
            Quantity::Drained => self.drained,
            Quantity::PumpStarted => self.clock,
            Quantity::Finished => self.finish,
        }
    }

    /// Covariance of the errors of the tools at some readings; that of the model comes on top of it.
    pub(super) fn covariance(&self, readings: &[Reading]) -> Matrix {
        let common = |r: &Reading| {
            let tool = self.of(r.quantity);
            libm::hypot(tool.common, tool.common_share * r.value)
        };
        Matrix::from_fn(readings.len(), readings.len(), |i, j| {
            let (a, b) = (&readings[i], &readings[j]);
            let own = if i == j { self.of(a.quantity).own.powi(2) } else { 0.0 };
            let tied = if a.quantity == b.quantity { common(a) * common(b) } else { 0.0 };
            own + tied
        })
    }
}
