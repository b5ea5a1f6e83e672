//! Errors of the cook's tools, shared by the commands that take readings.

use clap::Args;
use icefront_core::learning::Errors;

use icefront_kitchen::quantity::{Kind, Limit};

/// Raw arguments.
#[derive(Clone, Debug, Args)]
pub struct ToolErrors {
    /// How far a weighing may be off, one standard deviation.
    #[arg(long, value_name = "MASS", default_value = "10 g", value_parser = SCALE.option(), hide_short_help = true)]
    scale_error: f64,
    /// How far thermometers may be off (and as much again for where the probe is in the food).
    #[arg(long, value_name = "DIFFERENCE", default_value = "1 K", value_parser = THERMOMETER.option(), hide_short_help = true)]
    thermometer_error: f64,
    /// How far the plug meter may be off, as a share.
    #[arg(long, value_name = "SHARE", default_value = "2 %", value_parser = SHARE.option(), hide_short_help = true)]
    meter_error: f64,
    /// How far the pressure gauge may be off, as a share.
    #[arg(long, value_name = "SHARE", default_value = "15 %", value_parser = SHARE.option(), hide_short_help = true)]
    gauge_error: f64,
}

const SCALE: Limit = Limit::new(Kind::Mass, 0.0001, 1.0, "0.1 g to 1 kg");
const THERMOMETER: Limit = Limit::new(Kind::Difference, 0.05, 20.0, "0.05 K to 20 K");
const SHARE: Limit = Limit::new(Kind::Share, 0.001, 1.0, "0.1 % to 100 %");

impl ToolErrors {
    /// In SI, the others as usual.
    pub fn errors(&self) -> Errors {
        let mut errors = Errors::default();
        errors.scale.own = self.scale_error;
        errors.shelf.common = self.thermometer_error;
        errors.product.common = 2.0 * self.thermometer_error;
        errors.plug_meter.common_share = self.meter_error;
        errors.gauge.common_share = self.gauge_error;
        errors
    }
}
