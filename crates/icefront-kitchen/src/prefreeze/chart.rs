//! The night as a chart holds it.

use icefront_core::freezing::before::GROWTH_FROM_K;
use icefront_core::freezing::cooling::MIDDLE_K;
use icefront_core::load::Tray;
use icefront_plot::{NightCourse, NightTray};

use crate::prefreeze::Course;
use crate::prefreeze::ways::{Answer, Question};
use crate::prefreeze::words::{clock, warmest};

/// Cores and surfaces outdoors, beside the air, the sky and the temperatures that matter.
pub fn chart(question: &Question, answer: &Answer) -> NightCourse {
    let (night, way) = (&question.night, &answer.outdoors);
    let wanted = degrees(question, question.wanted_k);
    let headline = match (way.all_reached_s(), warmest(&way.trays)) {
        (Some(at_s), None) => format!("Every core at {wanted} by {}", clock(night, at_s)),
        (_, Some((_, course))) => {
            format!("Not frozen through: a core at {} at {}", degrees(question, course.end_k), night.stay.until)
        }
        (None, None) => "Frozen through".to_string(),
    };
    let lids = if night.is_covered() { "under lids" } else { "open trays" };
    let date = night.date.as_ref().map_or(String::new(), |date| format!(" of {date}"));
    let remark = format!("outdoors in the night{date}, set out at {}, {lids}", night.stay.set_out);
    let starts_warmer = |level_k: f64| way.trays.iter().any(|c| c.core.first().is_some_and(|p| p.1 > level_k + 0.1));
    let mut limits = vec![(format!("frozen, {wanted}"), question.wanted_k)];
    limits
        .extend([GROWTH_FROM_K, MIDDLE_K].into_iter().filter(|k| starts_warmer(*k)).map(|k| (degrees(question, k), k)));
    let sees_sky = !night.is_covered() && night.quarters().any(|(_, now)| (now.sky_k - now.air_k).abs() > 0.5);
    NightCourse {
        answer: headline,
        remark,
        set_out_clock_s: night.stay.set_out.0,
        air: night.quarters().map(|(time_s, now)| (time_s, now.air_k)).collect(),
        sky: night.quarters().filter(|_| sees_sky).map(|(time_s, now)| (time_s, now.sky_k)).collect(),
        trays: question.load.trays.iter().zip(&way.trays).map(|(t, c)| tray(question, t, c)).collect(),
        limits,
        units: question.load.units,
    }
}

/// `−12 °C`, as axes write it.
fn degrees(question: &Question, kelvin: f64) -> String {
    question.load.units.whole_degrees(kelvin).replace('-', "−")
}

fn tray(question: &Question, tray: &Tray, course: &Course) -> NightTray {
    let remark = match course.reached_at_s {
        _ if course.was_frozen() => "came frozen".to_string(),
        Some(at_s) => format!("at {} by {}", degrees(question, question.wanted_k), clock(&question.night, at_s)),
        None => format!("ends at {}", degrees(question, course.end_k)),
    };
    NightTray { name: tray.food.clone(), remark, core: course.core.clone(), surface: course.surface.clone() }
}
