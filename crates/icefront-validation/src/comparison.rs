//! The batch solver held against the independent cabinet, load by load.

use icefront_core::ModelError;
use icefront_core::batch::{Precision, plan_with};
use icefront_core::freezing::column::BATCH_CELLS;
use icefront_core::load::Load;
use icefront_core::result::{BatchResult, Stage};
use icefront_kitchen::failure::Failure;

use crate::cabinet::{self, Accuracy, CabinetError, Outcome};

/// Largest deviation of a tray's last ice that the batch may show, as a share of the cabinet's time.
pub const LAST_ICE_BOUND: f64 = 0.012;
/// The same of the time until the food is ready, and of electric energy.
pub const READY_BOUND: f64 = 0.005;

/// A load of the comparison, as a sheet.
#[derive(Clone, Copy, Debug)]
pub struct Sheet {
    /// Its name in the table.
    pub name: &'static str,
    /// The sheet.
    pub text: &'static str,
}

impl Sheet {
    /// The demonstration, beds of pieces, and a full load.
    pub const ALL: [Self; 3] = [
        Self { name: "demonstration", text: include_str!("../../../data/loads/demonstration.toml") },
        Self { name: "beds of pieces", text: include_str!("../loads/bed.toml") },
        Self { name: "full load", text: include_str!("../loads/full.toml") },
    ];
    /// A full load that came frozen. Its heaters hunt for hours about the pressure limit, which the batch follows with
    /// [`HUNTING`] steps only; its default steps damp it.
    pub const FROZEN: Self = Self { name: "full load, came frozen", text: include_str!("../loads/full_frozen.toml") };
}

/// Precision at which the batch follows the hunting of the heaters.
pub const HUNTING: Precision = Precision { tolerance: 1.0 / 16.0, freezing_cells: BATCH_CELLS, contact_strips: 2 };

/// Why a load could not be compared.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ComparisonError {
    /// The sheet is wrong.
    #[error("{name}: {message}")]
    Sheet {
        /// Name of the load.
        name: &'static str,
        /// What is wrong.
        message: String,
    },
    /// The batch solver refused.
    #[error(transparent)]
    Batch(#[from] ModelError),
    /// The independent cabinet gave no answer.
    #[error(transparent)]
    Cabinet(#[from] CabinetError),
    /// The batch left ice or water behind.
    #[error("the batch did not dry tray {tray}")]
    NotDry {
        /// Tray by number from the bottom.
        tray: usize,
    },
}

/// The batch solver over the cabinet, less 1, for one quantity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Deviation {
    /// Of the batch solver.
    pub batch: f64,
    /// Of the independent cabinet.
    pub cabinet: f64,
}

impl Deviation {
    /// Relative.
    pub fn relative(&self) -> f64 {
        self.batch / self.cabinet - 1.0
    }
}

/// One load, both ways.
#[derive(Clone, Debug)]
pub struct Comparison {
    /// Last ice of each tray, s.
    pub last_ice_s: Vec<Deviation>,
    /// Each tray dry, s.
    pub dry_s: Vec<Deviation>,
    /// Food ready, s.
    pub ready_s: Deviation,
    /// Electric energy until then, J.
    pub energy_j: Deviation,
    /// What the cabinet noted besides.
    pub cabinet: Outcome,
}

impl Comparison {
    /// Whether last ice, ready time and energy are within their bounds.
    pub fn within_bounds(&self) -> bool {
        self.worst_last_ice() <= LAST_ICE_BOUND
            && self.ready_s.relative().abs() <= READY_BOUND
            && self.energy_j.relative().abs() <= READY_BOUND
    }

    /// Largest deviation of a last ice, without its sign.
    pub fn worst_last_ice(&self) -> f64 {
        self.last_ice_s.iter().map(|d| d.relative().abs()).fold(0.0, f64::max)
    }
}

/// Reads a sheet.
///
/// # Errors
/// [`ComparisonError::Sheet`].
pub fn read(sheet: &Sheet) -> Result<Load, ComparisonError> {
    let wrong = |failure: Failure| ComparisonError::Sheet { name: sheet.name, message: failure.to_string() };
    Ok(sheet.text.parse::<icefront_kitchen::sheet::Sheet>().map_err(wrong)?.load)
}

/// Computes a load both ways, the batch at its own precision.
///
/// # Errors
/// [`ComparisonError`].
pub fn compare(load: &Load, precision: &Precision, accuracy: Accuracy) -> Result<Comparison, ComparisonError> {
    let batch = plan_with(load, precision)?;
    let cabinet = cabinet::dry(load, &batch, accuracy)?;
    against(&batch, cabinet)
}

/// A batch result against an outcome that started from it.
///
/// # Errors
/// [`ComparisonError::NotDry`].
pub fn against(batch: &BatchResult, cabinet: Outcome) -> Result<Comparison, ComparisonError> {
    let (mut last_ice_s, mut dry_s) = (Vec::new(), Vec::new());
    for (tray, (batch, cabinet)) in batch.trays.iter().zip(&cabinet.trays).enumerate() {
        let (Some(gone_s), Some(dried_s)) = (batch.ice_gone_at_s, batch.dry_at_s) else {
            return Err(ComparisonError::NotDry { tray: tray + 1 });
        };
        last_ice_s.push(Deviation { batch: gone_s, cabinet: cabinet.ice_gone_at_s });
        dry_s.push(Deviation { batch: dried_s, cabinet: cabinet.dry_at_s });
    }
    let energy_j = batch.energy_j().total() - batch.energy_by_stage_j[Stage::Defrost].total();
    Ok(Comparison {
        last_ice_s,
        dry_s,
        ready_s: Deviation { batch: batch.food_ready_s(), cabinet: cabinet.food_ready_s },
        energy_j: Deviation { batch: energy_j, cabinet: cabinet.energy_j },
        cabinet,
    })
}
