//! The food-safety clock and what to mind. Nothing here says that food is safe.

use icefront_core::freezing::before::{GROWTH_FROM_K, GROWTH_TO_K};
use icefront_core::freezing::cooling::{Cooling, MIDDLE_K};
use icefront_core::units::UnitSystem;

use crate::blocks::Words;
use crate::format::{self, capital};
use crate::prefreeze::way::{Place, Way};
use crate::prefreeze::ways::{Answer, Question};
use crate::prefreeze::words::{clock, named, ready_s};

/// How fast each way cools, beside the published limits.
pub fn cooling(question: &Question, answer: &Answer) -> Words {
    let [hot, middle, cold] = [GROWTH_TO_K, MIDDLE_K, GROWTH_FROM_K].map(|k| question.load.units.temperature(k));
    let ways = [&answer.outdoors, &answer.freezer, &answer.machine];
    let slow: Vec<String> = ways.into_iter().filter_map(|way| way_cools(question, way)).collect();
    if slow.is_empty() {
        let text = "no cooling limit applies, since all food starts cold, at {cold} or below. Time it was warm before counts too.";
        return Words::new("cooling", text.replace("{cold}", &cold));
    }
    let text = format!(
        "limits for the core (US FDA Food Code 3-501.14): {hot} to {middle} within 2 h and {hot} to {cold} within 6 h \
         in all; from {middle} or colder to {cold} within 4 h. {} Time it was warm before counts too. Follow your local rules first.",
        slow.join(" ")
    );
    Words::new("cooling", text)
}

fn way_cools(question: &Question, way: &Way) -> Option<String> {
    let place = match way.place {
        Place::Outdoors => "Outdoors",
        Place::Freezer => "Freezer",
        Place::Machine => "Machine",
    };
    let clocks = || way.trays.iter().enumerate().filter_map(|(i, course)| Some((i, course.cooling?)));
    let slow: Vec<String> = clocks()
        .filter(|(_, clock)| !clock.within_limits())
        .map(|(i, clock)| format!("{}, {}", named(&question.load, i), times(&clock, question.load.units)))
        .collect();
    if !slow.is_empty() {
        return Some(format!("{place}: TOO SLOW for {}.", slow.join("; ")));
    }
    let key = |clock: &Cooling| clock.to_cold_s.unwrap_or(f64::INFINITY);
    let (index, clock) = clocks().max_by(|a, b| key(&a.1).total_cmp(&key(&b.1)))?;
    Some(format!(
        "{place}: within it; slowest is {}, {}.",
        named(&question.load, index),
        times(&clock, question.load.units)
    ))
}

/// `21 °C after 0.8 h, 5 °C after 2.1 h`
fn times(clock: &Cooling, units: UnitSystem) -> String {
    let [middle, cold] = [MIDDLE_K, GROWTH_FROM_K].map(|k| units.temperature(k));
    let after = |level: &str, time_s: Option<f64>| match time_s {
        Some(time_s) => format!("{level} after {}", format::hours(time_s)),
        None => format!("{level} not reached"),
    };
    match clock.middle_limit_s {
        Some(_) => format!("{}, {}", after(&middle, clock.to_middle_s), after(&cold, clock.to_cold_s)),
        None => after(&cold, clock.to_cold_s),
    }
}

/// Doubts and dangers of freezing food before it is loaded, most pressing first.
pub fn cautions(question: &Question, answer: &Answer) -> Vec<String> {
    let night = &question.night;
    let mut list = Vec::new();
    if [&answer.outdoors, &answer.freezer, &answer.machine].into_iter().any(|way| ready_s(way).is_none()) {
        list.push("Not every one of these batches gets dry; `icefront plan` says why.".to_string());
    }
    for way in [&answer.outdoors, &answer.freezer, &answer.machine] {
        let slow = |course: &crate::prefreeze::Course| course.cooling.is_some_and(|clock| !clock.within_limits());
        if let Some(index) = way.trays.iter().position(slow).filter(|_| way.place == answer.advice.place) {
            list.push(format!(
                "{} stays warm too long: germs grow and some of their poisons survive heating. Cool it faster, or do not \
                 keep it.",
                capital(&named(&question.load, index))
            ));
        }
    }
    list.push(cover(question, answer));
    let sun = night.sun_from_s.map(|from_s| format!(" The file has sun from {} on.", clock(night, from_s)));
    let sun = sun.unwrap_or_default();
    list.push(format!(
        "Sun thaws a tray even in frost and is not counted here. Shade the trays, and bring them in before the sun \
         reaches them.{sun} Treat thawed food as unfrozen."
    ));
    list.extend(ALWAYS.lines().map(String::from));
    list
}

fn cover(question: &Question, answer: &Answer) -> String {
    let by = |time_s: Option<f64>| match time_s {
        Some(time_s) => format!("the last tray is frozen through at {}", clock(&question.night, time_s)),
        None => format!("not every tray is frozen through by {}", question.night.stay.until),
    };
    let other = by(answer.other_cover_s);
    let computed = if question.night.is_covered() {
        format!("Without lids {other}. Beside walls or under trees")
    } else {
        format!("The numbers are for open trays. With lids {other} (`--covered`). Beside walls or under trees")
    };
    format!(
        "Cover food outdoors against animals, birds, dust and snow, and weigh the lids down. {computed} it takes a time between the two."
    )
}

const ALWAYS: &str = include_str!("always.txt");
