//! How much of a tray's time is uncertain because its name fits several foods.

use icefront_core::ranges::Point;
use statrs::distribution::{ContinuousCDF, Normal};

use crate::Sheet;
use crate::plan::Run;

/// Eight times in ten a standard normal number is no further from 0 than this.
const EIGHT_IN_TEN: f64 = 1.2816;

/// Half the range of a tray's dry time, 8 times in 10, that comes of not knowing which food is meant, s.
///
/// ```text
/// t = a + b z + rest over all draws,   z: the standard normal number that the food was drawn by;   1.28 |b|
/// ```
/// `None` where the name leaves no room, or nothing was drawn.
pub fn give_or_take_s(sheet: &Sheet, run: &Run, tray: usize) -> Option<f64> {
    let unknown = sheet.food_unknown(tray)?;
    let range = run.range.as_ref()?;
    let standard = Normal::standard();
    let pairs: Vec<(f64, f64)> = range
        .cloud
        .outcomes
        .iter()
        .filter_map(|o| {
            Some((standard.inverse_cdf(Point::new(o.draw, range.seed).unit(unknown)), o.trays.get(tray)?.dry_at_s))
        })
        .filter(|(_, dry_s)| dry_s.is_finite())
        .collect();
    let count = pairs.len() as f64;
    let mean = |of: fn(&(f64, f64)) -> f64| pairs.iter().map(of).sum::<f64>() / count;
    let (z_mean, t_mean) = (mean(|p| p.0), mean(|p| p.1));
    let variance: f64 = pairs.iter().map(|(z, _)| (z - z_mean).powi(2)).sum();
    let slope = pairs.iter().map(|(z, t)| (z - z_mean) * (t - t_mean)).sum::<f64>() / variance;
    Some(EIGHT_IN_TEN * slope.abs()).filter(|s| s.is_finite())
}
