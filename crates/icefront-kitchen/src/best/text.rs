//! A better arrangement as text: what to do, tray by tray, and what it is worth.

use icefront_core::decide::compare::{Difference, Quantity, Variant, Verdict};
use icefront_core::decide::grade::Grade;
use icefront_core::load::Tray;
use icefront_core::machine::{SetPoint, SetPointAt};
use icefront_core::shape::Shape;
use icefront_core::units::UnitSystem;

use crate::best::search::{Against, Aim, Answer, Drawn, Shelves};
use crate::blocks::{Column, Part, Table, Words, in_order};
use crate::compare::words::{per_kwh, verdict};
use crate::{Look, format, usable};

/// The whole report.
pub fn text(source: &str, aim: Aim, answer: &Answer, look: Look) -> String {
    let raw_moved = answer.raw_moved.then(|| Words::new("raw food", RAW_LOWEST));
    let parts: [&dyn Part; 8] = [
        &headline(source, aim, answer),
        &arrangement(answer),
        &raw_moved,
        &worth(answer),
        &Words::new("worth", gain(answer)),
        &shelves(answer),
        &in_the_sheet(answer),
        &Words::new("cautions", MIND),
    ];
    in_order(&parts, look)
}

const MIND: &str = "the search uses typical numbers and stops where no single step helps, so another arrangement may \
                    be as good. Never fill a tray above its rim. Run `icefront plan` on the new sheet and read its \
                    cautions. Nothing here is a guarantee.";

const RAW_LOWEST: &str =
    "raw food was moved to the lowest places, so that nothing of it falls on food that is eaten as it is.";

/// Units of the load.
fn units(answer: &Answer) -> UnitSystem {
    answer.given.load.units
}

fn headline(source: &str, aim: Aim, answer: &Answer) -> Words {
    let goal = match (aim, answer.limit_s) {
        (Aim::Hours, _) => "the same food ready soonest".to_string(),
        (Aim::CostPerKg, _) => format!("the least cost per {} of dried food", units(answer).large_mass().name),
        (Aim::ReadyBy { start, by }, Some(limit_s)) if limit_s.is_finite() => format!(
            "the most food ready by {by}, {:.1} h after the start at {start}, 9 times in 10",
            format::in_hours(limit_s)
        ),
        (Aim::ReadyBy { start, by }, _) => {
            format!("food ready by {by}, started at {start}. Not even a small load is ready within five days")
        }
    };
    let advice = if answer.arranged.is_as_given() {
        "Nothing better found. Keep your arrangement.".to_string()
    } else {
        gained(aim, answer)
    };
    Words::new("", format!("{advice} Aim: {goal}. Load: {source}."))
}

/// What the arrangement that was found is worth for its aim, in one sentence.
fn gained(aim: Aim, answer: &Answer) -> String {
    let middle = |quantity| [&answer.given, &answer.found].map(|v| v.quantiles(quantity).typical);
    let difference = &answer.difference;
    let percent = |ratio: f64| 100.0 * (ratio - 1.0).abs();
    let so = "if you arrange the trays like this, from the bottom";
    match aim {
        Aim::Hours => match (difference.food_ready.verdict, middle(Quantity::ReadyS)) {
            (Verdict::Lower, [given, found]) if given.is_finite() => {
                format!("Ready {:.1} h sooner {so}.", format::in_hours(given - found))
            }
            (Verdict::Lower, _) => format!("It gets dry {so}."),
            _ => format!("It may be ready a little sooner {so}, but the gain is not certain."),
        },
        Aim::CostPerKg => match difference.dried_kg_per_kwh.verdict {
            Verdict::Higher => {
                let ratio = difference.dried_kg_per_kwh.ratio.typical;
                format!("You get {:.0} % more dry food per kWh {so}.", percent(ratio))
            }
            _ => format!("It may cost a little less {so}, but the gain is not certain."),
        },
        Aim::ReadyBy { .. } => {
            let [given, found] = middle(Quantity::DriedKg);
            let [given, found] = [given, found].map(|kg| units(answer).large_mass().written(kg, 2));
            format!("{found} of dry food instead of {given} {so}.")
        }
    }
}

