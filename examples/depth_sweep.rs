//! How deep to fill? Five depths of the same food, each with its range, as a table and as a chart.
//!
//! ```sh
//! cargo run --release -p icefront-plot --example depth_sweep > depth.svg
//! ```

use std::error::Error;

use icefront_core::prelude::*;
use icefront_plot::{ComparedVariant, comparison_chart_svg};

/// Prints a row for each depth, then the chart.
pub fn main() -> Result<(), Box<dyn Error>> {
    let peas = FoodTable::embedded()?.find("peas")?.food();
    let draws = Draws { count: 64, ..Draws::default() };
    let mut variants = Vec::new();
    for depth in ["6 mm", "10 mm", "14 mm", "18 mm", "22 mm"] {
        let tray = Tray::layer(&peas, depth.parse()?)?;
        let load = Load::new(Dryer::builtin("0.60 m2")?, vec![tray; 3]);
        // draw i meets the same food and the same machine at every depth, so that depths can be compared
        let cloud = draw_load(&load, &draws, 0, |_, _| {})?;
        let hours = cloud.quantiles(|outcome| outcome.food_ready_s / 3600.0);
        let kwh = cloud.quantiles(|outcome| outcome.energy_j.total() / 3.6e6);
        let per_kg = hours.typical / plan(&load)?.water.loaded_kg;
        eprintln!(
            "{depth}: {:.1} h ({:.1} to {:.1}), {per_kg:.1} h per kg of water",
            hours.typical, hours.low, hours.high
        );
        variants.push(ComparedVariant {
            name: depth.into(),
            hours: [hours.low, hours.typical, hours.high],
            kwh: [kwh.low, kwh.typical, kwh.high],
            note: None,
        });
    }
    println!("{}", comparison_chart_svg(&variants)?);
    Ok(())
}
