//! The loaded stack: elements, columns of elements between two shelves, shelves, and the heat paths between them.
//!
//! ```text
//! q_below = A (T_shelf - T)/(1/h_below + l_frozen/k_f)        layer: T of the front; pieces: T of the surface, l = 0
//! q_above = A (h_rad + h_gas)(T_above - T_surface)
//! ```
//! (`docs/model.md`, H1 to H5.) Coefficients are those of the present temperatures and pressure, not of the start of a
//! step.

use std::ops::Range;

use icefront_core::food::FoodModel;
use icefront_core::load::{ContactOverride, Freezing, Load, Tray};
use icefront_core::machine::heat_paths::{effective_emissivity, gas_gap_w_per_m2_k, radiation_w_per_m2_k};
use icefront_core::machine::{Above, Cabinet, Contact, Dryer};
use icefront_core::shape::{PieceForm, Shape};

use super::CabinetError;
use super::geometry::Geometry;

/// Ideal-gas heat capacity of water vapour near 0 degC, J/(kg K). Source: IAPWS R6-95.
const VAPOUR_J_PER_KG_K: f64 = 1_860.0;
/// Gap between two layers of pieces over the height of a piece (`docs/model.md`, H5; from memory).
const BED_GAP: f64 = 1.0 / 3.0;
/// Smallest clear space above the food, m.
const LEAST_CLEAR_M: f64 = 2e-3;

/// One layer of food, or the like pieces of one layer of a bed, with one ice front.
#[derive(Clone, Debug)]
pub struct Element<'a> {
    /// Its food.
    pub food: &'a FoodModel,
    /// Its geometry.
    pub geometry: Geometry,
    /// Dry matter, kg.
    pub dry_kg: f64,
    /// Heat capacity of its vapour on the way out, J/(kg K).
    pub vapour_j_per_kg_k: f64,
}

/// What lies above a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ceiling {
    /// A shelf, by number.
    Shelf(usize),
    /// The condenser coil.
    Coil,
    /// A roof that lets no heat through.
    Insulated,
}

/// Elements one above the other on a part of a tray with one contact.
#[derive(Clone, Debug)]
pub struct Column<'a> {
    /// Tray, and the shelf it stands on.
    pub tray: usize,
    /// Its elements, by number.
    pub elements: Range<usize>,
    /// Above it.
    pub ceiling: Ceiling,
    /// A layer, whose front gets the heat from below; else pieces, whose surfaces get it.
    pub is_layer: bool,
    /// Floor over which heat is exchanged, m2.
    pub floor_m2: f64,
    loaded: &'a Tray,
    contact: &'a Contact,
    contact_factor: f64,
    clear_m: f64,
}

/// The stack of one load.
#[derive(Clone, Debug)]
pub struct Stack<'a> {
    /// Its dryer.
    pub cabinet: &'a Cabinet,
    /// Elements from the bottom up.
    pub elements: Vec<Element<'a>>,
    /// Columns from the bottom up.
    pub columns: Vec<Column<'a>>,
    /// Area of each shelf that is heated, m2.
    pub shelf_areas_m2: Vec<f64>,
}

