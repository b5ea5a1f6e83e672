//! A better arrangement as JSON; its keys are told in `docs/best.md`.

use icefront_core::decide::compare::{Quantity, Variant};
use serde::Serialize;

use crate::best::rows::rows;
use crate::best::search::{Aim, Answer};
use crate::best::text::loaded_kg;
use crate::compare::json::{Held, Range, held, range};
use crate::compare::words::{hours, per_kwh};
use crate::format;
use crate::json::{known, rounded};

/// The answer as JSON text, one line feed at its end.
pub fn json(aim: Aim, answer: &Answer) -> Result<String, serde_json::Error> {
    crate::json::text(&report(aim, answer))
}

#[derive(Serialize)]
struct Report {
    goal: &'static str,
    ready_within_h: Option<f64>,
    trays: Vec<Place>,
    as_told: Told,
    arranged: Told,
    against_told: Against,
}

#[derive(Serialize)]
struct Place {
    sheet_tray: usize,
    tray: String,
    food: String,
    fill: f64,
    cut: f64,
    height_mm: f64,
    food_kg: f64,
}

#[derive(Serialize)]
struct Told {
    food_ready_h: Range,
    energy_kwh: Range,
    dried_kg: Range,
    dried_kg_per_kwh: Range,
    grave_chance: f64,
}

#[derive(Serialize)]
struct Against {
    food_ready: Held,
    energy: Held,
    dried_kg: Held,
    dried_kg_per_kwh: Held,
}

fn report(aim: Aim, answer: &Answer) -> Report {
    let [ready, energy, dried, per_energy] = &answer.difference;
    Report {
        goal: match aim {
            Aim::Hours => "hours",
            Aim::CostPerKg => "cost-per-kg",
            Aim::ReadyBy { .. } => "ready-by",
        },
        ready_within_h: answer.limit_s.and_then(|s| known(hours(s))),
        trays: rows(answer)
            .map(|(number, told, found)| Place {
                sheet_tray: number + 1,
                tray: told.name.clone(),
                food: told.food.clone(),
                fill: rounded(answer.arranged.fill[number]),
                cut: rounded(answer.arranged.cut[number]),
                height_mm: rounded(1_000.0 * found.shape.height_m()),
                food_kg: rounded(loaded_kg(found)),
            })
            .collect(),
        as_told: of(&answer.told),
        arranged: of(&answer.found),
        against_told: Against {
            food_ready: held(ready),
            energy: held(energy),
            dried_kg: held(dried),
            dried_kg_per_kwh: held(per_energy),
        },
    }
}

fn of(variant: &Variant) -> Told {
    Told {
        food_ready_h: range(variant.quantiles(Quantity::ReadyS), hours),
        energy_kwh: range(variant.quantiles(Quantity::EnergyJ), format::kilowatt_hours),
        dried_kg: range(variant.quantiles(Quantity::DriedKg), |x| x),
        dried_kg_per_kwh: range(variant.quantiles(Quantity::DriedKgPerJ), per_kwh),
        grave_chance: rounded(variant.grave_chance()),
    }
}
