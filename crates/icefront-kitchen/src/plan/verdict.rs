//! The verdict on a load: what the machine makes of it over all samples, what goes wrong most often, and what would help.

use icefront_core::decide::compare::SAFE;
use icefront_core::decide::remedy::Remedy;
use icefront_core::decide::trouble::{LoadVerdict, Trouble};
use icefront_core::load::Load;
use icefront_core::machine::Dryer;
use icefront_core::ranges::Cloud;
use icefront_core::shape::{PieceForm, Shape};

use crate::Sheet;
use crate::format::{self, in_hours};
use crate::plan::flags::Finding;
use crate::plan::{Run, flags, limits, tables};
use crate::range::{Range, WORTH_A_WORD, chance, hours, odds};

/// A smaller load must save this much to be worth a word, h.
const WORTH_SAVING_H: f64 = 0.5;
/// Leaving a tray out of a load that is fine must save this share of its time.
const WORTH_SAVING_FRAC: f64 = 0.2;

/// The verdict, the reason and the remedy; `None` for a rig, and where no samples were made.
pub fn sentence(sheet: &Sheet, run: &Run) -> Option<String> {
    let (load, range) = (&run.load, run.range.as_ref()?);
    let Dryer::Cabinet(_) = load.dryer else { return None };
    let judgement = Judgement::of(load, range);
    let remedy = match judgement.verdict {
        _ if judgement.must_change() => Some(helps(sheet, run, judgement)),
        LoadVerdict::SlowButSafe => leave_out(sheet, run, 0.0),
        _ => leave_out(sheet, run, WORTH_SAVING_FRAC)
            .map(|words| format!("But one tray keeps the others waiting. {words}")),
    };
    let remedy = remedy.map_or(String::new(), |remedy| format!(" {remedy}"));
    Some(format!("This load ({}) is {}{remedy}", size(run), judgement.words(load)))
}

/// `3.6 kg on 4 trays`
fn size(run: &Run) -> String {
    format!("{} on {}", mass(run, limits::loaded_kg(&run.result)), format::count(run.load.trays.len(), "tray"))
}

/// Food in words.
fn mass(run: &Run, food_kg: f64) -> String {
    match food_kg {
        food_kg if food_kg < 1.0 => run.load.units.mass(1e-2 * (1e2 * food_kg).round()),
        _ => run.load.units.large_mass().written(food_kg, 1),
    }
}

/// What would help a load that is too much or risky.
fn helps(sheet: &Sheet, run: &Run, judgement: Judgement) -> String {
    // what is changed is said of the load as it was given, not of a sample of it
    let (load, given) = (&run.load, &sheet.load);
    let cloud = run.range.as_ref().map(|range| &range.cloud);
    let at_fault = cloud.map(|cloud| judgement.at_fault(load, cloud)).unwrap_or_default();
    let does = "it goes well at least 9 times in 10";
    let trouble = judgement.risk.map_or(Trouble::Melts, |risk| risk.trouble);
    match run.remedy(sheet, &at_fault, trouble) {
        Ok(Some(Remedy::Frozen { places })) => format!("Freeze {} before loading, and {does}.", trays(load, &places)),
        Ok(Some(Remedy::Thinner { places, share })) => {
            format!("{}, and {does}.", thinner(run, given, &places, share))
        }
        Ok(Some(Remedy::Colder { by_k })) => format!("{}, {does}.", colder(given, by_k)),
        Ok(Some(Remedy::ThinnerAndColder { places, share, by_k })) => {
            format!("{}: {}, and {does}.", colder(given, by_k), inside(&thinner(run, given, &places, share)))
        }
        Ok(Some(Remedy::Less { share })) => {
            let loaded_kg = limits::loaded_kg(&run.result);
            let [now, then] = [loaded_kg, share * loaded_kg].map(|food_kg| mass(run, food_kg));
            format!("Put {} as much on every tray ({then} in all instead of {now}), and {does}.", portion(share))
        }
        Ok(Some(Remedy::Without { places })) => {
            format!("Leave out {}: the rest goes well at least 9 times in 10.", trays(load, &places))
        }
        Ok(None) => {
            "No single change that was tried (thinner, colder shelves, less food, a tray left out) makes it safe: plan fewer \
             and thinner trays."
                .into()
        }
        Err(_) => String::new(),
    }
}

/// `tray 2 (chili)`, `trays 1 and 2`
fn trays(load: &Load, places: &[usize]) -> String {
    let named: Vec<_> =
        load.trays.iter().enumerate().filter(|(place, _)| places.contains(place)).map(|(_, t)| t).collect();
    match named.as_slice() {
        [one] => format!("{} ({})", one.name, one.food),
        _ if named.len() == load.trays.len() => "all trays".into(),
        _ => flags::together(&named.iter().map(|tray| tray.name.as_str()).collect::<Vec<_>>()),
    }
}

