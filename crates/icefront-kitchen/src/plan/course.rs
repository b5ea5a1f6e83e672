//! The run of each tray as a bar of letters: a look before the numbers.

use icefront_core::result::{BatchResult, Stage, TrayResult};

use maud::{Markup, html};

use crate::blocks::wrap::{WIDTH, fit};
use crate::blocks::{Bold, Part};
use crate::format;

const NAME: usize = 20;
const BAR: usize = WIDTH - NAME - 4;
/// Freezing and evacuation, ice leaving, held water leaving.
const SIGNS: [char; 3] = ['·', '█', '▒'];

/// Bars of all trays over the time until the food is ready.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    end: String,
    rows: Vec<(String, String)>,
}

impl Course {
    /// The course of a run.
    pub fn of(result: &BatchResult) -> Self {
        let end_s = result.food_ready_s();
        let row = |tray: &TrayResult| (format!("{} {}", tray.name, tray.food), bar(tray, result, end_s));
        Self { end: format::hours(end_s), rows: result.trays.iter().map(row).collect() }
    }
}

impl Part for Course {
    fn text(&self, bold: Bold) -> String {
        let label = format!("{:<width$}", "RUN", width = NAME + 4);
        let scale = format!("0 h{:>width$}", self.end, width = BAR - 3);
        let rows: String = self.rows.iter().map(|(name, bar)| format!("  {}  {bar}\n", fit(name, NAME))).collect();
        let [before, ice, held] = SIGNS;
        let key = format!("{before} freezing, air out   {ice} ice leaves   {held} last water leaves, then dry");
        format!("{}{scale}\n{rows}  {key}\n", bold.of(&label))
    }

    /// A drawing says nothing that the tables do not.
    fn plain(&self) -> String {
        String::new()
    }

    /// A page has charts.
    fn html(&self) -> Markup {
        html! {}
    }
}

fn bar(tray: &TrayResult, result: &BatchResult, end_s: f64) -> String {
    let place = |time_s: f64| (time_s / end_s * BAR as f64).round().clamp(0.0, BAR as f64) as usize;
    let drying_s = result.stage_s[Stage::Freezing] + result.stage_s[Stage::Evacuation];
    let gone_s = tray.ice_gone_at_s.unwrap_or(end_s);
    let ends = [drying_s, gone_s, tray.dry_at_s.unwrap_or(end_s)].map(place);
    let mut bar = String::new();
    let mut from = 0;
    for (sign, to) in SIGNS.into_iter().zip(ends) {
        bar.extend(std::iter::repeat_n(sign, to.saturating_sub(from)));
        from = from.max(to);
    }
    bar
}
