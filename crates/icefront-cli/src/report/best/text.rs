//! A better arrangement as text: what to do, tray by tray, and what it is worth.

use icefront_core::decide::compare::{Quantity, Verdict};
use icefront_core::load::Tray;
use icefront_core::ranges::Quantiles;

use super::rows;
use crate::best::{Aim, Answer};
use crate::report::compare::{hours, verdict};
use crate::report::tables::depth;
use crate::report::wrap::{fit, wrap};
use crate::show;

/// The whole report.
pub fn text(source: &str, aim: Aim, answer: &Answer) -> String {
    let mut parts = vec![headline(source, aim, answer), arrangement(answer), worth(answer)];
    let mind = "a search on typical numbers that stops where no single step helps; another arrangement may be as good. \
                Never fill a tray above its rim. Run `icefront plan` on the new sheet: its cautions hold. Nothing here \
                is a guarantee.";
    parts.push(wrap("", &format!("MIND: {mind}")));
    parts.join("\n")
}

fn is_same(answer: &Answer) -> bool {
    answer.arranged.order.iter().enumerate().all(|(place, tray)| place == *tray)
        && answer.arranged.fill.iter().chain(&answer.arranged.cut).all(|x| (x - 1.0).abs() < 1e-9)
}

fn headline(source: &str, aim: Aim, answer: &Answer) -> String {
    let goal = match aim {
        Aim::Hours => "the same food ready soonest".to_string(),
        Aim::CostPerKg => "the least cost per kg of dried food".to_string(),
        Aim::ReadyBy { start, by } => {
            let limit_s = answer.limit_s.unwrap_or(f64::INFINITY);
            if limit_s.is_infinite() {
                format!("the most food ready by {by}, started at {start}: not even a small load is, within five days")
            } else {
                let nights = match (limit_s / 86_400.0).ceil() {
                    n if n <= 1.0 => "the next".to_string(),
                    n => format!("the {n:.0}th day's").replace("2th", "2nd").replace("3th", "3rd"),
                };
                format!(
                    "the most food ready by {nights} {by}, {:.1} h after the start at {start}, nine times in ten",
                    hours(limit_s)
                )
            }
        }
    };
    let told = if is_same(answer) {
        "Nothing found that is better and as safe: the sheet's own arrangement stays.".to_string()
    } else {
        "Arrange it so, from the bottom:".to_string()
    };
    wrap("", &format!("{source}: for {goal}. {told}"))
}

fn arrangement(answer: &Answer) -> String {
    let mut table = "PLACE  sheet's tray  food                     depth now  depth then  food then\n".to_string();
    for (place, (number, told, found)) in rows(answer).enumerate() {
        table.push_str(&format!(
            "  {:>3}  {} {} {:>9}  {:>10}  {:>9}\n",
            place + 1,
            fit(&format!("tray {}", number + 1), 13),
            fit(&told.food, 22),
            depth(&told.shape),
            depth(&found.shape),
            show::mass((loaded_kg(found) * 1_000.0).round() / 1_000.0),
        ));
    }
    table
}

/// Food on a tray, kg.
pub(super) fn loaded_kg(tray: &Tray) -> f64 {
    tray.model.density_kg_per_m3 * tray.area_m2 * tray.shape.volume_per_area_m()
}

fn worth(answer: &Answer) -> String {
    let mut table = format!("{} the sheet's own     arranged      ratio (8 in 10)\n", fit("WHAT IT IS WORTH", 26));
    let [ready, energy, dried, per_energy] = &answer.difference;
    let middle = |q: Quantiles| q.typical;
    let mut row =
        |what: &str, quantity: Quantity, unit: &dyn Fn(f64) -> f64, digits: usize, d, words: [&'static str; 2]| {
            let d: &icefront_core::decide::compare::Difference = d;
            let [now, then] = [&answer.told, &answer.found].map(|v| unit(middle(v.quantiles(quantity))));
            let word = verdict(d.verdict, words[0], words[1]);
            table.push_str(&format!(
                "  {} {now:>14.digits$} {then:>12.digits$}      x {:.2} ({:.2} to {:.2}) {word}\n",
                fit(what, 24),
                d.ratio.typical,
                d.ratio.low,
                d.ratio.high
            ));
        };
    row("hours until ready", Quantity::ReadyS, &hours, 1, ready, ["longer", "shorter"]);
    row("kWh", Quantity::EnergyJ, &show::kilowatt_hours, 1, energy, ["more", "less"]);
    row("dry food, kg", Quantity::DriedKg, &|kg| kg, 2, dried, ["more", "less"]);
    row("dry kg per kWh", Quantity::DriedKgPerJ, &|x| x * 3.6e6, 3, per_energy, ["better", "worse"]);
    let q = answer.found.quantiles(Quantity::ReadyS);
    let range = if q.high.is_finite() {
        format!("Ready after {:.0} to {:.0} h, eight times in ten. ", hours(q.low).floor(), hours(q.high).ceil())
    } else {
        "More than one time in ten it never gets dry. ".to_string()
    };
    let saved = if ready.verdict == Verdict::Lower {
        let [now, then] = [&answer.told, &answer.found].map(|v| middle(v.quantiles(Quantity::ReadyS)));
        format!("About {:.1} h sooner than the sheet's own plan. ", hours(now - then))
    } else {
        String::new()
    };
    let grave = |v: &icefront_core::decide::compare::Variant| format!("{:.0} in 100", 100.0 * v.grave_chance());
    let risk = format!("Chance of grave trouble {}, as the sheet says {}.", grave(&answer.found), grave(&answer.told));
    table + &wrap("  ", &format!("{saved}{range}{risk}"))
}
