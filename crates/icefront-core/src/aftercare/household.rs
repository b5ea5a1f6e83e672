//! Amounts as a cook measures them: round numbers on the scale, cups and spoons. Never more than 2 % off.

use std::fmt;

use crate::units::Volume;

/// Farthest a rounded amount may be from the amount.
const MOST_OFF: f64 = 0.02;

/// The roundest number within 2 %: steps of 1, 5 and their tens.
pub fn rounded_to_scale(value: f64) -> f64 {
    if !(value.is_finite() && value > 0.0) {
        return value;
    }
    let decade = libm::log10(value).floor() as i32;
    let steps = (0..4).flat_map(|down| [5.0, 1.0].map(|step| step * 10f64.powi(decade - down)));
    steps
        .map(|step| (value / step).round() * step)
        .find(|rounded| (rounded - value).abs() <= MOST_OFF * value)
        .unwrap_or(value)
}

/// A volume in US cups and spoons.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cups {
    /// Twelfths of a cup: quarters and thirds only.
    cup_twelfths: u32,
    /// Half tablespoons.
    half_tablespoons: u32,
    /// Quarter teaspoons.
    quarter_teaspoons: u32,
}

const TABLESPOONS_PER_CUP: f64 = 16.0;
const TEASPOONS_PER_CUP: f64 = 48.0;
/// Twelfths that cup measures come in: quarters and thirds.
const MEASURES: [u32; 6] = [0, 3, 4, 6, 8, 9];

impl Cups {
    /// The simplest measure within 2 % of a volume, m3: cups alone, with tablespoons, with teaspoons. `None` where
    /// quarter teaspoons are too coarse for that: use a scale.
    pub fn of(volume_m3: f64) -> Option<Self> {
        let cups = Volume::from_cubic_metres(volume_m3).cups();
        if !cups.is_finite() || cups < 0.25 / TEASPOONS_PER_CUP {
            return None;
        }
        let near = |c: &Self| (c.cups() - cups).abs() <= MOST_OFF * cups;
        // largest quarter or third not above, then what is missing in spoons
        let below: Vec<u32> = twelfths(cups).filter(|t| f64::from(*t) / 12.0 <= cups).collect();
        let alone = twelfths(cups).map(|cup_twelfths| Self { cup_twelfths, half_tablespoons: 0, quarter_teaspoons: 0 });
        let spoons = below.iter().rev().map(|&cup_twelfths| {
            let missing = cups - f64::from(cup_twelfths) / 12.0;
            let half_tablespoons = (missing * TABLESPOONS_PER_CUP * 2.0).round() as u32;
            Self { cup_twelfths, half_tablespoons, quarter_teaspoons: 0 }
        });
        let teaspoons = below.iter().rev().map(|&cup_twelfths| {
            let missing = cups - f64::from(cup_twelfths) / 12.0;
            let half_tablespoons = (missing * TABLESPOONS_PER_CUP * 2.0).floor() as u32;
            let missing = missing - f64::from(half_tablespoons) / (2.0 * TABLESPOONS_PER_CUP);
            let quarter_teaspoons = (missing * TEASPOONS_PER_CUP * 4.0).round() as u32;
            Self { cup_twelfths, half_tablespoons, quarter_teaspoons }
        });
        let whole = |c: &Self| c.cup_twelfths + c.half_tablespoons + c.quarter_teaspoons > 0;
        alone.chain(spoons).chain(teaspoons).filter(whole).find(near)
    }

    /// In cups.
    pub fn cups(&self) -> f64 {
        f64::from(self.cup_twelfths) / 12.0
            + f64::from(self.half_tablespoons) / (2.0 * TABLESPOONS_PER_CUP)
            + f64::from(self.quarter_teaspoons) / (4.0 * TEASPOONS_PER_CUP)
    }
}

/// Twelfths of a cup near a number of cups that can be measured.
fn twelfths(cups: f64) -> impl DoubleEndedIterator<Item = u32> {
    let whole = cups.floor().min(1e6) as u32;
    (whole.saturating_sub(1)..=whole + 1).flat_map(|whole| MEASURES.map(|part| 12 * whole + part))
}

impl fmt::Display for Cups {
    /// `1 1/4 cups + 1 tbsp`
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut parts = Vec::new();
        if self.cup_twelfths > 0 {
            let name = if self.cup_twelfths > 12 { "cups" } else { "cup" };
            parts.push(format!("{} {name}", mixed(self.cup_twelfths, 12)));
        }
        if self.half_tablespoons > 0 {
            parts.push(format!("{} tbsp", mixed(self.half_tablespoons, 2)));
        }
        if self.quarter_teaspoons > 0 {
            parts.push(format!("{} tsp", mixed(self.quarter_teaspoons, 4)));
        }
        f.write_str(&parts.join(" + "))
    }
}

/// `1 3/4`, `2`, `1/3`
fn mixed(parts: u32, of: u32) -> String {
    let (whole, part) = (parts / of, parts % of);
    let divisor = (1..=part).rev().find(|d| part.is_multiple_of(*d) && of.is_multiple_of(*d)).unwrap_or(1);
    match (whole, part) {
        (_, 0) => whole.to_string(),
        (0, _) => format!("{}/{}", part / divisor, of / divisor),
        _ => format!("{whole} {}/{}", part / divisor, of / divisor),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn never_more_than_two_per_cent_off(log in -6.0..1.5f64) {
            let value = 10f64.powf(log);
            prop_assert!((rounded_to_scale(value) / value - 1.0).abs() <= 0.02 + 1e-12);
            let cups = 10f64.powf(log + 2.5);
            if let Some(measure) = Cups::of(cups * 2.365_882_365e-4) {
                prop_assert!((measure.cups() / cups - 1.0).abs() <= 0.02 + 1e-9, "{measure} for {cups}");
            } else {
                prop_assert!(cups < 6.25 / 48.0, "nothing for {cups} cups");
            }
        }
    }

    #[test]
    fn as_a_cook_would_say() {
        let scale = [(237.4, 240.0), (412.0, 410.0), (86.3, 85.0), (1_238.0, 1_250.0), (7.04, 7.0), (18.6, 18.5)];
        for (value, round) in scale {
            approx::assert_relative_eq!(rounded_to_scale(value), round, max_relative = 1e-12);
        }
        let cup = 236.588_236_5e-6;
        for (cups, words) in [
            (1.0, "1 cup"),
            (1.76, "1 3/4 cups"),
            (0.33, "1/3 cup"),
            (1.12, "1 cup + 2 tbsp"),
            (0.0615, "1 tbsp"),
            (2.5 / 48.0, "1/2 tbsp + 1 tsp"),
        ] {
            assert_eq!(Cups::of(cups * cup).unwrap().to_string(), words, "{cups}");
        }
        assert_eq!(Cups::of(1e-7), None);
    }
}
