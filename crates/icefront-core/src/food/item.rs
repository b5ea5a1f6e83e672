//! One food, and the step from its composition to what the physics needs.

use serde::{Deserialize, Serialize};

use super::class::{self, ClassDefaults, FoodSpread};
use super::freezing_point::initial_freezing_point_k;
use super::mixture::{Mixture, with_pores};
use super::{Composition, DriedMatrix, DryingClass, FoodError, FoodModel, FreezingCurve, StructureLimit};
use crate::constants::ZERO_CELSIUS_K;
use crate::water::HEAT_OF_FUSION_J_PER_KG;

/// Temperature at which unfrozen properties are taken, K: between refrigerator and room.
const UNFROZEN_K: f64 = ZERO_CELSIUS_K + 10.0;
/// Temperature at which frozen properties are taken, K.
const FROZEN_K: f64 = ZERO_CELSIUS_K - 20.0;
/// Lowest initial freezing point, K: about the coldest that household freezers and condensers get a tray.
const COLDEST_FREEZING_POINT_K: f64 = ZERO_CELSIUS_K - 40.0;
/// Temperature at which properties of dried food are taken, K.
const DRIED_K: f64 = ZERO_CELSIUS_K + 20.0;

/// A food: what it is made of and what kind it is.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Food {
    /// Name.
    pub name: String,
    /// Where its composition comes from.
    pub source: String,
    /// Composition by mass.
    pub composition: Composition,
    /// How it dries.
    pub class: DryingClass,
    /// Initial freezing point if it was measured, K; `None`: from what is dissolved.
    pub freezing_point_k: Option<f64>,
    /// Share of air in the food as loaded, 0 to 1.
    pub porosity: f64,
}

impl Food {
    /// A food without pores whose freezing point follows from its composition.
    pub fn new(
        name: impl Into<String>,
        source: impl Into<String>,
        composition: Composition,
        class: DryingClass,
    ) -> Self {
        Self { name: name.into(), source: source.into(), composition, class, freezing_point_k: None, porosity: 0.0 }
    }

    /// Pure water, for recipes.
    pub fn water() -> Self {
        let composition = Composition { water: 1.0, ..Composition::default() };
        Self::new("Water", "definition", composition, DryingClass::Extract)
    }

    /// The food with another water content, kg/kg; its freezing point then follows from the composition.
    pub fn with_water(&self, water_frac: f64) -> Result<Self, FoodError> {
        let composition = self.composition.with_water(water_frac)?;
        Ok(Self { composition, freezing_point_k: None, ..self.clone() })
    }

    /// The food with another fat content, kg/kg; its freezing point then follows from the composition.
    pub fn with_fat(&self, fat_frac: f64) -> Result<Self, FoodError> {
        let composition = self.composition.with_fat(fat_frac)?;
        Ok(Self { composition, freezing_point_k: None, ..self.clone() })
    }

    /// The food with as much air in it as makes this density, kg/m3: rice or peas heaped on a tray, bread.
    pub fn with_bulk_density(&self, density_kg_per_m3: f64) -> Result<Self, FoodError> {
        let solid = Mixture::unfrozen(&self.composition.check()?).density_kg_per_m3(UNFROZEN_K);
        let porosity = 1.0 - density_kg_per_m3 / solid;
        // a cup of milk may weigh a per cent more than its composition says
        if !(-Composition::SUM_TOLERANCE..1.0).contains(&porosity) {
            return Err(FoodError::Fraction { which: "porosity", value: porosity });
        }
        Ok(Self { porosity: porosity.max(0.0), ..self.clone() })
    }