/// A share that can be judged by eye.
fn portion(share: f64) -> &'static str {
    const WORDS: [(f64, &str); 7] = [
        (0.9, "nine tenths"),
        (0.75, "three quarters"),
        (2.0 / 3.0, "two thirds"),
        (0.5, "half"),
        (1.0 / 3.0, "a third"),
        (0.25, "a quarter"),
        (1.0 / 6.0, "a sixth"),
    ];
    let nearest = WORDS.iter().min_by(|a, b| (a.0 - share).abs().total_cmp(&(b.0 - share).abs()));
    nearest.map_or("less", |(_, words)| words)
}

/// `Spread tray 1 (mashed potatoes) 0.5 in deep instead of 1 in`
fn thinner(run: &Run, load: &Load, places: &[usize], share: f64) -> String {
    let much = portion(share);
    let at = |place: &usize| load.trays.get(*place).map(|tray| (*place, tray.shape));
    let of: Vec<(usize, Shape)> = places.iter().filter_map(at).collect();
    let shapes: Vec<Shape> = of.iter().map(|(_, shape)| *shape).collect();
    let named = trays(load, places);
    match shapes.as_slice() {
        [shape] => one_thinner(load, &named, shape, share),
        shapes if shapes.iter().all(|shape| matches!(shape, Shape::Layer { .. })) => {
            let less_kg = places.iter().filter_map(|place| run.result.trays.get(*place)).map(|tray| tray.loaded_kg);
            let less = mass(run, (1.0 - share) * less_kg.sum::<f64>());
            format!("Spread {named} {much} as deep ({less} less food)")
        }
        _ => {
            let each = of.iter().map(|(place, shape)| one_thinner(load, &trays(load, &[*place]), shape, share));
            let each: Vec<String> =
                each.enumerate().map(|(i, words)| if i > 0 { inside(&words) } else { words }).collect();
            format::and(&each)
        }
    }
}

/// A sentence that stands inside another.
fn inside(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or(String::new(), |first| first.to_lowercase().chain(letters).collect())
}

/// The same of one tray.
fn one_thinner(load: &Load, named: &str, shape: &Shape, share: f64) -> String {
    match shape {
        Shape::Layer { .. } => {
            let [now, then] = [*shape, shape.filled(share)].map(|shape| tables::depth(&shape, load.units));
            format!("Spread {named} {then} deep instead of {now}")
        }
        Shape::Pieces { form: PieceForm::Sphere { .. }, .. } => format!("Put {} as much on {named}", portion(share)),
        Shape::Pieces { form, .. } => {
            let [now, then] = [*form, form.cut(share)].map(|form| load.units.length(form.lying().height_m));
            format!("Cut {named} {then} thick instead of {now}")
        }
    }
}

/// `With the shelves at 40 °C instead of 50 °C`
fn colder(load: &Load, by_k: f64) -> String {
    let Dryer::Cabinet(cabinet) = &load.dryer else { return String::new() };
    let now_k = cabinet.heater.set_point.warmest_k();
    let [now, then] = [now_k, now_k - by_k].map(|shelf_k| load.units.whole_degrees(shelf_k));
    format!("With the shelves at {then} instead of {now}")
}

/// What the last tray costs the others, where leaving it out saves more than a share of the time and spoils nothing.
fn leave_out(sheet: &Sheet, run: &Run, share: f64) -> Option<String> {
    let (load, result) = (&run.load, &run.result);
    let last = result.last_tray().filter(|_| load.trays.len() > 2)?;
    let place = load.trays.iter().position(|t| t.name == last.name)?;
    let saved_s = run.saved_without(sheet, place).ok().flatten()?;
    (in_hours(saved_s) >= WORTH_SAVING_H && saved_s >= share * result.food_ready_s())
        .then(|| format!("Leaving out {} ({}) would save {}.", last.name, last.food, hours(saved_s)))
}

/// What the machine makes of the load, over all samples.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Judgement {
    /// What holds for most samples.
    pub verdict: LoadVerdict,
    /// What goes wrong most often, where it is worth a word.
    risk: Option<Risk>,
}

/// Something that spoils a batch in a share of the samples.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Risk {
    trouble: Trouble,
    chance: f64,
    /// The place of the tray that shows it most often.
    tray: Option<usize>,
}

