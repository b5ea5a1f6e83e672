//! What a cook's name for a food was taken for, and what else it may be.

use std::collections::BTreeMap;

use icefront_core::food::{Composition, Found as FoundFood};

use super::foods::{ANIMAL, Found, ResolvedFood};
use crate::format;

/// A food of the table as a sheet's name was understood, where the name leaves room or differs from the table's.
#[derive(Clone, Debug, PartialEq)]
pub struct Meaning {
    /// What the table calls it.
    pub description: String,
    /// What else is to be said, in brackets; empty if nothing.
    pub more: String,
    /// How many other foods the name fits as well.
    pub others: usize,
    /// Whether it was taken as cooked, where it may as well be raw.
    pub as_cooked: bool,
}

impl Meaning {
    /// Whether nothing is left to say.
    pub fn is_sure(&self) -> bool {
        self.more.is_empty()
    }
}

/// Meanings of the names that the table does not begin with, or that leave room.
pub fn meanings(found: &Found) -> BTreeMap<String, Meaning> {
    found.values().filter_map(meaning).collect()
}

fn meaning(food: &ResolvedFood) -> Option<(String, Meaning)> {
    let description = food.entry?.description.clone();
    let (more, others) = food.taken.as_ref().map_or((String::new(), 0), |t| (t.words.clone(), t.others()));
    let differs = !description.to_lowercase().starts_with(&food.name.to_lowercase()) || !more.is_empty();
    let as_cooked = food.taken.as_ref().is_some_and(|t| t.as_cooked);
    differs.then(|| (food.name.clone(), Meaning { description, more, others, as_cooked }))
}

/// What a name was taken for that leaves room.
#[derive(Clone, Debug, Default)]
pub struct Taken {
    /// In the table's words, with what else it may be.
    words: String,
    /// Compositions of the foods that it fits as well, with less water than the one taken, and with more, the nearest first.
    drier: Vec<Composition>,
    wetter: Vec<Composition>,
    /// Whether it was taken as cooked, where it may as well be raw.
    as_cooked: bool,
}

impl Taken {
    /// By how much water or fat foods must differ for it to matter, kg/kg: a handful of minutes of drying.
    const MATTERS: f64 = 0.03;
    /// Most names that are offered.
    const OFFERED: usize = 3;

    /// What is said about a name that leaves room; `None` if it leaves none.
    pub fn of(name: &str, found: &FoundFood<'static>) -> Option<Self> {
        let entry = found.entry;
        let mut words = String::new();
        let mut more = |text: String| words = format!("{words}{}{text}", if words.is_empty() { " (" } else { "; " });
        if let Some(read_as) = &found.read_as {
            more(format!("read as {read_as}"));
        }
        let own = entry.composition;
        let mut all: Vec<Composition> = found.like.iter().map(|like| like.composition).collect();
        let far = |c: &Composition| (c.water - own.water).abs().max((c.fat - own.fat).abs());
        if all.iter().map(far).fold(0.0, f64::max) > Self::MATTERS {
            let water = |c: &Composition| c.water;
            let (low, high) = all.iter().map(water).fold((own.water, own.water), |(l, h), w| (l.min(w), h.max(w)));
            let others = format::count(all.len(), "other");
            let fit = if all.len() == 1 { "fits" } else { "fit" };
            more(format!("{others} {fit} as well, {:.0} to {:.0} % water", 100.0 * low, 100.0 * high));
        } else {
            all.clear();
        }
        let other_state =
            |state: &str, other: &str| entry.state == state && found.choices.iter().any(|choice| choice.state == other);
        let animal = ANIMAL.contains(&entry.category);
        let said = name.split_whitespace().any(|word| STATES.contains(&word.to_lowercase().as_str()));
        let as_cooked = animal && !said && other_state("cooked", "raw");
        if as_cooked {
            more(format!("write `raw {name}` if it is raw"));
        } else if !found.sure {
            let names = found.choices.iter().skip(1).take(Self::OFFERED).map(|choice| choice.description.as_str());
            let names: Vec<&str> = names.collect();
            if !names.is_empty() {
                more(format!("or: {}", names.join(" / ")));
            }
        }
        if words.is_empty() {
            return None;
        }
        words.push(')');
        all.sort_by(|a, b| a.water.total_cmp(&b.water));
        let (drier, wetter) = all.into_iter().partition::<Vec<_>, _>(|c| c.water < own.water);
        Some(Self { words, drier: drier.into_iter().rev().collect(), wetter, as_cooked })
    }

    /// How many other foods the name fits as well, with a composition that matters.
    pub fn others(&self) -> usize {
        self.drier.len() + self.wetter.len()
    }

    /// The composition at a number from 0 to 1: in the middle that of the plain food, at the ends those of the driest and the
    /// wettest that the name fits.
    pub fn drawn(&self, plain: Composition, number: f64) -> Composition {
        let away = 2.0 * number - 1.0;
        along(plain, if away < 0.0 { &self.drier } else { &self.wetter }, away.abs())
    }
}

/// Words that say whether food is cooked.
const STATES: [&str; 12] = [
    "raw", "uncooked", "cooked", "boiled", "roasted", "roast", "fried", "grilled", "baked", "smoked", "canned",
    "tinned",
];

/// Composition at a share of the way through these, piece by piece in a straight line.
fn along(from: Composition, through: &[Composition], share: f64) -> Composition {
    let way = share * through.len() as f64;
    let at = way.floor().min(through.len().saturating_sub(1) as f64);
    let part = way - at;
    let at = at as usize;
    let before = if at == 0 { Some(&from) } else { through.get(at - 1) };
    match (before, through.get(at)) {
        (Some(before), Some(next)) if part > 0.0 => Composition::mean([(*before, 1.0 - part), (*next, part)]),
        (Some(before), _) => *before,
        _ => from,
    }
}
