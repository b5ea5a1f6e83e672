//! Findings about trays in words.

use icefront_core::decide::compare::SAFE;
use icefront_core::ranges::Outcome;
use icefront_core::result::{Flag, TrayResult};
use icefront_core::units::UnitSystem;

use crate::format::{self, capital};
use crate::plan::Run;
use crate::range;

/// Every flag, the most pressing first.
pub const ALL: [Flag; 8] = [
    Flag::NotFrozen,
    Flag::IceLeft,
    Flag::NotDry,
    Flag::Melts,
    Flag::Collapses,
    Flag::Shrinks,
    Flag::Softens,
    Flag::Fatty,
];

/// Something that is wrong with some trays.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// What.
    pub flag: Flag,
    /// The places of the trays.
    pub places: Vec<usize>,
    /// Chance that any of them shows it, or worse.
    pub chance: f64,
}

impl Finding {
    /// What it means, how likely it is, and what can be done.
    pub fn words(&self) -> String {
        match remedy(self.flag) {
            "" => self.without_remedy(),
            remedy => format!("{} {remedy}", self.without_remedy()),
        }
    }

    /// What it means, and how likely it is.
    pub fn without_remedy(&self) -> String {
        match self.chance {
            chance if is_grave(self.flag) && chance <= 0.95 => {
                format!("in {} cases {}", range::odds(chance).replace(" in ", " of "), meaning(self.flag))
            }
            _ => meaning(self.flag).to_string(),
        }
    }
}

/// Whether it spoils the food: then it counts from a chance of [`SAFE`] on, else where most samples show it.
fn is_grave(flag: Flag) -> bool {
    matches!(flag, Flag::NotFrozen | Flag::IceLeft | Flag::NotDry | Flag::Melts)
}

/// What is found on the trays of a run, over its samples, or in the run alone where it has no range; the most pressing first.
/// A tray counts once for its texture: with the gravest that it has, or a graver one, often enough.
pub fn pressing(run: &Run) -> Vec<Finding> {
    let texture = |flag: &Flag| matches!(flag, Flag::Melts | Flag::Collapses | Flag::Shrinks | Flag::Softens);
    let chance = |places: &[usize], any: &[Flag]| {
        let of = |flags: &[Flag]| any.iter().any(|flag| flags.contains(flag));
        let single = |flags: Option<&Vec<Flag>>| flags.is_some_and(|flags| of(flags));
        let trays = &run.result.trays;
        match &run.range {
            Some(range) => {
                let shows = |o: &Outcome| places.iter().any(|place| single(o.trays.get(*place).map(|t| &t.flags)));
                range.cloud.chance(shows)
            }
            None => f64::from(u8::from(places.iter().any(|place| single(trays.get(*place).map(|t| &t.flags))))),
        }
    };
    let often =
        |place: usize, flag: Flag, any: &[Flag]| chance(&[place], any) > if is_grave(flag) { SAFE } else { 0.5 };
    let graver = |flag: Flag| ALL.into_iter().filter(texture).take_while(move |other| *other != flag);
    let any =
        |flag: Flag| -> Vec<Flag> { if texture(&flag) { graver(flag).chain([flag]).collect() } else { vec![flag] } };
    let says = |place: usize, flag: Flag| {
        let is_worse = || graver(flag).any(|worse| often(place, worse, &any(worse)));
        often(place, flag, &any(flag)) && !(texture(&flag) && is_worse())
    };
    let finding = |flag: Flag| {
        let places: Vec<usize> = (0..run.load.trays.len()).filter(|place| says(*place, flag)).collect();
        (!places.is_empty()).then(|| Finding { flag, chance: chance(&places, &any(flag)), places })
    };
    ALL.into_iter().filter_map(finding).collect()
}

/// Findings of one tray among all.
pub fn of_tray(findings: &[Finding], place: usize) -> Vec<Flag> {
    findings.iter().filter(|one| one.places.contains(&place)).map(|one| one.flag).collect()
}

/// Every finding with its trays, the number behind it, and what can be done.
pub fn sentences(run: &Run) -> Vec<String> {
    let trays = &run.result.trays;
    let said = |finding: Finding| {
        let of = |place: &usize| trays.get(*place).map(|t| named(t) + &measure(finding.flag, t, run.load.units));
        let named: Vec<String> = finding.places.iter().filter_map(of).collect();
        capital(&format!("{}: {}", named.join("; "), finding.words()))
    };
    pressing(run).into_iter().map(said).collect()
}

