//! `[end]` and `[tariff]`: what ends the run, and the price of electricity.

use icefront_core::load::{EndRule, Tariff};

use crate::sheet::schema::Key;
use crate::sheet::schema::load::END;
use crate::sheet::section::Section;

/// What holds where the sheet has no `[end]`.
pub fn usual_end() -> EndRule {
    EndRule::WettestSpot { moisture_wet_frac: END.row("moisture", None).map_or(f64::NAN, Key::example_si) }
}

/// Reads `[end]`; `None` if a problem was noted.
pub fn read_end(table: &Section<'_>) -> Option<EndRule> {
    Some(match table.word("rule")? {
        "fixed time" => EndRule::FixedTime { time_s: table.quantity("time")? },
        "temperatures meet" => EndRule::TemperaturesMeet { delta_k: table.quantity("difference")? },
        "weight constant" => {
            EndRule::WeightConstant { loss_kg: table.quantity("loss")?, over_s: table.quantity("over")? }
        }
        _ => EndRule::WettestSpot { moisture_wet_frac: table.quantity("moisture")? },
    })
}

/// Reads `[tariff]`.
pub fn read_tariff(table: &Section<'_>) -> Option<Tariff> {
    Some(Tariff {
        price_per_kwh: Some(table.quantity("price_per_kwh")?),
        currency: table.text("currency").unwrap_or_default().into(),
    })
}
