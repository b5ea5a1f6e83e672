//! Findings about trays in words.

use icefront_core::result::{Flag, TrayResult};
use icefront_core::units::UnitSystem;

use crate::format::{self, capital};
use crate::plan::Run;

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

/// Findings that hold for most samples of a run, or for the run alone where it has no range, the most pressing first, each
/// with the places of its trays. A tray counts once for its texture: with the gravest that it has, or a graver one, in most
/// samples.
pub fn pressing(run: &Run) -> Vec<(Flag, Vec<usize>)> {
    let texture = |flag: &Flag| matches!(flag, Flag::Melts | Flag::Collapses | Flag::Shrinks | Flag::Softens);
    let most = |place: usize, any: &[Flag]| {
        let of = |flags: &[Flag]| any.iter().any(|flag| flags.contains(flag));
        match &run.range {
            Some(range) => range.cloud.chance(|o| o.trays.get(place).is_some_and(|t| of(&t.flags))) > 0.5,
            None => run.result.trays.get(place).is_some_and(|t| of(&t.flags)),
        }
    };
    let says = |place: usize, flag: Flag| {
        let graver: Vec<Flag> = ALL.into_iter().filter(texture).take_while(|other| *other != flag).collect();
        match texture(&flag) {
            true => !most(place, &graver) && most(place, &[graver.as_slice(), &[flag]].concat()),
            false => most(place, &[flag]),
        }
    };
    let places = |flag: Flag| (flag, (0..run.load.trays.len()).filter(|place| says(*place, flag)).collect::<Vec<_>>());
    ALL.into_iter().map(places).filter(|(_, places)| !places.is_empty()).collect()
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

/// Findings of one tray among all.
pub fn of_tray(pressing: &[(Flag, Vec<usize>)], place: usize) -> Vec<Flag> {
    pressing.iter().filter(|(_, places)| places.contains(&place)).map(|(flag, _)| *flag).collect()
}

/// Every finding with its trays, the number behind it, and what can be done.
pub fn sentences(run: &Run) -> Vec<String> {
    let trays = &run.result.trays;
    let said = |(flag, places): (Flag, Vec<usize>)| {
        let of = |place: &usize| trays.get(*place).map(|t| named(t) + &measure(flag, t, run.load.units));
        let named: Vec<String> = places.iter().filter_map(of).collect();
        capital(&format!("{}: {}", named.join("; "), advice(flag)))
    };
    pressing(run).into_iter().map(said).collect()
}

/// What the flag means on the tray, and what can be done.
pub fn advice(flag: Flag) -> &'static str {
    match flag {
        Flag::Softens => "it keeps its shape but is less crisp. Colder shelves or a smaller load would prevent that.",
        Flag::Shrinks => "it shrinks and turns chewy. Use colder shelves, thinner pieces or a smaller load.",
        Flag::Collapses => {
            "it collapses, foams or sticks, and may dry more slowly than planned. Spread it thinner, or use colder \
             shelves."
        }
        Flag::Melts => {
            "part of its ice melts while it dries, and it comes out shrunken and tough. Use colder shelves, or leave \
             it out."
        }
        Flag::NotFrozen => {
            "not frozen through when the air is pumped out: it boils, foams and spatters. Freeze it longer, or \
             spread it thinner."
        }
        Flag::IceLeft => "ice is left at the end. It must go on drying.",
        Flag::NotDry => "not dry at the end, and not dry is not safe to seal: go on drying, or freeze or eat it.",
        Flag::Fatty => "fat doesn't dry and turns rancid: keep this food apart, away from air, and eat it first.",
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
