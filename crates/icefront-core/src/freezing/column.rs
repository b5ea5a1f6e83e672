//! Freezing of one tray: enthalpy balance over cells, implicit, the rows of one tridiagonal system.
//!
//! # Main equations
//! In `docs/model.md`: Z1 and Z2.
//! ```text
//! m_i (H_i - H_i_old)/h = sum over faces (A/d) (theta_j - theta_i) + q_boundary
//! theta(T) = integral from T_f of k dT     (so a jump of k between two cells is exact in steady state)
//! k(T)     = k_u + (k_f - k_u)(1 - t_f/t) below the freezing point
//! ```
//! Cells are of equal depth. Those of a brick are boxes within each other, and the way from one to the next is that of
//! the shell form (S3), whose radius hangs on the conductance of the surface (S16).
//! First unknown: the shelf (or tray metal) under the food; then cells from the bottom up. A piece counts its cells
//! from the side of its surface inwards and the tray's metal joins its surface.
//!
//! # Assumptions and limits
//! One coordinate; no moisture loss while freezing. Second order in space. Bricks: within 5 % of three dimensions
//! (`data/bricks`).

use crate::brick::{Ratios, Way};
use crate::constants::ZERO_CELSIUS_K;
use crate::food::FoodModel;
use crate::numerics::components::components_by_field;
use crate::numerics::tridiagonal::Row;
use crate::shape::{PieceForm, Shape};

/// Cells used in a batch.
pub const BATCH_CELLS: usize = 10;

/// One tray as cells.
#[derive(Clone, Debug)]
pub struct Column {
    model: FoodModel,
    conductivity_unfrozen: f64,
    conductivity_frozen: f64,
    /// Mass of each cell, kg.
    pub mass_kg: Vec<f64>,
    /// A/d between cell i and cell i+1, m.
    between_m: Vec<f64>,
    /// A/(half a cell) from the first cell to the lower (or only) face, m.
    low_face_m: f64,
    /// The same from the last cell to the upper face, m; 0 at the centre of a piece.
    high_face_m: f64,
    /// Of a brick: over which `between_m` is to be divided.
    brick: Option<BrickWay>,
    /// Area of the lower face, m2.
    pub low_area_m2: f64,
    /// Area of the upper face, m2.
    pub high_area_m2: f64,
}

/// What hangs on the conductance of a brick's surface.
#[derive(Clone, Debug)]
struct BrickWay {
    way: Way,
    /// Half the least edge, m.
    half_m: f64,
}

/// Surroundings of a column during one step. Conductances in W/K.
#[derive(Clone, Copy, Debug)]
pub struct Around {
    /// Food's lower face to the metal under it.
    pub below_w_per_k: f64,
    /// Upper face (or a piece's surface) to air.
    pub above_w_per_k: f64,
    /// Air there, K.
    pub air_k: f64,
}

/// The shelf or tray metal under a column during one step.
#[derive(Clone, Copy, Debug)]
pub struct Metal {
    /// Heat capacity, J/K.
    pub capacity_j_per_k: f64,
    /// Temperature before the step, K.
    pub old_k: f64,
    /// Temperature now assumed for its end, K.
    pub new_k: f64,
    /// Metal's underside to air, W/K.
    pub air_w_per_k: f64,
    /// Metal to the cold wall (or the sky) by radiation, W/K.
    pub wall_w_per_k: f64,
    /// Wall or sky, K.
    pub wall_k: f64,
}

/// State of one tray while its food freezes.
#[derive(Clone, Debug, PartialEq)]
pub struct TrayState {
    /// Shelf, or metal of the tray, under the food, K.
    pub metal_k: f64,
    /// Enthalpy of the cells, J/kg.
    pub enthalpy_j_per_kg: Vec<f64>,
}

components_by_field!(TrayState { metal_k, enthalpy_j_per_kg });

/// Right-hand sides of one row of a column; once solved, the updates that each of them causes.
#[derive(Clone, Copy, Debug, Default)]
pub struct ColumnRhs {
    /// Minus the residual, W.
    pub residual: f64,
    /// Minus its derivative with respect to the air temperature, W/K.
    pub per_air_k: f64,
    /// Minus its derivative with respect to the temperature of the condenser coil, W/K.
    pub per_coil_k: f64,
}

components_by_field!(ColumnRhs { residual, per_air_k, per_coil_k });

