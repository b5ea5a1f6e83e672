//! The ideal layer of the textbooks, and a ball: how long until the last ice is gone under fixed conditions.
//!
//! An independent reference for the batch solver: it has its own balance and its own way through time.
//!
//! # Main equations
//! Per area of the layer, dried thickness `l` of depth `L` (ball: shells of radius `r` in `R`):
//! ```text
//! N  = [p_ice(T_i) - p_v]/(R_skin + R_k + l/K)                 vapour
//! q_below = (T_shelf - T_i)/[1/h_below + (L - l)/k_frozen]      through the frozen part
//! q_above = [h + e sigma (T_a^2 + T_s^2)(T_a + T_s)](T_a - T_s)  to the dried surface, of which N c_v (T_s - T_i)
//!                                                               warms the vapour and the rest reaches the front
//! q_below + q_above - N c_v (T_s - T_i) = N dh_sub(T_i)         front temperature: a bracketed root
//! dt/dl   = rho x_ice(T_i)/N                                    time as a function of the dried thickness
//! ```
//! Time is the unknown and thickness the variable, so the end needs no search. A ball runs in `z = 1 - (r/R)^2`, in
//! which its pace stays finite down to the centre.
//!
//! # Assumptions and limits
//! Sharp front, linear profiles, nothing stored: no warming up of frozen or dried food and no desorption, which take
//! 1 to 3 % of the time of layers up to 15 mm, 4 to 7 % up to 40 mm (`docs/verification.md`). Fixed conditions. A front
//! at or above the freezing point is refused.
//!
//! # Checked against
//! The batch with its heat capacities at zero, `tests/verification.rs`.
//!
//! # References
//! King 1971 and Liapis and Litchfield 1979 (the receding front).

use icefront_core::error::{ModelError, check};
use icefront_core::food::FoodModel;
use icefront_core::machine::heat_paths::radiation_w_per_m2_k;
use icefront_core::numerics::root;
use icefront_core::primary::surface_kinetics_m2_s_pa_per_kg;
use icefront_core::water;

use crate::ode::{self, Tolerance};

/// Water vapour and air around the food.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chamber {
    /// Vapour pressure, Pa.
    pub vapour_pa: f64,
    /// Air besides, Pa.
    pub air_pa: f64,
}

/// Heat from something at one temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heat {
    /// Its temperature, K.
    pub from_k: f64,
    /// Contact and gas, W/(m2 K).
    pub w_per_m2_k: f64,
    /// Effective emissivity, 0 to 1.
    pub emissivity: f64,
}

impl Heat {
    /// Heat to a surface, W/m2.
    pub fn to_w_per_m2(&self, surface_k: f64) -> f64 {
        self.coefficient_w_per_m2_k(surface_k) * (self.from_k - surface_k)
    }

    /// Its coefficient at a surface temperature, W/(m2 K).
    pub fn coefficient_w_per_m2_k(&self, surface_k: f64) -> f64 {
        self.w_per_m2_k + radiation_w_per_m2_k(self.emissivity, self.from_k, surface_k)
    }
}

/// A frozen layer: vapour leaves through its top.
#[derive(Clone, Copy, Debug)]
pub struct Layer<'a> {
    /// The food.
    pub model: &'a FoodModel,
    /// Depth, m.
    pub depth_m: f64,
    /// Heat to its underside; contact and gas only.
    pub below: Heat,
    /// Heat to its top.
    pub above: Heat,
    /// Vapour and air around it.
    pub chamber: Chamber,
}

/// A frozen ball, heated and drying all round.
#[derive(Clone, Copy, Debug)]
pub struct Ball<'a> {
    /// The food.
    pub model: &'a FoodModel,
    /// Diameter, m.
    pub diameter_m: f64,
    /// Heat to its surface.
    pub around: Heat,
    /// Vapour and air around it.
    pub chamber: Chamber,
}

