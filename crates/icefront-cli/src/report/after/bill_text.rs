//! `icefront bill` as text.

use icefront_core::tariff::Start;

use crate::after::bill::{Bill, Way, WayKind};
use crate::after::packing::Packing;
use crate::report::wrap;
use crate::report::wrap::fit;
use crate::show;
use crate::weather::clock::Clock;

/// The whole bill. `source` says what the load was read from.
pub fn bill(source: &str, bill: &Bill, packing: &Packing) -> String {
    let mut parts = vec![headline(source, bill), foods(bill)];
    parts.extend(ingredients(bill));
    parts.push(hours(bill));
    parts.push(ways(bill));
    parts.push(mind(bill, packing));
    parts.join("\n")
}

fn money(amount: f64) -> String {
    format!("{amount:.2}")
}

fn headline(source: &str, bill: &Bill) -> String {
    let (currency, each) = (&bill.currency, bill.total.typical / bill.servings);
    let range = if bill.total.high > bill.total.low {
        format!(" ({} to {}, one in ten below and above)", money(bill.total.low), money(bill.total.high))
    } else {
        String::new()
    };
    wrap(
        "",
        &format!(
            "{source}: {} {currency}{range}, {} {currency} a serving ({:.1} servings). Electricity {:.1} kWh, {} \
             {currency}, started at {}.",
            money(bill.total.typical),
            money(each),
            bill.servings,
            show::kilowatt_hours(bill.energy_j.typical),
            money(bill.electricity.typical),
            Clock(bill.start.of_day_s)
        ),
    )
}

fn foods(bill: &Bill) -> String {
    let mut table =
        format!("BILL, {} packs  food  electricity  packs  absorbers   total  a serving\n", fit(&bill.currency, 12));
    let cell = |x: Option<f64>| x.map_or_else(|| "-".into(), money);
    for f in &bill.foods {
        table.push_str(&format!(
            "  {} {:>6} {:>5} {:>12} {:>6} {:>10} {:>7} {:>10}\n",
            fit(&f.food, 14),
            f.packs,
            cell(f.ingredients),
            money(f.electricity),
            cell(f.containers),
            cell(f.absorbers),
            money(f.total()),
            money(f.total() / f.servings)
        ));
    }
    table + &wrap("  ", "Electricity is shared by the water taken out. -: no price told.")
}

fn ingredients(bill: &Bill) -> Option<String> {
    let mut text = String::new();
    if !bill.ingredients.is_empty() {
        text.push_str("INGREDIENTS                        used   purchases    cost\n");
    }
    for i in &bill.ingredients {
        text.push_str(&format!(
            "  {} {:>8} {:>11.2} {:>7}\n",
            fit(&i.name, 28),
            show::mass(round_g(i.used_kg)),
            i.share,
            money(i.cost)
        ));
    }
    if !bill.unpriced.is_empty() {
        text += &wrap("  ", &format!("Not counted, no [price] told: {}.", bill.unpriced.join(", ")));
    }
    (!text.is_empty()).then_some(text)
}

/// To the gram.
fn round_g(kilograms: f64) -> f64 {
    (1000.0 * kilograms).round() / 1000.0
}

fn hours(bill: &Bill) -> String {
    let by_cost = |a: &&Start, b: &&Start| a.cost.total_cmp(&b.cost);
    let (Some(best), Some(worst)) = (bill.starts.iter().min_by(by_cost), bill.starts.iter().max_by(by_cost)) else {
        return String::new();
    };
    let currency = &bill.currency;
    let text = if bill.rates.periods.is_empty() {
        format!(
            "WHEN TO START: one price at all hours ({} {currency} per kWh), so it does not matter. [[tariff.period]] tells \
             cheaper or dearer hours.",
            show::digits(bill.rates.base_per_kwh)
        )
    } else {
        format!(
            "WHEN TO START: cheapest at {} with {} {currency}, dearest at {} with {}; at {} it is {}. Over a day and more \
             the hours even out.",
            Clock(best.of_day_s),
            money(best.cost),
            Clock(worst.of_day_s),
            money(worst.cost),
            Clock(bill.start.of_day_s),
            money(bill.start.cost)
        )
    };
    wrap("", &text)
}

fn ways(bill: &Bill) -> String {
    let mut table = "OTHER WAYS              food, kg  ready, h     kWh  electricity  a serving\n".to_string();
    for way in &bill.ways {
        let ready = way.food_ready_s.map_or_else(|| "no".into(), |s| format!("{:.1}", s / 3600.0));
        table.push_str(&format!(
            "  {} {:>9.2} {:>9} {:>7.1} {:>12} {:>10}\n",
            fit(name(way), 20),
            way.fresh_kg,
            ready,
            show::kilowatt_hours(way.energy_j + way.freezer_energy_j),
            money(way.cost),
            money(way.per_serving)
        ));
    }
    let note = "Electricity alone, with typical numbers and the same start. Freezer: at -18 C, its own electricity counted \
                (1.4 J of heat per J, from memory). A night outdoors is free: `icefront prefreeze`. ready: no = it does not \
                get dry.";
    table + &wrap("  ", note)
}

fn name(way: &Way) -> &'static str {
    match way.kind {
        WayKind::AsTold => "as told",
        WayKind::FrozenBefore => "frozen in a freezer",
        WayKind::HalfTheTrays => "every second tray",
        WayKind::EveryShelf => "every shelf loaded",
    }
}

fn mind(bill: &Bill, packing: &Packing) -> String {
    let mut list = vec![
        "Not in it: the dryer's wear, the pump's oil, your work, the cooking before. A fixed charge of the tariff is no cost \
         of this batch; in a tariff by blocks, give the price of the block you are in."
            .to_string(),
        "A timer that starts the machine at a cheap hour must not leave food waiting warm: load it frozen, or keep it cold \
         until then."
            .to_string(),
    ];
    if packing.foods.iter().any(|f| !f.dry_enough) {
        list.insert(0, "The plan does not get all of it dry: see `icefront pack` before reckoning on it.".into());
    }
    if bill.foods.iter().all(|f| f.containers.is_none()) {
        list.push("Packs and absorbers are counted once `price` and `absorber_price` stand in [pack].".into());
    }
    format!("MIND\n{}", list.iter().map(|c| wrap("- ", c)).collect::<String>())
}
