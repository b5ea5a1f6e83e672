//! Rules of the trade beside what the model computes. They count in no statistics and prove nothing.

use serde::{Deserialize, Serialize};

use crate::evidence::Predicted;

/// Where every rule of the trade comes from.
pub const NO_SOURCE: &str = "common practice, no source";

/// One rule of the trade.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Rule {
    /// Short unique name.
    pub id: String,
    /// The rule in words.
    pub statement: String,
    /// What is computed for it; empty where the model has no such figure.
    pub quantity: String,
    /// Under which conditions.
    pub conditions: String,
    /// Unit of both figures.
    pub unit: String,
    /// Low end of what the rule says; `None`: open.
    pub low: Option<f64>,
    /// High end of what the rule says; `None`: open.
    pub high: Option<f64>,
    /// As computed, with typical inputs; a range is that of the quantity itself.
    pub computed: Option<Predicted>,
    /// Always the same words: nobody published it.
    pub source: String,
}

impl Rule {
    /// Whether rule and computation overlap; `None` where nothing is computed.
    pub fn agrees(&self) -> Option<bool> {
        let computed = self.computed?;
        let (low, high) = (computed.low.unwrap_or(computed.value), computed.high.unwrap_or(computed.value));
        Some(self.low.is_none_or(|said| said <= high) && self.high.is_none_or(|said| low <= said))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rule_agrees_where_the_ranges_overlap() {
        let rule = |computed: Option<Predicted>| Rule {
            id: "a rule".into(),
            statement: String::new(),
            quantity: String::new(),
            conditions: String::new(),
            unit: "kWh".into(),
            low: Some(10.0),
            high: Some(20.0),
            computed,
            source: NO_SOURCE.into(),
        };
        let range = Predicted { value: 8.0, low: Some(6.0), high: Some(11.0) };
        assert_eq!(rule(Some(range)).agrees(), Some(true));
        assert_eq!(rule(Some(9.0.into())).agrees(), Some(false));
        assert_eq!(rule(Some(21.0.into())).agrees(), Some(false));
        assert_eq!(rule(None).agrees(), None);
    }
}