/// The front at one time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FrontPoint {
    /// Time from the start of drying, s.
    pub time_s: f64,
    /// Share of the ice gone, 0 to 1.
    pub dried_share: f64,
    /// Ice front, K.
    pub front_k: f64,
    /// Dried surface, K.
    pub surface_k: f64,
    /// Vapour, kg/s per m2 of the food's outer surface.
    pub vapour_kg_per_m2_s: f64,
}

/// Points of a course: evenly spaced in dried thickness, start and end included.
const POINTS: usize = 21;
/// Of the time over one interval.
const TOLERANCE: Tolerance = Tolerance { relative: 1e-8, absolute: 1e-10 };
const ROOT_K: f64 = 1e-9;
/// Unit of time in which the solver counts, s: its numbers are then of order one.
const HOUR_S: f64 = 3_600.0;

/// Course of a layer until its last ice is gone; the last point holds the time.
///
/// # Errors
/// [`ModelError::OutOfRange`] for a depth that is none, surroundings that give no heat, or a front that would melt.
pub fn dry_layer(layer: &Layer<'_>) -> Result<Vec<FrontPoint>, ModelError> {
    check("depth", layer.depth_m, "m", 1e-5, 1.0)?;
    course(|share| {
        let dried_m = share * layer.depth_m;
        let frozen_m = layer.depth_m - dried_m;
        let front = Shell {
            model: layer.model,
            chamber: layer.chamber,
            per_m: dried_m,
            below: Heat {
                w_per_m2_k: 1.0 / (1.0 / layer.below.w_per_m2_k + frozen_m / layer.model.conductivity_frozen_w_per_m_k),
                ..layer.below
            },
            above: layer.above,
        };
        Ok((share, layer.depth_m, front.settle()?))
    })
}

/// Course of a ball until its last ice is gone; the last point holds the time.
///
/// # Errors
/// As [`dry_layer`].
pub fn dry_ball(ball: &Ball<'_>) -> Result<Vec<FrontPoint>, ModelError> {
    check("diameter", ball.diameter_m, "m", 1e-5, 1.0)?;
    let radius_m = 0.5 * ball.diameter_m;
    course(|z| {
        // rho = r/R; the centre is approached, not reached
        let rho = (1.0 - z).max(CENTRE * CENTRE).sqrt();
        let none = Heat { from_k: ball.around.from_k, w_per_m2_k: 0.0, emissivity: 0.0 };
        let front = Shell {
            model: ball.model,
            chamber: ball.chamber,
            per_m: radius_m * (1.0 / rho - 1.0),
            below: none,
            above: ball.around,
        };
        // volume per surface passed: d(1 - rho^3)/3 = rho/2 dz
        Ok((1.0 - rho.powi(3), 0.5 * radius_m * rho, front.settle()?))
    })
}

/// Smallest core, share of the radius, at which rates are still formed.
const CENTRE: f64 = 1e-6;

/// Integrates time over the share of the way gone. `front` gives for a place on it: share of ice gone, food passed
/// per whole way and outer surface (m), and the front there.
fn course(front: impl Fn(f64) -> Result<(f64, f64, Front), ModelError>) -> Result<Vec<FrontPoint>, ModelError> {
    let point = |place: f64, time_s: f64| {
        front(place).map(|(dried_share, _, f)| FrontPoint {
            time_s,
            dried_share,
            front_k: f.front_k,
            surface_k: f.surface_k,
            vapour_kg_per_m2_s: f.vapour_kg_per_m2_s,
        })
    };
    let mut points = vec![point(0.0, 0.0)?];
    for i in 1..POINTS {
        let (from, to) = (place(i - 1), place(i));
        let rate = |at: f64, _: &[f64; 1]| {
            // a front that cannot be found makes the solver stop
            [front(from + at).map_or(f64::NAN, |(_, way_m, f)| way_m * f.ice_kg_per_m3 / f.vapour_kg_per_m2_s / HOUR_S)]
        };
        let end = point(to, 0.0)?;
        let [hours] = ode::integrate("front of one layer", [0.0], to - from, TOLERANCE, rate)?;
        let time_s = points[i - 1].time_s + hours * HOUR_S;
        points.push(FrontPoint { time_s, ..end });
    }
    Ok(points)
}

