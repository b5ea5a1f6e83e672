//! The algebraic part: temperatures of fronts and surfaces, sublimation, and chamber pressure that go with a state.
//!
//! # Main equations
//! For each element, with `m = f m_d` the dry matter passed, `N` its sublimation and `D` its desorption (kg/s):
//! ```text
//! A1  H = (m_d - m)/x_s h(T_mean) + c_d m [(T_i + T_s)/2 - T_0]        T_mean = T_i + (phi/2)(T_shelf - T_i)
//! A2  q_in,surface = [k/G nu/(e^nu - 1) + N c_v + (dm/dt) c_d/2](T_s - T_i) + h_d sum (1 - z) D_k    nu = N c_v G/k
//! A3  N [(R_skin + R_k)/A0 + G/K] = p_ice(T_i) - p_v                   not below zero
//! A4  dm/dt = N x_s/x_ice(T_i)
//! ```
//! `phi` is the share of frozen food in the thermal resistance from the shelf to the front of a layer (0 for pieces), `z`
//! the place of a depth between surface (0) and front (1) in the measure `G`. The heat of desorption bends the profile
//! between the two by the steady fall of temperature towards its places. For the cabinet, with `N_c` deposited:
//! ```text
//! A5  0 = sum (N + D) - N_c - S M/(R T_0) p_ice(T_ice)                 N_c not below zero
//! A6  p_v = p_ice(T_ice) + N_c/C        T_ice = T_coil + N_c dh_sub d/(k A)
//! ```
//! # Method
//! Fixed-point iteration: surfaces of a column by a tridiagonal quasi-Newton correction of `A2`, fronts by Newton on `A1`,
//! the pressure by a bracketed root of `A5` at the sublimation resistances of those temperatures; until nothing moves by
//! more than 1e-8 K and 1e-10 of the pressure.
//!
//! # Assumptions and limits
//! `A1` and `A2` differ from the batch solver in one place: the heat stored by the outer half of the dried part is
//! exchanged at the front, not at the surface, whose balance is steady. The time constant of that half is below some
//! minutes, and without it the state would be stiff without bound at `f = 0`. Less than a quarter of the freezable water
//! as ice counts as a quarter.

use icefront_core::constants::{GAS_CONSTANT_J_PER_MOL_K, ZERO_CELSIUS_K};
use icefront_core::machine::vapour_path;
use icefront_core::primary::surface_kinetics_m2_s_pa_per_kg;
use icefront_core::water;

use super::root::{Bracket, falling_root};
use super::stack::{Ceiling, Column, Element, Stack};
use super::state::{ElementState, State};

/// Iterations of the fixed point, and what counts as settled: temperatures, K, and pressure, relative.
const MOST_ITERATIONS: usize = 400;
const SETTLED_K: f64 = 1e-8;
const SETTLED_REL: f64 = 1e-10;
/// Newton steps of one front.
const FRONT_ITERATIONS: usize = 50;
/// Largest correction of a temperature in one iteration, K.
const LARGEST_MOVE_K: f64 = 10.0;
/// A dried part thinner than this counts as this thin, m.
const THINNEST_M: f64 = 1e-6;
/// Least share of the freezable water that counts as ice.
const LEAST_ICE_SHARE: f64 = 0.25;
/// A depth of which the front has passed less than this share has no desorption yet.
const LEAST_PASSED: f64 = 1e-9;
/// Vapour in the opening to the condenser and on its way to the pump, K.
const OPENING_K: f64 = 273.15;
const PUMP_K: f64 = 293.15;

