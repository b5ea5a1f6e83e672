//! The tables of a comparison.

use icefront_core::decide::compare::{Difference, Quantity};

use super::{hours, per_day, per_kwh, short, troubles, verdict};
use crate::compare::{Answer, Question};
use crate::report::range::odds;
use crate::report::wrap::{fit, wrap};
use crate::show;

const NAME: usize = 24;

/// Time, electricity and cost with their ranges.
pub fn ranges(question: &Question, answer: &Answer) -> String {
    let mut table = format!("{}     hours until ready     kWh of the whole run      cost\n", fit("RANGES", NAME + 2));
    table.push_str(&format!("{}      low  middle  high      low  middle  high    middle\n", fit("", NAME + 2)));
    for (named, variant) in question.loads.iter().zip(&answer.variants) {
        let time = variant.quantiles(Quantity::ReadyS);
        let energy = variant.quantiles(Quantity::EnergyJ);
        let money = variant.quantiles(Quantity::Cost).typical;
        let cost = if money.is_finite() { format!("{money:.2}") } else { "-".into() };
        let [low, middle, high] = [time.low, time.typical, time.high].map(|s| cell(hours(s)));
        let [least, usual, most] = [energy.low, energy.typical, energy.high].map(|j| cell(show::kilowatt_hours(j)));
        table.push_str(&format!(
            "{} {low:>8} {middle:>7} {high:>5} {least:>8} {usual:>7} {most:>5} {cost:>9}\n",
            lead(&named.name)
        ));
    }
    let currency = question.loads.first().map_or("", |named| &named.sheet.load.tariff.currency);
    let money = if currency.is_empty() { String::new() } else { format!(" Cost in {currency}.") };
    table + &wrap("  ", &format!("One in ten is below low, one in ten above high.{money}"))
}

/// Dried food, how fast and for how much, and whether the times differ.
pub fn yields(question: &Question, answer: &Answer) -> String {
    let mut table = format!("{}  dry kg  a day  per kWh    hours against the first\n", fit("DRIED FOOD", NAME + 2));
    let rows = question.loads.iter().zip(&answer.variants).zip(&answer.against_first);
    for (index, ((named, variant), [time, ..])) in rows.enumerate() {
        let middle = |quantity| variant.quantiles(quantity).typical;
        let against = if index == 0 { String::new() } else { told(time) };
        let row = format!(
            "{} {:>7.2} {:>6.2} {:>8.3}    {against}",
            lead(&named.name),
            middle(Quantity::DriedKg),
            per_day(middle(Quantity::DriedKgPerS)),
            per_kwh(middle(Quantity::DriedKgPerJ)),
        );
        table.push_str(row.trim_end());
        table.push('\n');
    }
    table
}

/// The name of a load before its numbers; on a line of its own where it is long.
fn lead(name: &str) -> String {
    if name.chars().count() > NAME {
        format!("  {name}\n  {}", fit("", NAME))
    } else {
        format!("  {}", fit(name, NAME))
    }
}

/// `x 0.81 (0.78 to 0.85): shorter`
fn told(difference: &Difference) -> String {
    let q = difference.ratio;
    let number = |x: f64| if x.is_finite() { format!("{x:.2}") } else { "never".into() };
    let word = verdict(difference.verdict, "longer", "shorter");
    format!("x {} ({} to {}) {word}", number(q.typical), number(q.low), number(q.high))
}

/// What goes wrong with each, and how often.
pub fn trouble(question: &Question, answer: &Answer) -> String {
    let mut table = "TROUBLE, the grave first\n".to_string();
    for (named, variant) in question.loads.iter().zip(&answer.variants) {
        let told: Vec<String> = troubles(variant)
            .into_iter()
            .map(|(trouble, chance)| format!("{} {}", short(trouble), odds(chance)))
            .collect();
        let told = if told.is_empty() { "none".to_string() } else { told.join(", ") };
        let lead = lead(&named.name);
        let (above, lead) = lead.rsplit_once('\n').map_or((String::new(), &lead[..]), |(a, l)| (format!("{a}\n"), l));
        table.push_str(&(above + &wrap(&format!("{lead} "), &told)));
    }
    table
}

fn cell(value: f64) -> String {
    if value.is_finite() { format!("{value:.1}") } else { "never".into() }
}
