//! A finished batch as it goes into the history: its sheet with what was read during it.

use std::path::Path;

use icefront_core::learning::{Quantity, Reading};
use icefront_core::result::BatchResult;

use crate::history::table::{Batch, TrayRow};
use crate::shown::{is_control, shown};
use crate::{Failure, Readings, Sheet, Text};

/// The batch of a sheet, its typical run and its readings; it goes by the name of the sheet's file unless given one.
///
/// # Errors
/// Readings that are wrong, none that can be used, or a name that cannot be shown.
pub fn finished(
    text: &Text,
    sheet: &Sheet,
    typical: &BatchResult,
    readings: Readings,
    name: Option<&str>,
) -> Result<(Batch, Readings), Failure> {
    if readings.used.is_empty() {
        return Err(Failure::unfit(readings.path, "it holds no reading that can be used"));
    }
    let name = name.map_or_else(|| stem(&text.path), str::to_string);
    if name.chars().any(is_control) {
        return Err(Failure::BadValue {
            key: "--name".into(),
            reason: format!("`{}` holds a control character", shown(&name)),
            allowed: "letters, digits and signs".into(),
        });
    }
    let rows = sheet.load.trays.iter().zip(&typical.trays).enumerate();
    let batch = Batch {
        name,
        dryer: sheet.load.dryer.name().to_string(),
        room_k: sheet.load.room_k,
        trays: rows
            .map(|(i, (tray, run))| TrayRow {
                food: tray.food.clone(),
                loaded_kg: run.loaded_kg,
                water_lost_kg: readings.used.iter().rev().find_map(|r| water_lost_kg(r, i, run.loaded_kg)),
            })
            .collect(),
        readings: readings.used.clone(),
        outcomes: Vec::new(),
        sheet: text.text.clone(),
    };
    Ok((batch, readings))
}

/// Water that a tray has lost by a weighing of it.
fn water_lost_kg(reading: &Reading, of: usize, loaded_kg: f64) -> Option<f64> {
    match reading.quantity {
        Quantity::Weight { tray } if tray == of => Some(loaded_kg - reading.value),
        Quantity::WaterLost { tray } if tray == of => Some(reading.value),
        _ => None,
    }
}

fn stem(path: &Path) -> String {
    path.file_stem().map_or_else(|| "batch".into(), |s| s.to_string_lossy().into_owned())
}
