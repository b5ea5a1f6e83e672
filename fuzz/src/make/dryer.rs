//! Random dryer files, every value within its documented limits.

use std::fmt::Write;

use fastrand::Rng;

use super::{one_in, pick};
use crate::limits::{self, Limit};

/// Dryers to begin with.
const BASES: [&str; 3] = [
    include_str!("../../corpus/dryer/0.36-m2.toml"),
    include_str!("../../corpus/dryer/0.60-m2.toml"),
    include_str!("../../corpus/dryer/1.00-m2.toml"),
];
const ABOVE: [&str; 3] = ["heated shelf", "cold wall", "insulated"];
/// Keys that may be left out.
const OPTIONAL: [&str; 2] = ["defrost_heater", "cutback_from"];
/// Clear height over a shelf that holds most food, mm.
const ROOMY_MM: f64 = 90.0;
/// Shelves that hold most loads.
const MANY_SHELVES: f64 = 6.0;
/// Condenser over shelves, and power over loss of a compressor, that are allowed.
const LEAST_CONDENSER: f64 = 0.05;
const MORE_THAN_LOSS: f64 = 1.05;
/// Values that are redrawn in a dryer that is otherwise a built-in one.
const MOST_REDRAWN: usize = 6;

/// How the values of a dryer are chosen.
#[derive(Clone, Copy)]
enum Kind {
    /// A built-in dryer, a few of whose values lie anywhere.
    FewAnywhere,
    /// All values lie anywhere.
    AllAnywhere,
    /// A built-in dryer, all of whose values are up to this factor larger or smaller.
    Near(f64),
}

/// A dryer file.
pub fn text(rng: &mut Rng) -> String {
    let kind = match rng.u8(..10) {
        0..=3 => Kind::FewAnywhere,
        4..=7 => Kind::AllAnywhere,
        8 => Kind::Near(4.0),
        _ => Kind::Near(1.5),
    };
    let base = *pick(&BASES, rng);
    let limits: Vec<&Limit> = limits::of("Dryer files").collect();
    let redrawn: Vec<usize> = (0..rng.usize(1..=MOST_REDRAWN)).map(|_| rng.usize(..limits.len())).collect();
    let mut values: Vec<(&Limit, Option<f64>)> = Vec::new();
    for (i, &limit) in limits.iter().enumerate() {
        let usual = usual(base, limit);
        let value = match (kind, usual) {
            _ if OPTIONAL.contains(&limit.key.as_str()) && one_in(3, rng) => None,
            (Kind::FewAnywhere, Some(usual)) if !redrawn.contains(&i) => Some(usual),
            (Kind::Near(factor), Some(usual)) => Some(near(usual, factor, limit, rng)),
            // what the base does without
            (Kind::FewAnywhere | Kind::Near(_), None) if !redrawn.contains(&i) => None,
            // room for the food, or else most sheets are refused
            _ if limit.key == "clear_height" && !one_in(4, rng) => Some(limit.value(rng).max(ROOMY_MM)),
            _ if limit.key == "shelves" && !one_in(4, rng) => Some(limit.value(rng).max(MANY_SHELVES)),
            _ => Some(limit.value(rng)),
        };
        values.push((limit, value));
    }
    order_cutback(&mut values);
    if !one_in(8, rng) {
        at_least(&mut values, ("condenser", "area"), ("", "shelf_area"), LEAST_CONDENSER);
        at_least(&mut values, ("refrigeration", "power_limit"), ("refrigeration", "loss"), MORE_THAN_LOSS);
    }
    let above = if matches!(kind, Kind::AllAnywhere) || one_in(4, rng) { *pick(&ABOVE, rng) } else { ABOVE[0] };
    written(&values, above)
}

/// The value that a built-in dryer has for a key.
fn usual(base: &str, limit: &Limit) -> Option<f64> {
    let mut table = "";
    for line in base.lines() {
        if let Some(name) = line.strip_prefix('[') {
            table = name.split(']').next().unwrap_or("");
        }
        let Some((key, value)) = line.split_once('=') else { continue };
        if table == limit.table && key.trim() == limit.key {
            return limit.parsed(value.split('#').next().unwrap_or("").trim());
        }
    }
    None
}

/// A value around the usual one; temperatures, which have an offset, by degrees.
fn near(usual: f64, factor: f64, limit: &Limit, rng: &mut Rng) -> f64 {
    let share = 2.0 * rng.f64() - 1.0;
    let value = if limit.unit == "C" { usual + 5.0 * factor * share } else { usual * factor.powf(share) };
    let value = value.clamp(limit.low, limit.high);
    if limit.key == "shelves" { value.round() } else { value }
}

/// The two ends of the heaters' band come together and in order.
fn order_cutback(values: &mut [(&Limit, Option<f64>)]) {
    let place = |key: &str, values: &[(&Limit, Option<f64>)]| values.iter().position(|(limit, _)| limit.key == key);
    let (Some(from), Some(to)) = (place("cutback_from", values), place("cutback_to", values)) else { return };
    match (values[from].1, values[to].1) {
        (Some(low), Some(high)) if low > high => (values[from].1, values[to].1) = (Some(high), Some(low)),
        (Some(low), Some(high)) if low < high => {}
        _ => (values[from].1, values[to].1) = (None, None),
    }
}

/// One value is at least so many times another.
fn at_least(values: &mut [(&Limit, Option<f64>)], key: (&str, &str), other: (&str, &str), times: f64) {
    let place =
        |(table, key): (&str, &str)| values.iter().position(|(limit, _)| limit.table == table && limit.key == key);
    let (Some(place), Some(other)) = (place(key), place(other)) else { return };
    if let (Some(value), Some(other)) = (values[place].1, values[other].1) {
        values[place].1 = Some(value.max(times * other));
    }
}

fn written(values: &[(&Limit, Option<f64>)], above: &str) -> String {
    let mut text = format!(
        "icefront_dryer = 1\nname = \"drawn\"\nnote = \"Invented by a random number generator.\"\nabove_top_tray = \
         \"{above}\"\n"
    );
    let mut tables: Vec<&str> = values.iter().map(|(limit, _)| limit.table.as_str()).collect();
    tables.dedup();
    for table in tables {
        if !table.is_empty() {
            let _infallible = write!(text, "\n[{table}]\n");
        }
        for (limit, value) in values.iter().filter(|(limit, _)| limit.table == table) {
            let Some(value) = value else { continue };
            let value = if limit.key == "shelves" { format!("{}", value.round()) } else { limit.written(*value) };
            let _infallible = writeln!(text, "{} = {value}", limit.key);
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn built_in_dryers_are_understood() {
        let limits: Vec<&Limit> = limits::of("Dryer files").collect();
        let known = limits.iter().filter(|limit| usual(BASES[1], limit).is_some()).count();
        assert!(known > 34, "{known} of {}", limits.len());
    }
}
