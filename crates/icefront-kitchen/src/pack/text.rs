//! `icefront pack` in words: one table per question.

use icefront_core::aftercare::Soak;
use icefront_core::units::{Duration, UnitSystem, Volume};

use crate::blocks::{Column, Table, Words, in_order};
use crate::pack::amounts::{
    food_energy, kitchen_gas, kitchen_mass, kitchen_time, kitchen_volume, kitchen_water, plain,
};
use crate::pack::band::RunBand;
use crate::pack::packing::{FoodPacks, Packing, RULE_SACHET_M3};
use crate::pack::safety;
use crate::{Look, format};

/// Names of foods are cut to this in text.
const NAME: usize = 15;
/// A US gallon, of the usual rule for absorbers, m3.
const GALLON_M3: f64 = 3.8e-3;
/// Mark of a container that does not hold what is to go in.
const TOO_SMALL: &str = "; TOO SMALL";

/// The whole report. `source` says what the load was read from.
pub fn pack(source: &str, packing: &Packing, look: Look) -> String {
    in_order(
        &[
            &headline(source, packing),
            &packs(packing),
            &soaking(packing),
            &closed(packing),
            &bench(packing),
            &order(packing),
            &safety::mind(packing),
        ],
        look,
    )
}

fn headline(source: &str, packing: &Packing) -> Words {
    let foods = &packing.foods;
    let (packs, dried_kg) =
        (foods.iter().map(|f| f.packs.count).sum::<usize>(), foods.iter().map(|f| f.whole.dried_kg()).sum());
    let fresh_kg = foods.iter().map(|f| f.whole.fresh_kg).sum();
    let from = if foods.iter().all(|f| f.weighed) {
        "as weighed"
    } else if foods.iter().any(|f| f.weighed) {
        "as weighed where a tray has `dried`, else as planned"
    } else {
        "as planned. For exact numbers, weigh the dried food and enter `dried` for each tray"
    };
    let (fresh, dried) = (kitchen_mass(fresh_kg, packing.units), kitchen_mass(dried_kg, packing.units));
    Words::new(
        "",
        format!("{}: {fresh} of food becomes {dried}, {from}. Load: {source}.", format::count(packs, "pack")),
    )
}

/// A table with a row per food.
fn table(
    label: &'static str,
    about: String,
    columns: &[Column],
    packing: &Packing,
    row: impl Fn(&FoodPacks) -> Vec<String>,
    note: String,
) -> Table {
    Table::new(
        label,
        [&[Column::words("", NAME)], columns].concat(),
        packing.foods.iter().map(|f| [vec![f.food.clone()], row(f)].concat()),
    )
    .about(about)
    .note(note)
}

fn packs(packing: &Packing) -> Table {
    let numbers = [Column::number("packs"), Column::number("servings")];
    let columns = [numbers, [Column::words("dried in one", 20), Column::words("water to add to one", 35)]].concat();
    let units = packing.units;
    let row = |f: &FoodPacks| {
        vec![
            f.packs.count.to_string(),
            plain((10.0 * f.servings_per_pack).round() / 10.0),
            format!("{}{}", kitchen_mass(f.pack_dried_kg.typical_run, units), span_of(&f.pack_dried_kg, units)),
            kitchen_water(f.pack_water_kg.typical_run, units),
        ]
    };
    let assumed = packing.foods.iter().find(|f| f.serving_assumed).map_or_else(String::new, |f| {
        format!(" No serving is given, so {} of fresh food is assumed.", kitchen_mass(f.serving_kg, units))
    });
    let note = format!(
        "Divide each food into this many equal packs. In brackets: 1 time in 10 below, 1 in 10 above. Foods differ \
         that much, so trust your scale. Water: add it to a sauce or soup and stir. Soak pieces in it and pour off \
         the rest.{assumed}"
    );
    table("packs", String::new(), &columns, packing, row, note)
}

/// ` (50-67)`, in g or oz, where a range was drawn.
fn span_of(band: &RunBand, units: UnitSystem) -> String {
    if band.high - band.low < 1e-9 {
        return String::new();
    }
    let unit = units.small_mass();
    let shown = |kg: f64| format::trimmed(unit.of(kg), if units == UnitSystem::Us { 1 } else { 0 });
    format!(" ({}-{} {})", shown(band.low), shown(band.high), unit.name)
}

fn soaking(packing: &Packing) -> Table {
    let columns = [
        Column::number("thick"),
        Column::words("just boiled", 14),
        Column::words("tap water", 14),
        Column::words("takes up", 14),
        Column::words("energy in one", 20),
    ];
    let row = |f: &FoodPacks| {
        let (low_kg, high_kg) = (f.recovery.low * f.pack_water_kg.low, f.recovery.high * f.pack_water_kg.high);
        vec![
            packing.units.length((f.thickness_m * 1e3).round() / 1e3),
            span(&f.soak_hot),
            span(&f.soak_cold),
            taken_up(low_kg, high_kg, packing.units),
            food_energy(f.pack_energy_kj),
        ]
    };
    let note = "Time until most pieces are wet to the core. Half as thick is four times as fast, so crumble a thick \
                layer. Few numbers are published: fruit pieces soak fast for half a minute and take up to 90 % of the \
                water back. There are none for whole meals, rice, egg or fish. Cut a thick piece of meat open to \
                check.";
    table("back to a meal", String::new(), &columns, packing, row, note.into())
}

