//! A quantity as a slider: the number moves, and what stands before and after it stays as the cook wrote it.

use icefront_kitchen::quantity::{Kind, Limit};

/// Most places a slider has.
const MOST_STEPS: f64 = 60.0;
/// Taps from one end to the other, about.
const TAPS: f64 = 30.0;

/// The useful span of a key that has a slider, SI: what kitchens set, not all that is allowed.
fn useful(key: &str) -> Option<(f64, f64)> {
    match key {
        "depth" => Some((0.004, 0.030)),
        "size" | "thickness" | "height" => Some((0.003, 0.030)),
        "room" => Some((278.15, 308.15)),
        "fat" => Some((0.0, 0.50)),
        _ => None,
    }
}

/// Where the slider stands, in the unit of the text.
#[derive(Clone, Debug, PartialEq)]
pub struct Slider {
    /// Least.
    pub low: f64,
    /// Most.
    pub high: f64,
    /// From one place to the next.
    pub step: f64,
    /// By a tap on - or +.
    pub tap: f64,
    /// Now.
    pub value: f64,
    /// Text before the number, such as `about `.
    pub before: String,
    /// Text after it, such as ` mm`.
    pub after: String,
}

impl Slider {
    /// A slider over the useful span of a key, or further where the text is beyond it, for a text such as `about 15 mm`;
    /// `None` where the text is no such quantity, is a range of its own or is not allowed.
    pub fn of(key: &str, limit: &Limit, text: &str) -> Option<Self> {
        let (useful_low, useful_high) = useful(key)?;
        if text.contains("..") {
            return None;
        }
        let start = text.find(|c: char| c.is_ascii_digit() || c == '-')?;
        let (before, rest) = text.split_at(start);
        let end = rest.char_indices().skip(1).find(|(_, c)| !(c.is_ascii_digit() || *c == '.'));
        let (number, after) = rest.split_at(end.map_or(rest.len(), |(at, _)| at));
        let value: f64 = number.parse().ok()?;
        let (zero, one) = (si(limit.kind, "0", after)?, si(limit.kind, "1", after)?);
        let shown = |bound: f64| (bound - zero) / (one - zero);
        if !(shown(limit.low)..=shown(limit.high)).contains(&value) {
            return None;
        }
        let (low, high) = (shown(useful_low).min(value), shown(useful_high).max(value));
        let (step, tap) = (step((high - low) / MOST_STEPS), step((high - low) / TAPS));
        // whole steps, so that the slider's places are round numbers
        let (low, high) = ((low / step + 1e-6).floor() * step, (high / step - 1e-6).ceil() * step);
        let slider = Self { low, high, step, tap, value, before: before.into(), after: after.into() };
        (slider.low..=slider.high).contains(&slider.value).then_some(slider)
    }
}

/// A number with a unit, SI.
fn si(kind: Kind, number: &str, after: &str) -> Option<f64> {
    let unit = after.split("+-").next().and_then(|unit| unit.split('\u{b1}').next()).unwrap_or(after).trim();
    let any = Limit::new(kind, f64::MIN, f64::MAX, "any");
    any.read_text(&format!("{number} {unit}")).ok()
}

/// The next larger of 1, 2 and 5 times a power of ten.
fn step(wanted: f64) -> f64 {
    let decade = libm::pow(10.0, libm::log10(wanted).floor());
    [1.0, 2.0, 5.0, 10.0].into_iter().map(|m| m * decade).find(|step| *step >= wanted * 0.999).unwrap_or(wanted)
}

#[cfg(test)]
mod tests {
    use super::*;
    use icefront_kitchen::quantity;

    #[test]
    fn the_number_moves_in_its_own_unit_over_the_useful_span() {
        for (key, limit, text, low, high, step, tap, value, before, after) in [
            ("depth", &quantity::DEPTH, "14 mm", 4.0, 30.0, 0.5, 1.0, 14.0, "", " mm"),
            ("depth", &quantity::DEPTH, "45 mm", 4.0, 45.0, 1.0, 2.0, 45.0, "", " mm"),
            ("depth", &quantity::DEPTH, "about 0.6 in", 0.14, 1.2, 0.02, 0.05, 0.6, "about ", " in"),
            ("depth", &quantity::DEPTH, "15 mm +- 3 mm", 4.0, 30.0, 0.5, 1.0, 15.0, "", " mm +- 3 mm"),
            ("room", &Limit::celsius(-20.0, 45.0, ""), "-5 C", -5.0, 35.0, 1.0, 2.0, -5.0, "", " C"),
            ("room", &Limit::celsius(-20.0, 45.0, ""), "68 F", 41.0, 95.0, 1.0, 2.0, 68.0, "", " F"),
            ("fat", &quantity::SHARE, "12.5 %", 0.0, 50.0, 1.0, 2.0, 12.5, "", " %"),
        ] {
            let slider = Slider::of(key, limit, text).unwrap_or_else(|| panic!("{text}"));
            for (what, got, expected) in [
                ("low", slider.low, low),
                ("high", slider.high, high),
                ("step", slider.step, step),
                ("tap", slider.tap, tap),
            ] {
                assert!((got - expected).abs() < 1e-9, "{text}: {what} is {got}, expected {expected}");
            }
            assert_eq!((slider.value, slider.before.as_str(), slider.after.as_str()), (value, before, after));
        }
    }

    #[test]
    fn what_is_no_plain_quantity_has_no_slider() {
        for text in ["12..18 mm", "", "deep", "15", "15 bananas", "900 mm", "1e999 mm", "-", "- mm"] {
            assert_eq!(Slider::of("depth", &quantity::DEPTH, text), None, "{text}");
        }
        assert_eq!(Slider::of("layers", &quantity::DEPTH, "14 mm"), None);
    }
}
