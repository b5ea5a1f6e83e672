//! A dryer of your own: the numbers you know replace those of a built-in one, and the load shows what they change.
//!
//! ```sh
//! cargo run --release -p icefront-core --example own_dryer
//! ```

use std::error::Error;

use icefront_core::machine::{Above, Cabinet, builtin};
use icefront_core::prelude::*;

/// Plans the same load in a listed dryer and in a changed one.
pub fn main() -> Result<(), Box<dyn Error>> {
    let listed = builtin().iter().find(|cabinet| cabinet.name == "0.36 m2").ok_or("no such dryer")?;
    let mut mine = Cabinet { name: "mine".into(), above_top_tray: Above::HeatedShelf, ..listed.clone() };
    mine.heater.power_w_per_m2 = 800.0;
    mine.refrigeration.scale(1.5);
    mine.condenser.area_m2 = 0.5;
    mine.check()?; // says which number is out of range, and what is allowed

    let peas = FoodTable::embedded()?.find("peas")?.food();
    let tray = Tray::layer(&peas, "12 mm".parse()?)?.on("0.09 m2".parse()?);
    for cabinet in [listed.clone(), mine] {
        let name = cabinet.name.clone();
        let load = Load::new(Dryer::Cabinet(Box::new(cabinet)), vec![tray.clone(); 4]);
        let run = plan(&load)?;
        let (hours, kilowatt_hours) = (run.food_ready_s() / 3600.0, run.energy_j().total() / 3.6e6);
        let held_back = 100.0 * run.machine.time_limited_frac;
        println!("{name}: {hours:.1} h, {kilowatt_hours:.1} kWh, heaters held back {held_back:.0} % of primary drying");
    }
    Ok(())
}