/// `150-180 ml`, `5.1-6.1 fl oz`: water, of which a kilogram is a litre.
fn taken_up(low_kg: f64, high_kg: f64, units: UnitSystem) -> String {
    let fluid_ounces = |kg: f64| 8.0 * Volume::from_cubic_metres(1e-3 * kg).cups();
    match units {
        UnitSystem::Metric => format!("{:.0}-{:.0} ml", 1e3 * low_kg, 1e3 * high_kg),
        UnitSystem::Us => format!("{:.1}-{:.1} fl oz", fluid_ounces(low_kg), fluid_ounces(high_kg)),
    }
}

/// `1.5-12 min`
fn span(soak: &Soak) -> String {
    let minutes = |s: f64| Duration::from_seconds(s).minutes();
    if soak.high_s < 90.0 {
        format!("{:.0}-{:.0} s", soak.low_s, soak.high_s)
    } else {
        format!("{}-{:.0} min", plain((2.0 * minutes(soak.low_s)).round() / 2.0), minutes(soak.high_s).ceil())
    }
}

fn closed(packing: &Packing) -> Table {
    let [container, fills, oxygen] = ["container", "food fills", "oxygen"].map(Column::number);
    let columns = [container, fills, oxygen, Column::words("absorber", 30)];
    let units = packing.units;
    let does_not_fit = |f: &FoodPacks| f.container_given && f.filled.bulk_m3.typical > f.filled.container_m3;
    let row = |f: &FoodPacks| {
        let absorber = match (f.oxygen.absorbers, f.oxygen.kept_out) {
            (0, true) => "none".into(),
            (0, false) => "of no use in this wall".into(),
            (n, _) => format!("{n} of {}", kitchen_gas(f.oxygen.absorber_m3, units)),
        };
        vec![
            kitchen_volume(f.filled.container_m3, units),
            kitchen_volume(f.filled.bulk_m3.typical, units),
            kitchen_gas(f.filled.oxygen_m3, units),
            format!("{absorber}{}", if does_not_fit(f) { TOO_SMALL } else { "" }),
        ]
    };
    let worst = packing.foods.iter().map(|f| f.oxygen.rule_leaves_frac).fold(0.0, f64::max);
    let rule = if worst > 0.01 {
        let (sachet, gallon) = (kitchen_gas(RULE_SACHET_M3, units), kitchen_volume(GALLON_M3, units));
        format!(
            " The usual rule, one of {sachet} for up to {gallon}, is made for grain: it would leave up to {} oxygen here.",
            format::percent_1(worst)
        )
    } else {
        String::new()
    };
    let small = if packing.foods.iter().any(does_not_fit) {
        " Too small: crush the pieces, or take more and smaller packs."
    } else {
        ""
    };
    let note = format!(
        "Dried pieces are mostly pores, so a full container is mostly gas. The absorber takes up one and a half times \
         the oxygen inside, and what comes through the wall in a year. Use the kind that brings its own moisture, and \
         close the pack at once. After half a day the bag should be tight or the lid pulled in. If not, the seam \
         leaks.{rule}{small} Keep absorbers out of reach of children: they are not food."
    );
    table("one closed pack", String::new(), &columns, packing, row, note)
}

fn bench(packing: &Packing) -> Table {
    let unit = packing.units.small_mass().name;
    let columns = [Column::words(format!("1 {unit} on 100 {unit} in"), 24), Column::words("left open it ends at", 20)];
    let row = |f: &FoodPacks| {
        let time = match f.bench.pickup_s {
            Some(time) => format!("{} to {}", kitchen_time(time.draught), kitchen_time(time.still_air)),
            None => "never".into(),
        };
        vec![time, format!("{} water", format::percent_1(f.bench.ends_at_wet_frac))]
    };
    let humidity = packing.foods.first().map_or_else(String::new, |f| format::percent(f.bench.humidity));
    let note = "The short time is in a draught, the long one in still air. Both are estimates: no measured values \
                were found, so put a tray on the scale and watch it. Pack within this time, and dry again what was \
                out longer.";
    table("on the bench", format!(", {humidity} humidity"), &columns, packing, row, note.into())
}

fn order(packing: &Packing) -> Words {
    let mut foods: Vec<&FoodPacks> = packing.foods.iter().collect();
    foods.sort_by(|a, b| a.eat_first_s.total_cmp(&b.eat_first_s));
    let list: Vec<String> = foods
        .iter()
        .map(|f| {
            let air = if f.keeping.without_oxygen { "" } else { ", in air" };
            let days = Duration::from_seconds(f.eat_first_s).days();
            let months = (days / 30.4).round();
            let after = if months >= 1.0 { format!("{months:.0} months") } else { format!("{days:.0} days") };
            format!("{} ({:.0} % fat{air}) {after}", f.food, 100.0 * f.fat_per_dry)
        })
        .collect();
    let shelf = packing
        .foods
        .first()
        .map_or_else(String::new, |f| format!(" at {}", packing.units.temperature(f.keeping.shelf_k)));
    Words::new(
        "best by",
        format!(
            "time until the best-by date: {}. It depends on fat, oxygen and the shelf{shelf}. Use the oldest first; \
             this is not an expiry date.",
            list.join("; ")
        ),
    )
}
