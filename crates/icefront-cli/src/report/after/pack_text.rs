//! `icefront pack` as text: 80 columns, one table per question.

use icefront_core::aftercare::Soak;
use icefront_core::food::Band;
use icefront_core::units::{Duration, Length, Mass};

use super::{food_energy, kitchen_mass, kitchen_time, kitchen_volume, kitchen_water, plain, safety};
use crate::after::packing::{FoodPacks, Packing, RULE_SACHET_M3};
use crate::report::wrap;
use crate::report::wrap::fit;
use crate::show;
use crate::show::percent;

/// Mark of a container that does not hold what is to go in.
const TOO_SMALL: &str = "; TOO SMALL";

/// The whole report. `source` says what the load was read from.
pub fn pack(source: &str, packing: &Packing) -> String {
    [
        headline(source, packing),
        packs(packing),
        soak(packing),
        closed(packing),
        bench(packing),
        order(packing),
        safety::text(packing),
    ]
    .join("\n")
}

fn headline(source: &str, packing: &Packing) -> String {
    let foods = &packing.foods;
    let (packs, dried_kg) =
        (foods.iter().map(|f| f.packs.count).sum::<usize>(), foods.iter().map(|f| f.whole.dried_kg()).sum());
    let fresh_kg = foods.iter().map(|f| f.whole.fresh_kg).sum();
    let from = if foods.iter().all(|f| f.weighed) {
        "as weighed"
    } else if foods.iter().any(|f| f.weighed) {
        "as weighed where a tray has `dried`, else as planned"
    } else {
        "as planned; weigh the dried food and give `dried` for each tray to know"
    };
    let what = format!(
        "{source}: {} of food becomes {} in {packs} packs, {from}.",
        kitchen_mass(fresh_kg),
        kitchen_mass(dried_kg)
    );
    wrap("", &what)
}

fn table(head: &str, packing: &Packing, row: impl Fn(&FoodPacks) -> String) -> String {
    let rows = packing.foods.iter().map(|f| format!("  {} {}\n", fit(&f.food, 15), row(f).trim_end()));
    format!("{head}\n{}", rows.collect::<String>())
}

fn packs(packing: &Packing) -> String {
    let head = "PACKS            packs servings  dried in one      water to add to one";
    let table = table(head, packing, |f| {
        let dried = format!("{}{}", kitchen_mass(f.pack_dried_kg.typical), span_g(&f.pack_dried_kg));
        format!(
            "{:>4} {:>8}  {dried:<17} {}",
            f.packs.count,
            plain((10.0 * f.servings_per_pack).round() / 10.0),
            kitchen_water(f.pack_water_kg.typical)
        )
    });
    let assumed = packing.foods.iter().find(|f| f.serving_assumed);
    let assumed = assumed.map_or_else(String::new, |f| {
        format!(" Nobody told what a serving is: {} as it went on the tray is taken.", kitchen_mass(f.serving_kg))
    });
    let note = format!(
        "Divide each food into so many equal packs. In brackets: one in ten below, one above; foods of one name differ that \
         much, and your scale knows better. The water is all that left: in a sauce or soup add it and stir, with pieces \
         soak in it and pour off what they leave.{assumed}"
    );
    table + &wrap("  ", &note)
}

fn grams(kilograms: f64) -> f64 {
    Mass::from_kilograms(kilograms).grams()
}

/// ` (50 to 67)`, in grams, where a range was drawn.
fn span_g(band: &Band) -> String {
    if band.high - band.low < 1e-9 {
        return String::new();
    }
    format!(" ({:.0} to {:.0})", grams(band.low), grams(band.high))
}

fn soak(packing: &Packing) -> String {
    let head = "BACK TO A MEAL    thick  just boiled  tap water   takes up    energy in one";
    let span = |s: &Soak| {
        let minutes = |s: f64| Duration::from_seconds(s).minutes();
        if s.high_s < 90.0 {
            format!("{:.0}-{:.0} s", s.low_s, s.high_s)
        } else {
            format!("{}-{:.0} min", plain((2.0 * minutes(s.low_s)).round() / 2.0), minutes(s.high_s).ceil())
        }
    };
    let table = table(head, packing, |f| {
        format!(
            "{:>5}  {} {} {} {}",
            format!("{:.0} mm", Length::from_metres(f.thickness_m).millimetres()),
            fit(&span(&f.soak_hot), 12),
            fit(&span(&f.soak_cold), 11),
            fit(
                &format!(
                    "{:.0}-{:.0} ml",
                    grams(f.recovery.low * f.pack_water_kg.low),
                    grams(f.recovery.high * f.pack_water_kg.high)
                ),
                11
            ),
            food_energy(f.pack_energy_j)
        )
    });
    let note = "Time until most pieces are wet to the core; it goes with thickness squared, so a layer crumbled to half is \
                four times faster. Published numbers are thin: a rapid phase of half a minute for fruit pieces, up to 90 % \
                of the water regained, and none for whole meals, rice, egg or fish; for thick pieces of meat cut one open.";
    table + &wrap("  ", note)
}