/// One element at one time.
#[derive(Clone, Debug, Default)]
pub struct ElementNow {
    /// Ice front, K; without ice the underside of a layer or the centre of a piece.
    pub front_k: f64,
    /// Surface, K.
    pub surface_k: f64,
    /// Sublimation, kg/s.
    pub sublimation_kg_per_s: f64,
    /// Dry matter that the front passes, kg/s.
    pub passing_kg_per_s: f64,
    /// Desorption, kg/s.
    pub desorption_kg_per_s: f64,
    /// Desorption by depth, kg/s per kg of dry matter of the whole depth.
    pub desorbing_per_s: Vec<f64>,
    /// Desorption by depth that bends the profile, kg/s: follows the above from one iteration to the next.
    bending_kg_per_s: Vec<f64>,
    /// Heat to the element from the shelf below or the layer of pieces below, W.
    pub from_below_w: f64,
    /// Heat to the element from above, W.
    pub from_above_w: f64,
    /// Heat of desorption taken at the surface, W, and what it gains per kelvin of surface and front.
    desorption_surface_w: f64,
    desorption_slopes: (f64, f64),
    /// `A2`: conductance between surface and front, W/K.
    across_w_per_k: f64,
    /// `A3`: vapour pressure at the front, Pa, and resistance, Pa s/kg; infinite without ice.
    ice_pa: f64,
    resistance: f64,
    /// `A1`: slope of the front against the surface at constant heat.
    front_per_surface: f64,
}

impl ElementNow {
    /// First iterate: front and surface at one temperature.
    pub fn uniform(temperature_k: f64) -> Self {
        Self { front_k: temperature_k, surface_k: temperature_k, ..Self::default() }
    }
}

/// The cabinet at one time.
#[derive(Clone, Debug, Default)]
pub struct Now {
    /// Elements of the stack in their order.
    pub elements: Vec<ElementNow>,
    /// Vapour deposited on the coil, kg/s.
    pub deposition_kg_per_s: f64,
    /// Vapour that goes through the pump, kg/s.
    pub pumped_kg_per_s: f64,
    /// Vapour pressure in the chamber, Pa.
    pub vapour_pa: f64,
    /// Mean temperature of the vapour that leaves the food, K.
    pub vapour_k: f64,
    /// Whether the iteration settled.
    pub settled: bool,
}

/// What the balances need besides the stack.
#[derive(Clone, Debug)]
pub struct Balances<'a> {
    /// The stack.
    pub stack: Stack<'a>,
    /// Air in the chamber, Pa.
    pub air_pa: f64,
    /// Opening to the condenser, kg/(s Pa).
    opening_kg_per_s_pa: f64,
    /// Pump, kg/s per Pa over the ice.
    pump_kg_per_s_pa: f64,
}

impl<'a> Balances<'a> {
    /// For a stack.
    pub fn new(stack: Stack<'a>) -> Self {
        let cabinet = stack.cabinet;
        Self {
            air_pa: vapour_path::air_pressure_pa(&cabinet.vacuum),
            opening_kg_per_s_pa: vapour_path::opening_conductance_kg_per_s_pa(cabinet.condenser.opening_m2, OPENING_K),
            pump_kg_per_s_pa: vapour_path::pump_vapour_kg_per_s_pa(&cabinet.vacuum, PUMP_K),
            stack,
        }
    }

    /// Solves for what goes with a state; `iced` says which elements still hold ice. `now` comes in as the first iterate.
    pub fn settle(&self, state: &State, iced: &[bool], now: &mut Now) {
        now.settled = false;
        for _ in 0..MOST_ITERATIONS {
            let mut moved_k: f64 = 0.0;
            for column in &self.stack.columns {
                moved_k = moved_k.max(self.column(column, state, iced, now));
            }
            let before_pa = now.vapour_pa;
            self.pressure(state, now);
            if !(moved_k.is_finite() && now.vapour_pa.is_finite()) {
                return;
            }
            if moved_k < SETTLED_K && (now.vapour_pa - before_pa).abs() < SETTLED_REL * now.vapour_pa {
                now.settled = true;
                return;
            }
        }
    }

    /// Temperature above a column, K; its own surface's under an insulated roof.
    pub fn ceiling_k(&self, column: &Column<'_>, state: &State, surface_k: f64) -> f64 {
        match column.ceiling {
            Ceiling::Shelf(shelf) => state.shelves_k[shelf],
            Ceiling::Coil => state.coil_k,
            Ceiling::Insulated => surface_k,
        }
    }