impl Risk {
    /// The gravest of a load by its samples.
    fn of(load: &Load, cloud: &Cloud) -> Option<Self> {
        let grave = Trouble::ALL.into_iter().filter(|trouble| trouble.is_grave());
        let all = grave.map(|trouble| (trouble, chance(load, cloud, trouble)));
        let (trouble, chance) = all.filter(|(_, chance)| *chance >= WORTH_A_WORD).max_by(|a, b| a.1.total_cmp(&b.1))?;
        let of_tray = |i: usize| cloud.chance(|o| trouble.is_in_tray(&o.trays[i]) == Some(true));
        let trays = (0..load.trays.len()).filter(|_| load.trays.len() > 1).map(|i| (of_tray(i), i));
        let tray = trays.filter(|(chance, _)| *chance > 0.0).max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, i)| i);
        Some(Self { trouble, chance, tray })
    }

    /// `In 3 of 10 cases some food melts, most often in tray 2 (blackberries)`
    fn words(self, load: &Load) -> String {
        let what = match self.trouble {
            Trouble::NotFrozen => "some food isn't frozen through when the pump starts",
            Trouble::Melts | Trouble::Collapses => "some food melts while it dries",
            Trouble::IceLeft => "ice is left in the food at the end",
            Trouble::NotDry => "some food isn't dry at the end",
            Trouble::NoRoomForIce => "the ice doesn't fit on the condenser",
            Trouble::TooHigh => "the food is too high for the shelf above",
        };
        let tray = self.tray.and_then(|i| load.trays.get(i));
        let tray = tray.map_or(String::new(), |tray| format!(", most often {} ({})", tray.name, tray.food));
        if self.trouble == Trouble::TooHigh {
            let all = load.trays.iter().map(|tray| (limits::excess_m(load, tray), tray));
            let Some((excess_m, tray)) = all.max_by(|a, b| a.0.total_cmp(&b.0)) else { return what.into() };
            let excess_m = (excess_m * 1e4).round() / 1e4;
            // the load may fit where many of its samples do not
            let by = if excess_m > 0.0 { format!(", by {}", load.units.length(excess_m)) } else { String::new() };
            return format!("{} ({}) is too high for the shelf above{by}", tray.name, tray.food);
        }
        if self.chance > 0.95 {
            return format!("{}{tray}", what.replacen("some food", "food", 1));
        }
        format!("in {} cases {what}{tray}", odds(self.chance).replace(" in ", " of "))
    }
}

impl Judgement {
    /// Of a load by its samples.
    pub fn of(load: &Load, range: &Range) -> Self {
        let share = |verdict| range.cloud.chance(|o| LoadVerdict::of(load, o) == verdict);
        let (too_much, slow) = (share(LoadVerdict::TooMuch), share(LoadVerdict::SlowButSafe));
        let verdict = if too_much > 0.5 {
            LoadVerdict::TooMuch
        } else if slow > share(LoadVerdict::Fine) {
            LoadVerdict::SlowButSafe
        } else {
            LoadVerdict::Fine
        };
        Self { verdict, risk: Risk::of(load, &range.cloud) }
    }

    /// Whether it fails more often than not.
    pub fn is_too_much(self) -> bool {
        self.verdict == LoadVerdict::TooMuch
    }

    /// Whether something spoils the batch more often than a cook should put up with.
    pub fn is_risky(self) -> bool {
        self.risk.is_some_and(|risk| risk.chance > SAFE)
    }

    /// Whether it should not be started as it is.
    pub fn must_change(self) -> bool {
        self.is_too_much() || self.is_risky()
    }

    /// Whether this is the risk that the verdict names.
    pub fn names(self, finding: &Finding) -> bool {
        let risk = self.risk.filter(|_| self.is_risky());
        risk.is_some_and(|risk| risk.trouble.flag() == Some(finding.flag))
    }

    /// Places of the trays that show the risk that it names, the worst first.
    fn at_fault(self, load: &Load, cloud: &Cloud) -> Vec<usize> {
        let Some(risk) = self.risk.filter(|_| self.is_risky()) else { return Vec::new() };
        let of_tray = |i: usize| cloud.chance(|o| risk.trouble.is_in_tray(&o.trays[i]) == Some(true));
        let mut trays: Vec<(f64, usize)> = (0..load.trays.len()).map(|i| (of_tray(i), i)).collect();
        trays.retain(|(chance, _)| *chance > 0.5 * SAFE);
        trays.sort_by(|a, b| b.0.total_cmp(&a.0));
        trays.into_iter().map(|(_, place)| place).collect()
    }

    /// As a clause that follows "this load is".
    fn words(self, load: &Load) -> String {
        let risk = self.risk.map(|risk| risk.words(load));
        let also = risk.as_ref().map_or(String::new(), |risk| format!(" {}.", format::capital(risk)));
        let waits = "the heaters wait for the condenser much of the time";
        match (self.verdict, risk) {
            (LoadVerdict::TooMuch, Some(risk)) => format!("{}: {risk}.", self.failing()),
            (LoadVerdict::TooMuch, None) => "too much for this machine.".into(),
            (LoadVerdict::SlowButSafe, _) if self.is_risky() => format!("slow and risky: {waits}.{also}"),
            (LoadVerdict::SlowButSafe, None) => format!("slow but safe: {waits}, which costs hours, not food."),
            (LoadVerdict::SlowButSafe, Some(_)) => format!("slow but safe: {waits}.{also}"),
            (LoadVerdict::Fine, Some(risk)) if self.is_risky() => format!("risky: {risk}."),
            (LoadVerdict::Fine, _) => format!("fine for this machine.{also}"),
        }
    }

    /// A load that fails more often than not: of its size, or of what lies on some tray.
    fn failing(self) -> &'static str {
        match self.risk {
            Some(Risk { trouble: Trouble::NoRoomForIce | Trouble::TooHigh, .. }) | None => "too much for this machine",
            Some(_) => "likely to fail",
        }
    }
}
