//! Answers about a run as JSON; the keys are told in `docs/learning.md`.

use icefront_core::learning::Misfit;
use icefront_core::ranges::Quantiles;
use icefront_core::units::Duration;
use serde::Serialize;

use crate::json::known;
use crate::range;
use crate::readings::Readings;
use crate::running::words::{MIND, causes};
use crate::running::{Answer, Change, Dryness, dry_text as dry, update_text as update};
use crate::sheet::Sheet;

#[derive(Serialize)]
struct Predicted {
    low: Option<f64>,
    typical: Option<f64>,
    high: Option<f64>,
}

#[derive(Serialize)]
struct Told {
    before: Predicted,
    after: Predicted,
}

#[derive(Serialize)]
struct SetAside {
    line: usize,
    reason: String,
}

#[derive(Serialize)]
struct Fit {
    fits: bool,
    chance: f64,
    squared: f64,
    readings: usize,
    likely_causes: Vec<String>,
}

#[derive(Serialize)]
struct Tray {
    tray: String,
    food: String,
    dry_at_h: Told,
}

#[derive(Serialize)]
struct Why {
    what: String,
    rank: f64,
}

#[derive(Serialize)]
struct Next {
    what: String,
    narrows_by: f64,
    needs_opening: bool,
}

#[derive(Serialize)]
struct Draws {
    run: usize,
    effective: f64,
    effective_at_first: f64,
    refreshed: usize,
    refused: usize,
}

#[derive(Serialize)]
struct UpdateReport {
    sentence: String,
    last_reading_h: f64,
    set_aside: Vec<SetAside>,
    fit: Option<Fit>,
    last_ice_gone_h: Told,
    food_ready_h: Told,
    energy_kwh: Option<Told>,
    cost: Option<Told>,
    currency: Option<String>,
    trays: Vec<Tray>,
    why: Vec<Why>,
    read_next: Vec<Next>,
    draws: Draws,
    cautions: Vec<&'static str>,
}

#[derive(Serialize)]
struct DryTray {
    tray: String,
    food: String,
    chance_dry: Option<f64>,
}

#[derive(Serialize)]
struct Rate {
    tray: String,
    lost_g: f64,
    over_h: f64,
}

#[derive(Serialize)]
struct DryReport {
    sentence: String,
    last_reading_h: f64,
    set_aside: Vec<SetAside>,
    fit: Fit,
    target_moisture: f64,
    chance_dry: Option<f64>,
    trays: Vec<DryTray>,
    wait_h: Wait,
    last_losses: Vec<Rate>,
    effective_draws: f64,
    cautions: Vec<&'static str>,
}

#[derive(Serialize)]
struct Wait {
    as_likely_as_not: Option<f64>,
    nine_in_ten: Option<f64>,
}

fn hours(seconds: f64) -> f64 {
    Duration::from_seconds(seconds).hours()
}

fn told(answer: &Answer, change: &Change, scale: impl Fn(f64) -> f64) -> Told {
    let one = |q: &Quantiles| Predicted {
        low: known(scale(q.low)),
        typical: known(scale(q.typical)),
        high: known(scale(q.high)),
    };
    let after = if answer.told { one(&change.after) } else { Predicted { low: None, typical: None, high: None } };
    Told { before: one(&change.before), after }
}

fn set_aside(readings: &Readings) -> Vec<SetAside> {
    readings.set_aside.iter().map(|s| SetAside { line: s.line, reason: s.reason.clone() }).collect()
}

fn fit(misfit: &Misfit) -> Fit {
    Fit {
        fits: misfit.fits,
        chance: misfit.chance,
        squared: misfit.squared,
        readings: misfit.readings,
        likely_causes: causes(misfit),
    }
}

/// `icefront update --json`.
pub fn update(sheet: &Sheet, readings: &Readings, answer: &Answer) -> Result<String, serde_json::Error> {
    let report = UpdateReport {
        sentence: update::headline(answer),
        last_reading_h: hours(answer.now_s),
        set_aside: set_aside(readings),
        fit: answer.misfit.as_ref().map(fit),
        last_ice_gone_h: told(answer, &answer.last_ice_s, hours),
        food_ready_h: told(answer, &answer.ready_s, hours),
        energy_kwh: answer.energy_kwh.as_ref().map(|c| told(answer, c, |x| x)),
        cost: answer.cost.as_ref().map(|c| told(answer, c, |x| x)),
        currency: answer.cost.map(|_| sheet.load.tariff.currency.clone()),
        trays: answer
            .trays
            .iter()
            .map(|t| Tray {
                tray: t.named[0].clone(),
                food: t.named[1].clone(),
                dry_at_h: told(answer, &t.dry_s, hours),
            })
            .collect(),
        why: answer.why.iter().map(|s| Why { what: s.what.clone(), rank: s.rank }).collect(),
        read_next: answer
            .next
            .iter()
            .map(|n| Next {
                what: range::words(&sheet.load, n),
                narrows_by: n.share,
                needs_opening: range::needs_opening(n),
            })
            .collect(),
        draws: Draws {
            run: answer.draws,
            effective: answer.effective,
            effective_at_first: answer.effective_at_first,
            refreshed: answer.refreshed,
            refused: answer.refused,
        },
        cautions: MIND.to_vec(),
    };
    crate::json::text(&report)
}

/// `icefront dry --json`.
pub fn dry(readings: &Readings, answer: &Dryness) -> Result<String, serde_json::Error> {
    let report = DryReport {
        sentence: dry::headline(answer),
        last_reading_h: hours(answer.now_s),
        set_aside: set_aside(readings),
        fit: fit(&answer.misfit),
        target_moisture: answer.target_wet_frac,
        chance_dry: Some(answer.chance).filter(|_| answer.told),
        trays: answer
            .trays
            .iter()
            .map(|([tray, food], chance)| DryTray {
                tray: tray.clone(),
                food: food.clone(),
                chance_dry: Some(*chance).filter(|_| answer.told),
            })
            .collect(),
        wait_h: Wait {
            as_likely_as_not: known(hours(answer.wait_s[0])).filter(|_| answer.told),
            nine_in_ten: known(hours(answer.wait_s[1])).filter(|_| answer.told),
        },
        last_losses: answer
            .rates
            .iter()
            .map(|r| Rate { tray: r.tray.clone(), lost_g: 1e3 * r.lost_kg, over_h: hours(r.over_s) })
            .collect(),
        effective_draws: answer.effective,
        cautions: MIND.to_vec(),
    };
    crate::json::text(&report)
}
