//! Ice and water vapour: pressures, enthalpies, and what carries heat through them.
//!
//! # Main equations
//! Sublimation pressure: IAPWS R14-08. Ice and vapour enthalpy: integrals of two heat-capacity polynomials fitted to
//! IAPWS values, tied together at 0 degC, so that their difference *is* the heat of sublimation. Zero of enthalpy:
//! ice at 0 degC.
//!
//! # Assumptions and limits
//! Vapour is an ideal gas (compressibility 0.9994 at 0 degC over ice, nearer to 1 below). These functions are called in
//! the innermost loops: they return plain numbers, clamp where they say so, and hand NaN through.
//!
//! # Typical values
//! -60 / -40 / -20 / 0 degC over ice: 1.08 / 12.8 / 103 / 611 Pa; heat of sublimation 2.83 to 2.84 MJ/kg.
//!
//! # Checked against
//! Tables computed from the IAPWS releases (`data/properties/ice.csv`, `vapour.csv`), in `tests/properties.rs`.
//!
//! # References
//! IAPWS R14-08(2011) melting and sublimation pressure; IAPWS R6-95(2018) water and vapour; IAPWS R10-06(2009) ice;
//! IAPWS SR1-86(1992) saturation; IAPWS R15-11 conductivity; Yen 1981 (CRREL 81-10) conductivity of ice.

use std::sync::LazyLock;

use crate::constants::{GAS_CONSTANT_J_PER_MOL_K, WATER_MOLAR_MASS_KG_PER_MOL, ZERO_CELSIUS_K};

/// Triple point of water, K. Source: IAPWS R14-08.
pub const TRIPLE_POINT_K: f64 = 273.16;
/// Pressure at the triple point, Pa. Source: IAPWS R14-08.
pub const TRIPLE_POINT_PA: f64 = 611.657;
/// Heat of fusion of water at 0 degC, J/kg. Source: ASHRAE Refrigeration, thermal properties of foods (333.6 kJ/kg).
pub const HEAT_OF_FUSION_J_PER_KG: f64 = 333_600.0;

/// Lowest temperature of the sublimation curve, K. Source: IAPWS R14-08.
const SUBLIMATION_LOW_K: f64 = 50.0;
/// Where the continuation above the triple point is cut off, K (ours, for root finders).
const SUBLIMATION_HIGH_K: f64 = 300.0;
/// `a_i`, `b_i` of IAPWS R14-08 eq. 6.
const SUBLIMATION_A: [f64; 3] = [-0.212_144_006e2, 0.273_203_819e2, -0.610_598_130e1];
const SUBLIMATION_B: [f64; 3] = [0.333_333_333e-2, 0.120_666_667e1, 0.170_333_333e1];

/// Range of the table that stands in for eq. 6 in the inner loops, K, and its intervals per kelvin.
const TABLE_LOW_K: f64 = 200.0;
const TABLE_PER_K: f64 = 8.0;
const TABLE_INTERVALS: usize = 640;

/// Vapour pressure over ice in each interval: the cubic with the release's pressures and slopes at both ends, rising powers
/// of the place between them, 0 to 1. Within 1e-9 in pressure and 1e-7 in slope.
static TABLE: LazyLock<[[f64; 4]; TABLE_INTERVALS]> = LazyLock::new(|| {
    std::array::from_fn(|i| {
        let at = |i: usize| ice_saturation_by_release(TABLE_LOW_K + i as f64 / TABLE_PER_K);
        let ((p_a, slope_a), (p_b, slope_b)) = (at(i), at(i + 1));
        let (rise, a, b) = (p_b - p_a, slope_a / TABLE_PER_K, slope_b / TABLE_PER_K);
        [p_a, a, 3.0 * rise - 2.0 * a - b, a + b - 2.0 * rise]
    })
});

