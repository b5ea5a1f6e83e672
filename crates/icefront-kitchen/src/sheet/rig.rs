//! `[rig]`: drying conditions prescribed instead of a dryer.

use icefront_core::machine::{Contact, Prescribed, PrescribedPoint, UNEVEN};

use crate::sheet::dryer;
use crate::sheet::section::Section;

/// A thin household tray on a flat shelf, where the rig does not say. From memory, as in the built-in dryers.
const CONTACT: Contact = Contact {
    gap_m: 0.0004,
    direct_w_per_m2_k: 3.0,
    accommodation: 0.8,
    lining_gap_m: 0.0002,
    frozen_block_gap_m: 0.00015,
    emissivity_above: 0.9,
    emissivity_below: 0.16,
    uneven_frac: UNEVEN.typical,
};

/// Reads the table; `None` if a problem was noted.
pub fn read(rig: &Section<'_>) -> Option<Prescribed> {
    let contact = match rig.section("contact") {
        Some(table) => dryer::contact(&table)?,
        None => CONTACT,
    };
    let schedule = if rig.has("point") {
        let keys = ["shelf", "vapour_pressure", "air_pressure"];
        rig.refuse(&keys, "a schedule of points", "each `[[rig.point]]` has its own");
        schedule(rig)?
    } else {
        vec![conditions(rig, 0.0)?]
    };
    let heated_above = rig.flag("heated_above").unwrap_or(false);
    let heated_below = rig.flag("heated_below").unwrap_or(true);
    let surroundings_k = rig.quantity("surroundings");
    Some(Prescribed { name: "rig".into(), schedule, contact, heated_below, heated_above, surroundings_k })
}

fn schedule(rig: &Section<'_>) -> Option<Vec<PrescribedPoint>> {
    let points = rig.list("point");
    if points.is_empty() {
        rig.note("point", "the schedule has no points", "nothing in it", "");
    }
    let mut schedule: Vec<PrescribedPoint> = Vec::new();
    for table in &points {
        let point = conditions(table, table.quantity("time")?)?;
        if schedule.last().is_some_and(|before| before.time_s >= point.time_s) {
            table.note("time", "`time` does not rise", "not later than the point before", "");
        }
        schedule.push(point);
    }
    Some(schedule)
}

fn conditions(table: &Section<'_>, time_s: f64) -> Option<PrescribedPoint> {
    let (shelf_k, vapour_pressure_pa) = (table.needed("shelf"), table.needed("vapour_pressure"));
    let air_pressure_pa = table.usual("air_pressure");
    Some(PrescribedPoint { time_s, shelf_k: shelf_k?, vapour_pressure_pa: vapour_pressure_pa?, air_pressure_pa })
}
