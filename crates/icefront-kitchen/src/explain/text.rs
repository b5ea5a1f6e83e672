//! Why it takes so long, as text: stage by stage, resistance by resistance, then what would help.

use icefront_core::decide::falls::{Falls, Step};
use icefront_core::decide::levers::{Gain, binding};
use icefront_core::result::Stage;
use icefront_core::shape::Shape;

use crate::blocks::{Column, List, Part, Table, Words, in_order};
use crate::explain::reasons::{Answer, Beside, Changed, Side};
use crate::explain::words;
use crate::format::hours;
use crate::plan::flags;
use crate::{Look, format, range};

/// The whole report.
pub fn text(source: &str, answer: &Answer, equations: bool, look: Look) -> String {
    let equations = equations.then(|| List::of_lines("equations", EQUATIONS));
    let parts: [&dyn Part; 11] = [
        &headline(source, answer),
        &stages(answer),
        &resistances(answer, look),
        &levers(answer),
        &largest(answer),
        &beside(answer),
        &sides(answer),
        &lessons(answer),
        &answer.usable.table(&answer.load.trays[answer.tray].food),
        &equations,
        &Words::new("cautions", MIND),
    ];
    in_order(&parts, look)
}

const MIND: &str = "this is one typical run; food and machines differ. `icefront compare` shows how sure a gain is. \
                    `icefront plan` shows what to watch out for. Nothing here is a guarantee.";

/// How long it takes, what slows it most, and what would help most.
fn headline(source: &str, answer: &Answer) -> Words {
    let ready = range::hours(answer.result.food_ready_s());
    let longest = [Stage::Freezing, Stage::PrimaryDrying, Stage::SecondaryDrying]
        .into_iter()
        .max_by(|a, b| answer.result.stage_s[*a].total_cmp(&answer.result.stage_s[*b]));
    let limits = longest.map(|stage| binding(&answer.gains, &answer.result, stage)).unwrap_or_default();
    let why =
        limits.first().map_or(String::new(), |(lever, _)| format!(", mainly because of {}", words::limits(*lever)));
    let best =
        answer.gains.iter().filter(|gain| gain.ready_s >= SMALL_S).max_by(|a, b| a.ready_s.total_cmp(&b.ready_s));
    let help = match best {
        Some(gain) => format!("What would help most is {}: {} sooner.", words::lever(gain.lever), hours(gain.ready_s)),
        None => "No single change to the machine would help.".to_string(),
    };
    let held = answer.result.machine.time_limited_frac;
    let words = || format!(" The heaters wait for the condenser {:.0} % of primary drying.", 100.0 * held);
    let held = (held > 0.01).then(words).unwrap_or_default();
    let name = flags::named(&answer.result.trays[answer.tray]);
    let what = format!("Load: {source}, looking closely at {name}. `icefront plan` gives the range around this run.");
    Words::new("", format!("It takes about {ready}{why}. {help}{held} {what}"))
}

/// Each stage with what limits it.
fn stages(answer: &Answer) -> Table {
    let stages = [Stage::Freezing, Stage::Evacuation, Stage::PrimaryDrying, Stage::SecondaryDrying];
    let rows = stages.into_iter().filter(|stage| answer.result.stage_s[*stage] > 0.0).map(|stage| {
        let binding = binding(&answer.gains, &answer.result, stage);
        let items: Vec<String> =
            binding.iter().map(|(lever, share)| format!("{}, {:.0} %", words::limits(*lever), 100.0 * share)).collect();
        let items = if items.is_empty() { "no single thing".to_string() } else { items.join("\n") };
        vec![stage.name().to_string(), hours(answer.result.stage_s[stage]), items]
    });
    let items = Column::words("twice as good, it would be shorter by", 45);
    Table::new("what limits it", [Column::words("", 17), Column::number("takes"), items], rows)
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
    let words = || format!(" {:.0} % of the heat comes from above, through the dried layer.", 100.0 * above);
    let split = (above > 0.0).then(words).unwrap_or_default();
    let note = format!(
        "Shares of the temperature drop from shelf to refrigerant, on average over primary drying. A drop in vapour \
         pressure counts as the drop of its frost point.{split}"
    );
    Table::new("resistances in series", [Column::words("", 36), Column::number("share"), Column::words("", 40)], rows)
        .about(format!(", {}", answer.load.trays[answer.tray].name))
        .note(note)
}

