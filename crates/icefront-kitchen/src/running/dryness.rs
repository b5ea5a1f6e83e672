//! Is it dry? The chance that the wettest spot is under the target, from readings so far, and how much longer if not.

use icefront_core::learning::{Effort, Errors, Misfit, Quantity, misfit, weighted_quantiles};
use icefront_core::load::{EndRule, Load};
use icefront_core::ranges::Outcome;
use icefront_core::result::BatchResult;
use serde::Serialize;

use crate::running::doubtful::{Doubtful, doubtful};
use crate::running::weigh::weigh;
use crate::{Failure, Readings, Sheet};

/// How fast a tray loses weight between its last two weighings.
#[derive(Clone, Debug, Serialize)]
pub struct LossRate {
    /// Name of the tray.
    pub tray: String,
    /// Loss, kg.
    pub lost_kg: f64,
    /// Over this time, s.
    pub over_s: f64,
}

/// One tray.
#[derive(Clone, Debug, Serialize)]
pub struct DryTray {
    /// Its name.
    pub tray: String,
    /// Food on it.
    pub food: String,
    /// Chance that no spot of it is wetter than the target, 0 to 1.
    pub chance_dry: f64,
}

/// How much longer until it is dry, s; infinite: never.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Wait {
    /// Until half of the posterior samples are dry.
    pub as_likely_as_not: f64,
    /// Until nine in ten are.
    pub nine_in_ten: f64,
}

/// The answer.
#[derive(Clone, Debug)]
pub struct Dryness {
    /// Time of the last reading, s from the start.
    pub now_s: f64,
    /// Moisture that counts as dry, wet basis.
    pub target_wet_frac: f64,
    /// Chance that no spot of any tray is wetter, 0 to 1.
    pub chance_dry: f64,
    /// The same for each tray.
    pub trays: Vec<DryTray>,
    /// How much longer it takes.
    pub wait_s: Wait,
    /// Loss between the last two weighings of each tray that has two.
    pub rates: Vec<LossRate>,
    /// Whether the readings fit the model.
    pub misfit: Misfit,
    /// Readings that do not go with the others and were left out.
    pub doubtful: Vec<Doubtful>,
    /// Whether the answer was widened because too few samples agree with the readings.
    pub uncertain: bool,
    /// As many equal samples would say as much.
    pub effective: f64,
}

/// Where the sheet's end rule names no moisture. `common practice, no source`.
const TARGET_WET_FRAC: f64 = 0.03;

/// Answers from a sheet and readings. One reading at least must be among them.
pub fn dryness(
    sheet: &Sheet,
    typical: &BatchResult,
    readings: &Readings,
    errors: &Errors,
    effort: &Effort,
) -> Result<Dryness, Failure> {
    if readings.used.is_empty() {
        let reason = "it holds no reading that can be used; a weight, the gauge or the plug meter would do";
        return Err(Failure::unfit(&readings.path, reason));
    }
    let rates = rates(&sheet.load, readings);
    let target_wet_frac = match sheet.load.end {
        EndRule::WettestSpot { moisture_wet_frac } => moisture_wet_frac,
        _ => TARGET_WET_FRAC,
    };
    // whatever ends the run on the sheet, each draw is followed until it is dry
    let updated = weigh(sheet, typical, readings, errors, effort, &[], |load| {
        load.end = EndRule::WettestSpot { moisture_wet_frac: target_wet_frac };
    })?;
    let now_s = readings.until_s;
    let dry_s = |o: &Outcome| o.trays.iter().map(|t| t.dry_at_s).fold(0.0, f64::max);
    let waits: Vec<f64> = updated.draws.iter().map(|d| (dry_s(&d.outcome) - now_s).max(0.0)).collect();
    let wait = weighted_quantiles(&waits, &updated.weights);
    let trays = sheet.load.trays.iter().enumerate();
    Ok(Dryness {
        now_s,
        target_wet_frac,
        chance_dry: updated.chance(|o| dry_s(o) <= now_s),
        trays: trays
            .map(|(i, t)| DryTray {
                tray: t.name.clone(),
                food: t.food.clone(),
                chance_dry: updated.chance(|o| o.trays[i].dry_at_s <= now_s),
            })
            .collect(),
        wait_s: Wait { as_likely_as_not: wait.typical, nine_in_ten: wait.high },
        rates,
        misfit: misfit(&sheet.load, &readings.used, &updated)?,
        doubtful: doubtful(&sheet.load, readings, &updated),
        uncertain: updated.power < 1.0,
        effective: updated.effective,
    })
}

fn rates(load: &Load, readings: &Readings) -> Vec<LossRate> {
    let tray = |(i, tray): (usize, &icefront_core::load::Tray)| {
        let weighed = readings.used.iter().rev().filter(|r| {
            matches!(r.quantity, Quantity::Weight { .. } | Quantity::WaterLost { .. }) && r.quantity.tray() == Some(i)
        });
        let last: Vec<_> = weighed.take(2).collect();
        let [b, a] = last[..] else { return None };
        let over_s = b.time_s - a.time_s;
        // weighed once as weight and once as water lost: no difference is known
        let same = std::mem::discriminant(&a.quantity) == std::mem::discriminant(&b.quantity);
        let tell = same && over_s > 0.0;
        tell.then(|| LossRate { tray: tray.name.clone(), lost_kg: (a.value - b.value).abs(), over_s })
    };
    load.trays.iter().enumerate().filter_map(tray).collect()
}
