//! Food: components, mixtures, enthalpy, initial freezing points.

use serde::Deserialize;

use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_core::food::{
    Component, Composition, DryingClass, Food, FoodEntry, FoodTable, FreezingCurve, Mixture, solution_freezing_point_k,
};
use icefront_core::water::HEAT_OF_FUSION_J_PER_KG;
use icefront_kitchen::evidence::{Fitted, Kind, Predicted};

use crate::evidence::EvidenceError;
use crate::evidence::case::{Case, read};

const MIXTURES: &str = include_str!("../../data/published/mixtures.csv");
const CHOI_OKOS: &str = include_str!("../../data/properties/choi_okos.csv");
const WHITE_FISH: &str = include_str!("../../data/properties/white_fish_enthalpy.csv");
const FREEZING_POINTS: &str = include_str!("../../data/properties/freezing_points.csv");

/// Temperatures at which the components are shown, degC; the whole table is tested elsewhere.
const SHOWN_C: [f64; 3] = [-20.0, 20.0, 60.0];

#[derive(Deserialize)]
struct ComponentRow {
    component: String,
    property: String,
    temperature_c: f64,
    value: f64,
    unit: String,
}

/// Components at a few temperatures.
pub fn components() -> Result<Vec<Case>, EvidenceError> {
    let rows: Vec<ComponentRow> = read("choi_okos.csv", CHOI_OKOS)?;
    let shown = rows.into_iter().filter(|row| SHOWN_C.contains(&row.temperature_c));
    let cases = shown.map(|row| Case {
        id: format!("{}-{}-{}", row.component, row.property, row.temperature_c),
        kind: Kind::Verification,
        quantity: match row.property.as_str() {
            "rho" => "density",
            "k" => "conductivity",
            _ => "heat capacity",
        }
        .into(),
        conditions: format!("component={}; t_c={}", row.component, row.temperature_c),
        unit: row.unit,
        low: None,
        value: Some(row.value),
        high: None,
        fitted: Fitted::Nothing,
        check: "formula".into(),
        source: "choi-okos-1986".into(),
    });
    Ok(cases.collect())
}

/// One property of one component.
pub fn component(case: &Case) -> Result<Predicted, EvidenceError> {
    let component = match case.word("component")? {
        "water" => Component::Water,
        "ice" => Component::Ice,
        "protein" => Component::Protein,
        "fat" => Component::Fat,
        "carb" => Component::Carbohydrate,
        "fibre" => Component::Fibre,
        "ash" => Component::Ash,
        _ => return Err(case.unknown()),
    };
    let t = case.kelvin("t_c")?;
    let predicted = match case.quantity.as_str() {
        "density" => component.density_kg_per_m3(t),
        "conductivity" => component.conductivity_w_per_m_k(t),
        "heat capacity" => component.heat_capacity_j_per_kg_k(t) / 1e3,
        _ => return Err(case.unknown()),
    };
    Ok(predicted.into())
}

#[derive(Deserialize)]
struct EnthalpyRow {
    temperature_c: f64,
    enthalpy_kj_per_kg: f64,
}

/// Mixtures, and the enthalpy of white fish.
pub fn mixtures() -> Result<Vec<Case>, EvidenceError> {
    let mut cases = read("mixtures.csv", MIXTURES)?;
    let fish: Vec<EnthalpyRow> = read("white_fish_enthalpy.csv", WHITE_FISH)?;
    cases.extend(fish.into_iter().filter(|row| row.temperature_c > -40.0).map(|row| Case {
        id: format!("fish-enthalpy-{}", row.temperature_c),
        kind: Kind::Validation,
        quantity: "enthalpy of white fish above -40 degC".into(),
        conditions: format!("t_c={}", row.temperature_c),
        unit: "kJ/kg".into(),
        low: None,
        value: Some(row.enthalpy_kj_per_kg),
        high: None,
        fitted: Fitted::Nothing,
        check: "enthalpy".into(),
        source: "fao-340".into(),
    }));
    Ok(cases)
}