/// Vapour pressure over ice and its slope: (Pa, Pa/K), at the cost of one of them.
///
/// ```text
/// ln(p/p_t) = (1/theta) sum a_i theta^b_i           theta = T/273.16 K
/// ```
/// Valid: 50 to 273.16 K. From there to 300 K the curve is continued, smooth and rising, so that a root finder meets
/// no kink; there is no ice there, and a front found there melts. Below 50 K and above 300 K the temperature is
/// clamped (the slope stays that of the clamped point). Between 200 and 280 K a table stands in, equal to 1e-9.
/// Source: IAPWS R14-08(2011) eq. 6.
pub fn ice_saturation(temperature_k: f64) -> (f64, f64) {
    let place = (temperature_k - TABLE_LOW_K) * TABLE_PER_K;
    let interval = place as usize;
    match TABLE.get(interval) {
        Some([p, a, b, c]) if place >= 0.0 => {
            let s = place - interval as f64;
            (p + s * (a + s * (b + s * c)), (a + s * (2.0 * b + 3.0 * s * c)) * TABLE_PER_K)
        }
        _ => ice_saturation_by_release(temperature_k),
    }
}

/// [`ice_saturation`] by the equation of the release itself.
fn ice_saturation_by_release(temperature_k: f64) -> (f64, f64) {
    let t = temperature_k.clamp(SUBLIMATION_LOW_K, SUBLIMATION_HIGH_K);
    let ln_theta = libm::log(t / TRIPLE_POINT_K);
    let inverse_theta = TRIPLE_POINT_K / t;
    let mut sum = 0.0;
    let mut weighted = 0.0; // sum of a_i b_i theta^b_i
    for (a, b) in SUBLIMATION_A.iter().zip(SUBLIMATION_B) {
        let term = a * libm::exp(b * ln_theta);
        sum += term;
        weighted += b * term;
    }
    let p = TRIPLE_POINT_PA * libm::exp(inverse_theta * sum);
    (p, p * inverse_theta * (weighted - sum) / t)
}

/// Vapour pressure over ice, Pa; see [`ice_saturation`] for the equation and its limits.
///
/// ```
/// # use icefront_core::water::ice_vapour_pressure_pa;
/// approx::assert_relative_eq!(ice_vapour_pressure_pa(230.0), 8.94735, max_relative = 1e-6); // R14-08 table 3
/// ```
pub fn ice_vapour_pressure_pa(temperature_k: f64) -> f64 {
    ice_saturation(temperature_k).0
}

/// Slope of [`ice_vapour_pressure_pa`], Pa/K.
///
/// ```
/// # use icefront_core::water::ice_vapour_pressure_slope_pa_per_k;
/// // Clausius-Clapeyron with IAPWS-95 vapour and R10-06 ice at 0 degC
/// approx::assert_relative_eq!(ice_vapour_pressure_slope_pa_per_k(273.15), 50.3347, max_relative = 1e-4);
/// ```
pub fn ice_vapour_pressure_slope_pa_per_k(temperature_k: f64) -> f64 {
    ice_saturation(temperature_k).1
}

/// Temperature at which ice has this vapour pressure, K: the inverse of [`ice_vapour_pressure_pa`] to round-off.
///
/// Pressures outside the curve (below that at 50 K, zero and negative ones too; above that at 300 K) give its ends.
/// Newton on ln p against 1/T, which is nearly a straight line.
///
/// ```
/// # use icefront_core::water::frost_point_k;
/// approx::assert_relative_eq!(frost_point_k(8.94735274), 230.0, max_relative = 1e-9);
/// ```
pub fn frost_point_k(pressure_pa: f64) -> f64 {
    /// Newton steps; four reach round-off over the whole curve, the rest is reserve.
    const MAX_STEPS: usize = 12;
    let low = ice_vapour_pressure_pa(SUBLIMATION_LOW_K);
    let high = ice_vapour_pressure_pa(SUBLIMATION_HIGH_K);
    let p = pressure_pa.clamp(low, high);
    let ln_p = libm::log(p);
    // start: heat of sublimation held constant, ln(p/p_t) = 22.5 (1 - T_t/T)
    let mut t = TRIPLE_POINT_K / (1.0 - libm::log(p / TRIPLE_POINT_PA) / 22.5);
    for _ in 0..MAX_STEPS {
        let (p_t, slope) = ice_saturation(t);
        let step = (ln_p - libm::log(p_t)) * p_t / (slope * t); // in ln T, from d ln p/d ln T
        t = (t / (1.0 - step)).clamp(SUBLIMATION_LOW_K, SUBLIMATION_HIGH_K);
        if step.abs() < 1e-14 {
            break;
        }
    }
    t
}

