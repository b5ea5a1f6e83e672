//! Why a batch takes so long: one tray looked at closely, everything that could be better tried, and its food thin and

use icefront_core::decide::falls::{Falls, falls, falls_of_part};
use icefront_core::decide::levers::{Gain, gains};
use icefront_core::error::ModelError;
use icefront_core::load::Load;
use icefront_core::result::{BatchResult, PartResult};
use icefront_core::shape::Shape;

use crate::Storage;
use crate::sheet::{self, Change, Sheet, Text, Variant};

/// The answer.
#[derive(Clone, Debug)]
pub struct Answer {
    /// The load.
    pub load: Load,
    /// Its run on typical numbers.
    pub result: BatchResult,
    /// The tray looked at.
    pub tray: usize,
    /// Where its temperature goes.
    pub falls: Falls,
    /// What everything else would save, the most first.
    pub gains: Vec<Gain>,
    /// Its parts side by side: what lies between embedded pieces, and the columns with pieces; none where it is alike.
    pub parts: Vec<Beside>,
    /// The load with this tray as it is, and with it thin, thick, lean and fatty.
    pub sides: Vec<Side>,
}

/// One part of a tray.
#[derive(Clone, Debug)]
pub struct Beside {
    /// When it loses its ice and is dry.
    pub result: PartResult,
    /// Where its temperature goes.
    pub falls: Falls,
}

/// The load with one tray changed.
#[derive(Clone, Debug)]
pub struct Side {
    /// How it was changed.
    pub change: Changed,
    /// Its run.
    pub result: BatchResult,
    /// Where the temperature of that tray goes.
    pub falls: Falls,
}

/// What one tray gets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Changed {
    /// Nothing.
    AsItIs,
    /// Half the depth, or pieces half as large.
    Thin,
    /// Twice the depth, or pieces twice as large.
    Thick,
    /// 3 % fat.
    Lean,
    /// 20 % fat.
    Fatty,
}

/// Fat of a lean and of a fatty food, as a sheet says it.
const FAT: [(Changed, &str); 2] = [(Changed::Lean, "\"3 %\""), (Changed::Fatty, "\"20 %\"")];

/// Explains one tray; without a number the last one.
///
/// # Errors
/// [`ModelError`] as the model gives it.
pub fn explain(text: &Text, sheet: &Sheet, tray: Option<usize>, files: &dyn Storage) -> Result<Answer, ModelError> {
    let load = sheet.load.clone();
    let result = icefront_core::plan(&load)?;
    let last = result.last_tray().and_then(|last| result.trays.iter().position(|t| std::ptr::eq(t, last)));
    let tray = tray.or(last).unwrap_or(0);
    let side = |change: Changed, load: &Load| -> Result<Side, ModelError> {
        let result = icefront_core::plan(load)?;
        Ok(Side { change, falls: falls(load, &result, tray)?, result })
    };
    let mut sides = vec![Side { change: Changed::AsItIs, result: result.clone(), falls: falls(&load, &result, tray)? }];
    for (change, factor) in [(Changed::Thin, 0.5), (Changed::Thick, 2.0)] {
        let mut other = load.clone();
        let shape = &mut other.trays[tray].shape;
        *shape = match shape {
            Shape::Layer { .. } => shape.filled(factor),
            Shape::Pieces { .. } => shape.cut(factor),
        };
        sides.extend(side(change, &other));
    }
    for (change, fat) in FAT {
        let path = ["tray".to_string(), (tray + 1).to_string(), "fat".to_string()];
        let variant = Variant { sheet: vec![Change { path: path.to_vec(), value: fat.into() }], ..Variant::default() };
        // a food that cannot have this much fat is left out
        if let Ok(other) = sheet::read_variant(text, variant, files) {
            sides.extend(side(change, &other.load));
        }
    }
    let beside = result.trays.get(tray).map_or(&[][..], |t| &t.parts).iter().enumerate();
    let parts = beside
        .map(|(i, part)| Ok(Beside { result: *part, falls: falls_of_part(&load, &result, tray, i)? }))
        .collect::<Result<_, ModelError>>()?;
    Ok(Answer { tray, falls: falls(&load, &result, tray)?, parts, gains: gains(&load, &result)?, sides, load, result })
}
