//! Parts of a tray side by side: pieces embedded in a layer, uneven contact. Foods and loads are invented; what is
//! checked follows from the equations alone (limits, order, sums).

use crate::common;

use icefront_core::batch::{Precision, plan_with};
use icefront_core::cuts::Cuts;
use icefront_core::food::FoodModel;
use icefront_core::load::{Embedded, Freezing, Load, Tray};
use icefront_core::machine::Dryer;
use icefront_core::plan;
use icefront_core::result::BatchResult;
use icefront_core::shape::PieceForm;

fn stew() -> FoodModel {
    common::food(0.75, 0.07, -1.0)
}

/// Fatty sausage: little water, a dense matrix.
fn sausage() -> FoodModel {
    let mut model = common::food(0.50, 0.08, -2.5);
    model.fat_per_dry = 0.6;
    model.dried.permeability_kg_per_m_s_pa = 4e-9;
    model
}

/// Five trays of stew with cubes of another food in it.
fn with_cubes(model: FoodModel, edge_m: f64, share_frac: f64) -> Load {
    let mut load = common::five_layers();
    for tray in &mut load.trays {
        tray.model = stew();
        let form = PieceForm::Brick { length_m: edge_m, width_m: edge_m, height_m: edge_m };
        tray.embedded = Some(Embedded { food: "cubes".into(), model: model.clone(), spread: None, form, share_frac });
    }
    load
}

fn run(load: &Load) -> BatchResult {
    let result = plan(load).unwrap();
    assert!(result.balance.mass_rel < 1e-9 && result.balance.energy_rel < 1e-9, "{:?}", result.balance);
    result
}

#[test]
fn the_same_food_in_pieces_and_sauce_is_the_plain_layer() {
    let twice = stew().in_series(&stew(), 0.3);
    approx::assert_relative_eq!(twice.water_frac(), stew().water_frac(), max_relative = 1e-12);
    approx::assert_relative_eq!(
        twice.dried.permeability_kg_per_m_s_pa,
        stew().dried.permeability_kg_per_m_s_pa,
        max_relative = 1e-12
    );
    let plain = run(&with_cubes(stew(), 0.010, 0.0));
    let mixed = run(&with_cubes(stew(), 0.010, 0.3));
    // round-off decides in which of two steps a front loses its last ice: not more than the steps' own error
    for (mixed, plain) in mixed.trays.iter().zip(&plain.trays) {
        approx::assert_relative_eq!(mixed.dry_at_s.unwrap(), plain.dry_at_s.unwrap(), max_relative = 2e-3);
    }
    approx::assert_relative_eq!(mixed.total_s(), plain.total_s(), max_relative = 2e-3);
    approx::assert_relative_eq!(mixed.energy_j().total(), plain.energy_j().total(), max_relative = 2e-3);
    approx::assert_relative_eq!(mixed.water.loaded_kg, plain.water.loaded_kg, max_relative = 1e-12);
    assert!(plain.trays[0].parts.is_empty());
    let [sauce, columns] = mixed.trays[0].parts[..] else { unreachable!() };
    assert!(!sauce.with_pieces && columns.with_pieces);
    approx::assert_relative_eq!(sauce.dry_at_s.unwrap(), columns.dry_at_s.unwrap(), max_relative = 1e-6);
    // 30 % of the volume in cubes of 10 of the 12 mm: over 36 % of the floor
    approx::assert_relative_eq!(columns.area_frac, 0.36, max_relative = 1e-12);
}

