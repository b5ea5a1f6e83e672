//! Loads that several tests share. Numbers are invented unless a test says where they come from.
#![allow(dead_code)]

use icefront_core::food::{
    Band, DriedMatrix, DryingClass, FoodModel, FoodSpread, FreezingCurve, Gab, Structure, StructureLimit,
};
use icefront_core::load::{EndRule, Freezing, Load, Tariff, Tray};
use icefront_core::machine::{
    Above, Cabinet, Condenser, Contact, Cutback, Dryer, Gauge, Heater, Prescribed, PrescribedPoint, Refrigeration,
    SetPoint, Vacuum,
};
use icefront_core::shape::Shape;

/// A food given by its numbers.
pub fn food(water: f64, unfreezable: f64, freezing_point_c: f64) -> FoodModel {
    FoodModel {
        density_kg_per_m3: 1000.0,
        curve: FreezingCurve {
            water_frac: water,
            unfreezable_frac: unfreezable,
            freezing_point_k: 273.15 + freezing_point_c,
            heat_capacity_unfrozen_j_per_kg_k: 3_500.0,
            heat_capacity_frozen_j_per_kg_k: 1_900.0,
            heat_of_fusion_j_per_kg: 333_600.0,
        },
        conductivity_unfrozen_w_per_m_k: 0.5,
        conductivity_frozen_w_per_m_k: 1.8,
        dried: DriedMatrix {
            permeability_kg_per_m_s_pa: 2e-8,
            knudsen_share: 0.9,
            skin_resistance_m2_s_pa_per_kg: 0.0,
            conductivity_vacuum_w_per_m_k: 0.042,
            conductivity_gas_w_per_m_k: 0.014,
            conductivity_half_pressure_pa: 150.0,
            heat_capacity_j_per_kg_k: 1_500.0,
            desorption_rate_40c_per_s: 1.5e-4,
            desorption_activation_j_per_mol: 45_000.0,
            loose_water_per_dry: 0.25,
            loose_water_exponent: 1.1,
            isotherm: Gab { monolayer_per_dry: 0.06, c: 10.0, k: 0.9 },
            heat_of_desorption_j_per_kg: 2.75e6,
            emissivity: 0.9,
        },
        fat_per_dry: 0.1,
        limit: StructureLimit { collapse_k: 258.15, kind: Structure::Tissue },
    }
}

/// A layer of that food, frozen at -25 degC.
pub fn layer(model: FoodModel, depth_m: f64, area_m2: f64) -> Tray {
    let bare = Tray::of_model("test food".into(), model, Shape::Layer { depth_m }, area_m2);
    Tray { name: "tray".into(), freezing: Freezing::Frozen { loaded_k: 248.15 }, ..bare }
}

/// Thin household tray on a shelf.
pub fn contact() -> Contact {
    Contact {
        gap_m: 0.4e-3,
        direct_w_per_m2_k: 3.0,
        accommodation: 0.8,
        lining_gap_m: 0.2e-3,
        frozen_block_gap_m: 0.5e-3,
        uneven_frac: 0.0,
        emissivity_above: 0.9,
        emissivity_below: 0.16,
    }
}

/// A rig at one shelf temperature and vapour pressure.
pub fn rig(shelf_c: f64, vapour_pa: f64) -> Dryer {
    Dryer::Prescribed(Prescribed {
        name: "test rig".into(),
        schedule: vec![PrescribedPoint {
            time_s: 0.0,
            shelf_k: shelf_c + 273.15,
            vapour_pressure_pa: vapour_pa,
            air_pressure_pa: 0.0,
        }],
        contact: contact(),
        heated_below: true,
        heated_above: true,
        surroundings_k: None,
    })
}

