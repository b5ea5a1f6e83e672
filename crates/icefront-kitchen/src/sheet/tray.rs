//! `[[tray]]`: one tray with its food, shape, amount, freezing and expert numbers.

use icefront_core::cuts::Cuts;
use icefront_core::food::{FoodError, FoodModel};
use icefront_core::load::{ContactOverride, Freezing, Tray};
use icefront_core::machine::Dryer;

use crate::sheet::dish::{Dish, LoadedTray};
use crate::sheet::embedded::{self, Pieces};
use crate::sheet::foods::{self, Foods, ResolvedFood};
use crate::sheet::pack::PackOptions;
use crate::sheet::placement::{self, TrayGeometry};
use crate::sheet::schema::expert::Target;
use crate::sheet::schema::load::TRAY;
use crate::sheet::section::Section;
use crate::sheet::{expert, freezing};

/// What all trays of a sheet share.
pub struct Common<'a> {
    /// Dryer or rig, if it could be read.
    pub machine: Option<&'a Dryer>,
    /// Freezing where a tray does not say.
    pub freezing: Option<Freezing>,
    /// Foods by name.
    pub all_foods: &'a Foods<'a>,
    /// How food is packed where a tray does not say.
    pub pack: &'a PackOptions,
}

/// Reads one tray and its dish, and the tray of its pieces where they go apart; `None` if a problem was noted.
pub fn read(table: &Section<'_>, common: &Common<'_>) -> Option<(LoadedTray, Option<LoadedTray>)> {
    let name = table.text("name").map_or_else(|| table.place(), str::to_string);
    let resolved = resolved(table, common.all_foods).and_then(|resolved| resolved.with_fat(table));
    let area = area(table, common.machine);
    let freezing = match table.section("before_loading") {
        Some(own) => freezing::read(&own, matches!(common.machine, Some(Dryer::Prescribed(_)))),
        None => common.freezing,
    };
    let uneven_frac = table.quantity("uneven_contact");
    let mut pieces = embedded::read(table, common.all_foods);
    let cuts = cuts(table);
    let amount = foods::mass(table, "amount", resolved.as_ref());
    let dried = table.quantity("dried");
    let pack = table.section("pack");
    let pack = pack.map_or_else(|| common.pack.clone(), |own| PackOptions::read(&own, common.pack));
    let given = table.section("expert");
    let numbers = numbers(table, resolved.as_ref(), given.as_ref());
    let density = numbers.as_ref().map(|(model, _)| match &pieces {
        Some(Pieces { embedded, .. }) => model.in_series(&embedded.model, embedded.share_frac).density_kg_per_m3,
        None => model.density_kg_per_m3,
    });
    let geometry = match (density, area) {
        (Some(density_kg_per_m3), Some(area_m2)) if amount.is_some() || !table.has("amount") => {
            Some(TrayGeometry { area_m2, density_kg_per_m3, amount_kg: amount })
        }
        _ => None,
    };
    let placed = placement::place(table, geometry)?;
    let (mut model, contact) = numbers?;
    let density_given = given.is_some_and(|expert| expert.has("density_kg_per_m3"));
    if let Some(measured_kg_per_m3) = placed.density_kg_per_m3.filter(|_| !density_given) {
        let denser = measured_kg_per_m3 / density?;
        model.density_kg_per_m3 *= denser;
        pieces.iter_mut().for_each(|p| p.embedded.model.density_kg_per_m3 *= denser);
    }
    let resolved = resolved?;
    let (spread, food, area_m2, freezing) =
        (Some(resolved.food.spread()), resolved.name.clone(), area? * placed.covered_frac, freezing?);
    if let Freezing::Frozen { loaded_k } = freezing
        && loaded_k >= model.curve.freezing_point_k
    {
        let units = table.units();
        let label = format!("at {} it is not frozen", units.temperature(loaded_k));
        let help = format!("it begins to freeze at {}", units.temperature(model.curve.freezing_point_k));
        table.note("before_loading", format!("`{food}` is not frozen when it is loaded"), label, help);
        return None;
    }
    let embedded = pieces.as_ref().map(|p| p.embedded.clone());
    let bare = Tray::of_model(food, model, placed.shape, area_m2);
    let mut tray = Tray { name, spread, freezing, contact, embedded, cuts, uneven_frac, ..bare };
    for key in TRAY.keys {
        if let Some((switch, on)) = key.switches.zip(table.flag(key.name)) {
            switch(&mut tray, on);
        }
    }
    if let Some(dried_kg) = dried {
        let fresh_kg = tray.mean_model().density_kg_per_m3 * tray.shape.volume_per_area_m() * area_m2;
        if dried_kg >= fresh_kg {
            let label = format!("{} went on the tray", table.units().mass(fresh_kg));
            let help = "weigh the dried food alone, without the tray, and give `amount` as it was loaded";
            table.note("dried", format!("`{}` weighs no less than before", tray.food), label, help);
        }
    }
    let Some(pieces) = pieces else {
        let dish = Dish::new(&resolved, &tray.shape, dried, pack);
        return Some(((tray, dish), None));
    };
    if let Some((base, alone)) = tray.apart().filter(|_| pieces.apart) {
        table.refuse(&["dried"], "food that is weighed together", "it is on two trays");
        let dish = Dish::new(&resolved, &base.shape, None, pack.clone());
        let of_pieces = Dish::new(&pieces.resolved, &alone.shape, None, pack);
        return Some(((base, dish), Some((alone, of_pieces))));
    }
    let note = |e: &FoodError| table.note("embedded", "the two do not make a food", e.to_string(), "");
    let whole = resolved.with_pieces(&tray, &pieces).inspect_err(note).ok()?;
    let dish = Dish::new(&whole, &tray.shape, dried, pack);
    Some(((tray, dish), None))
}

