//! `[end]` and `[tariff]`: what ends the run, and the price of electricity.

use icefront_core::load::{EndRule, Tariff};

use crate::sheet::limits;
use crate::sheet::section::Section;

/// Keys of `[end]`.
pub const END_KEYS: [&str; 6] = ["rule", "moisture", "time", "difference", "loss", "over"];
/// Keys of `[tariff]`.
pub const TARIFF_KEYS: [&str; 3] = ["price_per_kwh", "currency", "period"];

/// What holds where the sheet has no `[end]`: the wettest spot below 3 %.
pub const DEFAULT_END: EndRule = EndRule::WettestSpot { moisture_wet_frac: 0.03 };

#[derive(Clone, Copy)]
enum Rule {
    WettestSpot,
    FixedTime,
    TemperaturesMeet,
    WeightConstant,
}

/// Reads `[end]`; `None` if a problem was noted.
pub fn read_end(table: &Section<'_>) -> Option<EndRule> {
    let rules = [
        ("wettest spot", Rule::WettestSpot),
        ("fixed time", Rule::FixedTime),
        ("temperatures meet", Rule::TemperaturesMeet),
        ("weight constant", Rule::WeightConstant),
    ];
    let help = "`wettest spot`, `fixed time`, `temperatures meet` or `weight constant`";
    let rule = table.required("rule", table.choice("rule", &rules), help)?;
    let only = |keys: &[&str]| {
        let others: Vec<&str> = END_KEYS[1..].iter().copied().filter(|k| !keys.contains(k)).collect();
        table.refuse(&others, "this rule", &format!("it takes `{}`", keys.join("` and `")));
    };
    let need = |key: &str, limit, help: &str| table.required(key, table.quantity(key, limit), help);
    match rule {
        Rule::WettestSpot => {
            only(&["moisture"]);
            Some(EndRule::WettestSpot {
                moisture_wet_frac: need("moisture", &limits::END_MOISTURE, "such as \"3 %\"")?,
            })
        }
        Rule::FixedTime => {
            only(&["time"]);
            Some(EndRule::FixedTime { time_s: need("time", &limits::END_TIME, "such as \"20 h\"")? })
        }
        Rule::TemperaturesMeet => {
            only(&["difference"]);
            let delta = need("difference", &limits::END_DIFFERENCE, "such as \"2 K\"")?;
            Some(EndRule::TemperaturesMeet { delta_k: delta })
        }
        Rule::WeightConstant => {
            only(&["loss", "over"]);
            let loss = need("loss", &limits::END_LOSS, "such as \"5 g\"");
            let over = need("over", &limits::END_OVER, "such as \"2 h\"");
            Some(EndRule::WeightConstant { loss_kg: loss?, over_s: over? })
        }
    }
}

/// Reads `[tariff]`.
pub fn read_tariff(table: &Section<'_>) -> Option<Tariff> {
    let price = table.quantity("price_per_kwh", &limits::PRICE);
    let price = table.required("price_per_kwh", price, "such as price_per_kwh = 0.25");
    let currency = table.required("currency", table.text("currency"), "such as currency = \"EUR\"");
    Some(Tariff { price_per_kwh: Some(price?), currency: currency?.to_string() })
}
