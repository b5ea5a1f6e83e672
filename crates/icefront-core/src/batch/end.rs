//! When a run ends: each rule against the state of the stack.

use super::cabinet::Stack;
use super::parts::Part;
use super::record::{Recorder, log_share};
use super::state::{DryingState, ElementState};
use crate::load::EndRule;
use crate::result::{Stage, TraySample};

impl Recorder {
    /// Whether the end rule was met within a step; returns the share of the step at which it was
    /// (half where only trying can tell).
    pub fn end_reached(
        &self,
        stack: &Stack<'_>,
        before: &DryingState,
        after: &DryingState,
        t_s: f64,
        h_s: f64,
    ) -> Option<f64> {
        match stack.load.end {
            EndRule::FixedTime { .. } => None,
            EndRule::WettestSpot { .. } => {
                let wettest = |state: &DryingState| largest_moisture_per_dry(stack, state);
                let (a, b) = (wettest(before), wettest(after));
                (b <= self.target_per_dry).then(|| log_share(a, b, self.target_per_dry))
            }
            EndRule::TemperaturesMeet { delta_k } => {
                let mut elements = after.elements.iter();
                let mut apart: f64 = 0.0;
                for (tray, shelf_k) in stack.trays.iter().zip(&after.shelf_k) {
                    for ((_, body), element) in tray.bodies().zip(elements.by_ref()) {
                        if element.has_ice(body.dry_kg) {
                            return None;
                        }
                        apart = apart.max((shelf_k - element.front_k).abs());
                    }
                }
                (apart <= delta_k).then_some(0.5)
            }
            EndRule::WeightConstant { loss_kg, over_s } => {
                let end_s = self.drying_start_s + t_s + h_s;
                let water = |trays: &[TraySample]| -> f64 {
                    trays.iter().zip(&stack.trays).map(|(s, st)| s.water_per_dry * st.dry_kg()).sum()
                };
                let now_kg: f64 = total_water_kg(stack, after);
                let then = self.history.iter().rev().find(|s| s.time_s <= end_s - over_s)?;
                if then.stage < Stage::PrimaryDrying {
                    return None;
                }
                (water(&then.trays) - now_kg <= loss_kg).then_some(0.5)
            }
        }
    }
}

/// Largest local moisture of the stack, kg/kg dry.
pub(super) fn largest_moisture_per_dry(stack: &Stack<'_>, state: &DryingState) -> f64 {
    elements(stack, state)
        .map(|(zone, dry_kg, element)| element.largest_moisture_per_dry(dry_kg, zone.model.water_per_dry()))
        .fold(0.0, f64::max)
}

/// Water of the stack, kg.
pub(super) fn total_water_kg(stack: &Stack<'_>, state: &DryingState) -> f64 {
    elements(stack, state).map(|(zone, dry_kg, element)| element.water_kg(dry_kg, zone.model.water_per_dry())).sum()
}

/// The drying elements of the stack: zone, dry matter in kg, and state.
fn elements<'s>(
    stack: &'s Stack<'_>,
    state: &'s DryingState,
) -> impl Iterator<Item = (&'s Part, f64, &'s ElementState)> {
    let bodies = stack.trays.iter().flat_map(|tray| tray.bodies());
    bodies.zip(&state.elements).map(|((zone, body), element)| (zone, body.dry_kg, element))
}