fn arrangement(answer: &Answer) -> Table {
    let rows = answer.rows().enumerate().map(|(place, (number, given, found))| {
        vec![
            format!("place {}", place + 1),
            format!("tray {}", number + 1),
            found.food.clone(),
            depth(&given.shape, units(answer)),
            depth(&found.shape, units(answer)),
            units(answer).mass((loaded_kg(found) * 100.0).round() / 100.0),
        ]
    });
    let words = [Column::words("", 11), Column::words("in the sheet", 12), Column::words("food", 20)];
    let numbers = ["depth given", "depth now", "food"].map(Column::number);
    Table::new("arrangement", [words, numbers].concat(), rows)
}

/// `15 mm`, or for pieces two deep `2 x 10 mm`, to half a millimetre.
fn depth(shape: &Shape, units: UnitSystem) -> String {
    const HALF_MILLIMETRE_M: f64 = 0.5e-3;
    let mm = |m: f64| units.length((m / HALF_MILLIMETRE_M).round() * HALF_MILLIMETRE_M);
    match shape {
        Shape::Layer { depth_m } => mm(*depth_m),
        Shape::Pieces { form, layers: 1, .. } => mm(form.lying().height_m),
        Shape::Pieces { form, layers, .. } => format!("{layers} x {}", mm(form.lying().height_m)),
    }
}

/// Food on a tray, kg.
pub(super) fn loaded_kg(tray: &Tray) -> f64 {
    tray.model.density_kg_per_m3 * tray.area_m2 * tray.shape.volume_per_area_m()
}

fn worth(answer: &Answer) -> Table {
    let Against { food_ready, energy, dried_kg, dried_kg_per_kwh } = &answer.difference;
    let unit = units(answer).large_mass();
    let row = |what: &str,
               of: Quantity,
               unit: &dyn Fn(f64) -> f64,
               digits: usize,
               d: &Difference,
               [more, less]: [&str; 2]| {
        let middle = |variant: &Variant| format::or_never(unit(variant.quantiles(of).typical), digits);
        let [middle_ratio, low, high] = [d.ratio.typical, d.ratio.low, d.ratio.high].map(|x| format::or_never(x, 2));
        let ratio = format!("x {middle_ratio} ({low} to {high})");
        vec![what.into(), middle(&answer.given), middle(&answer.found), ratio, verdict(d.verdict, more, less).into()]
    };
    let rows = [
        row("hours until ready", Quantity::ReadyS, &format::in_hours, 1, food_ready, ["longer", "shorter"]),
        row("kWh", Quantity::EnergyJ, &format::kilowatt_hours, 1, energy, ["more", "less"]),
        row(&format!("dry food, {}", unit.name), Quantity::DriedKg, &|kg| unit.of(kg), 2, dried_kg, ["more", "less"]),
        row(
            &format!("dry {} per kWh", unit.name),
            Quantity::DriedKgPerJ,
            &|x| unit.of(per_kwh(x)),
            3,
            dried_kg_per_kwh,
            ["better", "worse"],
        ),
    ];
    let [given, arranged, ratio] = ["given", "arranged", "ratio"].map(Column::number);
    Table::new("against the sheet", [Column::words("", 20), given, arranged, ratio, Column::words("", 13)], rows).note(
        "Typical values of the same samples. The ratio in brackets is lower 1 time in 10 and higher 1 time in \
               10.",
    )
}