/// Gains smaller than this are listed together, s.
const SMALL_S: f64 = 360.0;

fn levers(answer: &Answer) -> Table {
    let last_s = |gain: &Gain| {
        let found = answer.together.last.iter().find(|(lever, _)| *lever == gain.lever);
        found.map_or(0.0, |(_, saved_s)| *saved_s)
    };
    let (large, small): (Vec<Gain>, Vec<Gain>) =
        answer.gains.iter().copied().partition(|gain| gain.ready_s.abs().max(last_s(gain).abs()) >= SMALL_S);
    let row = |gain: &Gain| vec![words::lever(gain.lever).to_string(), saved(gain.ready_s), saved(last_s(gain))];
    let small: Vec<&str> = small.iter().map(|gain| words::lever(gain.lever)).collect();
    let none = (!small.is_empty()).then(|| format!("No effect (less than 0.1 h): {}.", small.join("; ")));
    let columns = [Column::words("", 50), Column::number("alone"), Column::number("after the rest")];
    Table::new("ready sooner if twice as good", columns, large.iter().map(row))
        .about(", by running it again")
        .note(all_at_once(answer))
        .notes(none)
}

/// `2.9 h`; what rounds to nothing has no sign.
fn saved(seconds: f64) -> String {
    hours(if seconds.abs() < 180.0 { 0.0 } else { seconds })
}

/// Gains whose sum is this much above what they save together are shared, below it they help each other.
const SHARED: f64 = 1.1;

fn all_at_once(answer: &Answer) -> String {
    let together_s = answer.together.ready_s;
    let sum_s: f64 = answer.gains.iter().map(|gain| gain.ready_s).sum();
    if !(together_s.is_finite() && sum_s.is_finite()) {
        return "After the rest: what it saves once everything else is twice as good.".into();
    }
    let why = if sum_s > SHARED * together_s {
        ", because several of them widen the same bottleneck"
    } else if together_s > SHARED * sum_s {
        ", because each alone only moves the bottleneck to the next"
    } else {
        ""
    };
    format!(
        "After the rest: what it saves once everything else is twice as good. All at once saves {}; the single gains \
         add up to {}{why}.",
        hours(together_s),
        hours(sum_s)
    )
}

/// Why the largest resistance may gain little.
fn largest(answer: &Answer) -> Option<Words> {
    let found = answer.bottleneck.as_ref()?;
    let of_all = found.ready_s / answer.result.food_ready_s();
    let little = of_all < 0.5 * found.share;
    let mut words = format!(
        "{}, {:.0} % of the temperature. With a tenth of it the food would be ready {} sooner, {}{:.0} % of the time.",
        words::step(found.step),
        100.0 * found.share,
        hours(found.ready_s),
        if little { "only " } else { "" },
        100.0 * of_all
    );
    if let Some((lever, saved_s)) = found.next.filter(|(_, saved_s)| *saved_s >= SMALL_S) {
        let limit = words::limits(lever);
        words += &format!(" Then the bottleneck is {limit}: twice as good, that would save {} more.", hours(saved_s));
    }
    let [held, without] = found.held_back_frac;
    if (held - without).abs() > 0.02 {
        words += &format!(
            " The heaters would wait for the condenser {:.0} % of primary drying instead of {:.0} %.",
            100.0 * without,
            100.0 * held
        );
    }
    Some(Words::new("the largest resistance", words))
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
            "parts of this tray",
            Column::words("", 28),
            ["of the floor", "ice gone h", "dry at h", "dried layer"],
            answer.parts.iter().map(row),
        )
        .note("The resistances above are those of the first row.")
    })
}

fn sides(answer: &Answer) -> Table {
    let (tray, unit) = (&answer.load.trays[answer.tray], answer.load.units.large_mass());
    let rows = answer.sides.iter().map(|side| {
        let here = &side.result.trays[answer.tray];
        vec![
            words::changed(side.change, &tray.shape).to_string(),
            format::hour(here.dry_at_s),
            format!("{:.2}", unit.of(here.loaded_kg)),
            format!("{:.2}", unit.of(side.water_kg(answer.tray))),
            format::hour(side.per_kg_water_s(answer.tray).map(|s| s / unit.of(1.0))),
            format!("{:.0} %", 100.0 * dried(&side.falls)),
        ]
    });
    let mass = unit.name;
    let columns =
        ["dry at h".into(), format!("food {mass}"), format!("water {mass}"), format!("h per {mass}"), "dried".into()];
    Table::new(
        "this tray changed",
        [Column::words("", 31)].into_iter().chain(columns.map(Column::number)),
        rows,
    )
    .note(format!(
        "The other trays stay the same. H per {mass}: hours under vacuum for each {mass} of water from this tray. Dried: \
         the dried layer's share of all resistances, for heat and vapour together.",
    ))
}

