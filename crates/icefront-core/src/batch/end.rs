//! When a run ends: each rule against the state of the stack.

use super::cabinet::Stack;
use super::record::{Recorder, log_share};
use super::state::{DEPTHS, FRONT, HELD, Layout, PASSED, has_ice};
use crate::load::EndRule;
use crate::result::{Stage, TraySample};

impl Recorder {
    /// Whether the end rule was met within a step; returns the share of the step at which it was
    /// (half where only trying can tell).
    pub fn end_reached(
        &self,
        stack: &Stack<'_>,
        layout: Layout,
        before: &[f64],
        after: &[f64],
        t_s: f64,
        h_s: f64,
    ) -> Option<f64> {
        match stack.load.end {
            EndRule::FixedTime { .. } => None,
            EndRule::WettestSpot { .. } => {
                let wettest = |state: &[f64]| all_wettest(stack, layout, state);
                let (a, b) = (wettest(before), wettest(after));
                (b <= self.target_per_dry).then(|| log_share(a, b, self.target_per_dry))
            }
            EndRule::TemperaturesMeet { delta_k } => {
                let mut body = 0;
                let mut apart: f64 = 0.0;
                for (i, st) in stack.trays.iter().enumerate() {
                    let shelf_k = after[layout.shelf(i)];
                    for (_, b) in st.bodies() {
                        let at = layout.body(body);
                        if has_ice(&after[at..], b.dry_kg) {
                            return None;
                        }
                        apart = apart.max((shelf_k - after[at + FRONT]).abs());
                        body += 1;
                    }
                }
                (apart <= delta_k).then_some(0.5)
            }
            EndRule::WeightConstant { loss_kg, over_s } => {
                let end_s = self.drying_start_s + t_s + h_s;
                let water = |trays: &[TraySample]| -> f64 {
                    trays.iter().zip(&stack.trays).map(|(s, st)| s.water_per_dry * st.dry_kg()).sum()
                };
                let now_kg: f64 = total_water_kg(stack, layout, after);
                let then = self.history.iter().rev().find(|s| s.time_s <= end_s - over_s)?;
                if then.stage < Stage::PrimaryDrying {
                    return None;
                }
                (water(&then.trays) - now_kg <= loss_kg).then_some(0.5)
            }
        }
    }
}

/// Wettest depth of one front, kg/kg dry; ice counts with all the food's water.
pub(super) fn wettest_per_dry(body: &[f64], dry_kg: f64, whole_per_dry: f64) -> f64 {
    if has_ice(body, dry_kg) {
        return whole_per_dry;
    }
    let cell_kg = dry_kg / DEPTHS as f64;
    body[HELD..HELD + DEPTHS].iter().fold(0.0, |worst: f64, held| worst.max(held / cell_kg))
}

/// Water of one front, kg: all where ice is left, what is held elsewhere.
pub(super) fn water_kg(body: &[f64], dry_kg: f64, whole_per_dry: f64) -> f64 {
    (dry_kg - body[PASSED]) * whole_per_dry + body[HELD..HELD + DEPTHS].iter().sum::<f64>()
}

pub(super) fn all_wettest(stack: &Stack<'_>, layout: Layout, state: &[f64]) -> f64 {
    let mut body = 0;
    let mut worst: f64 = 0.0;
    for st in &stack.trays {
        for (part, b) in st.bodies() {
            worst = worst.max(wettest_per_dry(&state[layout.body(body)..], b.dry_kg, part.model.water_per_dry()));
            body += 1;
        }
    }
    worst
}

pub(super) fn total_water_kg(stack: &Stack<'_>, layout: Layout, state: &[f64]) -> f64 {
    let (mut body, mut sum) = (0, 0.0);
    for st in &stack.trays {
        for (part, b) in st.bodies() {
            sum += water_kg(&state[layout.body(body)..], b.dry_kg, part.model.water_per_dry());
            body += 1;
        }
    }
    sum
}
