//! `icefront bill` in words.

use icefront_core::tariff::Start;

use crate::bill::account::{Bill, FREEZER_K, Way, WayKind};
use crate::blocks::{Column, List, Table, Words, in_order};
use crate::pack::amounts::kitchen_mass;
use crate::pack::packing::Packing;
use crate::pack::safety;
use crate::weather::clock::Clock;
use crate::{Look, format};

/// The whole bill. `source` says what the load was read from.
pub fn bill(source: &str, bill: &Bill, packing: &Packing, look: Look) -> String {
    in_order(
        &[
            &headline(source, bill),
            &foods(bill),
            &ingredients(bill),
            &unpriced(bill),
            &hours(bill),
            &ways(bill),
            &mind(bill, packing),
        ],
        look,
    )
}

fn money(amount: f64) -> String {
    format!("{amount:.2}")
}

fn headline(source: &str, bill: &Bill) -> Words {
    let (currency, each) = (&bill.currency, bill.total.typical_run / bill.servings);
    let range = (bill.total.high > bill.total.low)
        .then(|| format!(" ({} to {}, 8 times in 10)", money(bill.total.low), money(bill.total.high)));
    Words::new(
        "",
        format!(
            "This batch costs {} {currency}{}, or {} {currency} a serving ({} servings). Electricity: {:.1} kWh, {} \
             {currency}, started at {}. Load: {source}.",
            money(bill.total.typical_run),
            range.unwrap_or_default(),
            money(each),
            format::trimmed(bill.servings, 1),
            format::kilowatt_hours(bill.energy_j.typical_run),
            money(bill.electricity.typical_run),
            Clock(bill.start.of_day_s)
        ),
    )
}

fn foods(bill: &Bill) -> Table {
    let cell = |x: Option<f64>| x.map_or_else(|| "-".into(), money);
    let row = |f: &crate::bill::account::FoodBill| {
        vec![
            f.food.clone(),
            f.packs.to_string(),
            cell(f.ingredients),
            money(f.electricity),
            cell(f.packing()),
            money(f.total()),
            money(f.total() / f.servings),
        ]
    };
    let columns = ["packs", "food", "electricity", "packing", "total", "a serving"];
    Table::of_numbers("bill", Column::words("", 15), columns, bill.foods.iter().map(row))
        .about(format!(", {}", bill.currency))
        .note(
            "Electricity is shared out by the water removed. Packing is empty packs and absorbers. -: no price \
               given.",
        )
}

fn ingredients(bill: &Bill) -> Option<Table> {
    let rows = bill.ingredients.iter();
    let rows = rows.map(|i| vec![i.name.clone(), kitchen_mass(i.used_kg, bill.units), money(i.share), money(i.cost)]);
    let columns = ["used", "purchases", "cost"];
    (!bill.ingredients.is_empty()).then(|| Table::of_numbers("ingredients", Column::words("", 30), columns, rows))
}

fn unpriced(bill: &Bill) -> Option<Words> {
    let list = bill.unpriced.join(", ");
    (!list.is_empty()).then(|| Words::new("not counted", format!("no [price] of {list}.")))
}

fn hours(bill: &Bill) -> Option<Words> {
    let by_cost = |a: &&Start, b: &&Start| a.cost.total_cmp(&b.cost);
    let (best, worst) = (bill.starts.iter().min_by(by_cost)?, bill.starts.iter().max_by(by_cost)?);
    let currency = &bill.currency;
    let text = if bill.rates.periods.is_empty() {
        format!(
            "any time: the price is {} {currency} per kWh all day. Add [[tariff.period]] for cheaper or more \
             expensive hours.",
            format::digits(bill.rates.base_per_kwh)
        )
    } else {
        format!(
            "cheapest at {} ({} {currency}), most expensive at {} ({}); at {} it costs {}. A run of a day or more \
             evens this out.",
            Clock(best.of_day_s),
            money(best.cost),
            Clock(worst.of_day_s),
            money(worst.cost),
            Clock(bill.start.of_day_s),
            money(bill.start.cost)
        )
    };
    Some(Words::new("when to start", text))
}

fn ways(bill: &Bill) -> Table {
    let mass = bill.units.large_mass();
    let row = |way: &Way| {
        vec![
            name(way).to_string(),
            format!("{:.2}", mass.of(way.fresh_kg)),
            format::hour(way.food_ready_s),
            format!("{:.1}", format::kilowatt_hours(way.energy_j + way.freezer_energy_j)),
            money(way.cost),
            money(way.per_serving),
        ]
    };
    let note = format!(
        "Electricity alone, with typical numbers and the same start. The freezer is at {} and its own \
         electricity is counted (1.4 J of heat per J, from memory). A night outdoors is free: see `icefront prefreeze`. \
         'no' under ready: it does not get dry.",
        bill.units.temperature(FREEZER_K)
    );
    let food = Column::number(format!("food, {}", mass.name));
    let rest = ["ready, h", "kWh", "cost", "a serving"].map(Column::number);
    let columns = [Column::words("", 20), food].into_iter().chain(rest);
    Table::new("other ways", columns, bill.ways.iter().map(row)).note(note)
}

fn name(way: &Way) -> &'static str {
    match way.kind {
        WayKind::AsGiven => "as given",
        WayKind::FrozenBefore => "frozen in a freezer",
        WayKind::HalfTheTrays => "every second tray",
        WayKind::EveryShelf => "every shelf loaded",
    }
}

fn mind(bill: &Bill, packing: &Packing) -> List {
    let mut items = Vec::new();
    if packing.foods.iter().any(|f| !f.dry_enough) {
        items.push(
            "Not all of the food gets dry in this plan: check `icefront pack` before you count on these costs."
                .to_string(),
        );
    }
    items.push(
        "Not counted: wear of the dryer, pump oil, your work, cooking. Leave out the fixed charge of your tariff. If \
         your price changes with use, give the price you pay now."
            .into(),
    );
    items.push(safety::TIMER.into());
    if bill.foods.iter().all(|f| f.containers.is_none()) {
        items.push("To count packs and absorbers, add `price` and `absorber_price` to [pack].".into());
    }
    List { label: "cautions", items }
}