#[test]
fn fatty_pieces_are_the_last_of_their_tray() {
    // as wet as the stew, with pores full of fat
    let mut greasy = stew();
    greasy.fat_per_dry = 0.6;
    greasy.dried.permeability_kg_per_m_s_pa = 4e-9;
    for tray in &run(&with_cubes(greasy, 0.012, 0.3)).trays {
        let [sauce, columns] = tray.parts[..] else { unreachable!() };
        assert!(columns.ice_gone_at_s.unwrap() > sauce.ice_gone_at_s.unwrap(), "{tray:?}");
        assert!(columns.dry_at_s.unwrap() > sauce.dry_at_s.unwrap(), "{tray:?}");
        assert_eq!((tray.ice_gone_at_s, tray.dry_at_s), (columns.ice_gone_at_s, columns.dry_at_s));
    }
    // sausage has less ice to lose and yet is dry last
    let plain = run(&with_cubes(stew(), 0.012, 0.0));
    let mixed = run(&with_cubes(sausage(), 0.012, 0.3));
    for (tray, alone) in mixed.trays.iter().zip(&plain.trays) {
        let [sauce, columns] = tray.parts[..] else { unreachable!() };
        assert!(columns.dry_at_s.unwrap() > sauce.dry_at_s.unwrap(), "{tray:?}");
        // 30 % of the volume is half water instead of three quarters
        approx::assert_relative_eq!(tray.water_kg, alone.water_kg * (0.7 + 0.3 * 0.50 / 0.75), max_relative = 1e-9);
    }
}

#[test]
fn pieces_that_would_overlap_lie_over_the_whole_floor() {
    // half of a 12 mm layer in cubes of 4 mm: one part, whose depth is half pieces
    let mixed = run(&with_cubes(sausage(), 0.004, 0.5));
    assert!(mixed.trays[0].parts.is_empty());
    let plain = run(&with_cubes(stew(), 0.004, 0.0));
    approx::assert_relative_eq!(
        mixed.water.loaded_kg,
        plain.water.loaded_kg * (0.5 + 0.5 * 0.50 / 0.75),
        max_relative = 1e-9
    );
}

/// One layer in a rig: nothing but its own contact decides.
fn uneven(uneven_frac: f64) -> Load {
    let mut tray = common::layer(stew(), 0.012, 0.1);
    tray.freezing = Freezing::Frozen { loaded_k: 248.15 };
    tray.uneven_frac = Some(uneven_frac);
    common::load(common::rig(30.0, 40.0), vec![tray])
}

#[test]
fn the_worst_strip_of_an_uneven_tray_is_the_last() {
    let ice_gone = |uneven_frac: f64, contact_strips: usize| {
        let precision = Precision { contact_strips, ..Precision::default() };
        let tray = plan_with(&uneven(uneven_frac), &precision).unwrap().trays.remove(0);
        (tray.ice_gone_at_s.unwrap(), tray.parts.iter().map(|p| p.ice_gone_at_s.unwrap()).collect::<Vec<_>>())
    };
    let (even_s, none) = ice_gone(0.0, 3);
    assert!(none.is_empty(), "one strip is no strips");
    let (last_s, strips) = ice_gone(0.3, 3);
    assert!(strips.windows(2).all(|w| w[0] > w[1]), "worse contact, later ice: {strips:?}");
    assert_eq!(last_s, strips[0]);
    approx::assert_relative_eq!(strips[1], even_s, max_relative = 1e-3);
    assert!(last_s > 1.03 * even_s && last_s < 1.4 * even_s, "{last_s} s against {even_s} s");
    // two strips have the same worst part; nothing else reaches it in a rig
    let (two_s, two) = ice_gone(0.3, 2);
    assert_eq!(two.len(), 2);
    approx::assert_relative_eq!(two_s, last_s, max_relative = 1e-3);
}

#[test]
fn food_taken_apart_is_the_same_food() {
    // conservation of mass: nothing is lost between two trays
    let together = &with_cubes(sausage(), 0.012, 0.3).trays[0];
    let (base, pieces) = together.apart().unwrap();
    let kg = |tray: &Tray| tray.mean_model().density_kg_per_m3 * tray.shape.volume_per_area_m() * tray.area_m2;
    let water_kg = |tray: &Tray| kg(tray) * tray.mean_model().water_frac();
    let fat_kg = |tray: &Tray| kg(tray) * tray.mean_model().dry_frac() * tray.mean_model().fat_per_dry;
    for (one, two) in [
        (kg(together), kg(&base) + kg(&pieces)),
        (water_kg(together), water_kg(&base) + water_kg(&pieces)),
        (fat_kg(together), fat_kg(&base) + fat_kg(&pieces)),
    ] {
        approx::assert_relative_eq!(one, two, max_relative = 1e-12);
    }
    assert!(base.embedded.is_none() && base.apart().is_none());
}