/// Linearised rows of a column for one Newton step: metal, then cells.
pub type Rows = Vec<Row<ColumnRhs>>;

/// A cell at one enthalpy.
struct Cell {
    temperature_k: f64,
    /// Slope of that, K per J/kg.
    k_per_j_per_kg: f64,
    /// Integral of the conductivity from the freezing point, W/m, and the conductivity, W/(m K).
    integral_w_per_m: f64,
    conductivity_w_per_m_k: f64,
}

impl Column {
    /// Cells for a shape on `area_m2` of tray.
    pub fn new(model: &FoodModel, shape: &Shape, area_m2: f64, cells: usize) -> Self {
        let mut column = Self {
            model: model.clone(),
            conductivity_unfrozen: model.conductivity_unfrozen_w_per_m_k,
            conductivity_frozen: model.conductivity_frozen_w_per_m_k,
            mass_kg: Vec::with_capacity(cells),
            between_m: Vec::with_capacity(cells),
            low_face_m: 0.0,
            high_face_m: 0.0,
            brick: None,
            low_area_m2: area_m2,
            high_area_m2: area_m2,
        };
        let mass = model.density_kg_per_m3 * shape.volume_per_area_m() * area_m2;
        match shape {
            Shape::Layer { depth_m } => column.slab(mass, *depth_m, cells),
            Shape::Pieces { form, layers: 1, coverage } => {
                let core = form.core();
                let surface = core.surface_m2 / core.lying.footprint_m2 * coverage * area_m2;
                match *form {
                    PieceForm::Brick { length_m, width_m, height_m } => {
                        column.boxes(mass, [length_m, width_m, height_m], surface, cells);
                    }
                    _ => column.radial(mass, core.radius_m, core.dimension, surface, cells),
                }
            }
            Shape::Pieces { .. } => {
                // a bed: one layer whose conductivity is the geometric mean of food and the air between the pieces
                // (Woodside and Messmer 1961)
                let solid = (shape.volume_per_area_m() / shape.height_m()).clamp(0.05, 1.0);
                let air = crate::freezing::surface::air_conductivity_w_per_m_k(ZERO_CELSIUS_K);
                let blend = |k: f64| libm::pow(k, solid) * libm::pow(air, 1.0 - solid);
                column.conductivity_unfrozen = blend(column.conductivity_unfrozen);
                column.conductivity_frozen = blend(column.conductivity_frozen);
                column.slab(mass, shape.height_m(), cells);
            }
        }
        column
    }

    fn slab(&mut self, mass_kg: f64, depth_m: f64, cells: usize) {
        let dx = depth_m / cells as f64;
        self.mass_kg = vec![mass_kg / cells as f64; cells];
        self.between_m = vec![self.low_area_m2 / dx; cells - 1];
        self.low_face_m = 2.0 * self.low_area_m2 / dx;
        self.high_face_m = self.low_face_m;
    }

    fn radial(&mut self, mass_kg: f64, radius_m: f64, n: f64, surface_m2: f64, cells: usize) {
        let dx = 1.0 / cells as f64;
        // cell 0 lies at the surface
        let radius = |i: usize| 1.0 - i as f64 * dx;
        for i in 0..cells {
            self.mass_kg.push(mass_kg * (libm::pow(radius(i), n) - libm::pow(radius(i + 1), n)));
            if i + 1 < cells {
                self.between_m.push(surface_m2 * libm::pow(radius(i + 1), n - 1.0) / (dx * radius_m));
            }
        }
        self.low_face_m = 2.0 * surface_m2 / (dx * radius_m);
        self.high_face_m = 0.0;
        self.low_area_m2 = surface_m2;
        self.high_area_m2 = 0.0;
    }

