//! A comparison as one picture.

use icefront_core::decide::compare::Quantity;
use icefront_core::ranges::Quantiles;
use icefront_plot::{ComparedVariant, PlotError};

use crate::compare::loads::{Answer, Question};
use crate::compare::words::{short, troubles};
use crate::format;
use crate::range::odds;

/// SVG text.
pub fn chart(question: &Question, answer: &Answer) -> Result<String, PlotError> {
    let three = |q: Quantiles, unit: fn(f64) -> f64| [q.low, q.typical, q.high].map(unit);
    let rows = question.loads.iter().zip(&answer.variants).map(|(named, variant)| ComparedVariant {
        name: named.name.clone(),
        hours: three(variant.quantiles(Quantity::ReadyS), format::in_hours),
        kwh: three(variant.quantiles(Quantity::EnergyJ), format::kilowatt_hours),
        note: troubles(variant)
            .first()
            .filter(|(trouble, _)| trouble.is_grave())
            .map(|(trouble, chance)| format!("{} {}", short(*trouble), odds(*chance))),
    });
    icefront_plot::comparison_chart_svg(&rows.collect::<Vec<_>>())
}
