//! Tables of a run.

use icefront_core::load::Load;
use icefront_core::result::{BatchResult, Stage};
use icefront_core::units::Duration;
use maud::{Markup, html};

use crate::report::{flags, tables};
use crate::show;

/// Each tray: times count from the start of the run.
pub fn trays(load: &Load, result: &BatchResult) -> Markup {
    let hour = |seconds: Option<f64>| seconds.map_or("no".into(), |s| format!("{:.1} h", Duration::from_seconds(s).hours()));
    html! {
        div.scroll role="region" aria-label="Trays" tabindex="0" {
            table {
                caption { "Trays, from the bottom to the top, with typical numbers" }
                thead { tr {
                    @for head in ["Tray", "Food", "Depth", "Ice gone", "Dry at", "Moisture", "Remark"] { th scope="col" { (head) } }
                } }
                tbody { @for (tray, answer) in load.trays.iter().zip(&result.trays) { tr {
                    th scope="row" { (answer.name) }
                    td { (answer.food) }
                    td { (tables::depth(&tray.shape)) }
                    td { (hour(answer.ice_gone_at_s)) }
                    td { (hour(answer.dry_at_s)) }
                    td { (show::percent_1(answer.wettest_wet_frac)) }
                    td { (answer.flags.iter().map(|flag| flags::short(*flag)).collect::<Vec<_>>().join(", ")) }
                } } }
            }
        }
    }
}

/// Each stage with its length, its electricity and what happens in it.
pub fn stages(result: &BatchResult) -> Markup {
    let energy = result.energy_by_stage_j.iter().map(|by| show::kilowatt_hours(by.total()));
    html! {
        div.scroll role="region" aria-label="Stages" tabindex="0" {
            table {
                caption { "Stages, with typical numbers" }
                thead { tr { @for head in ["Stage", "Length", "kWh", "What happens"] { th scope="col" { (head) } } } }
                tbody { @for ((stage, length_s), kwh) in Stage::ALL.into_iter().zip(result.stage_s).zip(energy) { tr {
                    th scope="row" { (stage.name()) }
                    td { (show::hours(length_s)) }
                    td { (format!("{kwh:.1}")) }
                    td { (tables::meaning(stage)) }
                } } }
            }
        }
    }
}