    fn boxes(&mut self, mass_kg: f64, edges_m: [f64; 3], surface_m2: f64, cells: usize) {
        let half_m = 0.5 * edges_m.into_iter().fold(f64::INFINITY, f64::min);
        let dx = 1.0 / cells as f64;
        // share inside of a depth, which is counted in half the least edge
        let left = |depth: f64| edges_m.iter().map(|edge| 1.0 - 2.0 * half_m * depth / edge).product::<f64>();
        let volume_m3 = surface_m2 / edges_m.iter().map(|edge| 2.0 / edge).sum::<f64>();
        let ratios = Ratios::of(edges_m);
        let n = ratios.dimension();
        let shell = |depth: f64| {
            let log = libm::log(left(depth));
            if (n - 2.0).abs() < 1e-6 { -0.5 * log } else { libm::expm1((2.0 / n - 1.0) * log) / (n - 2.0) }
        };
        for i in 0..cells {
            let depth = i as f64 * dx;
            self.mass_kg.push(mass_kg * (left(depth) - left(depth + dx)));
            if i + 1 < cells {
                let between = shell(depth + 1.5 * dx) - shell(depth + 0.5 * dx);
                self.between_m.push(surface_m2 * surface_m2 / (volume_m3 * between));
            }
        }
        self.low_face_m = 2.0 * surface_m2 / (dx * half_m);
        self.high_face_m = 0.0;
        self.low_area_m2 = surface_m2;
        self.high_area_m2 = 0.0;
        self.brick = Some(BrickWay { way: Way::new(ratios), half_m });
    }

    /// Number of cells.
    pub fn cells(&self) -> usize {
        self.mass_kg.len()
    }

    /// Whether heat reaches the food through its whole surface (a piece).
    pub fn is_piece(&self) -> bool {
        self.high_face_m == 0.0
    }

    /// Temperature of a cell from its enthalpy, K.
    pub fn temperature_k(&self, enthalpy_j_per_kg: f64) -> f64 {
        self.model.curve.temperature_k(enthalpy_j_per_kg)
    }

    /// Enthalpy of the food at one temperature, J/kg.
    pub fn enthalpy_j_per_kg(&self, temperature_k: f64) -> f64 {
        self.model.curve.enthalpy_j_per_kg(temperature_k)
    }

    /// Integral of the conductivity from the freezing point, W/m, and the conductivity there, W/(m K).
    fn conduction(&self, temperature_k: f64) -> (f64, f64) {
        let t_f = self.model.curve.freezing_point_k - ZERO_CELSIUS_K;
        let t = temperature_k - ZERO_CELSIUS_K;
        let (k_u, k_f) = (self.conductivity_unfrozen, self.conductivity_frozen);
        if t >= t_f {
            return (k_u * (t - t_f), k_u);
        }
        let unfrozen = t_f / t;
        // pure water has no such part
        let bend = if unfrozen > 0.0 { (k_f - k_u) * t_f * libm::log(unfrozen) } else { 0.0 };
        (k_f * (t - t_f) + bend, k_f - (k_f - k_u) * unfrozen)
    }

    fn cell(&self, enthalpy_j_per_kg: f64) -> Cell {
        let (temperature_k, k_per_j_per_kg) = self.model.curve.temperature_and_slope(enthalpy_j_per_kg);
        let (integral_w_per_m, conductivity_w_per_m_k) = self.conduction(temperature_k);
        Cell { temperature_k, k_per_j_per_kg, integral_w_per_m, conductivity_w_per_m_k }
    }

    /// Conductance from a cell's centre through its face to something at the far end of `outside_w_per_k`, W/K.
    fn to_outside_w_per_k(&self, face_m: f64, cell: &Cell, far_k: f64, outside_w_per_k: f64) -> f64 {
        if outside_w_per_k <= 0.0 || face_m <= 0.0 {
            return 0.0;
        }
        // mean conductivity between cell and face, the face's temperature from one pass with the cell's own
        let cell_k = cell.temperature_k;
        let inner = face_m * cell.conductivity_w_per_m_k;
        let face_k = (inner * cell_k + outside_w_per_k * far_k) / (inner + outside_w_per_k);
        let mean = if (face_k - cell_k).abs() > 1e-6 {
            (self.conduction(face_k).0 - cell.integral_w_per_m) / (face_k - cell_k)
        } else {
            cell.conductivity_w_per_m_k
        };
        face_m * mean * outside_w_per_k / (face_m * mean + outside_w_per_k)
    }

    /// Temperature of the face towards the air, K.
    pub fn surface_k(&self, enthalpies: &[f64], around: &Around) -> f64 {
        let (cell, face_m) = if self.is_piece() { (0, self.low_face_m) } else { (self.cells() - 1, self.high_face_m) };
        let cell = self.cell(enthalpies[cell]);
        let cell_k = cell.temperature_k;
        if around.above_w_per_k <= 0.0 {
            return cell_k;
        }
        let through = self.to_outside_w_per_k(face_m, &cell, around.air_k, around.above_w_per_k);
        around.air_k + through / around.above_w_per_k * (cell_k - around.air_k)
    }

