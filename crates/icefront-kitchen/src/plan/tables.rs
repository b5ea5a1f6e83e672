//! The tables of a report: what is loaded, stages, trays, energy.

use icefront_core::load::{Freezing, Load};
use icefront_core::result::{BatchResult, PartResult, Stage, TrayResult};
use icefront_core::shape::{PieceForm, Shape};
use icefront_core::units::UnitSystem;

use crate::blocks::{Column, Table};
use crate::format;
use crate::plan::{Run, flags};
use crate::range::day_and_clock;
use crate::weather::clock::Clock;

/// Length and end of each stage, with what happens in it.
pub fn stages(result: &BatchResult) -> Table {
    let mut end_s = 0.0;
    let row = |(stage, length_s): (Stage, f64)| {
        end_s += length_s;
        vec![stage.name().to_string(), format::hours(length_s), format::hours(end_s), meaning(stage).to_string()]
    };
    Table::new(
        "stages",
        [Column::words("", 17), Column::number("length"), Column::number("ends at"), Column::words("what happens", 40)],
        result.stage_s.iter().map(|(stage, length_s)| (stage, *length_s)).map(row),
    )
}

/// Stages and trays by the clock.
pub fn times(result: &BatchResult, start: Clock) -> Table {
    let mut end_s = 0.0;
    let by = |seconds: f64| day_and_clock(start, seconds);
    let stages = result.stage_s.iter().filter(|(_, length_s)| **length_s > 0.0).map(|(stage, &length_s)| {
        end_s += length_s;
        vec![stage.name().to_string(), format::hours(length_s), by(end_s), meaning(stage).to_string()]
    });
    let stages: Vec<Vec<String>> = stages.collect();
    let dry = |tray: &TrayResult| {
        let when = tray.dry_at_s.map_or_else(|| "not in this run".into(), by);
        vec![format!("{} dry", tray.name), format::hour(tray.dry_at_s), when, tray.food.clone()]
    };
    let columns =
        [Column::words("", 17), Column::number("hours"), Column::words("until", 22), Column::words("what happens", 30)];
    Table::new("times", columns, stages.into_iter().chain(result.trays.iter().map(dry)))
        .about(format!(", most likely, started at {start}"))
}

/// What happens in a stage.
fn meaning(stage: Stage) -> &'static str {
    match stage {
        Stage::Freezing => "food and machine get cold",
        Stage::Evacuation => "the pump takes the air out",
        Stage::PrimaryDrying => "ice turns straight into vapour",
        Stage::SecondaryDrying => "the last water leaves the food",
        Stage::Defrost => "ice melts off the condenser",
    }
}

/// One row per tray, and one for where pieces are embedded in it; times count from the start of the run.
pub fn trays(run: &Run, notes: Vec<String>) -> Table {
    let load = &run.load;
    let pressing = flags::pressing(run);
    let rows = load.trays.iter().zip(&run.result.trays).enumerate().flat_map(|(place, (tray, answer))| {
        let cut = tray.cuts.map(|cuts| format!("cut {}", load.units.length(cuts.edge_m)));
        let flags = flags::of_tray(&pressing, place).into_iter().map(|flag| flags::short(flag).to_string());
        let remarks: Vec<String> = cut.into_iter().chain(flags).collect();
        let own = vec![
            answer.name.clone(),
            answer.food.clone(),
            depth(&tray.shape, load.units),
            format::hour(answer.ice_gone_at_s),
            format::hour(answer.dry_at_s),
            format::percent_1(answer.wettest_wet_frac),
            remarks.join("\n"),
        ];
        // of uneven columns the one that is dry last
        let dry = |part: &PartResult| part.dry_at_s.unwrap_or(f64::INFINITY);
        let pieces = answer.parts.iter().filter(|part| part.with_pieces).max_by(|a, b| dry(a).total_cmp(&dry(b)));
        let pieces = pieces.zip(tray.embedded.as_ref());
        let part = pieces.map(|(part, embedded)| {
            let (gone, dry) = (format::hour(part.ice_gone_at_s), format::hour(part.dry_at_s));
            let (food, none) = (format!("with {}", embedded.food), String::new);
            vec![answer.name.clone(), food, none(), gone, dry, none(), none()]
        });
        std::iter::once(own).chain(part)
    });
    let words = [Column::words("tray", 8), Column::words("food", 16), Column::words("depth", 10)];
    let numbers = ["ice gone", "dry at", "moisture"].map(Column::number);
    let columns = [&words[..], &numbers, &[Column::words("remark", 10)]].concat();
    Table::new("trays", columns, rows).about(", bottom to top").notes(notes)
}