impl<'a> Stack<'a> {
    /// Lays a load out.
    ///
    /// # Errors
    /// [`CabinetError::Unsupported`] for what the reference does not cover.
    pub fn new(load: &'a Load) -> Result<Self, CabinetError> {
        let Dryer::Cabinet(cabinet) = &load.dryer else {
            return Err(CabinetError::Unsupported { what: "prescribed boundary conditions" });
        };
        let mut shelf_areas_m2: Vec<f64> = load.trays.iter().map(|t| t.area_m2).collect();
        let Some(&top_m2) = shelf_areas_m2.last() else {
            return Err(CabinetError::Unsupported { what: "a load without trays" });
        };
        let count = load.trays.len();
        let top = match cabinet.above_top_tray {
            // a shelf left empty is one more heated shelf above the last tray
            _ if count < cabinet.shelves => Ceiling::Shelf(count),
            Above::HeatedShelf => Ceiling::Shelf(count),
            Above::ColdWall => Ceiling::Coil,
            Above::Insulated => Ceiling::Insulated,
        };
        if top == Ceiling::Shelf(count) {
            shelf_areas_m2.push(top_m2);
        }
        let mut stack = Self { cabinet, elements: Vec::new(), columns: Vec::new(), shelf_areas_m2 };
        for (tray, loaded) in load.trays.iter().enumerate() {
            let ceiling = if tray + 1 == count { top } else { Ceiling::Shelf(tray + 1) };
            let given = loaded.contact.below_w_per_m2_k != Some(0.0);
            let uneven = if given { loaded.uneven_frac.unwrap_or(cabinet.contact.uneven_frac) } else { 0.0 };
            // two fifths lie worse by the unevenness, and the rest makes up for it
            let strips: &[(f64, f64)] =
                if uneven > 0.0 { &[(0.4, 1.0 - uneven), (0.6, 1.0 + 0.4 * uneven / 0.6)] } else { &[(1.0, 1.0)] };
            for &(share, factor) in strips {
                stack.add_column(tray, loaded, ceiling, factor, loaded.area_m2 * share)?;
            }
        }
        Ok(stack)
    }

    fn add_column(
        &mut self,
        tray: usize,
        loaded: &'a Tray,
        ceiling: Ceiling,
        contact_factor: f64,
        area_m2: f64,
    ) -> Result<(), CabinetError> {
        if loaded.embedded.is_some() || loaded.cuts.is_some() {
            return Err(CabinetError::Unsupported { what: "embedded pieces and cut layers" });
        }
        let food = &loaded.model;
        let dry_kg_per_m3 = food.density_kg_per_m3 * food.dry_frac();
        let vapour_j_per_kg_k = loaded.contact.vapour_heat_capacity_j_per_kg_k.unwrap_or(VAPOUR_J_PER_KG_K);
        let slab = |depth_m: f64, covered_m2: f64| {
            let geometry =
                Geometry { radius_m: depth_m, depth_m, floor_m2: None, surface_m2: covered_m2, dimension: 1.0 };
            (geometry, dry_kg_per_m3 * depth_m * covered_m2)
        };
        let (layers, is_layer, floor_m2, (geometry, dry_kg)) = match loaded.shape {
            Shape::Layer { depth_m } => (1, true, area_m2, slab(depth_m, area_m2)),
            // bricks in one layer lie on the tray with their undersides, those of a bed dry all round
            Shape::Pieces { form: PieceForm::Brick { length_m, width_m, height_m }, layers, coverage } => {
                let lying = layers == 1;
                let volume_m3 = coverage * area_m2 * height_m;
                let geometry = Geometry::bricks([length_m, width_m, height_m], volume_m3, lying);
                let floor_m2 = if lying { coverage * area_m2 } else { area_m2 };
                (layers, lying, floor_m2, (geometry, dry_kg_per_m3 * volume_m3))
            }
            Shape::Pieces { form, layers, coverage } => {
                let core = form.core();
                let pieces = coverage * area_m2 / core.lying.footprint_m2;
                let geometry = Geometry {
                    radius_m: core.radius_m,
                    depth_m: core.radius_m,
                    floor_m2: None,
                    surface_m2: pieces * core.surface_m2,
                    dimension: core.dimension,
                };
                (layers, false, area_m2, (geometry, dry_kg_per_m3 * pieces * core.lying.volume_m3))
            }
        };
        let first = self.elements.len();
        let element = Element { food, geometry, dry_kg, vapour_j_per_kg_k };
        self.elements.extend(std::iter::repeat_n(element, layers));
        self.columns.push(Column {
            tray,
            elements: first..self.elements.len(),
            ceiling,
            is_layer,
            floor_m2,
            loaded,
            contact: &self.cabinet.contact,
            contact_factor,
            clear_m: (self.cabinet.clear_height_m - loaded.shape.height_m()).max(LEAST_CLEAR_M),
        });
        Ok(())
    }

