//! Why it takes so long, as text: stage by stage, resistance by resistance, then what would help.

use icefront_core::decide::falls::{Falls, Step};
use icefront_core::decide::levers::{Gain, binding};
use icefront_core::result::Stage;

use crate::blocks::{Column, List, Part, Table, Words, in_order};
use crate::explain::reasons::{Answer, Beside, Changed};
use crate::explain::words;
use crate::plan::flags;
use crate::{Look, format};

/// The whole report.
pub fn text(source: &str, answer: &Answer, equations: bool, look: Look) -> String {
    let equations = equations.then(|| List::of_lines("equations", EQUATIONS));
    let parts: [&dyn Part; 9] = [
        &headline(source, answer),
        &stages(answer),
        &resistances(answer, look),
        &levers(answer),
        &beside(answer),
        &sides(answer),
        &lessons(answer),
        &equations,
        &Words::new("mind", MIND),
    ];
    in_order(&parts, look)
}

const MIND: &str = "typical numbers; food and machine differ, and a change is worth what `icefront compare` says of its \
                    range. Cautions for the work stand in `icefront plan`. Nothing here is a guarantee.";

fn headline(source: &str, answer: &Answer) -> Words {
    let name = flags::named(&answer.result.trays[answer.tray]);
    let ready = format::hours(answer.result.food_ready_s());
    let held = answer.result.machine.time_limited_frac;
    let words = || format!(" Pressure holds the heaters back for {:.0} % of primary drying.", 100.0 * held);
    let held = (held > 0.01).then(words).unwrap_or_default();
    Words::new("", format!("{source}: why it takes {ready} until the food is ready, and {name} in it.{held}"))
}

/// Each stage with what holds it up.
fn stages(answer: &Answer) -> Table {
    let stages = [Stage::Freezing, Stage::Evacuation, Stage::PrimaryDrying, Stage::SecondaryDrying];
    let rows = stages.into_iter().filter(|stage| answer.result.stage_s[*stage] > 0.0).map(|stage| {
        let binding = binding(&answer.gains, &answer.result, stage);
        let items: Vec<String> =
            binding.iter().map(|(lever, share)| format!("{}, {:.0} %", words::binds(*lever), 100.0 * share)).collect();
        let items = if items.is_empty() { "no single thing".to_string() } else { items.join("\n") };
        vec![stage.name().to_string(), format::hours(answer.result.stage_s[stage]), items]
    });
    let items = Column::words("twice as good, it would be shorter by", 45);
    Table::new("what binds", [Column::words("", 17), Column::number("takes"), items], rows)
}

/// Length of a whole bar.
const BAR: f64 = 40.0;

/// Shares, with bars for those who see them.
fn resistances(answer: &Answer, look: Look) -> Table {
    let rows = Step::ALL.into_iter().map(|step| {
        let share = answer.falls.share[step];
        let length = if look == Look::Plain { 0.0 } else { BAR };
        let bar = "#".repeat((length * share).round() as usize);
        vec![words::step(step).to_string(), format!("{:.0} %", 100.0 * share), bar]
    });
    let above = answer.falls.from_above;
    let words = || format!(" {:.0} % of its heat comes from above, through the dried layer.", 100.0 * above);
    let split = (above > 0.0).then(words).unwrap_or_default();
    let note = format!(
        "Shares of the temperature between shelf and refrigerant, mean over primary drying; a fall of vapour pressure \
         counts as the fall of its frost point.{split}"
    );
    Table::new("resistances in series", [Column::words("", 36), Column::number("share"), Column::words("", 40)], rows)
        .about(format!(", {}", answer.load.trays[answer.tray].name))
        .note(note)
}

/// Gains smaller than this are listed together, s.
const SMALL_S: f64 = 360.0;

