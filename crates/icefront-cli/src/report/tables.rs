//! The three tables of the text report: stages, trays, energy.

use icefront_core::load::Load;
use icefront_core::result::{BatchResult, Stage};
use icefront_core::shape::Shape;
use icefront_core::units::Duration;

use super::flags;
use super::wrap::fit;
use crate::show;

/// Length and end of each stage, with what happens in it.
pub fn stages(result: &BatchResult) -> String {
    let mut table = "STAGES              length    ends at\n".to_string();
    let mut end_s = 0.0;
    for (stage, length_s) in Stage::ALL.into_iter().zip(result.stage_s) {
        end_s += length_s;
        table.push_str(&format!(
            "  {:<17} {:>6}    {:>7}    {}\n",
            stage.name(),
            show::hours(length_s),
            show::hours(end_s),
            meaning(stage)
        ));
    }
    table
}

/// What happens in a stage.
pub fn meaning(stage: Stage) -> &'static str {
    match stage {
        Stage::Freezing => "food and machine get cold",
        Stage::Evacuation => "the pump takes the air out",
        Stage::PrimaryDrying => "ice turns straight into vapour",
        Stage::SecondaryDrying => "held water leaves the food",
        Stage::Defrost => "ice melts off the condenser",
    }
}

/// One row per tray; times count from the start of the run.
pub fn trays(load: &Load, result: &BatchResult) -> String {
    let mut table = "TRAYS, bottom to top\n".to_string();
    table.push_str("  tray     food               depth       ice gone dry at  moisture  remark\n");
    for (tray, answer) in load.trays.iter().zip(&result.trays) {
        let hour = |seconds: Option<f64>| {
            seconds.map_or_else(|| "no".into(), |s| format!("{:.1}", Duration::from_seconds(s).hours()))
        };
        let mut remarks = answer.flags.iter().map(|flag| flags::short(*flag));
        let row = format!(
            "  {} {} {} {:>8} {:>6}  {:>8}  {}",
            fit(&answer.name, 8),
            fit(&answer.food, 18),
            fit(&depth(&tray.shape), 11),
            hour(answer.ice_gone_at_s),
            hour(answer.dry_at_s),
            show::percent_1(answer.wettest_wet_frac),
            remarks.next().unwrap_or("")
        );
        table.push_str(row.trim_end());
        table.push('\n');
        for more in remarks {
            table.push_str(&format!("{:>69}{more}\n", ""));
        }
    }
    table
}

/// `15 mm`, or for pieces two deep `2 x 10 mm`.
pub fn depth(shape: &Shape) -> String {
    match shape {
        Shape::Layer { depth_m } => show::millimetres(*depth_m),
        Shape::Pieces { form, layers: 1, .. } => show::millimetres(form.core().height_m),
        Shape::Pieces { form, layers, .. } => format!("{layers} x {}", show::millimetres(form.core().height_m)),
    }
}

/// Electric energy by stage and consumer.
pub fn energy(result: &BatchResult) -> String {
    let mut table = "ENERGY, kWh       compressor  vacuum pump  heaters   other   total\n".to_string();
    let stages = Stage::ALL.into_iter().map(Stage::name).zip(result.energy_by_stage_j);
    for (name, by) in stages.chain([("whole run", result.energy_j())]) {
        let [compressor, pump, heaters, other, total] =
            [by.compressor, by.vacuum_pump, by.heaters, by.other, by.total()].map(show::kilowatt_hours);
        table.push_str(&format!(
            "  {name:<17} {compressor:>8.1}  {pump:>11.1} {heaters:>8.1} {other:>7.1} {total:>7.1}\n"
        ));
    }
    table
}