fn closed(packing: &Packing) -> String {
    let head = "ONE CLOSED PACK container  food fills  oxygen  absorber";
    let table = table(head, packing, |f| {
        let absorber = match (f.oxygen.absorbers, f.oxygen.kept_out) {
            (0, true) => "none".into(),
            (0, false) => "of no use in this wall".into(),
            (n, _) => format!("{n} of {}", kitchen_volume(f.oxygen.absorber_m3)),
        };
        let tight = if f.container_told && f.filled.bulk_m3.typical > f.filled.container_m3 { TOO_SMALL } else { "" };
        format!(
            "{:>8}  {:>10}  {:>6}  {absorber}{tight}",
            kitchen_volume(f.filled.container_m3),
            kitchen_volume(f.filled.bulk_m3.typical),
            kitchen_volume(f.filled.oxygen_m3)
        )
    });
    let rule = packing.foods.iter().map(|f| f.oxygen.rule_leaves_frac).fold(0.0, f64::max);
    let rule = if rule > 0.01 {
        format!(
            " The usual rule, one of {} for up to 3.8 L, is made for grain: it would leave up to {} oxygen here.",
            kitchen_volume(RULE_SACHET_M3),
            show::percent_1(rule)
        )
    } else {
        String::new()
    };
    let small =
        if table.contains(TOO_SMALL) { " Too small: crush the pieces, or take more and smaller packs." } else { "" };
    let note = format!(
        "Dried pieces are mostly pores, so a full container is mostly gas. The absorber is sized for one and a half times \
         the oxygen inside and what passes the wall in a year. Take the kind that brings its own moisture, close at once, \
         look after half a day: a bag draws tight, a lid is pulled in; if not, the seam leaks.{rule}{small} Keep absorbers out of \
         reach of children: they are not food."
    );
    table + &wrap("  ", &note)
}

fn bench(packing: &Packing) -> String {
    let humidity = packing.foods.first().map_or(0.5, |f| f.bench.humidity);
    let head = format!("ON THE BENCH, {} humidity 1 g on 100 g in   left open it ends at", percent(humidity));
    let table = table(&head, packing, |f| {
        let time = match f.bench.pickup_s {
            Some((draught, still)) => format!("{} to {}", kitchen_time(draught), kitchen_time(still)),
            None => "never".into(),
        };
        format!("        {} {} water", fit(&time, 18), show::percent_1(f.bench.ends_at_wet_frac))
    });
    let note = "From a draught to still air, by the film of air alone; no measured rate of a freeze-dried food was found, so \
                put a tray on the scale and watch it. Pack within this time; what stood longer goes back to dry.";
    table + &wrap("  ", note)
}

fn order(packing: &Packing) -> String {
    let mut foods: Vec<&FoodPacks> = packing.foods.iter().collect();
    foods.sort_by(|a, b| a.eat_first_s.total_cmp(&b.eat_first_s));
    let list: Vec<String> = foods
        .iter()
        .map(|f| {
            let air = if f.keeping.without_oxygen { "" } else { ", in air" };
            let (days, fat) = (Duration::from_seconds(f.eat_first_s).days(), percent_0(f.fat_per_dry));
            let months = (days / 30.4).round();
            let after = if months >= 1.0 { format!("{months:.0} months") } else { format!("{days:.0} days") };
            format!("{} ({fat} fat{air}): {after}", f.food)
        })
        .collect();
    let text = format!(
        "EAT FIRST, printed on the label as a date: {}. By fat, oxygen and the shelf at {}; on the short side, for order \
         only.",
        list.join("; "),
        show::celsius(packing.foods.first().map_or(293.15, |f| f.keeping.shelf_k))
    );
    wrap("", &text)
}

fn percent_0(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}
