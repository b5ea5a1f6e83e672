//! Which of day and month a person writes first.

use serde::{Deserialize, Serialize};

/// How a date with slashes is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum DateOrder {
    /// 3/4/2026 is the third of April.
    #[serde(rename = "day first")]
    DayFirst,
    /// 3/4/2026 is the fourth of March.
    #[serde(rename = "month first")]
    MonthFirst,
}

impl DateOrder {
    /// Both.
    pub const ALL: [Self; 2] = [Self::DayFirst, Self::MonthFirst];

    /// Its name in a sheet.
    pub fn name(self) -> &'static str {
        match self {
            Self::DayFirst => "day first",
            Self::MonthFirst => "month first",
        }
    }

    /// By its name in a sheet.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|order| order.name() == name)
    }
}