/// What to heat the shelves to.
fn shelves(answer: &Answer) -> Option<Table> {
    let Shelves { given, gentlest, fastest } = answer.shelves.as_ref()?;
    let row = |what: &str, drawn: &Drawn| {
        let q = drawn.variant.quantiles(Quantity::ReadyS).map(format::in_hours);
        let cell = |x| format::or_never(x, 1);
        let trays = answer.found.load.trays.iter().zip(&drawn.setting.grades);
        let worst = trays.max_by_key(|(_, grade)| **grade);
        let grade = worst.map_or(String::new(), |(tray, grade)| match grade {
            Grade::Keeps => "all keep their texture".to_string(),
            grade => format!("{} {}", tray.name, usable::words(*grade)),
        });
        vec![
            what.to_string(),
            format!("{} ({} to {})", cell(q.typical), cell(q.low), cell(q.high)),
            grade,
            set_point(&drawn.setting.set_point, units(answer)),
        ]
    };
    let rows = if gentlest.setting == fastest.setting {
        vec![row("as given", given), row("both", fastest)]
    } else {
        vec![row("as given", given), row("gentlest", gentlest), row("fastest", fastest)]
    };
    let columns = [
        Column::words("", 8),
        Column::words("hours until ready", 21),
        Column::words("texture", 24),
        Column::words("shelves at", 18),
    ];
    Some(Table::new("shelves", columns, rows).note(
        "Gentlest keeps the ice coldest. Fastest is ready soonest without a worse texture on any tray. Both: one \
         setting is both. No setting is warmer than the load's own. Hours are from samples; texture is from typical \
         numbers.",
    ))
}

/// `50 °C`, or on two lines `30 °C for 12.5 h, then 50 °C`
fn set_point(shelves: &SetPoint, units: UnitSystem) -> String {
    match shelves.points() {
        [only] => units.temperature(only.shelf_k),
        [low, high] => format!(
            "{} for {} h\nthen {}",
            units.temperature(low.shelf_k),
            format::digits(format::in_hours(low.time_s)),
            units.temperature(high.shelf_k)
        ),
        points => format!("{} steps up to {}", points.len(), units.temperature(shelves.warmest_k())),
    }
}

/// The line that makes a sheet follow the fastest setting; none where the sheet does already.
fn in_the_sheet(answer: &Answer) -> Option<Words> {
    let Shelves { given, fastest, .. } = answer.shelves.as_ref()?;
    let points = fastest.setting.set_point.points();
    let value = match points {
        [only] => format!("\"{}\"", units(answer).temperature(only.shelf_k)),
        points => {
            let entry = |point: &SetPointAt| {
                let (after, shelf) =
                    (format::digits(format::in_hours(point.time_s)), units(answer).temperature(point.shelf_k));
                format!("{{ after = \"{after} h\", temperature = \"{shelf}\" }}")
            };
            format!("[{}]", points.iter().map(entry).collect::<Vec<_>>().join(", "))
        }
    };
    let differs = given.setting.set_point != fastest.setting.set_point;
    differs.then(|| Words::new("in the sheet", format!("for the fastest, write at its top: shelf = {value}")))
}

fn gain(answer: &Answer) -> String {
    let [given, found] = [&answer.given, &answer.found].map(|v| v.quantiles(Quantity::ReadyS));
    let range = if found.high.is_finite() {
        let (low, high) = (format::in_hours(found.low).floor(), format::in_hours(found.high).ceil());
        format!("ready after {low:.0} to {high:.0} h, 8 times in 10")
    } else {
        "more than 1 time in 10 it never gets dry".to_string()
    };
    let saved = match answer.difference.food_ready.verdict {
        Verdict::Lower if given.typical.is_infinite() => {
            ", where the sheet's own plan mostly never gets dry".to_string()
        }
        Verdict::Lower => {
            format!(", about {:.1} h sooner than the sheet's own plan", format::in_hours(given.typical - found.typical))
        }
        _ => String::new(),
    };
    let grave = |v: &Variant| format!("{:.0} in 100", 100.0 * v.grave_chance());
    format!(
        "{range}{saved}. Chance that something goes wrong: {}; as given {}.",
        grave(&answer.found),
        grave(&answer.given)
    )
}
