//! Physical constants, each with its source.

/// 0 degC in kelvin. Source: definition of the Celsius scale (SI brochure, 9th ed.).
pub const ZERO_CELSIUS_K: f64 = 273.15;
/// Molar gas constant, J/(mol K). Source: CODATA 2018 (exact since the 2019 SI).
pub const GAS_CONSTANT_J_PER_MOL_K: f64 = 8.314_462_618;
/// Molar mass of water, kg/mol. Source: IAPWS R6-95 (18.015268 g/mol).
pub const WATER_MOLAR_MASS_KG_PER_MOL: f64 = 0.018_015_268;
/// Stefan-Boltzmann constant, W/(m2 K4). Source: CODATA 2018.
pub const STEFAN_BOLTZMANN_W_PER_M2_K4: f64 = 5.670_374_419e-8;
/// Standard gravity, m/s2. Source: 3rd CGPM (1901).
pub const STANDARD_GRAVITY_M_PER_S2: f64 = 9.806_65;
/// Standard atmosphere, Pa. Source: 10th CGPM (1954).
pub const STANDARD_ATMOSPHERE_PA: f64 = 101_325.0;
