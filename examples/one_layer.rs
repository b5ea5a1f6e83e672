//! One layer of peas in a small cabinet: how long it takes, how cold its ice stays, how much electricity.
//!
//! ```sh
//! cargo run --release -p icefront-core --example one_layer
//! ```

use std::error::Error;

use icefront_core::prelude::*;

/// Plans one layer, and prints its stages and its result.
pub fn main() -> Result<(), Box<dyn Error>> {
    let peas = FoodTable::embedded()?.find("peas")?.food();
    let layer = Tray::layer(&peas, "12 mm".parse()?)?.on("0.09 m2".parse()?);
    let run = plan(&Load::new(Dryer::builtin("0.36 m2")?, [layer]))?;

    for stage in Stage::ALL {
        println!("{stage:?}: {:.1} h", Duration::from_seconds(run.stage_s[stage]).hours());
    }
    let tray = &run.trays[0];
    println!("ready after {:.1} h, {:.2} kWh", run.food_ready_s() / 3600.0, run.energy_j().total() / 3.6e6);
    println!("warmest ice {:.1} C, limit {:.1} C", tray.front_max_k - 273.15, tray.collapse_k - 273.15);
    Ok(())
}
