//! `icefront dry` as text.

use crate::blocks::{Column, List, Part, Table, Words, in_order};
use crate::format::{self, capital};
use crate::running::Dryness;
use crate::running::dryness::{DryTray, Wait};
use crate::running::words::{NONE_CREDIBLE, fit, mind, read, set_aside};
use crate::{Look, Readings};
use icefront_core::units::Mass;

/// Chance from which it may be called dry; below one half it is not.
const LIKELY: f64 = 0.9;

/// The whole report.
pub fn text(readings: &Readings, answer: &Dryness, look: Look) -> String {
    let parts: [&dyn Part; 7] = [
        &read(readings),
        &set_aside(readings),
        &fit(&answer.misfit),
        &Words::new("", headline(answer)),
        &answer.credible.then(|| trays(answer)),
        &signs(answer),
        &mind(),
    ];
    in_order(&parts, look)
}

/// The answer in a sentence or two.
pub fn headline(answer: &Dryness) -> String {
    if !answer.credible {
        return format!("Do not seal it. {NONE_CREDIBLE}");
    }
    let chance = whole_percent(answer.chance_dry);
    let target = format::percent(answer.target_wet_frac);
    let so = if answer.chance_dry >= LIKELY {
        format!("Most likely dry: the chance that no spot holds more than {target} moisture is {chance}.")
    } else {
        format!("Do not seal it: the chance that no spot holds more than {target} moisture is only {chance}.")
    };
    let wait = match answer.wait_s {
        _ if answer.chance_dry >= LIKELY => String::new(),
        Wait { as_likely_as_not: half, .. } if !half.is_finite() => {
            " As it looks, it never gets that dry like this.".into()
        }
        Wait { as_likely_as_not: half, nine_in_ten: sure } if !sure.is_finite() => {
            format!(
                " About {:.1} h more make it as likely as not; nine in ten cannot be promised.",
                format::in_hours(half)
            )
        }
        Wait { as_likely_as_not: half, nine_in_ten: sure } => {
            format!(
                " About {:.1} h more make it as likely as not, {:.1} h nine in ten.",
                format::in_hours(half),
                format::in_hours(sure)
            )
        }
    };
    so + &wait
}

fn whole_percent(chance: f64) -> String {
    match (100.0 * chance).round() {
        p if p < 1.0 => "below 1 %".into(),
        p if p > 99.0 => "above 99 %".into(),
        p => format!("{p:.0} %"),
    }
}

fn trays(answer: &Dryness) -> Table {
    let row = |t: &DryTray| vec![format!("{}, {}", t.tray, t.food), whole_percent(t.chance_dry)];
    Table::new("trays", [Column::words("", 50), Column::number("chance that it is dry")], answer.trays.iter().map(row))
        .about(", bottom to top")
}

fn signs(answer: &Dryness) -> List {
    let rates = answer.rates.iter().map(|r| {
        let per_hour = Mass::from_kilograms(r.lost_kg).grams() / format::in_hours(r.over_s);
        let (lost, over) = (format::mass(r.lost_kg), format::hours(r.over_s));
        format!("{} lost {lost} in {over} ({per_hour:.1} g/h).", capital(&r.tray))
    });
    List { label: "signs", items: rates.chain(SIGNS.lines().map(String::from)).collect() }
}

/// What weight and probe can tell.
const SIGNS: &str = include_str!("signs.txt");
