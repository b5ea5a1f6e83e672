//! Steps, levers and changes in words.

use icefront_core::decide::falls::Step;
use icefront_core::decide::levers::Lever;
use icefront_core::load::Tray;
use icefront_core::result::PartResult;
use icefront_core::shape::Shape;

use crate::explain::reasons::Changed;

/// A step between shelf and refrigerant.
pub fn step(step: Step) -> &'static str {
    match step {
        Step::Contact => "shelf to tray",
        Step::Lining => "lining or loose block",
        Step::Frozen => "frozen food",
        Step::SpaceAbove => "shelf above to food",
        Step::DriedHeat => "heat through dried food",
        Step::DriedVapour => "vapour through dried food",
        Step::Passage => "chamber to condenser",
        Step::Deposit => "ice on the condenser",
        Step::Refrigerant => "refrigerant to cold wall",
    }
}

/// What is eased.
pub fn lever(lever: Lever) -> &'static str {
    match lever {
        Lever::Contact => "twice the heat from shelf to tray",
        Lever::Lining => "half the gap of linings and loose blocks",
        Lever::Frozen => "frozen food that conducts twice as well",
        Lever::DriedHeat => "dried food that conducts twice as well",
        Lever::DriedVapour => "dried food twice as open to vapour",
        Lever::Passage => "twice the opening to the condenser",
        Lever::Deposit => "condenser ice that conducts twice as well",
        Lever::Refrigerant => "cold wall that passes heat on twice as well",
        Lever::Compressor => "a compressor twice as large",
        Lever::HeaterPower => "twice the heater power",
        Lever::PressureLimit => "twice the pressure limit of the heaters",
        Lever::Desorption => "bound water that leaves twice as fast",
        Lever::Pump => "a pump twice as fast",
    }
}

/// What it is called where it limits a stage.
pub fn limits(lever: Lever) -> &'static str {
    match lever {
        Lever::Contact => "contact of tray and shelf",
        Lever::Lining => "linings and loose blocks",
        Lever::Frozen => "the frozen food",
        Lever::DriedHeat => "heat through the dried layer",
        Lever::DriedVapour => "vapour through the dried layer",
        Lever::Passage => "the opening to the condenser",
        Lever::Deposit => "ice on the condenser",
        Lever::Refrigerant => "the cold wall",
        Lever::Compressor => "the compressor",
        Lever::HeaterPower => "heater power",
        Lever::PressureLimit => "the pressure limit",
        Lever::Desorption => "bound water that leaves slowly",
        Lever::Pump => "the pump",
    }
}

/// What was changed on a tray.
pub fn changed(changed: Changed, shape: &Shape) -> &'static str {
    match (changed, shape) {
        (Changed::AsItIs, _) => "as it is",
        (Changed::Thin, Shape::Layer { .. }) => "half as deep, half the weight",
        (Changed::Thin, Shape::Pieces { .. }) => "cut half as large, same weight",
        (Changed::Thick, Shape::Layer { .. }) => "twice as deep, twice the weight",
        (Changed::Thick, Shape::Pieces { .. }) => "cut twice as large, same weight",
        (Changed::Lean, _) => "lean, 3 % fat",
        (Changed::Fatty, _) => "fatty, 20 % fat",
    }
}

/// A part of a tray.
pub fn part(part: &PartResult, tray: &Tray) -> String {
    let what = match &tray.embedded {
        Some(embedded) if part.with_pieces => format!("with {}", embedded.food),
        Some(_) => format!("{} alone", tray.food),
        None => tray.food.clone(),
    };
    if (part.contact_factor - 1.0).abs() < 1e-9 {
        return what;
    }
    format!("{what}, {:.0} % of the heat from below", 100.0 * part.contact_factor)
}