/// Critical point of water, K and Pa. Source: IAPWS SR1-86(1992).
const CRITICAL_K: f64 = 647.096;
const CRITICAL_PA: f64 = 22.064e6;
/// Coefficients and powers of IAPWS SR1-86(1992) eq. 1 (Wagner and Pruss).
const SATURATION_A: [f64; 6] = [-7.859_517_83, 1.844_082_59, -11.786_649_7, 22.680_741_1, -15.961_871_9, 1.801_225_02];
const SATURATION_B: [f64; 6] = [1.0, 1.5, 3.0, 3.5, 4.0, 7.5];

/// Vapour pressure over liquid water, Pa.
///
/// ```text
/// ln(p/p_c) = (T_c/T) sum a_i tau^b_i               tau = 1 - T/T_c
/// ```
/// Valid: 273.16 to 647.096 K; below, continued for supercooled water. Outside 200 to 647.096 K the temperature is
/// clamped. Source: IAPWS SR1-86(1992) eq. 1; Wagner and Pruss 2002, doi:10.1063/1.1461829.
///
/// ```
/// # use icefront_core::water::liquid_vapour_pressure_pa;
/// approx::assert_relative_eq!(liquid_vapour_pressure_pa(273.16), 611.657, max_relative = 1e-5); // triple point
/// approx::assert_relative_eq!(liquid_vapour_pressure_pa(373.124), 101_325.0, max_relative = 1e-4); // normal boiling
/// ```
pub fn liquid_vapour_pressure_pa(temperature_k: f64) -> f64 {
    let t = temperature_k.clamp(200.0, CRITICAL_K);
    let tau = 1.0 - t / CRITICAL_K;
    let sum: f64 = SATURATION_A.iter().zip(SATURATION_B).map(|(a, b)| a * libm::pow(tau, b)).sum();
    CRITICAL_PA * libm::exp(CRITICAL_K / t * sum)
}

/// Heat capacity of ice, `c0 + c1 t + c2 t^2` in degC, J/(kg K): our fit to IAPWS R10-06, -60 to 0 degC, within 0.007 %.
const ICE_HEAT_CAPACITY: [f64; 3] = [2096.811, 7.394_97, 2.223_4e-3];
/// Heat capacity of vapour at zero pressure, same form: our fit to the ideal-gas part of IAPWS R6-95, 180 to 400 K,
/// within 0.04 %.
const VAPOUR_HEAT_CAPACITY: [f64; 3] = [1859.060, 0.191_562, 1.147_82e-3];
/// Heat of sublimation at 0 degC into ideal vapour, J/kg: places the difference of the two polynomials within 0.01 % of
/// IAPWS (vapour R6-95 less ice R10-06) from -60 to 0 degC.
const HEAT_OF_SUBLIMATION_0C_J_PER_KG: f64 = 2_834_626.0;

/// `c0 + c1 t + c2 t^2`.
fn quadratic([c0, c1, c2]: [f64; 3], t: f64) -> f64 {
    c0 + t * (c1 + t * c2)
}

/// Integral of [`quadratic`] from 0 to t.
fn quadratic_integral([c0, c1, c2]: [f64; 3], t: f64) -> f64 {
    t * (c0 + t * (c1 / 2.0 + t * c2 / 3.0))
}

/// Heat of sublimation, J/kg: exactly [`vapour_enthalpy_j_per_kg`] less [`ice_enthalpy_j_per_kg`].
///
/// Fitted -60 to 0 degC (0.01 %); usable from -100 degC.
///
/// ```
/// # use icefront_core::water::heat_of_sublimation_j_per_kg;
/// // IAPWS R6-95 vapour less R10-06 ice at -40 degC
/// approx::assert_relative_eq!(heat_of_sublimation_j_per_kg(233.15), 2_838_700.0, max_relative = 5e-4);
/// ```
pub fn heat_of_sublimation_j_per_kg(temperature_k: f64) -> f64 {
    vapour_enthalpy_j_per_kg(temperature_k) - ice_enthalpy_j_per_kg(temperature_k)
}

/// Enthalpy of ice above ice at 0 degC, J/kg. Fitted -60 to 0 degC.
///
/// ```
/// # use icefront_core::water::ice_enthalpy_j_per_kg;
/// // IAPWS R10-06: h(-60 degC) - h(0 degC) = -446.124 + 333.465 kJ/kg
/// approx::assert_relative_eq!(ice_enthalpy_j_per_kg(213.15), -112_658.0, max_relative = 1e-4);
/// ```
pub fn ice_enthalpy_j_per_kg(temperature_k: f64) -> f64 {
    quadratic_integral(ICE_HEAT_CAPACITY, temperature_k - ZERO_CELSIUS_K)
}

