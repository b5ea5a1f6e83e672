//! Six trays that share one condenser, with what nobody knows exactly drawn 64 times: when each is dry, and which is last.
//!
//! ```sh
//! cargo run --release -p icefront-core --example six_trays
//! ```

use std::error::Error;

use icefront_core::prelude::*;

/// Draws a load of six trays, and prints when each is dry.
pub fn main() -> Result<(), Box<dyn Error>> {
    let foods = FoodTable::embedded()?;
    let layer = |name: &str, depth: &str| -> Result<Tray, Box<dyn Error>> {
        Ok(Tray::layer(&foods.find(name)?.food(), depth.parse()?)?)
    };
    let berries = foods.find("blueberries")?.food();
    let trays = [
        layer("chili with beans", "14 mm")?,
        layer("chili with beans", "10 mm")?,
        layer("peas", "12 mm")?.frozen("-18 C".parse()?),
        layer("applesauce", "8 mm")?,
        layer("applesauce", "8 mm")?,
        Tray::pieces(&berries, PieceForm::Sphere { diameter_m: 0.012 }, 1)?,
    ];
    let load = Load::new(Dryer::builtin("0.60 m2")?, trays);

    let cloud = draw_load(&load, &Draws { count: 64, ..Draws::default() }, 0, |_, _| {})?;
    for (i, tray) in load.trays.iter().enumerate() {
        let dry_h = cloud.quantiles(|outcome| outcome.trays[i].dry_at_s).map(|s| s / 3600.0);
        println!("{}: {:<32.32} {:5.1} to {:4.1} h", tray.name, tray.food, dry_h.low, dry_h.high);
    }
    let ready_h = cloud.quantiles(|outcome| outcome.food_ready_s).map(|s| s / 3600.0);
    println!(
        "all dry after about {:.0} h ({:.0} to {:.0} h, 8 times in 10)",
        ready_h.typical, ready_h.low, ready_h.high
    );
    if let Some(last) = plan(&load)?.last_tray() {
        println!("last: {}, {}", last.name, last.food);
    }
    Ok(())
}
