//! The fields of the questions.

use crate::questions::night::NightOptions;
use crate::request::Request;

/// The word for cost as a goal.
pub const COST: &str = "cost-per-kg";

/// The fields of the questions.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Options {
    /// Key to vary.
    pub key: String,
    /// Its values.
    pub values: String,
    /// Whether cost counts, not time.
    pub by_cost: bool,
    /// When the machine starts.
    pub start: String,
    /// Whether a learned dryer file that exists is replaced.
    pub relearn: bool,
    /// The night outdoors.
    pub night: NightOptions,
}

impl Options {
    /// As they were sent.
    pub fn of(request: &Request) -> Self {
        let field = |name: &str| request.field(name).to_string();
        Self {
            key: field("vary.key"),
            values: field("vary.values"),
            by_cost: request.field("best.goal") == COST,
            start: field("bill.start"),
            relearn: request.field("learn.force") == "true",
            night: NightOptions::of(request),
        }
    }
}
