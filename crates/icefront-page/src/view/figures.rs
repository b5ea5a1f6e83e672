//! A chart over time as a table, at a few times.

use icefront_core::result::{BatchResult, Sample};
use icefront_core::units::Temperature;
use icefront_kitchen::format::{in_hours, kilowatt_hours};
use maud::{Markup, html};

/// What a chart over time shows, in figures at a few times; `None` for a chart that has figures of its own.
pub fn figures(file: &str, result: &BatchResult) -> Option<Markup> {
    let celsius = |k: f64| format!("{:.0}", Temperature::from_kelvin(k).celsius());
    let trays = || result.trays.iter().map(|tray| tray.name.clone());
    let one = |name: &str| name.trim_start_matches("tray-").parse::<usize>().ok()?.checked_sub(1);
    let (names, row): (Vec<String>, Row) = match file {
        "batch" => {
            let names = trays().map(|name| format!("ice on {name}, %")).chain(["condenser, C".into()]).collect();
            (
                names,
                Box::new(move |s| {
                    let ice = s.trays.iter().map(|tray| format!("{:.0}", 100.0 * tray.ice_left_frac));
                    ice.chain([celsius(s.condenser_k)]).collect()
                }),
            )
        }
        "drying" => {
            let names = trays().map(|name| format!("{name}, g of vapour an hour")).collect();
            (names, Box::new(|s| s.trays.iter().map(|tray| format!("{:.0}", 3.6e6 * tray.vapour_kg_per_s)).collect()))
        }
        "machine" => {
            let names = ["pressure, Pa", "condenser, C", "ice on it, kg"].map(String::from).to_vec();
            (
                names,
                Box::new(move |s| {
                    vec![
                        format!("{:.0}", s.chamber_pressure_pa),
                        celsius(s.condenser_k),
                        format!("{:.2}", s.condenser_ice_kg),
                    ]
                }),
            )
        }
        "power" => {
            let names = ["power, W", "so far, kWh"].map(String::from).to_vec();
            (
                names,
                Box::new(|s| {
                    let kwh = kilowatt_hours(s.energy_j.total());
                    vec![format!("{:.0}", s.power_w.total()), format!("{kwh:.1}")]
                }),
            )
        }
        _ => {
            let i = one(file).filter(|i| *i < result.trays.len())?;
            let names = ["ice left, %", "ice front, C", "shelf, C"].map(String::from).to_vec();
            (
                names,
                Box::new(move |s| {
                    let tray = s.trays.get(i);
                    tray.map_or_else(Vec::new, |t| {
                        vec![format!("{:.0}", 100.0 * t.ice_left_frac), celsius(t.front_k), celsius(t.shelf_k)]
                    })
                }),
            )
        }
    };
    let last_s = result.history.last()?.time_s;
    let at = |n: usize| result.history.iter().find(|s| s.time_s >= last_s * n as f64 / TIMES as f64);
    let rows = (0..=TIMES).filter_map(at).map(|s| [vec![format!("{:.1}", in_hours(s.time_s))], row(s)].concat());
    let rows: Vec<Vec<String>> = rows.collect();
    Some(html! {
        section.wide tabindex="0" aria-label="The same in figures" {
            table {
                thead { tr { th.number scope="col" { "hour" } @for name in &names { th.number scope="col" { (name) } } } }
                tbody { @for row in &rows { tr {
                    @for (index, cell) in row.iter().enumerate() {
                        @if index == 0 { th.number scope="row" { (cell) } } @else { td.number { (cell) } }
                    }
                } } }
            }
        }
    })
}

/// The cells of a row.
type Row = Box<dyn Fn(&Sample) -> Vec<String>>;

/// Steps from the start of a run to its end, in a table.
const TIMES: usize = 8;