fn levers(answer: &Answer) -> Table {
    let (large, small): (Vec<Gain>, Vec<Gain>) =
        answer.gains.iter().copied().partition(|gain| gain.ready_s.abs() >= SMALL_S);
    let row = |gain: &Gain| vec![words::lever(gain.lever).to_string(), format::hours(gain.ready_s)];
    let small: Vec<&str> = small.iter().map(|gain| words::lever(gain.lever)).collect();
    let note = (!small.is_empty()).then(|| format!("Within 0.1 h of nothing: {}.", small.join("; ")));
    let columns = [Column::words("", 50), Column::number("ready sooner by")];
    Table::new("if one thing were twice as good", columns, large.iter().map(row)).about(", computed again").notes(note)
}

/// Share of the dried layer in all resistances, for heat and vapour together.
fn dried(falls: &Falls) -> f64 {
    falls.share[Step::DriedVapour] + falls.share[Step::DriedHeat]
}

/// What lies side by side on the tray: each with its own hours and its own way through the dried layer.
fn beside(answer: &Answer) -> Option<Table> {
    let tray = &answer.load.trays[answer.tray];
    let row = |part: &Beside| {
        vec![
            words::part(&part.result, tray),
            format!("{:.0} %", 100.0 * part.result.area_frac),
            format::hour(part.result.ice_gone_at_s),
            format::hour(part.result.dry_at_s),
            format!("{:.0} %", 100.0 * dried(&part.falls)),
        ]
    };
    (!answer.parts.is_empty()).then(|| {
        Table::of_numbers(
            "side by side",
            Column::words("", 28),
            ["of the floor", "ice gone h", "dry at h", "dried layer"],
            answer.parts.iter().map(row),
        )
        .about(" on this tray")
        .note("The resistances in series above are those of the first.")
    })
}

fn sides(answer: &Answer) -> Table {
    let tray = &answer.load.trays[answer.tray];
    let rows = answer.sides.iter().map(|side| {
        let here = &side.result.trays[answer.tray];
        vec![
            words::changed(side.change, &tray.shape).to_string(),
            format::hour(here.ice_gone_at_s),
            format::hour(here.dry_at_s),
            format!("{:.2}", here.loaded_kg),
            format::hour(here.dry_at_s.map(|s| s / here.loaded_kg)),
            format!("{:.0} %", 100.0 * dried(&side.falls)),
        ]
    });
    Table::of_numbers(
        "this tray alone",
        Column::words("", 18),
        ["ice gone h", "dry at h", "food kg", "h per kg", "dried layer"],
        rows,
    )
    .note("Dried layer: its share of all resistances, for heat and vapour together.")
}

/// What the rows teach.
fn lessons(answer: &Answer) -> Option<Words> {
    // under vacuum: freezing does not grow as drying does
    let dry = |change: Changed| {
        let side = answer.sides.iter().find(|side| side.change == change)?;
        let stage_s = &side.result.stage_s;
        Some(side.result.trays[answer.tray].dry_at_s? - stage_s[Stage::Freezing] - stage_s[Stage::Evacuation])
    };
    let mut lessons = Vec::new();
    if let (Some(thin), Some(thick)) = (dry(Changed::Thin), dry(Changed::Thick)) {
        lessons.push(format!(
            "from thin to thick, four times as much, its time under vacuum grows {:.1} times: 4 would mean that the \
             amount of water decides, 16 that the way through the dried layer does, and less that others decide.",
            thick / thin.max(1.0)
        ));
    }
    if let (Some(lean), Some(fatty)) = (dry(Changed::Lean), dry(Changed::Fatty)) {
        let later_h = format::in_hours(fatty - lean);
        lessons.push(format!(
            "Fatty it dries {:.1} h {} than lean: fat brings less water but coats the pores; it never dries itself, and \
             it keeps shorter.",
            later_h.abs(),
            if later_h >= 0.0 { "longer" } else { "less" }
        ));
    }
    (!lessons.is_empty()).then(|| Words::new("thin and thick, lean and fatty", lessons.join(" ")))
}

/// All are in `docs/model.md`, with their sources.
const EQUATIONS: &str = include_str!("equations.txt");