    /// Typical numbers of its class, with bands.
    pub fn class_defaults(&self) -> &'static ClassDefaults {
        self.class.defaults(&self.composition)
    }

    /// What the physics needs to know about it, at the typical value of every band.
    pub fn model(&self) -> Result<FoodModel, FoodError> {
        let composition = self.composition.check()?;
        let porosity = self.porosity;
        if !(0.0..1.0).contains(&porosity) {
            return Err(FoodError::Fraction { which: "porosity", value: porosity });
        }
        let curve = self.curve(&composition)?;
        let unfrozen = Mixture::unfrozen(&composition);
        let frozen = Mixture::with_ice(&composition, curve.ice_frac(FROZEN_K));
        let defaults = self.class.defaults(&composition);
        Ok(FoodModel {
            density_kg_per_m3: unfrozen.density_kg_per_m3(UNFROZEN_K) * (1.0 - porosity),
            conductivity_unfrozen_w_per_m_k: with_pores(unfrozen.conductivity_w_per_m_k(UNFROZEN_K), porosity),
            conductivity_frozen_w_per_m_k: with_pores(frozen.conductivity_w_per_m_k(FROZEN_K), porosity),
            dried: dried_matrix(&composition, defaults, pores_of_ice(&composition, &curve, porosity))?,
            curve,
            fat_per_dry: composition.fat / composition.dry(),
            limit: StructureLimit {
                collapse_k: ZERO_CELSIUS_K + defaults.collapse_c.typical,
                kind: defaults.structure,
            },
        })
    }

    /// How well its numbers are known: the bands of its class.
    pub fn spread(&self) -> FoodSpread {
        let defaults = self.class_defaults();
        FoodSpread {
            class: self.class,
            permeability: defaults.permeability_kg_per_m_s_pa,
            conductivity: defaults.conductivity_vacuum_w_per_m_k,
            unfreezable: defaults.unfreezable.per_food(&self.composition),
            skin: defaults.skin_resistance_m2_s_pa_per_kg,
            desorption: defaults.desorption_rate_40c_per_s,
            collapse_c: defaults.collapse_c,
        }
    }

    /// Freezing curve; an error if there is nothing to freeze or nothing to dry.
    fn curve(&self, composition: &Composition) -> Result<FreezingCurve, FoodError> {
        let c = composition;
        if c.dry() <= 0.0 {
            return Err(FoodError::NothingToDry { food: self.name.clone() });
        }
        let unfreezable_frac = self.class.defaults(c).unfreezable.per_food(c).typical;
        if c.water <= unfreezable_frac {
            let (food, water_frac) = (self.name.clone(), c.water);
            return Err(FoodError::NothingFreezes { food, water_frac, unfreezable_frac });
        }
        let freezing_point_k =
            self.freezing_point_k.unwrap_or_else(|| initial_freezing_point_k(c, self.class, unfreezable_frac));
        if freezing_point_k < COLDEST_FREEZING_POINT_K {
            let (food, limit_k) = (self.name.clone(), COLDEST_FREEZING_POINT_K);
            return Err(FoodError::FreezesTooCold { food, freezing_point_k, limit_k });
        }
        Ok(FreezingCurve {
            water_frac: c.water,
            unfreezable_frac,
            freezing_point_k: freezing_point_k.min(ZERO_CELSIUS_K),
            heat_capacity_unfrozen_j_per_kg_k: Mixture::unfrozen(c).heat_capacity_j_per_kg_k(UNFROZEN_K),
            heat_capacity_frozen_j_per_kg_k: frozen_heat_capacity_j_per_kg_k(c.dry()),
            heat_of_fusion_j_per_kg: HEAT_OF_FUSION_J_PER_KG,
        })
    }
}

/// Heat capacity of frozen food without the heat of melting, J/(kg K).
///
/// ```text
/// c = 1550 + 1260 x_s                               x_s: dry matter, kg/kg
/// ```
/// Belongs to the enthalpy of the freezing curve, with which it fits measured enthalpies best (Fricke and Becker 2001).
/// High for fatty and for nearly dry food. Source: Chen 1985, as ASHRAE Refrigeration, thermal properties of foods.
fn frozen_heat_capacity_j_per_kg_k(dry_frac: f64) -> f64 {
    1550.0 + 1260.0 * dry_frac
}

