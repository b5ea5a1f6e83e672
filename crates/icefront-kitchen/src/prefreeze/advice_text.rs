//! One recommendation with its reason, in a cook's words.

use icefront_core::freezing::before::{GROWTH_FROM_K, GROWTH_TO_K};
use icefront_core::units::Duration;

use crate::format::{self, in_hours};
use crate::prefreeze::Reason;
use crate::prefreeze::way::{Place, Way};
use crate::prefreeze::ways::{Answer, FROZEN_ENOUGH, Question};
use crate::prefreeze::words::{clock, named, warmest};

/// Less ice than this at its core, of the freezable water, and nobody calls a tray frozen (ours).
const HARDLY_ICE: f64 = 0.3;

/// Food that is out this much later is said to be, h.
const LATER_H: f64 = 0.5;

/// What to do, and why.
pub fn advice(question: &Question, answer: &Answer) -> String {
    let (do_it, way) = match answer.advice.place {
        Place::Outdoors => ("SET IT OUTDOORS.", &answer.outdoors),
        Place::Freezer => ("USE THE FREEZER.", &answer.freezer),
        Place::Machine => ("FREEZE IT IN THE MACHINE.", &answer.machine),
    };
    let outdoors = thawed(question, &answer.outdoors);
    let freezer = thawed(question, &answer.freezer);
    let both = || [outdoors.clone(), freezer.clone()].into_iter().flatten().collect::<Vec<_>>().join(" ");
    match answer.advice.reason {
        Reason::Saves => format!("{do_it} {} {}", saves(question, answer, way), outdoors.unwrap_or_default()),
        Reason::SavesTooLittle => {
            let in_time = answer.outdoors.in_time();
            let (place, best) =
                if in_time { ("Outdoors", &answer.outdoors) } else { ("In the freezer", &answer.freezer) };
            let saves = saves(question, answer, best);
            format!("{do_it} The other ways save too little. {place}: {saves} {}", outdoors.unwrap_or_default())
        }
        Reason::OthersNotFrozen if answer.advice.place != Place::Machine => {
            let saves = saves(question, answer, way);
            format!("{do_it} {saves} The machine would not freeze it through in the time it allows.")
        }
        Reason::OthersNotFrozen => format!("{do_it} {}", both()),
        Reason::NoneFrozen => format!(
            "LOAD LESS, OR SPREAD IT THINNER. No way freezes this food through, and what is not frozen boils and spatters \
             once the air is out. {}",
            both()
        ),
        Reason::OthersTooSlow if answer.advice.place == Place::Machine => {
            format!("{do_it} {} What freezes elsewhere cools more slowly than the limits below allow.", both())
        }
        Reason::OthersTooSlow => {
            let saves = saves(question, answer, way);
            format!("{do_it} {saves} The machine cools the food more slowly than the limits below allow.")
        }
        Reason::CoolFirst => {
            let [hot, cold] = [GROWTH_TO_K, GROWTH_FROM_K].map(|k| question.load.units.temperature(k));
            format!(
                "COOL IT FIRST. No way takes this food from {hot} to {cold} within the limits below. Cool it in shallow \
                 dishes and in the refrigerator, as your local rules say, and run this again with its new temperature."
            )
        }
    }
}

fn saves(question: &Question, answer: &Answer, way: &Way) -> String {
    let at = way.all_reached_s().map_or(String::new(), |at_s| format!(" by {}", clock(&question.night, at_s)));
    let saved_s = answer.machine.plan.food_ready_s() - way.plan.food_ready_s();
    let saved_kwh = format::kilowatt_hours(answer.machine.energy_j() - way.energy_j());
    let own_kwh = format::kilowatt_hours(way.freezer_energy_j());
    let own = (way.place == Place::Freezer).then(|| format!(" (the freezer needs about {own_kwh:.1} kWh)"));
    let later_s = way.wait_s - saved_s;
    let later = match in_hours(later_s) {
        later_h if later_h > LATER_H => format!(
            " The food is out {later_h:.0} h later than if it went into the machine at {}.",
            question.night.stay.set_out
        ),
        _ => String::new(),
    };
    format!(
        "Every tray is frozen through{at}. The machine then runs {} and uses {}{} than if it froze the food itself.{later}",
        less(Duration::from_seconds(saved_s).hours(), "h"),
        less(saved_kwh, "kWh"),
        own.unwrap_or_default()
    )
}

/// `1.9 kWh less`
fn less(saved: f64, unit: &str) -> String {
    format!("{:.1} {unit} {}", saved.abs(), if saved < -0.05 { "more" } else { "less" })
}

/// Why a way does not get the food frozen through; nothing if it does.
fn thawed(question: &Question, way: &Way) -> Option<String> {
    let (index, course) = warmest(&way.trays)?;
    let (load, night, units) = (&question.load, &question.night, question.load.units);
    let (core, wanted) = (units.whole_degrees(course.end_k), units.temperature(question.wanted_k));
    let tray = named(load, index);
    let until = night.stay.until;
    if let Some(at_s) = course.reached_at_s {
        let at = clock(night, at_s);
        return Some(format!(
            "Outdoors {tray} is frozen through at {at}, but back at {core} by {until}: it would have to come in sooner."
        ));
    }
    let curve = load.trays.get(index)?.model.curve;
    let (fails, hint) = match curve.frozen_share(course.end_k) {
        share if share < HARDLY_ICE => ("will not freeze".to_string(), ""),
        share if share < FROZEN_ENOUGH => ("will not freeze through".to_string(), ""),
        _ => (format!("will freeze, but not down to {wanted}"), " If that is enough for you, try a warmer `--core`."),
    };
    Some(match way.place {
        Place::Freezer => format!("In the freezer it {fails} by {until}: the core of {tray} is at {core} then.{hint}"),
        _ => {
            let coldest_k = night.quarters().map(|(_, now)| now.air_k).fold(f64::INFINITY, f64::min);
            let lid = if night.is_covered() { " under its lid" } else { "" };
            format!(
                "Outdoors{lid} it {fails} that night: the air comes down to {}, and at {until} the core of {tray} is at \
                 {core}.{hint}{}",
                units.temperature(coldest_k),
                fahrenheit(question)
            )
        }
    })
}

/// A mild night in degC that would be a hard one in degF.
fn fahrenheit(question: &Question) -> String {
    /// So mild a night nobody asks about, K; and so cold one everybody does.
    const MILD_K: f64 = 273.15;
    let night = &question.night;
    match night.mean_if_fahrenheit_k {
        Some(mean_k) if night.mean(|c| c.air_k) > MILD_K && mean_k < MILD_K => format!(
            " If the numbers in the column air_temp_C are degrees Fahrenheit, the night is {} on average: rename the \
             column air_temp_F.",
            question.load.units.whole_degrees(mean_k)
        ),
        _ => String::new(),
    }
}
