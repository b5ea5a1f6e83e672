//! The core of one tray while it cools.

use icefront_core::freezing::before::SetOut;
use icefront_core::freezing::cooling::{Cooling, first_at};
use icefront_core::load::{Freezing, Tray};

/// Times in s, temperatures in K.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    /// Slowest point over time; empty for a tray that came frozen.
    pub core: Vec<(f64, f64)>,
    /// Surface towards the air over time, outside the machine.
    pub surface: Vec<(f64, f64)>,
    /// First time the core was at the wanted temperature; 0 for a tray that came frozen.
    pub reached_at_s: Option<f64>,
    /// Core at the end.
    pub end_k: f64,
    /// Whether that is frozen through.
    pub is_frozen: bool,
    /// The food-safety clock; `None` where none runs.
    pub cooling: Option<Cooling>,
}

impl Course {
    /// From a core over time.
    pub fn new(core: Vec<(f64, f64)>, surface: Vec<(f64, f64)>, wanted_k: f64) -> Self {
        let end_k = core.last().map_or(f64::NAN, |last| last.1);
        Self {
            reached_at_s: first_at(&core, wanted_k),
            end_k,
            is_frozen: end_k <= wanted_k,
            cooling: Cooling::of(&core),
            core,
            surface,
        }
    }

    /// Of a tray that was set out.
    pub fn of_set_out(out: &SetOut, wanted_k: f64) -> Self {
        let over_time = |value: fn(&icefront_core::freezing::before::SetOutSample) -> f64| {
            out.history.iter().map(|sample| (sample.time_s, value(sample))).collect()
        };
        Self::new(over_time(|s| s.core_k), over_time(|s| s.surface_k), wanted_k)
    }

    /// Of a tray that came frozen: it stays as it is.
    pub fn came_frozen(tray: &Tray) -> Self {
        let end_k = match tray.freezing {
            Freezing::Frozen { loaded_k } | Freezing::InMachine { loaded_k } => loaded_k,
            Freezing::Before { start_k, .. } => start_k,
        };
        Self { core: Vec::new(), surface: Vec::new(), reached_at_s: Some(0.0), end_k, is_frozen: true, cooling: None }
    }

    /// Whether the tray came frozen.
    pub fn was_frozen(&self) -> bool {
        self.core.is_empty()
    }
}