    /// One correction of a column's surfaces and fronts; the largest move, K.
    fn column(&self, column: &Column<'_>, state: &State, iced: &[bool], now: &mut Now) -> f64 {
        let (vapour_pa, total_pa) = (now.vapour_pa, now.vapour_pa + self.air_pa);
        let shelf_k = state.shelves_k[column.tray];
        let count = column.elements.len();
        let elements = &self.stack.elements[column.elements.clone()];
        let states = &state.elements[column.elements.clone()];
        let iced = &iced[column.elements.clone()];
        let nows = &mut now.elements[column.elements.clone()];
        // conductances that link the surfaces of pieces: from the shelf or the layer below
        let mut below_w_per_k = Vec::with_capacity(count);
        let mut frozen_share = 0.0;
        for j in 0..count {
            let conductance = if j > 0 {
                let dried_m: f64 = (j - 1..=j).map(|i| elements[i].geometry.dried_depth_m(states[i].passed_frac)).sum();
                column.between_w_per_m2_k(total_pa, nows[j - 1].surface_k, nows[j].surface_k, dried_m)
            } else if column.is_layer {
                let contact = 1.0 / column.below_w_per_m2_k(total_pa, shelf_k, nows[0].front_k);
                let left_m = if iced[0] { elements[0].geometry.frozen_path_m(states[0].passed_frac) } else { 0.0 };
                let frozen = left_m / elements[0].food.conductivity_frozen_w_per_m_k;
                frozen_share = frozen / (contact + frozen);
                1.0 / (contact + frozen)
            } else {
                column.below_w_per_m2_k(total_pa, shelf_k, nows[0].surface_k)
            };
            below_w_per_k.push(column.floor_m2 * conductance);
        }
        let top_k = nows[count - 1].surface_k;
        let ceiling_k = self.ceiling_k(column, state, top_k);
        let above_w_per_k = column.above_w_per_k(total_pa, top_k, ceiling_k);
        // heat flows, and rates of each element at its present temperatures
        for j in 0..count {
            let lower_k = if j == 0 { shelf_k } else { nows[j - 1].surface_k };
            let here_k = if column.is_layer { nows[j].front_k } else { nows[j].surface_k };
            nows[j].from_below_w = below_w_per_k[j] * (lower_k - here_k);
            let upper = if j + 1 == count {
                above_w_per_k * (ceiling_k - top_k)
            } else {
                below_w_per_k[j + 1] * (nows[j + 1].surface_k - nows[j].surface_k)
            };
            nows[j].from_above_w = upper;
            element_rates(&elements[j], &states[j], iced[j], vapour_pa, total_pa, &mut nows[j]);
        }
        // A2: corrections of the surfaces, each linked to its neighbours
        let (mut diagonal, mut residual) = (Vec::with_capacity(count), Vec::with_capacity(count));
        for (j, now) in nows.iter().enumerate() {
            let linked_below = if column.is_layer { 0.0 } else { below_w_per_k[j] };
            let linked_above = if j + 1 == count { above_w_per_k } else { below_w_per_k[j + 1] };
            let (per_surface, per_front) = now.desorption_slopes;
            let into_w = now.from_above_w + if column.is_layer { 0.0 } else { now.from_below_w };
            residual.push(into_w - now.across_w_per_k * (now.surface_k - now.front_k) - now.desorption_surface_w);
            diagonal.push(
                linked_below
                    + linked_above
                    + now.across_w_per_k * (1.0 - now.front_per_surface)
                    + per_surface
                    + per_front * now.front_per_surface,
            );
        }
        for j in 1..count {
            let factor = below_w_per_k[j] / diagonal[j - 1];
            diagonal[j] -= factor * below_w_per_k[j];
            residual[j] += factor * residual[j - 1];
        }
        let mut moved_k: f64 = 0.0;
        let mut upper_change_k = 0.0;
        for j in (0..count).rev() {
            let link = below_w_per_k.get(j + 1).copied().unwrap_or(0.0);
            let change_k = (residual[j] + link * upper_change_k) / diagonal[j];
            upper_change_k = change_k;
            let taken_k = change_k.clamp(-LARGEST_MOVE_K, LARGEST_MOVE_K);
            let front_k = nows[j].front_k;
            nows[j].surface_k += taken_k;
            front(&elements[j], &states[j], iced[j], frozen_share, shelf_k, &mut nows[j]);
            moved_k = moved_k.max(change_k.abs()).max((nows[j].front_k - front_k).abs());
            if !(change_k.is_finite() && nows[j].front_k.is_finite()) {
                return f64::NAN;
            }
        }
        moved_k
    }