/// A layer of stew with this depth and permeability, loaded frozen, in a rig: cut into portions, or not.
fn cut_layer(depth_m: f64, permeability_kg_per_m_s_pa: f64, heated_above: bool, cuts: Option<Cuts>) -> BatchResult {
    let mut tray = common::layer(stew(), depth_m, 0.1);
    tray.model.dried.permeability_kg_per_m_s_pa = permeability_kg_per_m_s_pa;
    tray.freezing = Freezing::Frozen { loaded_k: 248.15 };
    tray.cuts = cuts;
    let mut rig = common::rig(30.0, 40.0);
    if let Dryer::Prescribed(rig) = &mut rig {
        rig.heated_above = heated_above;
    }
    run(&common::load(rig, vec![tray]))
}

#[test]
fn portions_as_large_as_the_tray_or_closed_cuts_are_the_plain_layer() {
    let plain = cut_layer(0.020, 4e-8, true, None);
    for cuts in [Cuts { edge_m: 0.4, width_m: 1e-3 }, Cuts { edge_m: 0.04, width_m: 1e-5 }] {
        let cut = cut_layer(0.020, 4e-8, true, Some(cuts));
        approx::assert_relative_eq!(cut.total_s(), plain.total_s(), max_relative = 0.02);
        approx::assert_relative_eq!(cut.water.loaded_kg, plain.water.loaded_kg, max_relative = 1e-12);
    }
}

/// A shorter way through dried food: the same vapour needs less pressure at the front, so the ice is colder, takes up more
/// heat and is gone sooner (physics).
#[test]
fn ice_is_colder_and_sooner_gone_in_small_portions() {
    let told = |cuts| {
        let tray = &cut_layer(0.020, 8e-9, true, cuts).trays[0];
        (tray.ice_gone_at_s.unwrap(), tray.front_max_k)
    };
    let mut before = told(None);
    for edge_m in [0.03, 0.02, 0.01] {
        let (gone_s, warmest_k) = told(Some(Cuts { edge_m, width_m: 2e-3 }));
        assert!(gone_s < before.0 && warmest_k < before.1, "{edge_m} m: {gone_s} s, {warmest_k} K after {before:?}");
        before = (gone_s, warmest_k);
    }
}

/// Dried food is the same food, cut or not: what has lost its ice sooner is dry sooner, with and without heat from above
/// (physics).
#[test]
fn smaller_portions_are_dry_no_later() {
    for heated_above in [true, false] {
        let dry_s = |cuts| cut_layer(0.020, 2e-8, heated_above, cuts).trays[0].dry_at_s.unwrap();
        let mut before_s = dry_s(None);
        for edge_m in [0.2, 0.1, 0.05, 0.04, 0.025, 0.01] {
            let cut_s = dry_s(Some(Cuts { edge_m, width_m: 1e-3 }));
            assert!(cut_s < 1.002 * before_s, "{edge_m} m: {cut_s} s after {before_s} s");
            before_s = cut_s;
        }
    }
}

/// Nothing changes suddenly where a portion is just twice as wide as it is deep and all walls meet with the top.
#[test]
fn hours_change_smoothly_past_the_cube() {
    let hours = |edge_m: f64| {
        cut_layer(0.020, 2e-8, true, Some(Cuts { edge_m, width_m: 2e-3 })).trays[0].ice_gone_at_s.unwrap() / 3600.0
    };
    let [below, at, above] = [0.036, 0.037, 0.038].map(hours);
    assert!((below + above - 2.0 * at).abs() < 0.02 * at, "{below} h, {at} h, {above} h");
}

#[test]
fn narrow_cuts_give_less_than_wide_ones() {
    let stew = stew();
    let open =
        [1e-4, 3e-4, 1e-3, 3e-3, 1e-2].map(|width_m| Cuts { edge_m: 0.05, width_m }.open_share(0.02, &stew.dried));
    assert!(open.windows(2).all(|w| w[0] < w[1]) && open[0] < 0.2 && open[4] > 0.95, "{open:?}");
}