/// Widest cut, as a share of the portion: wider ones take food away.
const WIDEST_CUT: f64 = 0.1;

/// Cuts through a layer; `None` if there are none, or a problem was noted.
fn cuts(table: &Section<'_>) -> Option<Cuts> {
    if !table.has("cut") {
        table.refuse(&["cut_width"], "an uncut layer", "or give `cut`, the edge of a portion, such as \"50 mm\"");
    }
    let (edge_m, width_m) = (table.quantity("cut"), table.usual("cut_width"));
    let cuts = Cuts { edge_m: edge_m?, width_m };
    if cuts.width_m > WIDEST_CUT * cuts.edge_m {
        let label = format!("more than a tenth of the {} between two cuts", table.units().length(cuts.edge_m));
        let help = "portions so far apart are pieces: `shape = \"bricks\"` with their `coverage`";
        table.note("cut_width", "`cut_width` is too much for such portions", label, help);
        return None;
    }
    Some(cuts)
}

/// The food by `food` or `recipe`.
fn resolved(table: &Section<'_>, all_foods: &Foods<'_>) -> Option<ResolvedFood> {
    match (table.has("food"), table.has("recipe")) {
        (true, true) => {
            table.refuse(&["recipe"], "`food`", "give one of them");
            None
        }
        (true, false) => all_foods.food(table, "food"),
        (false, true) => all_foods.recipe(table, "recipe"),
        (false, false) => table.required("food", None, "such as food = \"apples, raw\"; `icefront foods` lists them"),
    }
}

/// The food's properties with the expert numbers in place.
fn numbers(
    table: &Section<'_>,
    resolved: Option<&ResolvedFood>,
    given: Option<&Section<'_>>,
) -> Option<(FoodModel, ContactOverride)> {
    let key = if table.has("recipe") { "recipe" } else { "food" };
    let resolved = resolved?;
    let food = if table.word("shape") == Some("layer") { resolved.as_layer() } else { resolved.food.clone() };
    let note =
        |e: &FoodError| table.note(key, format!("`{}` cannot be freeze-dried", resolved.name), e.to_string(), "");
    let model = food.model().inspect_err(note).ok()?;
    let mut target = Target { model, contact: ContactOverride::default() };
    if let Some(given) = given {
        expert::apply(given, &mut target);
    }
    Some((target.model, target.contact))
}

/// Floor of the tray: as given, or one shelf of the dryer.
fn area(table: &Section<'_>, machine: Option<&Dryer>) -> Option<f64> {
    let given = table.quantity("area");
    match machine {
        _ if table.has("area") => given,
        Some(Dryer::Cabinet(cabinet)) => Some(cabinet.shelf_area_m2 / cabinet.shelves as f64),
        Some(Dryer::Prescribed(_)) => table.required("area", None, "a rig has no trays of its own; such as \"0.1 m2\""),
        None => None,
    }
}