    /// `A5` and `A6` at the present fronts.
    fn pressure(&self, state: &State, now: &mut Now) {
        let condenser = &self.stack.cabinet.condenser;
        let thickness_m = state.ice_kg / (condenser.deposit_density_kg_per_m3 * condenser.area_m2);
        let drop_k_s_per_kg = water::heat_of_sublimation_j_per_kg(state.coil_k.min(273.15)) * thickness_m
            / (condenser.deposit_conductivity_w_per_m_k * condenser.area_m2);
        let desorption: f64 = now.elements.iter().map(|e| e.desorption_kg_per_s).sum();
        let over_ice_pa = |deposition: f64| melting_ice_pa(state.coil_k + deposition * drop_k_s_per_kg);
        let vapour_pa = |deposition: f64| over_ice_pa(deposition) + deposition / self.opening_kg_per_s_pa;
        let sublimation =
            |pa: f64| -> f64 { now.elements.iter().map(|e| ((e.ice_pa - pa) / e.resistance).max(0.0)).sum::<f64>() };
        let left_over = |deposition: f64| {
            sublimation(vapour_pa(deposition)) + desorption
                - deposition
                - self.pump_kg_per_s_pa * over_ice_pa(deposition)
        };
        let most = sublimation(vapour_pa(0.0)) + desorption;
        let deposition =
            falling_root(Bracket { low: 0.0, high: most.max(0.0), within: 1e-13 * most.max(1e-9) }, left_over);
        let pa = vapour_pa(deposition);
        now.deposition_kg_per_s = deposition;
        now.vapour_pa = pa;
        let (mut vapour, mut vapour_heat) = (0.0, 0.0);
        for e in &mut now.elements {
            e.sublimation_kg_per_s = ((e.ice_pa - pa) / e.resistance).max(0.0);
            let leaving = e.sublimation_kg_per_s + e.desorption_kg_per_s;
            vapour += leaving;
            vapour_heat += leaving * e.surface_k;
        }
        // all that is not deposited, so that water is kept
        now.pumped_kg_per_s = vapour - deposition;
        now.vapour_k = if vapour > 1e-15 { vapour_heat / vapour } else { state.coil_k };
    }
}

