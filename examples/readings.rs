//! Towards the end of a run: two weighings and the plug meter narrow the range of the finish.
//!
//! ```sh
//! cargo run --release -p icefront-kitchen --example readings
//! ```

use std::error::Error;

use icefront_core::learning::{Effort, Errors};
use icefront_kitchen::storage::Memory;
use icefront_kitchen::{Readings, Sheet, running};

const SHEET: &str = r#"
icefront = 1
dryer = "0.36 m2"
[[tray]]
food = "chili with beans"
shape = "layer"
depth = "about 12 mm"
area = "0.09 m2"
"#;

const READINGS: &str = "\
time_h,tray,water_lost_g,energy_kWh
8,1,520,
13,1,740,
13,,,6.3
";

/// Prints the finish as planned, and with the readings.
pub fn main() -> Result<(), Box<dyn Error>> {
    let sheet: Sheet = SHEET.parse()?;
    let typical = icefront_core::plan(&sheet.load)?;
    let files = Memory::of(&[("readings.csv", READINGS)]);
    let errors = Errors::default(); // of scale, meter and probes
    let readings = Readings::read("readings.csv".as_ref(), &files, &sheet.load, &typical, &errors)?;

    let answer = running::update(&sheet, &typical, &readings, &errors, &Effort::default())?;
    for (when, ready_s) in [("planned", answer.ready_s.before), ("with the readings", answer.ready_s.after)] {
        let ready_h = ready_s.map(|s| s / 3600.0);
        println!("{when}: {:.1} h ({:.1} to {:.1} h)", ready_h.typical, ready_h.low, ready_h.high);
    }
    if answer.misfit.is_some_and(|misfit| !misfit.fits) {
        println!("these readings hardly go with this sheet");
    }
    Ok(())
}
