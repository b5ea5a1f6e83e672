//! The three ways in one table.

use crate::blocks::{Column, Table};
use crate::format;
use crate::prefreeze::Course;
use crate::prefreeze::way::Way;
use crate::prefreeze::ways::{Answer, Question};
use crate::prefreeze::words::{clock, ready_s};

/// Trays first, then the batch after them.
pub fn table(question: &Question, answer: &Answer) -> Table {
    let ways = [&answer.outdoors, &answer.freezer, &answer.machine];
    let stay = question.night.stay;
    let mut rows = Vec::new();
    let mut row = |label: String, cells: [String; 3]| rows.push([label].into_iter().chain(cells).collect());
    for (index, tray) in question.load.trays.iter().enumerate() {
        let cell = |way: &Way| way.trays.get(index).map_or_else(String::new, |course| reached(question, course));
        row(format!("{}  {}", tray.name, tray.food), ways.map(cell));
    }
    let frozen = |way: &Way| if way.in_time() { "yes" } else { "no" }.to_string();
    row(format!("all of them, at {}", stay.until), before_only(ways, frozen));
    let hours = |seconds: f64| format!("{:.1}", format::in_hours(seconds));
    let ready = |way: &Way, from_s: f64| ready_s(way).map_or("not dry".to_string(), |s| hours(from_s + s));
    row("hours in the machine".into(), ways.map(|way| ready(way, 0.0)));
    row(format!("food out, hours after {}", stay.set_out), ways.map(|way| ready(way, way.wait_s)));
    let kwh = |joules: f64| format!("{:.1}", format::kilowatt_hours(joules));
    row("electricity of the dryer, kWh".into(), ways.map(|way| kwh(way.energy_j())));
    let tariff = &question.load.tariff;
    if let Some(price) = tariff.price_per_kwh {
        let cost = |way: &Way| format!("{:.2}", price * format::kilowatt_hours(way.energy_j()));
        row(format!("its cost, {}", tariff.currency), ways.map(cost));
    }
    let saved = |way: &Way| kwh(answer.machine.energy_j() - way.energy_j());
    row("saved against the machine, kWh".into(), before_only(ways, saved));
    let no_price = if tariff.price_per_kwh.is_some() { "" } else { " No cost without a [tariff]." };
    let after = format!(
        "A tray whose core is less than three quarters ice goes into the machine at once and freezes on there. The \
         others wait in the cold until the machine is cold. Food is taken to freeze in its own tray; a block that \
         was frozen in another dish touches the tray less well and dries more slowly (`already frozen` in a sheet). \
         All numbers are typical ones, as in `icefront plan --samples 0`.{no_price}"
    );
    let way = Column::number;
    Table::new("core at", [Column::words("", 34), way("outdoors"), way("freezer"), way("machine")], rows)
        .about(format!(" {}", question.load.units.temperature(question.wanted_k)))
        .note(after)
}

/// Cells that mean nothing for the machine.
fn before_only(ways: [&Way; 3], cell: impl Fn(&Way) -> String) -> [String; 3] {
    let [outdoors, freezer, _] = ways;
    [cell(outdoors), cell(freezer), "-".to_string()]
}

/// `21:40`, or how far it came.
fn reached(question: &Question, course: &Course) -> String {
    match course.reached_at_s {
        _ if course.was_frozen() => "came frozen".to_string(),
        Some(at_s) if course.is_frozen => clock(&question.night, at_s),
        _ => format!("no, {}", question.load.units.whole_degrees(course.end_k)),
    }
}