/// Enthalpy of vapour above ice at 0 degC, J/kg. Fitted 180 to 400 K, independent of pressure.
///
/// ```
/// # use icefront_core::water::vapour_enthalpy_j_per_kg;
/// // IAPWS R6-95 at 0 degC over ice: 2500.897 + 333.465 kJ/kg
/// approx::assert_relative_eq!(vapour_enthalpy_j_per_kg(273.15), 2_834_362.0, max_relative = 2e-4);
/// ```
pub fn vapour_enthalpy_j_per_kg(temperature_k: f64) -> f64 {
    HEAT_OF_SUBLIMATION_0C_J_PER_KG + quadratic_integral(VAPOUR_HEAT_CAPACITY, temperature_k - ZERO_CELSIUS_K)
}

/// Heat capacity of ice, J/(kg K). Fitted -60 to 0 degC within 0.007 % of IAPWS R10-06.
///
/// ```
/// # use icefront_core::water::ice_heat_capacity_j_per_kg_k;
/// approx::assert_relative_eq!(ice_heat_capacity_j_per_kg_k(273.15), 2096.711, max_relative = 1e-4); // R10-06
/// ```
pub fn ice_heat_capacity_j_per_kg_k(temperature_k: f64) -> f64 {
    quadratic(ICE_HEAT_CAPACITY, temperature_k - ZERO_CELSIUS_K)
}

/// Heat capacity of water vapour at low pressure, J/(kg K). Fitted 180 to 400 K within 0.04 % of IAPWS R6-95.
///
/// ```
/// # use icefront_core::water::vapour_heat_capacity_j_per_kg_k;
/// approx::assert_relative_eq!(vapour_heat_capacity_j_per_kg_k(213.15), 1851.95, max_relative = 4e-4); // R6-95
/// ```
pub fn vapour_heat_capacity_j_per_kg_k(temperature_k: f64) -> f64 {
    quadratic(VAPOUR_HEAT_CAPACITY, temperature_k - ZERO_CELSIUS_K)
}

/// Conductivity of ice, W/(m K).
///
/// ```text
/// k = 9.828 exp(-0.0057 T)
/// ```
/// Valid: 200 to 273 K, 1.5 to 3 % below Slack (1980). Source: Yen 1981, CRREL report 81-10.
///
/// ```
/// # use icefront_core::water::ice_conductivity_w_per_m_k;
/// approx::assert_relative_eq!(ice_conductivity_w_per_m_k(250.0), 2.4, max_relative = 0.03); // Slack 1980
/// ```
pub fn ice_conductivity_w_per_m_k(temperature_k: f64) -> f64 {
    9.828 * libm::exp(-0.0057 * temperature_k)
}

/// Density of ice, `d0 + d1 t + d2 t^2` in degC, kg/m3: our fit to IAPWS R10-06, -60 to 0 degC, within 0.0006 %.
const ICE_DENSITY: [f64; 3] = [916.7057, -0.147_610_6, -2.523_13e-4];

/// Density of ice, kg/m3. Fitted -60 to 0 degC.
///
/// ```
/// # use icefront_core::water::ice_density_kg_per_m3;
/// approx::assert_relative_eq!(ice_density_kg_per_m3(213.15), 924.648, max_relative = 1e-5); // IAPWS R10-06
/// ```
pub fn ice_density_kg_per_m3(temperature_k: f64) -> f64 {
    quadratic(ICE_DENSITY, temperature_k - ZERO_CELSIUS_K)
}

/// Viscosity of water vapour at low pressure, Pa s.
///
/// ```text
/// mu = 1.7096e-8 T^1.1146
/// ```
/// Fit for 273 to 1073 K, used down to -60 degC: within 0.7 % of Hellmann and Vogel (2015, doi:10.1021/acs.jced.5b00599)
/// at 250 to 270 K, where the IAPWS formula, out of its own range, is 2 to 4 % high. Unchecked below 250 K.
/// Source: Perry's Chemical Engineers' Handbook, 8th ed., table 2-312.
///
/// ```
/// # use icefront_core::water::vapour_viscosity_pa_s;
/// approx::assert_relative_eq!(vapour_viscosity_pa_s(250.0), 8.054e-6, max_relative = 7e-3); // Hellmann and Vogel
/// ```
pub fn vapour_viscosity_pa_s(temperature_k: f64) -> f64 {
    1.7096e-8 * libm::pow(temperature_k, 1.1146)
}

