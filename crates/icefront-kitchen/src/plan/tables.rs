//! The tables of a report: what is loaded, stages, trays, energy.

use icefront_core::cuts::Cuts;
use icefront_core::load::{Freezing, Load};
use icefront_core::result::{BatchResult, PartResult, Stage};
use icefront_core::shape::{PieceForm, Shape};

use crate::blocks::{Column, Table};
use crate::format;
use crate::plan::flags;

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
pub fn trays(load: &Load, result: &BatchResult, notes: Vec<String>) -> Table {
    let rows = load.trays.iter().zip(&result.trays).flat_map(|(tray, answer)| {
        let remarks: Vec<&str> = answer.flags.iter().map(|flag| flags::short(*flag)).collect();
        let own = vec![
            answer.name.clone(),
            answer.food.clone(),
            tray.cuts.map_or_else(|| depth(&tray.shape), |cuts| cut(&tray.shape, &cuts)),
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
pub fn loading(load: &Load, result: &BatchResult) -> Table {
    let rows = load.trays.iter().zip(&result.trays).map(|(tray, answer)| {
        let lining = if tray.lined { "yes" } else { "none" };
        vec![
            tray.name.clone(),
            tray.food.clone(),
            form(&tray.shape),
            format!("{:.2} kg", answer.loaded_kg),
            lining.to_string(),
            frozen(&tray.freezing),
        ]
    });
    let before = [Column::words("tray", 8), Column::words("food", 16), Column::words("form", 30)];
    let after = [Column::number("amount"), Column::words("lining", 6), Column::words("freezing", 20)];
    Table::new("loading plan", [before, after].concat(), rows).about(", bottom to top")
}

/// `layer 14 mm deep`, `balls of 14 mm, 2 deep, on 85 % of the tray`.
fn form(shape: &Shape) -> String {
    let Shape::Pieces { form, layers, coverage } = shape else {
        return format!("layer {} deep", depth(shape));
    };
    let pieces = match *form {
        PieceForm::Sphere { diameter_m } => format!("balls of {}", format::millimetres(diameter_m)),
        PieceForm::Cylinder { diameter_m, .. } => format!("sticks of {}", format::millimetres(diameter_m)),
        PieceForm::Brick { length_m, width_m, height_m } if length_m == width_m && width_m == height_m => {
            format!("cubes of {}", format::millimetres(height_m))
        }
        PieceForm::Brick { height_m, .. } => format!("pieces {} high", format::millimetres(height_m)),
    };
    let deep = if *layers == 1 { "one deep".to_string() } else { format!("{layers} deep") };
    format!("{pieces}, {deep}, on {:.0} % of the tray", 100.0 * coverage)
}

fn frozen(freezing: &Freezing) -> String {
    match freezing {
        Freezing::InMachine { loaded_k } => format!("in the machine, from {}", format::celsius(*loaded_k)),
        Freezing::Frozen { loaded_k } => format!("loaded frozen at {}", format::celsius(*loaded_k)),
        Freezing::Before { air_k, time_s, .. } => {
            format!("set out first for {} at {}", format::hours(*time_s), format::celsius(*air_k))
        }
    }
}

/// `15 mm`, or for pieces two deep `2 x 10 mm`.
pub fn depth(shape: &Shape) -> String {
    match shape {
        Shape::Layer { depth_m } => format::millimetres(*depth_m),
        Shape::Pieces { form, layers: 1, .. } => format::millimetres(form.core().height_m),
        Shape::Pieces { form, layers, .. } => format!("{layers} x {}", format::millimetres(form.core().height_m)),
    }
}

/// `15 mm`, and below it `cut 50 mm`.
fn cut(shape: &Shape, cuts: &Cuts) -> String {
    format!("{}\ncut {}", depth(shape), format::millimetres(cuts.edge_m))
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