fn place(point: usize) -> f64 {
    point as f64 / (POINTS - 1) as f64
}

/// A front behind its dried shell.
struct Shell<'a> {
    model: &'a FoodModel,
    chamber: Chamber,
    /// Thickness of a plane layer that resists alike per outer surface, m.
    per_m: f64,
    below: Heat,
    above: Heat,
}

/// A front in balance.
struct Front {
    front_k: f64,
    surface_k: f64,
    vapour_kg_per_m2_s: f64,
    ice_kg_per_m3: f64,
}

impl Shell<'_> {
    fn settle(&self) -> Result<Front, ModelError> {
        let low_k = water::frost_point_k(self.chamber.vapour_pa);
        let melting_k = self.model.curve.freezing_point_k;
        let heat_w_per_m2 = |front_k: f64| -> f64 {
            let Ok((surface_k, vapour)) = self.surface(front_k) else { return f64::NAN };
            let vapour_k = surface_k - front_k;
            self.below.to_w_per_m2(front_k) + self.above.to_w_per_m2(surface_k)
                - vapour * (water::heat_of_sublimation_j_per_kg(front_k) + VAPOUR_J_PER_KG_K * vapour_k)
        };
        // no heat at the frost point: nothing sublimes; heat left over at the freezing point: the ice melts
        check("heat to the front at the frost point", heat_w_per_m2(low_k), "W/m2", 0.0, f64::INFINITY)?;
        check("heat left over at the freezing point", heat_w_per_m2(melting_k), "W/m2", f64::NEG_INFINITY, 0.0)?;
        let front_k = root::bracketed("front temperature", low_k, melting_k, ROOT_K, heat_w_per_m2)?;
        let (surface_k, vapour_kg_per_m2_s) = self.surface(front_k)?;
        let ice_kg_per_m3 = self.model.density_kg_per_m3 * self.model.curve.ice_frac(front_k);
        Ok(Front { front_k, surface_k, vapour_kg_per_m2_s, ice_kg_per_m3 })
    }

    /// Surface temperature and vapour flow that go with a front temperature.
    fn surface(&self, front_k: f64) -> Result<(f64, f64), ModelError> {
        let dried = &self.model.dried;
        let front_pa = water::ice_vapour_pressure_pa(front_k);
        let mean_pa = 0.5 * (front_pa + self.chamber.vapour_pa);
        let conductivity = dried.conductivity_at(self.chamber.vapour_pa + self.chamber.air_pa);
        let skin = dried.skin_resistance_m2_s_pa_per_kg + surface_kinetics_m2_s_pa_per_kg(front_k);
        let vapour = |surface_k: f64| {
            let permeability = dried.permeability_at(mean_pa, 0.5 * (front_k + surface_k));
            (front_pa - self.chamber.vapour_pa) / (skin + self.per_m / permeability)
        };
        // heat in at the surface, spread over conduction and vapour: (T_s - T_i) over (l/k)(1 - e^-x)/x
        let rise_k = |surface_k: f64| {
            let exchange = vapour(surface_k) * VAPOUR_J_PER_KG_K * self.per_m / conductivity;
            let share = if exchange > 1e-9 { -(-exchange).exp_m1() / exchange } else { 1.0 };
            self.above.to_w_per_m2(surface_k) * self.per_m / conductivity * share - (surface_k - front_k)
        };
        let surface_k = root::bracketed("surface temperature", front_k, self.above.from_k, ROOT_K, rise_k)?;
        Ok((surface_k, vapour(surface_k)))
    }
}

/// Ideal-gas heat capacity of water vapour near 0 degC, J/(kg K). Source: IAPWS R6-95.
pub const VAPOUR_J_PER_KG_K: f64 = 1_860.0;
