//! Heat from a surface to air: natural and forced convection, radiation.
//!
//! # Main equations
//! ```text
//! Ra = g beta |dT| L^3/(nu alpha)           beta = 1/T_film, L = area/perimeter (plates), height (walls)
//! Nu = 0.54 Ra^(1/4) (1e4..1e7), 0.15 Ra^(1/3) (to 1e11)     cold plate facing down or hot plate facing up
//! Nu = 0.27 Ra^(1/4)                                         cold plate facing up or hot plate facing down
//! Nu = {0.825 + 0.387 Ra^(1/6)/[1 + (0.492/Pr)^(9/16)]^(8/27)}^2      vertical wall
//! Nu = 0.664 Re^(1/2) Pr^(1/3), 0.037 Re^(4/5) Pr^(1/3) above Re 5e5  air along a plate in a freezer
//! h  = 5.8 + 3.9 v (v <= 5 m/s), 7.1 v^0.78 above                     outdoor wind, radiation in part included
//! ```
//! # Assumptions and limits
//! Air at 1 atm; film properties by power laws, within 1 % from 230 to 320 K. Correlations for a warm tray in
//! cold air differ among themselves by up to 45 %; that is their honest spread.
//!
//! # References
//! McAdams 1954 and Lloyd and Moran 1974 (plates), Churchill and Chu 1975 (wall), Pohlhausen and Schlichting as in
//! Incropera and DeWitt ch. 7 and 9 (air along a plate), Jurges 1924 as in McAdams 1954 (wind);
//! `data/published/convection.csv`. In `docs/model.md`: Z3 to Z6.

use crate::constants::STANDARD_GRAVITY_M_PER_S2;
use crate::numerics::power::power;

/// Kinematic viscosity of air at 273.15 K and 1 atm, m2/s; power 1.77. Source: CoolProp 8.0.0 (1.328e-5 m2/s).
fn kinematic_viscosity_m2_per_s(film_k: f64) -> f64 {
    1.328e-5 * power(film_k / 273.15, 1.77)
}

/// Conductivity of air at 273.15 K and 1 atm, W/(m K); power 0.85. Source: CoolProp 8.0.0 (0.02436 W/(m K)).
pub fn air_conductivity_w_per_m_k(film_k: f64) -> f64 {
    0.024_36 * power(film_k / 273.15, 0.85)
}

/// Prandtl number of air near 0 degC. Source: CoolProp 8.0.0.
const PRANDTL: f64 = 0.711;

fn rayleigh(surface_k: f64, air_k: f64, length_m: f64) -> f64 {
    let film_k = 0.5 * (surface_k + air_k);
    let nu = kinematic_viscosity_m2_per_s(film_k);
    STANDARD_GRAVITY_M_PER_S2 / film_k * (surface_k - air_k).abs() * length_m.powi(3) * PRANDTL / (nu * nu)
}

/// Natural convection from one face of a horizontal plate, W/(m2 K); `length_m` is area over perimeter.
pub fn natural_plate_w_per_m2_k(surface_k: f64, air_k: f64, length_m: f64, faces_up: bool) -> f64 {
    let ra = rayleigh(surface_k, air_k, length_m);
    let free_to_move = faces_up == (surface_k > air_k);
    let nusselt = if !free_to_move {
        0.27 * ra.sqrt().sqrt()
    } else if ra < 1e7 {
        0.54 * ra.sqrt().sqrt()
    } else {
        0.15 * libm::cbrt(ra)
    };
    // a thin film of still air conducts in any case
    nusselt.max(1.0) * air_conductivity_w_per_m_k(0.5 * (surface_k + air_k)) / length_m
}

/// Natural convection at a vertical wall, W/(m2 K).
pub fn natural_wall_w_per_m2_k(surface_k: f64, air_k: f64, height_m: f64) -> f64 {
    let ra = rayleigh(surface_k, air_k, height_m);
    let base = 0.825 + 0.387 * power(ra, 1.0 / 6.0) / power(1.0 + power(0.492 / PRANDTL, 9.0 / 16.0), 8.0 / 27.0);
    base * base * air_conductivity_w_per_m_k(0.5 * (surface_k + air_k)) / height_m
}

/// Forced convection of air along a plate of `length_m`, W/(m2 K).
pub fn forced_plate_w_per_m2_k(speed_m_per_s: f64, film_k: f64, length_m: f64) -> f64 {
    let reynolds = speed_m_per_s * length_m / kinematic_viscosity_m2_per_s(film_k);
    let nusselt = if reynolds < 5e5 {
        0.664 * reynolds.sqrt() * libm::cbrt(PRANDTL)
    } else {
        0.037 * power(reynolds, 0.8) * libm::cbrt(PRANDTL)
    };
    nusselt * air_conductivity_w_per_m_k(film_k) / length_m
}

/// Outdoor wind over a tray, W/(m2 K). Holds natural convection, some radiation and outdoor turbulence.
pub fn wind_w_per_m2_k(speed_m_per_s: f64) -> f64 {
    if speed_m_per_s <= 5.0 { 5.8 + 3.9 * speed_m_per_s } else { 7.1 * power(speed_m_per_s, 0.78) }
}