/// `A3`, `A4` and the desorption of one element at its present temperatures.
fn element_rates(
    element: &Element<'_>,
    state: &ElementState,
    iced: bool,
    vapour_pa: f64,
    total_pa: f64,
    now: &mut ElementNow,
) {
    let (food, matrix, geometry) = (element.food, &element.food.dried, &element.geometry);
    let passed_frac = if iced { state.passed_frac.clamp(0.0, 1.0) } else { 1.0 };
    let path_per_m = geometry.dried_path_per_m(passed_frac);
    let ice_pa = saturation_pa(now.front_k);
    let freezable = food.curve.freezable_frac();
    if iced && freezable > 0.0 {
        now.ice_pa = ice_pa;
        let permeability = matrix.permeability_at(0.5 * (ice_pa + vapour_pa), 0.5 * (now.front_k + now.surface_k));
        let surface = matrix.skin_resistance_m2_s_pa_per_kg + surface_kinetics_m2_s_pa_per_kg(now.front_k);
        now.resistance = surface / geometry.surface_m2 + path_per_m / permeability;
        let ice = food.curve.ice_frac(now.front_k).max(LEAST_ICE_SHARE * freezable);
        now.sublimation_kg_per_s = ((ice_pa - vapour_pa) / now.resistance).max(0.0);
        now.passing_kg_per_s = now.sublimation_kg_per_s * food.dry_frac() / ice;
    } else {
        (now.ice_pa, now.resistance) = (0.0, f64::INFINITY);
        (now.sublimation_kg_per_s, now.passing_kg_per_s) = (0.0, 0.0);
    }
    let warming = now.sublimation_kg_per_s * element.vapour_j_per_kg_k;
    let upright_per_m = if iced { None } else { geometry.upright_per_m() };
    let heat_path_per_m = upright_per_m.unwrap_or(path_per_m).max(THINNEST_M / geometry.surface_m2);
    let conductance = matrix.conductivity_at(total_pa) / heat_path_per_m;
    let nu = warming / conductance;
    let conduction = if nu > 1e-9 { conductance * nu / nu.exp_m1() } else { conductance };
    now.across_w_per_k = conduction + warming + 0.5 * matrix.heat_capacity_j_per_kg_k * now.passing_kg_per_s;
    desorption(
        element,
        state,
        passed_frac,
        if iced { ice_pa.max(vapour_pa) } else { vapour_pa },
        vapour_pa,
        total_pa,
        now,
    );
}

/// Desorption by depth; `front_pa` is the vapour pressure in the pores at the front.
fn desorption(
    element: &Element<'_>,
    state: &ElementState,
    passed_frac: f64,
    front_pa: f64,
    vapour_pa: f64,
    total_pa: f64,
    now: &mut ElementNow,
) {
    let (matrix, geometry) = (&element.food.dried, &element.geometry);
    let depths = state.sorbed_per_dry.len();
    let at_front = geometry.dried_path_per_m(passed_frac);
    let depth_kg = element.dry_kg / depths as f64;
    let activation_k = matrix.desorption_activation_j_per_mol / GAS_CONSTANT_J_PER_MOL_K;
    let (mut total, mut surface_w, mut slopes) = (0.0, 0.0, (0.0, 0.0));
    // place and thickness of each depth the front has reached
    let spans: Vec<(f64, f64)> = (0..depths)
        .map(|k| {
            let share = (passed_frac * depths as f64 - k as f64).clamp(0.0, 1.0);
            let at = |part: f64| {
                let passed = (k as f64 + part * share) / depths as f64;
                // lying bricks without ice are warmed from floor to top
                if passed_frac >= 1.0 && geometry.floor_m2.is_some() {
                    passed
                } else if at_front > 0.0 {
                    (geometry.dried_path_per_m(passed) / at_front).min(1.0)
                } else {
                    1.0
                }
            };
            (at(0.5), at(1.0) - at(0.0))
        })
        .collect();
    // heat taken all along the dried part bends its profile: Green's function of a wall between two temperatures, a depth's own
    // heat spread over its thickness
    let bent_per_m = geometry.upright_per_m().filter(|_| passed_frac >= 1.0).unwrap_or(at_front);
    let k_s_per_kg = bent_per_m / matrix.conductivity_at(total_pa) * matrix.heat_of_desorption_j_per_kg;
    now.bending_kg_per_s.resize(depths, 0.0);
    let bent_k: Vec<f64> = spans
        .iter()
        .map(|&(z, _)| {
            let sources = spans.iter().zip(&now.bending_kg_per_s);
            let falls = sources.map(|(&(y, thickness), q)| {
                q * (z.min(y) * (1.0 - z.max(y)) - if y == z { thickness / 8.0 } else { 0.0 })
            });
            (k_s_per_kg * falls.sum::<f64>()).max(0.0)
        })
        .collect();
    now.desorbing_per_s.resize(depths, 0.0);
    for (k, (&sorbed, rate)) in state.sorbed_per_dry.iter().zip(&mut now.desorbing_per_s).enumerate() {
        *rate = 0.0;
        let share = (passed_frac * depths as f64 - k as f64).clamp(0.0, 1.0);
        if share <= LEAST_PASSED || sorbed <= 0.0 {
            continue;
        }
        let z = spans[k].0;
        let here_k = now.surface_k + z * (now.front_k - now.surface_k) - bent_k[k];
        // a depth just reached by the front holds no more than all the food's water
        let moisture = (sorbed / share).min(element.food.water_per_dry());
        let equilibrium = matrix.equilibrium_water_per_dry(here_k, vapour_pa + z * (front_pa - vapour_pa));
        if moisture <= equilibrium {
            continue;
        }
        *rate = matrix.desorption_rate_per_s(here_k, moisture) * (moisture - equilibrium) * share;
        let heat_w = *rate * depth_kg * matrix.heat_of_desorption_j_per_kg;
        let slope = heat_w * activation_k / (here_k * here_k);
        total += *rate * depth_kg;
        surface_w += (1.0 - z) * heat_w;
        slopes.0 += (1.0 - z) * (1.0 - z) * slope;
        slopes.1 += (1.0 - z) * z * slope;
    }
    now.desorption_kg_per_s = total;
    for (bending, rate) in now.bending_kg_per_s.iter_mut().zip(&now.desorbing_per_s) {
        *bending = 0.5 * (*bending + rate * depth_kg);
    }
    now.desorption_surface_w = surface_w;
    now.desorption_slopes = slopes;
}

