//! What a tray under open sky radiates to.
//!
//! # Main equations
//! ```text
//! e_sky = (0.787 + 0.764 ln(T_dew/273 K)) (1 + 0.0224 N - 0.0035 N^2 + 0.00028 N^3)     N: opaque cloud, tenths
//! T_sky = T_air e_sky^(1/4) = (q/sigma)^(1/4)                                          q: infrared from the sky, W/m2
//! ```
//! # Assumptions and limits
//! Dew points of -30 to 30 degC; below that the logarithm is carried on. Sky over the whole tray: no roof, wall or tree.
//!
//! # Checked against
//! `data/published/convection.csv` and the infrared columns of the nights in `data/weather`.
//!
//! # References
//! Clark and Allen 1978 with a cloud factor, as in the EnergyPlus Engineering Reference.

use crate::constants::STEFAN_BOLTZMANN_W_PER_M2_K4;

/// Emissivity of the clear sky = first + second ln(T_dew/third). Source: Clark and Allen 1978.
const CLEAR: [f64; 3] = [0.787, 0.764, 273.0];
/// Cloud factor, powers 1 to 3 of the cover in tenths. Source: EnergyPlus Engineering Reference.
const CLOUD: [f64; 3] = [0.0224, -0.0035, 0.00028];

/// Sky temperature from air, dew point and cloud cover (tenths, 0 to 10), K. Never warmer than the air.
pub fn sky_k(air_k: f64, dew_point_k: f64, cloud_tenths: f64) -> f64 {
    let clear = CLEAR[0] + CLEAR[1] * libm::log(dew_point_k / CLEAR[2]);
    let [a, b, c] = CLOUD;
    let cloud = 1.0 + cloud_tenths * (a + cloud_tenths * (b + cloud_tenths * c));
    air_k * libm::pow((clear * cloud).clamp(0.3, 1.0), 0.25)
}

/// Sky temperature on a clear night, K.
pub fn clear_sky_k(air_k: f64, dew_point_k: f64) -> f64 {
    sky_k(air_k, dew_point_k, 0.0)
}

/// Temperature of a black sky that sends this infrared to a flat surface, W/m2 in, K out.
pub fn sky_from_radiation_k(w_per_m2: f64) -> f64 {
    libm::pow((w_per_m2 / STEFAN_BOLTZMANN_W_PER_M2_K4).max(0.0), 0.25)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sky_as_a_weather_file_tells_it() {
        // Chicago O'Hare, TMY3 in EPW form: air, dew point (degC), opaque cloud (tenths), infrared (W/m2)
        let rows = [(-12.2, -16.1, 0.0, 195.0), (-11.7, -15.6, 10.0, 227.0), (-12.2, -20.6, 6.0, 204.0)];
        for (air_c, dew_c, cloud, w_per_m2) in rows {
            let (from_file, estimated) = (sky_from_radiation_k(w_per_m2), sky_k(air_c + 273.15, dew_c + 273.15, cloud));
            // the file rounds to 1 W/m2: 0.3 K
            approx::assert_abs_diff_eq!(from_file, estimated, epsilon = 0.35);
        }
    }

    #[test]
    fn a_wet_overcast_sky_is_never_warmer_than_the_air() {
        assert_eq!(sky_k(305.0, 305.0, 10.0), 305.0);
    }
}
