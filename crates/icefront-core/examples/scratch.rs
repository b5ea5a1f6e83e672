//! scratch
#[path = "../../../tests/common/mod.rs"]
mod common;
fn main() {
    let mut load = common::five_layers();
    if let icefront_core::machine::Dryer::Cabinet(c) = &mut load.dryer {
        let a: Vec<String> = std::env::args().collect();
        if a.len() > 1 && a[1] == "nolimit" { c.heater.cutback_from_pa = f64::INFINITY; c.heater.cutback_to_pa = f64::INFINITY; }
    }
    if std::env::args().any(|a| a == "frozen") { for tray in &mut load.trays { tray.freezing = icefront_core::load::Freezing::Frozen { loaded_k: 255.15 }; } }
    let t = std::time::Instant::now();
    let r = icefront_core::plan(&load).unwrap();
    println!("{:?} steps {}", t.elapsed(), r.history.len());
    println!("stages h {:?}", r.stage_s.map(|s| s / 3600.0));
    let e = r.energy_j();
    println!("kWh {:?} total {}", r.energy_by_stage_j.map(|e| e.total() / 3.6e6), e.total() / 3.6e6);
    println!("comp {} pump {} heat {} other {}", e.compressor / 3.6e6, e.vacuum_pump / 3.6e6, e.heaters / 3.6e6, e.other / 3.6e6);
    println!("{:?}\n{:?}\n{:?}\n{:?}", r.water, r.balance, r.machine, r.warnings);
    for t in &r.trays {
        println!("{} gone {:?} dry {:?} front {:.1} wettest {:.4} mean {:.4} frozen {:?} warm {:.2} {:?}", t.name, t.ice_gone_at_s.map(|s| s / 3600.0), t.dry_at_s.map(|s| s / 3600.0), t.front_max_k - 273.15, t.wettest_wet_frac, t.mean_wet_frac, t.frozen_at_s.map(|s| s/3600.0), t.warm_time_s/3600.0, t.flags);
    }
    for s in r.history.iter().step_by(1) {
        println!("{:7.3} {:?} p {:.1} wall {:.1} ice {:.3} {:.1} P {:.0}/{:.0} T0 ice {:.3} front {:.1} shelf {:.1} top {:.1} X {:.3}", s.time_s / 3600.0, s.stage, s.chamber_pressure_pa, s.condenser_k - 273.15, s.condenser_ice_kg, s.ice_surface_k-273.15, s.power_w.compressor, s.power_w.heaters, s.trays[0].ice_left_frac, s.trays[0].front_k - 273.15, s.trays[0].shelf_k - 273.15, s.trays[0].surface_k - 273.15, s.trays[0].water_per_dry);
    }
}
