//! The table of bricks: `data/bricks/*.csv`, whose README names the columns.

use std::fs;
use std::path::{Path, PathBuf};

use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_core::food::{Composition, DryingClass, Food, FoodError, FoodModel};
use serde::{Deserialize, Serialize};

use super::drying::{course, last_ice};
use super::exact::Ratios;
use super::freezing::{Freezing, Times};

/// Edges over the least one.
const EDGES: [f64; 8] = [1.0, 1.25, 1.5, 2.0, 3.0, 4.0, 6.0, 10.0];
/// Surface over what lies behind it.
pub const BIOTS: [f64; 3] = [0.2, 1.0, 5.0];
/// Shares of the time of the last ice.
pub const TIMES: [f64; 7] = [0.05, 0.1, 0.2, 0.4, 0.6, 0.8, 0.95];
/// Edges of the bricks that freeze.
const FROZEN: [(f64, f64); 7] = [(1.0, 1.0), (1.0, 2.0), (2.0, 2.0), (1.0, 4.0), (3.0, 4.0), (4.0, 4.0), (6.0, 6.0)];
/// Half their least edge, m.
pub const HALF_M: f64 = 0.02;
/// Cells in it.
const FROZEN_ACROSS: usize = 12;

/// How much of a brick is dry at a share of the time of its last ice; its surface lets vapour out freely.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
pub struct Course {
    /// Middle edge over the least.
    pub b1: f64,
    /// Longest edge over the least.
    pub b2: f64,
    /// Time over that of the last ice.
    pub time: f64,
    /// Share passed.
    pub passed: f64,
    /// The same less that of cells twice as large.
    pub grid: f64,
}

/// When the last ice goes, over the time of a slab as thick.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
pub struct LastIce {
    /// Middle edge over the least.
    pub b1: f64,
    /// Longest edge over the least.
    pub b2: f64,
    /// Surface over half the least edge of dried food.
    pub biot: f64,
    /// Where flow is spent where it arrives, exact.
    pub arriving: f64,
    /// Where ice leads it all over the front.
    pub conducting: f64,
    /// The same less that of cells twice as large.
    pub grid: f64,
}

/// When a brick is frozen.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
pub struct Frozen {
    /// Middle edge over the least.
    pub b1: f64,
    /// Longest edge over the least.
    pub b2: f64,
    /// Surface over half the least edge of frozen food.
    pub biot: f64,
    /// Middle at the end, h.
    pub middle_h: f64,
    /// Mean at the end, h.
    pub mean_h: f64,
    /// `middle_h` less that of cells twice as large, h.
    pub grid_h: f64,
}

/// Why the table could not be made or read.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum TableError {
    /// The food of the table.
    #[error(transparent)]
    Food(#[from] FoodError),
    /// The file.
    #[error(transparent)]
    Csv(#[from] csv::Error),
    /// The folder.
    #[error(transparent)]
    Io(#[from] std::io::Error),
}

/// The food of the table: lean meat, composition from memory.
///
/// # Errors
/// [`FoodError`].
pub fn lean() -> Result<FoodModel, FoodError> {
    let lean = Composition { water: 0.74, protein: 0.22, fat: 0.03, ash: 0.01, ..Composition::default() };
    Food::new("lean meat", "from memory", lean, DryingClass::LeanMeatOrFish).model()
}

/// A brick of the table that freezes: from 10 degC in air of -30 until -18.
pub fn frozen_brick(model: &FoodModel, ratios: Ratios, biot: f64) -> Freezing<'_> {
    Freezing {
        model,
        ratios,
        half_m: HALF_M,
        surface_w_per_m2_k: biot * model.conductivity_frozen_w_per_m_k / HALF_M,
        air_k: ZERO_CELSIUS_K - 30.0,
        start_k: ZERO_CELSIUS_K + 10.0,
        end_k: ZERO_CELSIUS_K - 18.0,
    }
}

/// Rewrites the table.
///
/// # Errors
/// [`TableError`].
pub fn write() -> Result<(), TableError> {
    fs::create_dir_all(folder())?;
    let pairs = EDGES.iter().flat_map(|b1| EDGES.iter().filter(move |b2| *b2 >= b1).map(move |b2| (*b1, *b2)));
    let (mut courses, mut lasts) = (Vec::new(), Vec::new());
    for (b1, b2) in pairs {
        let ratios = Ratios { b1, b2 };
        let across = if b1 * b2 > 12.0 { 16 } else { 32 };
        let (fine, coarse) = (course(ratios, across, &TIMES), course(ratios, across / 2, &TIMES));
        courses.extend(fine.iter().zip(&coarse).map(|(m, c)| Course {
            b1,
            b2,
            time: m.time,
            passed: digits(m.passed),
            grid: digits(m.passed - c.passed),
        }));
        let across = if b1 * b2 > 12.0 { 8 } else { 16 };
        let (fine, coarse) = (last_ice(ratios, across, &BIOTS), last_ice(ratios, across / 2, &BIOTS));
        for (biot, (fine, coarse)) in BIOTS.into_iter().zip(fine.into_iter().zip(coarse)) {
            let slab = 0.5 + 1.0 / biot;
            let (arriving, conducting) = (digits(ratios.middle_over_slab(biot)), digits(fine / slab));
            lasts.push(LastIce { b1, b2, biot, arriving, conducting, grid: digits((fine - coarse) / slab) });
        }
        let free = digits(ratios.middle_over_slab(f64::INFINITY));
        lasts.push(LastIce { b1, b2, biot: f64::INFINITY, arriving: free, conducting: free, grid: 0.0 });
        eprintln!("dried 1:{b1}:{b2}");
    }
    save("drying.csv", &courses)?;
    save("last_ice.csv", &lasts)?;
    let model = lean()?;
    let mut frozen = Vec::new();
    for (b1, b2) in FROZEN {
        for biot in BIOTS {
            let brick = frozen_brick(&model, Ratios { b1, b2 }, biot);
            let hours = |times: Times| (times.middle_s / 3_600.0, times.mean_s / 3_600.0);
            let ((middle, mean), (coarse, _)) =
                (hours(brick.times(FROZEN_ACROSS)), hours(brick.times(FROZEN_ACROSS / 2)));
            let (middle_h, mean_h, grid_h) = (digits(middle), digits(mean), digits(middle - coarse));
            frozen.push(Frozen { b1, b2, biot, middle_h, mean_h, grid_h });
        }
        eprintln!("froze 1:{b1}:{b2}");
    }
    save("freezing.csv", &frozen)
}

/// Four decimals.
fn digits(x: f64) -> f64 {
    (x * 1e4).round() / 1e4
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/bricks")
}

fn save<T: Serialize>(name: &str, rows: &[T]) -> Result<(), TableError> {
    let mut file = csv::Writer::from_path(folder().join(name))?;
    rows.iter().try_for_each(|row| file.serialize(row))?;
    Ok(file.flush()?)
}

/// Rows of a file of the table.
///
/// # Errors
/// [`TableError`].
pub fn read<T: for<'a> Deserialize<'a>>(name: &str) -> Result<Vec<T>, TableError> {
    Ok(csv::Reader::from_path(folder().join(name))?.deserialize().collect::<Result<_, _>>()?)
}
