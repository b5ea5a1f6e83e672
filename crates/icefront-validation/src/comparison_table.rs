//! The comparison as a table on standard output.

use crate::cabinet::Accuracy;
use crate::comparison::{Comparison, ComparisonError, Deviation, HUNTING, Sheet, compare, read};
use icefront_core::batch::Precision;

const HOUR_S: f64 = 3_600.0;
const KWH_J: f64 = 3.6e6;

/// Computes and prints the table; whether all is within its bounds.
///
/// # Errors
/// [`ComparisonError`].
pub fn print_all() -> Result<bool, ComparisonError> {
    let mut within = true;
    println!("Batch solver against the independent cabinet. Times from the start of the run.");
    for sheet in Sheet::ALL {
        let c = compare(&read(&sheet)?, &Precision::default(), Accuracy::default())?;
        within &= c.within_bounds();
        print(sheet.name, &c);
    }
    let hunting = read(&Sheet::FROZEN)?;
    // shown, not judged: the default steps damp what the equations do
    print(Sheet::FROZEN.name, &compare(&hunting, &Precision::default(), Accuracy::default())?);
    let c = compare(&hunting, &HUNTING, Accuracy::default())?;
    within &= c.within_bounds();
    print(&format!("{}; batch at a sixteenth of its tolerance", Sheet::FROZEN.name), &c);
    Ok(within)
}

fn print(name: &str, c: &Comparison) {
    println!("\n{name}");
    println!("{:<22} {:>10} {:>10} {:>10}", "", "batch", "cabinet", "deviation");
    let row = |what: String, unit: f64, d: Deviation| {
        println!("{what:<22} {:>10.3} {:>10.3} {:>+9.2} %", d.batch / unit, d.cabinet / unit, 100.0 * d.relative());
    };
    for (i, d) in c.last_ice_s.iter().enumerate() {
        row(format!("last ice, tray {}, h", i + 1), HOUR_S, *d);
    }
    for (i, d) in c.dry_s.iter().enumerate() {
        row(format!("dry, tray {}, h", i + 1), HOUR_S, *d);
    }
    row("food ready, h".into(), HOUR_S, c.ready_s);
    row("energy, kWh".into(), KWH_J, c.energy_j);
    if let Some(p) = c.cabinet.pressures {
        let (low, high) = p.range_pa;
        println!("pressure while all trays hold ice: {low:.1} to {high:.1} Pa, {} peaks", p.peaks);
    }
    println!("steps {}, right-hand sides {}", c.cabinet.steps, c.cabinet.evaluations);
}