/// `L_k` of IAPWS R15-11 table 1.
const CONDUCTIVITY_L: [f64; 5] = [2.443_221e-3, 1.323_095e-2, 6.770_357e-3, -3.454_586e-3, 4.096_266e-4];

/// Conductivity of water vapour at low (not rarefied) pressure, W/(m K).
///
/// ```text
/// k = 1e-3 sqrt(theta) / sum L_k theta^-k           theta = T/647.096 K
/// ```
/// Valid from 273.16 K; below, continued (nothing checks it there). Source: IAPWS R15-11 eq. 16, the dilute-gas term.
///
/// ```
/// # use icefront_core::water::vapour_conductivity_w_per_m_k;
/// approx::assert_relative_eq!(vapour_conductivity_w_per_m_k(273.15), 0.016_760, max_relative = 1e-3); // R15-11
/// ```
pub fn vapour_conductivity_w_per_m_k(temperature_k: f64) -> f64 {
    let theta = temperature_k / CRITICAL_K;
    let per_theta = 1.0 / theta;
    let sum = CONDUCTIVITY_L.iter().rev().fold(0.0, |sum, l| sum * per_theta + l);
    1e-3 * theta.sqrt() / sum
}

/// Mean free path in water vapour, m.
///
/// ```text
/// lambda = (mu/p) sqrt(pi R T/(2 M))
/// ```
/// Kinetic theory with [`vapour_viscosity_pa_s`]. Source: the definition through viscosity (Bird, Stewart and Lightfoot).
///
/// ```
/// # use icefront_core::water::mean_free_path_m;
/// approx::assert_relative_eq!(mean_free_path_m(273.15, 611.153), 6.51e-6, max_relative = 0.01);
/// ```
pub fn mean_free_path_m(temperature_k: f64, pressure_pa: f64) -> f64 {
    let speed = std::f64::consts::PI * GAS_CONSTANT_J_PER_MOL_K * temperature_k / (2.0 * WATER_MOLAR_MASS_KG_PER_MOL);
    vapour_viscosity_pa_s(temperature_k) / pressure_pa * speed.sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_the_release_to_1e_9() {
        for step in 0..=8_000 {
            let t = 200.0 + 0.01 * f64::from(step);
            let (p, slope) = ice_saturation(t);
            let (p_release, slope_release) = ice_saturation_by_release(t);
            approx::assert_relative_eq!(p, p_release, max_relative = 1e-9);
            approx::assert_relative_eq!(slope, slope_release, max_relative = 1e-7);
        }
    }

    #[test]
    fn slope_is_the_derivative_everywhere() {
        for t in [60.0, 120.0, 199.0, 230.0, 273.0, 281.0, 299.0] {
            let h = 1e-3;
            let numeric = (ice_vapour_pressure_pa(t + h) - ice_vapour_pressure_pa(t - h)) / (2.0 * h);
            approx::assert_relative_eq!(ice_vapour_pressure_slope_pa_per_k(t), numeric, max_relative = 1e-5);
        }
    }

    #[test]
    fn frost_point_inverts_the_pressure() {
        for step in 0..=250 {
            let t = 50.0 + f64::from(step);
            approx::assert_relative_eq!(frost_point_k(ice_vapour_pressure_pa(t)), t, max_relative = 1e-11);
        }
    }

    #[test]
    fn outside_the_curve_its_ends_are_given() {
        assert_eq!(ice_vapour_pressure_pa(10.0), ice_vapour_pressure_pa(50.0));
        assert_eq!(ice_vapour_pressure_pa(400.0), ice_vapour_pressure_pa(300.0));
        assert_eq!(frost_point_k(-1.0), 50.0);
        assert_eq!(frost_point_k(0.0), 50.0);
        assert!((frost_point_k(1e5) - 300.0).abs() < 1e-9);
        assert!(ice_vapour_pressure_pa(f64::NAN).is_nan());
    }
}