    /// Heat capacity of a shelf and its tray, J/K.
    pub fn shelf_capacity_j_per_k(&self, shelf: usize) -> f64 {
        self.cabinet.shelf_heat_capacity_j_per_m2_k * self.shelf_areas_m2[shelf]
    }
}

impl Column<'_> {
    fn overrides(&self) -> &ContactOverride {
        &self.loaded.contact
    }

    fn emissivity(&self) -> f64 {
        self.loaded.model.dried.emissivity
    }

    /// Shelf to food, W/(m2 K): gap under the tray with direct contact, lining, and the gap under food with a flat face
    /// that came frozen, in series.
    pub fn below_w_per_m2_k(&self, total_pa: f64, shelf_k: f64, food_k: f64) -> f64 {
        if let Some(given) = self.overrides().below_w_per_m2_k {
            return self.contact_factor * given;
        }
        let c = self.contact;
        let mean_k = 0.5 * (shelf_k + food_k);
        let radiation =
            radiation_w_per_m2_k(effective_emissivity(self.emissivity(), c.emissivity_below), shelf_k, food_k);
        let across = |gap_m: f64| 1.0 / (gas_gap_w_per_m2_k(gap_m, total_pa, mean_k, c.accommodation) + radiation);
        let lining = if self.loaded.lined { across(c.lining_gap_m) } else { 0.0 };
        let came_frozen = matches!(self.loaded.freezing, Freezing::Frozen { .. });
        let block = if came_frozen { across(c.frozen_block_gap_m) } else { 0.0 };
        let tray = 1.0 / (c.direct_w_per_m2_k + 1.0 / across(c.gap_m * self.loaded.gap_times)) + lining;
        // bricks lie on a flat face, round pieces over their mean gap; the bare part of the tray radiates to all
        let coefficient = match self.loaded.shape {
            Shape::Pieces { form, coverage, .. } if !self.is_layer => {
                let flat = matches!(form, PieceForm::Brick { .. });
                let facing = tray + if flat { block } else { across(form.lying().mean_gap_m) };
                coverage / facing + (1.0 - coverage).max(0.0) / (tray + 1.0 / radiation)
            }
            _ => 1.0 / (tray + block),
        };
        self.contact_factor * coefficient
    }

    /// Between two layers of pieces, W/(m2 K), with `dried_m` of dried food on the way.
    pub fn between_w_per_m2_k(&self, total_pa: f64, lower_k: f64, upper_k: f64, dried_m: f64) -> f64 {
        let Shape::Pieces { form, .. } = self.loaded.shape else { return 0.0 };
        let (mean_k, e) = (0.5 * (lower_k + upper_k), self.emissivity());
        let gap_m = BED_GAP * form.lying().height_m;
        let gap = gas_gap_w_per_m2_k(gap_m, total_pa, mean_k, self.contact.accommodation)
            + radiation_w_per_m2_k(effective_emissivity(e, e), lower_k, upper_k);
        1.0 / (1.0 / gap + dried_m / self.loaded.model.dried.conductivity_at(total_pa))
    }

    /// Top surface to what lies above, W/K.
    pub fn above_w_per_k(&self, total_pa: f64, surface_k: f64, above_k: f64) -> f64 {
        if self.ceiling == Ceiling::Insulated {
            return 0.0;
        }
        let c = self.contact;
        let given = self.overrides();
        let emissivity =
            given.emissivity_above.unwrap_or_else(|| effective_emissivity(self.emissivity(), c.emissivity_above));
        let gas = given.gas_above_w_per_m2_k.unwrap_or_else(|| {
            gas_gap_w_per_m2_k(self.clear_m, total_pa, 0.5 * (surface_k + above_k), c.accommodation)
        });
        self.floor_m2 * (gas + radiation_w_per_m2_k(emissivity, surface_k, above_k))
    }
}