/// No matrix conducts less in vacuum, W/(m K): evacuated silica aerogel (handbook tables, `from memory`).
const LEAST_CONDUCTIVITY_W_PER_M_K: f64 = 0.004;
/// Density of ice near its melting point, kg/m3. Source: IAPWS R10-06.
const ICE_KG_PER_M3: f64 = 917.0;
/// Density of liquid water, kg/m3. Source: IAPWS SR1-86.
const WATER_KG_PER_M3: f64 = 1_000.0;

/// Share of the dried food's volume that the ice leaves empty, with the air that was in it before.
///
/// ```text
/// phi = e + (1 - e) v_i/(v_i + v_r)       v_i = (w - u)/917       v_r = 1/rho - (w - u)/1000       per kg of food
/// ```
/// `e`: air before freezing; `w`, `u`: water and what never freezes, kg/kg; `rho`: density without air, kg/m3.
fn pores_of_ice(composition: &Composition, curve: &FreezingCurve, porosity: f64) -> f64 {
    let freezable = curve.water_frac - curve.unfreezable_frac;
    let ice = freezable / ICE_KG_PER_M3;
    let solid = Mixture::unfrozen(composition).density_kg_per_m3(UNFROZEN_K);
    let rest = (1.0 / solid - freezable / WATER_KG_PER_M3).max(0.0);
    porosity + (1.0 - porosity) * ice / (ice + rest)
}

/// The matrix left by the ice, at the typical value of every band.
///
/// ```text
/// K = K_c (phi/phi_c)^1.5 exp(-b f)       k = k_c [(1 - phi)/(1 - phi_c)]^0.5
/// ```
/// with `phi` the pores, `f` fat over dry matter, and the class's values at its own porosity `phi_c`. Pores of one size pass
/// vapour by their share of the area over their tortuosity, `phi^-1/2` (Bruggeman); part of the heat goes through the solid, part as radiation
/// from wall to wall of a pore (the exponent is from memory). Fat has no
/// further effect on `k` and none on the heat of desorption.
fn dried_matrix(composition: &Composition, defaults: &ClassDefaults, pores: f64) -> Result<DriedMatrix, FoodError> {
    let dry = composition.with_water(0.0)?;
    let fat_factor = libm::exp(-class::FAT_ON_PERMEABILITY.typical * dry.fat);
    let more_pores = libm::pow(pores / defaults.pores, 1.5);
    let more_solid = ((1.0 - pores) / (1.0 - defaults.pores)).sqrt();
    Ok(DriedMatrix {
        permeability_kg_per_m_s_pa: defaults.permeability_kg_per_m_s_pa.typical * fat_factor * more_pores,
        knudsen_share: class::KNUDSEN_SHARE.typical,
        skin_resistance_m2_s_pa_per_kg: defaults.skin_resistance_m2_s_pa_per_kg.typical,
        conductivity_vacuum_w_per_m_k: (defaults.conductivity_vacuum_w_per_m_k.typical * more_solid)
            .max(LEAST_CONDUCTIVITY_W_PER_M_K),
        conductivity_gas_w_per_m_k: class::CONDUCTIVITY_GAS_W_PER_M_K,
        conductivity_half_pressure_pa: class::CONDUCTIVITY_HALF_PRESSURE_PA.typical,
        heat_capacity_j_per_kg_k: Mixture::unfrozen(&dry).heat_capacity_j_per_kg_k(DRIED_K),
        desorption_rate_40c_per_s: defaults.desorption_rate_40c_per_s.typical,
        desorption_activation_j_per_mol: class::DESORPTION_ACTIVATION_J_PER_MOL.typical,
        loose_water_per_dry: class::LOOSE_WATER_PER_DRY,
        loose_water_exponent: class::LOOSE_WATER_EXPONENT,
        isotherm: defaults.isotherm,
        heat_of_desorption_j_per_kg: class::HEAT_OF_DESORPTION_J_PER_KG.typical,
        emissivity: class::EMISSIVITY.typical,
    })
}