    /// Temperature of the thermal centre (the warmest cell), K.
    pub fn thermal_centre_k(&self, enthalpies: &[f64]) -> f64 {
        self.temperature_k(enthalpies.iter().copied().fold(f64::NEG_INFINITY, f64::max))
    }

    /// Heat content, J (zero at the freezing point, unfrozen).
    pub fn heat_j(&self, enthalpies: &[f64]) -> f64 {
        self.mass_kg.iter().zip(enthalpies).map(|(m, h)| m * h).sum()
    }

    /// Rows of the Newton step for the metal (first row) and the cells (`old` to `new` enthalpies, J/kg).
    /// Returns the heat flux from food to air.
    pub fn rows(&self, h_s: f64, around: &Around, metal: &Metal, old: &[f64], new: &[f64], rows: &mut Rows) -> ToAir {
        rows.clear();
        let metal_k = metal.new_k;
        let capacity = metal.capacity_j_per_k / h_s;
        let to_wall = metal.wall_w_per_k;
        let mut below = Row {
            diagonal: capacity + metal.air_w_per_k + to_wall,
            rhs: ColumnRhs {
                residual: metal.air_w_per_k * (around.air_k - metal_k) + to_wall * (metal.wall_k - metal_k)
                    - capacity * (metal_k - metal.old_k),
                per_air_k: metal.air_w_per_k,
                per_coil_k: to_wall,
            },
            ..Row::default()
        };
        // of the cell before: integral of conductivity, and its slope against that cell's enthalpy
        let (mut before, mut before_slope) = (0.0, 0.0);
        let mut to_air = ToAir::default();
        let (exposed, face_m) =
            if self.is_piece() { (0, self.low_face_m) } else { (self.cells() - 1, self.high_face_m) };
        let per_s = 1.0 / h_s;
        let slower = self.brick.as_ref().map_or(1.0, |brick| {
            let outer = self.cell(old[0]).conductivity_w_per_m_k;
            let surface_w_per_m2_k = (around.below_w_per_k + around.above_w_per_k) / self.low_area_m2;
            1.0 / brick.way.radius(surface_w_per_m2_k * brick.half_m / outer)
        });
        for (i, ((mass_kg, new), old)) in self.mass_kg.iter().zip(new).zip(old).enumerate() {
            let cell = self.cell(*new);
            let (t, slope) = (cell.temperature_k, cell.k_per_j_per_kg);
            let integral_slope = cell.conductivity_w_per_m_k * slope;
            let mass_per_s = mass_kg * per_s;
            let mut row = Row::<ColumnRhs> { diagonal: mass_per_s, ..Row::default() };
            // from below: the metal, or the cell before
            let (flow, here, there) = if i == 0 {
                let g = self.to_outside_w_per_k(self.low_face_m, &cell, metal_k, around.below_w_per_k);
                (g * (metal_k - t), g * slope, g)
            } else {
                let g = self.between_m[i - 1] * slower;
                (g * (before - cell.integral_w_per_m), g * integral_slope, g * before_slope)
            };
            row.rhs.residual = flow - mass_per_s * (new - old);
            row.diagonal += here;
            row.lower = -there;
            below.rhs.residual -= flow;
            below.diagonal += there;
            below.upper = -here;
            if i == exposed {
                let g = self.to_outside_w_per_k(face_m, &cell, around.air_k, around.above_w_per_k);
                row.rhs.residual += g * (around.air_k - t);
                row.rhs.per_air_k += g;
                row.diagonal += g * slope;
                to_air = ToAir { heat_w: g * (t - around.air_k), conductance_w_per_k: g, row: i + 1, slope };
            }
            rows.push(below);
            below = row;
            (before, before_slope) = (cell.integral_w_per_m, integral_slope);
        }
        rows.push(below);
        to_air
    }
}

/// Heat from food to air, with what its derivatives need.
#[derive(Clone, Copy, Debug, Default)]
pub struct ToAir {
    /// Heat, W.
    pub heat_w: f64,
    /// Conductance, W/K.
    pub conductance_w_per_k: f64,
    /// Row of the exposed cell.
    pub row: usize,
    /// Kelvin per J/kg of that cell.
    pub slope: f64,
}