/// What goes where: one row per tray.
pub fn loading(load: &Load) -> Table {
    let rows = load.trays.iter().map(|tray| {
        let lining = if tray.lined { "yes" } else { "none" };
        vec![
            tray.name.clone(),
            tray.food.clone(),
            form(&tray.shape, load.units),
            load.units.mass(on_a_scale(tray.loaded_kg(), load.units)),
            lining.to_string(),
            frozen(&tray.freezing, load.units),
        ]
    });
    let before = [Column::words("tray", 8), Column::words("food", 16), Column::words("form", 30)];
    let after = [Column::number("amount"), Column::words("lining", 6), Column::words("freezing", 20)];
    Table::new("loading plan", [before, after].concat(), rows).about(", bottom to top")
}

/// As a kitchen scale shows it: to ten grams, or to an ounce.
fn on_a_scale(kilograms: f64, units: UnitSystem) -> f64 {
    match units {
        UnitSystem::Metric => (kilograms * 100.0).round() / 100.0,
        UnitSystem::Us => kilograms,
    }
}

/// `layer 14 mm deep`, `balls of 14 mm, 2 deep, on 85 % of the tray`.
fn form(shape: &Shape, units: UnitSystem) -> String {
    let Shape::Pieces { form, layers, coverage } = shape else {
        return format!("layer {} deep", depth(shape, units));
    };
    let pieces = match *form {
        PieceForm::Sphere { diameter_m } => format!("balls of {}", units.length(diameter_m)),
        PieceForm::Cylinder { diameter_m, .. } => format!("sticks of {}", units.length(diameter_m)),
        PieceForm::Brick { length_m, width_m, height_m } if length_m == width_m && width_m == height_m => {
            format!("cubes of {}", units.length(height_m))
        }
        PieceForm::Brick { height_m, .. } => format!("pieces {} high", units.length(height_m)),
    };
    let deep = if *layers == 1 { "one deep".to_string() } else { format!("{layers} deep") };
    format!("{pieces}, {deep}, on {:.0} % of the tray", 100.0 * coverage)
}

fn frozen(freezing: &Freezing, units: UnitSystem) -> String {
    match freezing {
        Freezing::InMachine { loaded_k } => format!("in the machine, from {}", units.temperature(*loaded_k)),
        Freezing::Frozen { loaded_k } => format!("loaded frozen at {}", units.temperature(*loaded_k)),
        Freezing::Before { air_k, time_s, .. } => {
            format!("set out first for {} at {}", format::hours(*time_s), units.temperature(*air_k))
        }
    }
}

/// `15 mm`, or for pieces two deep `2 x 10 mm`.
pub fn depth(shape: &Shape, units: UnitSystem) -> String {
    match shape {
        Shape::Layer { depth_m } => units.length(*depth_m),
        Shape::Pieces { form, layers: 1, .. } => units.length(form.lying().height_m),
        Shape::Pieces { form, layers, .. } => format!("{layers} x {}", units.length(form.lying().height_m)),
    }
}

/// Electric energy by stage and consumer.
pub fn energy(result: &BatchResult, note: String) -> Table {
    let stages = result.energy_by_stage_j.iter().map(|(stage, by)| (stage.name(), *by));
    let rows = stages.chain([("whole run", result.energy_j())]).map(|(name, by)| {
        let kwh = [by.compressor, by.vacuum_pump, by.heaters, by.other, by.total()].map(format::kilowatt_hours);
        [name.to_string()].into_iter().chain(kwh.map(|kwh| format!("{kwh:.1}"))).collect()
    });
    Table::of_numbers("energy", Column::words("", 17), ["compressor", "vacuum pump", "heaters", "other", "total"], rows)
        .about(", kWh")
        .note(note)
}
