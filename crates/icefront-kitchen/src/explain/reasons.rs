//! Why a batch takes so long: one tray looked at closely, everything that could be better tried, alone and together, and
//! its food thin and thick, lean and fatty at the same size.

use icefront_core::decide::falls::{Falls, falls, falls_of_part};
use icefront_core::decide::levers::{Bottleneck, Gain, Together, bottleneck, gains, together};
use icefront_core::error::ModelError;
use icefront_core::load::Load;
use icefront_core::result::{BatchResult, PartResult, Stage};
use icefront_core::shape::Shape;

use crate::Storage;
use crate::kept::Kept;
use crate::plan::Run;
use crate::sheet::{self, Change, Text, Variant};
use crate::usable::Usable;

/// The answer.
#[derive(Clone, Debug)]
pub struct Answer {
    /// The load.
    pub load: Load,
    /// The run that stands for all samples.
    pub result: BatchResult,
    /// The tray looked at.
    pub tray: usize,
    /// Where its temperature goes.
    pub falls: Falls,
    /// What everything else would save, the most first.
    pub gains: Vec<Gain>,
    /// What all of it would save at once, and each thing once the others are better.
    pub together: Together,
    /// The largest resistance, and what holds the batch up without it.
    pub bottleneck: Option<Bottleneck>,
    /// At which shelf temperatures and pressures its food dries, and how well.
    pub usable: Usable,
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
    /// Whether weight and depth of its food stay as they are.
    pub kept: Kept,
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
    /// Half the depth and so half the weight, or the same weight in pieces half as large.
    Thin,
    /// Twice the depth and so twice the weight, or the same weight in pieces twice as large.
    Thick,
    /// 3 % fat.
    Lean,
    /// 20 % fat.
    Fatty,
}

/// Fat of a lean and of a fatty food, as a sheet says it.
const FAT: [(Changed, &str); 2] = [(Changed::Lean, "\"3 %\""), (Changed::Fatty, "\"20 %\"")];

/// Explains one tray of a planned sheet, in the run that stands for all; without a number the last one.
///
/// # Errors
/// [`ModelError`] as the model gives it.
pub fn explain(text: &Text, run: &Run, tray: Option<usize>, files: &dyn Storage) -> Result<Answer, ModelError> {
    let (load, result) = (run.load.clone(), run.result.clone());
    let last = result.last_tray().and_then(|last| result.trays.iter().position(|t| std::ptr::eq(t, last)));
    let tray = tray.or(last).unwrap_or(0);
    let given = load.trays[tray].clone();
    let side = |change: Changed, load: &Load| -> Result<Side, ModelError> {
        let result = icefront_core::plan(load)?;
        Ok(Side { change, kept: Kept::of(&given, &load.trays[tray]), falls: falls(load, &result, tray)?, result })
    };
    let mut sides = vec![side(Changed::AsItIs, &load)?];
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
            let mut other = run.load_of(&other)?;
            // at equal size: an amount in the sheet would make the lighter food deeper
            other.trays[tray].shape = load.trays[tray].shape;
            sides.extend(side(change, &other));
        }
    }
    let beside = result.trays.get(tray).map_or(&[][..], |t| &t.parts).iter().enumerate();
    let parts = beside
        .map(|(i, part)| Ok(Beside { result: *part, falls: falls_of_part(&load, &result, tray, i)? }))
        .collect::<Result<_, ModelError>>()?;
    let falls = falls(&load, &result, tray)?;
    Ok(Answer {
        tray,
        bottleneck: bottleneck(&load, &result, &falls)?,
        falls,
        parts,
        gains: gains(&load, &result)?,
        together: together(&load, &result)?,
        usable: Usable::of(&load, &result, tray)?,
        sides,
        load,
        result,
    })
}

impl Side {
    /// Time under vacuum until a tray is dry, s; `None`: never.
    pub fn drying_s(&self, tray: usize) -> Option<f64> {
        // freezing does not grow as drying does
        let stage_s = &self.result.stage_s;
        Some(self.result.trays[tray].dry_at_s? - stage_s[Stage::Freezing] - stage_s[Stage::Evacuation])
    }

    /// Water that a tray gives off, kg.
    pub fn water_kg(&self, tray: usize) -> f64 {
        self.result.trays[tray].water_kg - self.result.trays[tray].water_left_kg
    }

    /// Time under vacuum per water that a tray gives off, s/kg; `None`: never dry.
    pub fn per_kg_water_s(&self, tray: usize) -> Option<f64> {
        Some(self.drying_s(tray)? / self.water_kg(tray))
    }
}