/// `A1`: the front that goes with the heat and the surface.
fn front(
    element: &Element<'_>,
    state: &ElementState,
    iced: bool,
    frozen_share: f64,
    shelf_k: f64,
    now: &mut ElementNow,
) {
    let food = element.food;
    let passed_frac = if iced { state.passed_frac.clamp(0.0, 1.0) } else { 1.0 };
    let frozen_kg = element.dry_kg * (1.0 - passed_frac) / food.dry_frac();
    let half_j_per_k = 0.5 * food.dried.heat_capacity_j_per_kg_k * element.dry_kg * passed_frac;
    let rest_j = state.heat_j - half_j_per_k * (now.surface_k - ZERO_CELSIUS_K);
    let half = 0.5 * frozen_share;
    for _ in 0..FRONT_ITERATIONS {
        let (h, c) = food.curve.enthalpy_and_slope(now.front_k + half * (shelf_k - now.front_k));
        let slope = frozen_kg * c * (1.0 - half) + half_j_per_k;
        let excess_j = frozen_kg * h + half_j_per_k * (now.front_k - ZERO_CELSIUS_K) - rest_j;
        let change_k = (-excess_j / slope).clamp(-LARGEST_MOVE_K, LARGEST_MOVE_K);
        now.front_k += change_k;
        now.front_per_surface = -half_j_per_k / slope;
        if change_k.abs() < 0.1 * SETTLED_K {
            break;
        }
    }
}

/// Vapour pressure at a front: over ice, above 0 degC over water, Pa.
fn saturation_pa(temperature_k: f64) -> f64 {
    if temperature_k <= water::TRIPLE_POINT_K {
        water::ice_vapour_pressure_pa(temperature_k)
    } else {
        water::liquid_vapour_pressure_pa(temperature_k)
    }
}

/// Vapour pressure over the coil's ice, continued along its tangent above 0 degC: a condenser that is too weak has an
/// answer too, Pa.
fn melting_ice_pa(temperature_k: f64) -> f64 {
    let capped_k = temperature_k.min(ZERO_CELSIUS_K);
    let (pa, slope) = water::ice_saturation(capped_k);
    pa + slope * (temperature_k - capped_k)
}