/// One property of a mixture.
pub fn mixture(case: &Case) -> Result<Predicted, EvidenceError> {
    let predicted = match case.quantity.as_str() {
        "heat capacity" => Mixture::unfrozen(&composition(case)?).heat_capacity_j_per_kg_k(case.kelvin("t_c")?) / 1e3,
        "heat to cool, mean temperature" => {
            let (from, to) = (case.kelvin("from_c")?, case.kelvin("to_c")?);
            let heat = Mixture::unfrozen(&composition(case)?).heat_capacity_j_per_kg_k(0.5 * (from + to)) * (from - to);
            case.number("mass_kg")? * heat / 1e3
        }
        "enthalpy above -40 degC, Chen's heat capacities" => {
            above_minus_40_kj_per_kg(&chen(&composition(case)?, case.kelvin("freezing_c")?), case.kelvin("t_c")?)
        }
        "heat to freeze, Chen's heat capacities" => {
            let curve = chen(&composition(case)?, case.kelvin("freezing_c")?);
            let heat = curve.enthalpy_j_per_kg(case.kelvin("from_c")?) - curve.enthalpy_j_per_kg(case.kelvin("to_c")?);
            case.number("mass_kg")? * heat / 1e3
        }
        "ice fraction" => chen(&composition(case)?, case.kelvin("freezing_c")?).ice_frac(case.kelvin("t_c")?),
        "density, frozen" => frozen(case)?.density_kg_per_m3(case.kelvin("t_c")?),
        "conductivity, parallel" => frozen(case)?.conductivity_parallel_w_per_m_k(case.kelvin("t_c")?),
        "conductivity, series" => frozen(case)?.conductivity_series_w_per_m_k(case.kelvin("t_c")?),
        "conductivity of meat" => conductivity_of_meat(case)?,
        "enthalpy of white fish above -40 degC" => above_minus_40_kj_per_kg(&white_fish()?, case.kelvin("t_c")?),
        "heat to freeze white fish" => {
            let fish = white_fish()?;
            (fish.enthalpy_j_per_kg(case.kelvin("from_c")?) - fish.enthalpy_j_per_kg(case.kelvin("to_c")?)) / 1e3
        }
        "share of the water frozen in fish" => {
            let fish = white_fish()?;
            fish.ice_frac(case.kelvin("t_c")?) / fish.water_frac
        }
        "ice fraction of sorbet" => {
            let sugar = case.number("sugar")?;
            let mix = Composition { water: 1.0 - sugar, carbohydrate: sugar, sugars: sugar, ..Composition::default() };
            let curve = Food::new("sorbet", "published", mix, DryingClass::SyrupOrJuice).model()?.curve;
            curve.ice_frac(case.kelvin("t_c")?)
        }
        "heat capacity of a food, unfrozen" => {
            entry(case)?.food().model()?.curve.heat_capacity_unfrozen_j_per_kg_k / 1e3
        }
        "heat capacity of a food, -40 degC" => {
            let curve = entry(case)?.food().model()?.curve;
            curve.apparent_heat_capacity_j_per_kg_k(ZERO_CELSIUS_K - 40.0) / 1e3
        }
        _ => return Err(case.unknown()),
    };
    Ok(predicted.into())
}

/// Composition from the conditions; components not named are zero.
fn composition(case: &Case) -> Result<Composition, EvidenceError> {
    let part = |name| case.number(name).unwrap_or(0.0);
    Ok(Composition {
        water: case.number("water")?,
        protein: part("protein"),
        fat: part("fat"),
        carbohydrate: part("carbohydrate"),
        fibre: part("fibre"),
        ash: part("ash"),
        ..Composition::default()
    })
}

fn frozen(case: &Case) -> Result<Mixture, EvidenceError> {
    Ok(Mixture::with_ice(&composition(case)?, case.number("ice")?))
}

/// The curve with Chen's heat capacities (1985, as ASHRAE Refrigeration, thermal properties of foods) and Schwartzberg's
/// bound water.
fn chen(composition: &Composition, freezing_point_k: f64) -> FreezingCurve {
    let dry = composition.dry();
    FreezingCurve {
        water_frac: composition.water,
        unfreezable_frac: 0.4 * composition.protein,
        freezing_point_k,
        heat_capacity_unfrozen_j_per_kg_k: 4190.0 - 2300.0 * dry - 628.0 * dry.powi(3),
        heat_capacity_frozen_j_per_kg_k: 1550.0 + 1260.0 * dry,
        heat_of_fusion_j_per_kg: HEAT_OF_FUSION_J_PER_KG,
    }
}