/// What the rows teach.
fn lessons(answer: &Answer) -> List {
    let side = |change: Changed| answer.sides.iter().find(|side| side.change == change);
    let thickness =
        side(Changed::Thin).zip(side(Changed::Thick)).and_then(|(thin, thick)| thin_thick(answer, thin, thick));
    let fat = side(Changed::Lean).zip(side(Changed::Fatty)).and_then(|(lean, fatty)| lean_fat(answer, lean, fatty));
    List { label: "thin and thick, lean and fatty", items: thickness.into_iter().chain(fat).collect() }
}

fn thin_thick(answer: &Answer, thin: &Side, thick: &Side) -> Option<String> {
    let tray = answer.tray;
    let grows = thick.drying_s(tray)? / thin.drying_s(tray)?.max(1.0);
    let unit = answer.load.units.large_mass();
    let per_kg = |side: &Side| Some(format::in_hours(side.per_kg_water_s(tray)?) / unit.of(1.0));
    let (per_kg_thin, per_kg_thick) = (per_kg(thin)?, per_kg(thick)?);
    Some(match answer.load.trays[tray].shape {
        Shape::Layer { .. } => format!(
            "From half to twice as deep there is four times the water, and drying takes {grows:.1} times as long. At \
             4 times, the amount of water would decide. At 16 times, the path through the dried layer would. Less \
             than 4 means something else is the bottleneck. A {} of water takes {per_kg_thin:.1} h in the thin layer \
             and {per_kg_thick:.1} h in the thick one: {}.",
            unit.name,
            if per_kg_thick < per_kg_thin {
                "the thin one is dry sooner, the thick one dries more food in the same time"
            } else {
                "the thin one is dry sooner and dries more food in the same time"
            }
        ),
        Shape::Pieces { .. } => format!(
            "From half to twice as large, with the same water, drying takes {grows:.1} times as long. At 1, the \
             amount of water would decide. At 16, the path through the dried shell would."
        ),
    })
}

/// What the model has of fat, and what only the trade knows.
fn lean_fat(answer: &Answer, lean: &Side, fatty: &Side) -> Option<String> {
    let tray = answer.tray;
    let sooner_s = lean.drying_s(tray)? - fatty.drying_s(tray)?;
    let unit = answer.load.units.large_mass();
    let [lean_kg, fatty_kg] = [lean, fatty].map(|side| side.water_kg(tray));
    let when = match sooner_s {
        s if s.abs() < SMALL_S => "The fatty version is done at the same time".to_string(),
        s if s > 0.0 => format!("The fatty version is done {} sooner", hours(s)),
        s => format!("The fatty version is done {} later", hours(-s)),
    };
    let less = if fatty_kg < lean_kg { "; at the same size it holds less water" } else { "" };
    let per_kg = [lean, fatty].map(|side| side.per_kg_water_s(tray).map_or(f64::NAN, format::in_hours) / unit.of(1.0));
    let faster = match per_kg[1] / per_kg[0] {
        ratio if ratio > 1.02 => "slower",
        ratio if ratio < 0.98 => "a little faster",
        _ => "no faster",
    };
    Some(format!(
        "{when}{less} ({:.2} against {}). Per {} of water it is {faster}: {:.1} h against {:.1} h. {FAT_OF_THE_TRADE}",
        unit.of(fatty_kg),
        unit.written(lean_kg, 2),
        unit.name,
        per_kg[1],
        per_kg[0]
    ))
}

/// Common practice, no source.
const FAT_OF_THE_TRADE: &str = "Not computed, known from practice: fat never dries, so fatty food stays greasy. It \
                                turns rancid and does not keep as long. A core sealed by fat can stay wet, so break a \
                                thick piece and feel its middle.";

/// All are in `docs/model.md`, with their sources.
const EQUATIONS: &str = include_str!("equations.txt");