/// A cabinet with the typical numbers for a shelf area.
pub fn cabinet(shelf_area_m2: f64) -> Cabinet {
    let s = shelf_area_m2 / 0.5;
    Cabinet {
        name: "test cabinet".into(),
        note: "invented".into(),
        shelf_area_m2,
        shelves: 5,
        clear_height_m: 0.05,
        above_top_tray: Above::HeatedShelf,
        shelf_heat_capacity_j_per_m2_k: 8_000.0,
        heater: Heater {
            power_w_per_m2: 1_100.0,
            set_point: SetPoint::constant(323.15),
            cutback: Some(Cutback { from_pa: 80.0, to_pa: 95.0, gauge: Gauge::Absolute }),
        },
        contact: contact(),
        condenser: Condenser {
            area_m2: 0.6 * s,
            heat_capacity_j_per_k: 8_000.0 * s,
            deposit_conductivity_w_per_m_k: 1.8,
            deposit_density_kg_per_m3: 850.0,
            thickness_limit_m: 0.017,
            opening_m2: 0.02 * s,
        },
        refrigeration: Refrigeration {
            swept_m3_per_s: 6.2e-4 * s,
            clearance: 0.071,
            isentropic_efficiency: 0.667,
            loss_w: 140.0 * s,
            power_limit_w: 700.0 * s,
            wall_conductance_w_per_k: 40.0 * s,
            hot_side_conductance_w_per_k: 45.0 * s,
        },
        vacuum: Vacuum {
            volume_m3: 0.1 * s,
            speed_m3_per_s: 5.0 / 3_600.0 * s,
            ultimate_pa: 2.0,
            power_w: 250.0,
            leak_pa_m3_per_s: 2e-3,
        },
        controls_w: 15.0,
        heat_leak_w_per_k: 0.7 * s,
        stack_to_cold_surface_m2: 0.18 * s,
        convection_times: 1.0,
        can_pause: false,
        freeze_core_k: 255.15,
        freeze_limit_s: 24.0 * 3_600.0,
        evacuate_below_k: 243.15,
        defrost_heater_w: None,
    }
}

/// Trays in a dryer, run to 3 % at the wettest spot in a room of 20 degC.
pub fn load(dryer: Dryer, trays: Vec<Tray>) -> Load {
    Load {
        dryer,
        room_k: 293.15,
        trays,
        end: EndRule::WettestSpot { moisture_wet_frac: 0.03 },
        tariff: Tariff { price_per_kwh: None, currency: String::new() },
        servings: None,
        dates: None,
        units: icefront_core::units::UnitSystem::Metric,
    }
}

/// Five layers of 12 mm in a cabinet of 0.5 m2, frozen in the machine from the fridge.
pub fn five_layers() -> Load {
    let mut trays = Vec::new();
    for i in 0..5 {
        let mut tray = layer(food(0.75, 0.07, -1.0), 0.012, 0.1);
        tray.name = format!("tray {}", i + 1);
        tray.freezing = Freezing::InMachine { loaded_k: 278.15 };
        trays.push(tray);
    }
    load(Dryer::Cabinet(Box::new(cabinet(0.5))), trays)
}

/// Linear interpolation of the time at which the mean ice share of a tray fell to `level`, s, and the front then, K.
pub fn ice_share_at(result: &icefront_core::result::BatchResult, tray: usize, level: f64) -> (f64, f64) {
    for pair in result.history.windows(2) {
        let (a, b) = (&pair[0].trays[tray], &pair[1].trays[tray]);
        if a.ice_left_frac > level && b.ice_left_frac <= level {
            let share = (a.ice_left_frac - level) / (a.ice_left_frac - b.ice_left_frac);
            let time = pair[0].time_s + share * (pair[1].time_s - pair[0].time_s);
            return (time, a.front_k + share * (b.front_k - a.front_k));
        }
    }
    panic!("never fell to {level}");
}

/// Two layers of foods known by bands, in a small cabinet, loaded frozen: quick to run.
pub fn two_drawn_layers() -> Load {
    let mut trays = Vec::new();
    for (class, depth_m) in [(DryingClass::MinceOrStew, 0.012), (DryingClass::CutFruit, 0.010)] {
        let mut tray = layer(food(0.8, 0.05, -1.0), depth_m, 0.1);
        tray.freezing = Freezing::Frozen { loaded_k: 253.15 };
        tray.spread = Some(FoodSpread {
            class,
            permeability: Band::new(0.8e-8, 1.8e-8, 4e-8),
            conductivity: Band::new(0.03, 0.042, 0.055),
            unfreezable: Band::new(0.04, 0.06, 0.08),
            skin: Band::new(0.0, 0.0, 0.0),
            desorption: Band::new(1e-4, 2e-4, 4e-4),
            collapse_c: Band::new(-30.0, -20.0, -10.0),
        });
        trays.push(tray);
    }
    load(Dryer::Cabinet(Box::new(cabinet(0.2))), trays)
}