fn above_minus_40_kj_per_kg(curve: &FreezingCurve, temperature_k: f64) -> f64 {
    (curve.enthalpy_j_per_kg(temperature_k) - curve.enthalpy_j_per_kg(ZERO_CELSIUS_K - 40.0)) / 1e3
}

/// Lean white fish, composition from memory (cod: 81 % water, 18 % protein).
fn white_fish() -> Result<FreezingCurve, EvidenceError> {
    let fish = Composition { water: 0.808, protein: 0.178, fat: 0.002, ash: 0.012, ..Composition::default() };
    Ok(Food::new("white fish", "from memory", fish, DryingClass::LeanMeatOrFish).model()?.curve)
}

fn conductivity_of_meat(case: &Case) -> Result<f64, EvidenceError> {
    let meat = composition(case)?;
    let t = case.kelvin("t_c")?;
    let curve = Food::new("meat", "published", meat, DryingClass::LeanMeatOrFish).model()?.curve;
    Ok(Mixture::with_ice(&meat, curve.ice_frac(t)).conductivity_w_per_m_k(t))
}

fn entry(case: &Case) -> Result<&'static FoodEntry, EvidenceError> {
    let wanted = case.word("ndb")?;
    let table = FoodTable::embedded()?;
    let key = || EvidenceError::Key { id: case.id.clone(), key: wanted.into() };
    table.by_id(wanted).ok_or_else(key)
}

#[derive(Deserialize)]
struct FreezingPointRow {
    food: String,
    group: String,
    freezing_point_c: f64,
    ndb_id: String,
    water_frac: Option<f64>,
    solute_g_per_mol: Option<f64>,
    source: String,
}

/// Foods of handbooks and measured sugar solutions.
pub fn freezing_points() -> Result<Vec<Case>, EvidenceError> {
    let rows: Vec<FreezingPointRow> = read("freezing_points.csv", FREEZING_POINTS)?;
    let cases = rows.into_iter().map(|row| Case {
        id: format!("freezing-point-{}", row.food.replace([' ', '%'], "-").trim_end_matches('-')),
        kind: Kind::Validation,
        quantity: "initial freezing point".into(),
        conditions: match (row.water_frac, row.solute_g_per_mol) {
            (Some(water), Some(solute)) => format!("{}; water={water}; g_per_mol={solute}", row.food),
            _ => format!("{}; ndb={}", row.food, row.ndb_id),
        },
        unit: "degC".into(),
        low: None,
        value: Some(row.freezing_point_c),
        high: None,
        fitted: Fitted::Nothing,
        check: if row.group == "solution" { "freezing-point-solution" } else { "freezing-point" }.into(),
        source: match row.source.as_str() {
            s if s.starts_with("Zhang") => "zhang-2013",
            s if s.starts_with("Pongsawatmanit") => "pongsawatmanit-1993",
            s if s.starts_with("secondary") => "ashrae-table-3-secondary",
            s if s.contains("IP edition") => "ashrae-table-3-ip",
            _ => "ashrae-table-3",
        }
        .into(),
    });
    Ok(cases.collect())
}

/// Unfreezable water per sugar, kg/kg: the default of syrups.
const UNFREEZABLE_PER_SUGAR: f64 = 0.25;

/// One initial freezing point.
pub fn freezing_point(case: &Case) -> Result<Predicted, EvidenceError> {
    let kelvin = if case.conditions.contains("g_per_mol") {
        let water = case.number("water")?;
        let sugar = 1.0 - water;
        let moles_per_kg = sugar / (case.number("g_per_mol")? / 1e3);
        solution_freezing_point_k(water - UNFREEZABLE_PER_SUGAR * sugar, moles_per_kg)
    } else {
        entry(case)?.food().model()?.curve.freezing_point_k
    };
    Ok((kelvin - ZERO_CELSIUS_K).into())
}
