//! The tables of a comparison.

use icefront_core::decide::compare::{Difference, Quantity};
use icefront_core::ranges::Quantiles;

use crate::blocks::{Column, Table};
use crate::compare::loads::{Answer, Question};
use crate::compare::words::{per_day, per_kwh, short, troubles, verdict};
use crate::format;
use crate::range::odds;

/// Longest name of a load in a table.
const NAME: usize = 26;

/// Names of the loads as the tables have them: numbers where one is too long.
pub fn names(question: &Question) -> Vec<String> {
    let long = question.loads.iter().any(|named| named.name.chars().count() > NAME);
    let name = |(number, name): (usize, &String)| if long { format!("load {}", number + 1) } else { name.clone() };
    question.loads.iter().map(|named| &named.name).enumerate().map(name).collect()
}

/// Time, electricity and cost with their ranges.
pub fn ranges(question: &Question, answer: &Answer) -> Table {
    let rows = names(question).into_iter().zip(&answer.variants).map(|(name, variant)| {
        let cost = variant.quantiles(Quantity::Cost).typical;
        vec![
            name,
            range(variant.quantiles(Quantity::ReadyS), format::in_hours),
            range(variant.quantiles(Quantity::EnergyJ), format::kilowatt_hours),
            if cost.is_finite() { format!("{cost:.2}") } else { "-".into() },
        ]
    });
    let currency = question.loads.first().map_or("", |named| &named.sheet.load.tariff.currency);
    let columns =
        [Column::words("", NAME), Column::number("hours until ready"), Column::number("kWh"), Column::number("cost")];
    // without any price there is no column of costs
    let priced = answer.variants.iter().any(|variant| variant.load.tariff.price_per_kwh.is_some());
    let shown = if priced { columns.len() } else { columns.len() - 1 };
    let money = if currency.is_empty() { String::new() } else { format!(" Cost in {currency}.") };
    Table::new("ranges", columns[..shown].to_vec(), rows.map(|row| row[..shown].to_vec()))
        .note(format!("Typical; in brackets the range that holds 8 times in 10.{money}"))
}

/// `24.1 (19.5 to 30.7)`
fn range(q: Quantiles, unit: impl Fn(f64) -> f64) -> String {
    let cell = |x| format::or_never(unit(x), 1);
    format!("{} ({} to {})", cell(q.typical), cell(q.low), cell(q.high))
}

/// Dried food, how fast and for how much.
pub fn yields(question: &Question, answer: &Answer) -> Table {
    let unit = question.units().large_mass();
    let rows = names(question).into_iter().zip(&answer.variants).map(|(name, variant)| {
        let middle = |quantity| variant.quantiles(quantity).typical;
        vec![
            name,
            format!("{:.2}", unit.of(middle(Quantity::DriedKg))),
            format!("{:.2}", unit.of(per_day(middle(Quantity::DriedKgPerS)))),
            format!("{:.3}", unit.of(per_kwh(middle(Quantity::DriedKgPerJ)))),
        ]
    });
    let columns = ["in a batch", "a day", "per kWh"].map(|per| Column::number(format!("{} {per}", unit.name)));
    Table::new("dry food", [Column::words("", NAME)].into_iter().chain(columns), rows)
}

/// Whether times and yields differ from those of the first.
pub fn against_first(question: &Question, answer: &Answer) -> Table {
    let rows = names(question).into_iter().zip(&answer.against_first).skip(1).map(|(name, against)| {
        let per_day = verdict(against.dried_kg_per_day.verdict, "more", "less");
        vec![name, ratio(&against.food_ready), per_day.to_string()]
    });
    Table::new(
        "against the first",
        [
            Column::words("", NAME),
            Column::words("hours until ready", 38),
            Column::words(format!("{} a day", question.units().large_mass().name), 13),
        ],
        rows,
    )
}

/// `x 0.81 (0.78 to 0.85) shorter`
fn ratio(difference: &Difference) -> String {
    let q = difference.ratio;
    let number = |x| format::or_never(x, 2);
    let word = verdict(difference.verdict, "longer", "shorter");
    format!("x {} ({} to {}) {word}", number(q.typical), number(q.low), number(q.high))
}

/// The tray that is dry last in each, and how often it is.
pub fn last(question: &Question, answer: &Answer) -> Table {
    let rows = names(question).into_iter().zip(&answer.variants).filter_map(|(name, variant)| {
        let (tray, chance) = variant.last_tray()?;
        let tray = variant.load.trays.get(tray)?;
        Some(vec![name, tray.name.clone(), tray.food.clone(), odds(chance)])
    });
    Table::new(
        "dry last",
        [Column::words("", NAME), Column::words("tray", 18), Column::words("food", 16), Column::words("how often", 14)],
        rows,
    )
}

/// What goes wrong with each, and how often.
pub fn trouble(question: &Question, answer: &Answer) -> Table {
    let rows = names(question).into_iter().zip(&answer.variants).map(|(name, variant)| {
        let items: Vec<String> = troubles(variant)
            .into_iter()
            .map(|(trouble, chance)| format!("{} {}", short(trouble), odds(chance)))
            .collect();
        vec![name, if items.is_empty() { "none".to_string() } else { items.join("\n") }]
    });
    Table::new("trouble", [Column::words("", NAME), Column::words("how often, the worst first", 50)], rows)
}