/// One or two words for a table.
pub fn short(flag: Flag) -> &'static str {
    match flag {
        Flag::Softens => "softens",
        Flag::Shrinks => "shrinks",
        Flag::Collapses => "collapses",
        Flag::Melts => "melts",
        Flag::NotFrozen => "not frozen",
        Flag::IceLeft => "ice left",
        Flag::NotDry => "not dry",
        Flag::Fatty => "fatty",
    }
}

/// What the flag means on the tray.
fn meaning(flag: Flag) -> &'static str {
    match flag {
        Flag::Softens => "it keeps its shape but is less crisp.",
        Flag::Shrinks => "it shrinks and turns chewy.",
        Flag::Collapses => "it collapses, foams or sticks, and may dry more slowly than planned.",
        Flag::Melts => "part of its ice melts while it dries, and it comes out shrunken and tough.",
        Flag::NotFrozen => "not frozen through when the air is pumped out: it boils, foams and spatters.",
        Flag::IceLeft => "ice is left at the end. It must go on drying.",
        Flag::NotDry => "not dry at the end, and not dry is not safe to seal: go on drying, or freeze or eat it.",
        Flag::Fatty => "fat doesn't dry and turns rancid: keep this food apart, away from air, and eat it first.",
    }
}

/// What can be done about it before the run; empty where nothing can.
fn remedy(flag: Flag) -> &'static str {
    match flag {
        Flag::Softens => "Colder shelves would prevent that.",
        Flag::Shrinks => "Use colder shelves or thinner pieces.",
        Flag::Collapses | Flag::Melts => "Spread it thinner, or use colder shelves.",
        Flag::NotFrozen => "Freeze it longer, or spread it thinner.",
        Flag::IceLeft | Flag::NotDry | Flag::Fatty => "",
    }
}

/// The number behind a flag, where the run that stands for all shows it too.
fn measure(flag: Flag, tray: &TrayResult, units: UnitSystem) -> String {
    match flag {
        _ if !tray.flags.contains(&flag) => String::new(),
        Flag::Softens | Flag::Shrinks | Flag::Collapses => {
            let above_k = tray.front_mean_k - tray.collapse_k;
            format!(
                ", {} on average, {} above its limit",
                units.whole_degrees(tray.front_mean_k),
                units.difference(above_k.round())
            )
        }
        Flag::Melts => {
            format!(", at worst {:.0} % of its ice melts", 100.0 * (1.0 - tray.least_ice_share))
        }
        Flag::NotDry => format!(", wettest spot {}", format::percent_1(tray.wettest_wet_frac)),
        Flag::NotFrozen | Flag::IceLeft | Flag::Fatty => String::new(),
    }
}

/// `tray 1, bean stew; trays 2 and 3, rice`: trays of the same food are named together.
pub fn named_by_food(trays: &[&TrayResult]) -> String {
    let mut foods: Vec<&str> = Vec::new();
    trays.iter().for_each(|tray| {
        if !foods.contains(&tray.food.as_str()) {
            foods.push(&tray.food)
        }
    });
    let said = |food: &str| {
        let names: Vec<&str> = trays.iter().filter(|tray| tray.food == food).map(|tray| tray.name.as_str()).collect();
        format!("{}, {food}", together(&names))
    };
    foods.into_iter().map(said).collect::<Vec<_>>().join("; ")
}

/// `tray 1`, `trays 1 and 2`, `the small tray and tray 3`
pub fn together(names: &[&str]) -> String {
    let numbers: Option<Vec<String>> = names.iter().map(|name| Some(name.strip_prefix("tray ")?.to_string())).collect();
    match numbers {
        Some(numbers) if names.len() > 1 => format!("trays {}", format::and(&numbers)),
        _ => format::and(&names.iter().map(ToString::to_string).collect::<Vec<_>>()),
    }
}

/// `tray 1 (bean stew)`
pub fn named(tray: &TrayResult) -> String {
    format!("{} ({})", tray.name, tray.food)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_flag_is_forgotten() {
        let mut flags = ALL.to_vec();
        flags.sort();
        flags.dedup();
        assert_eq!(flags.len(), Flag::Fatty as usize + 1, "Fatty is the last of the list");
    }
}
