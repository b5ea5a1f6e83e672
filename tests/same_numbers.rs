//! One number for one thing: ready time, range, electricity, cost and cost of a serving are the same on the first screen, in the
//! details, the report, the bill, JSON, the page and the titles of charts, over random loads. The loads are invented.

use std::path::Path;

use icefront_core::ranges::Draws;
use icefront_kitchen::plan::document::Document;
use icefront_kitchen::plan::screen::Screen;
use icefront_kitchen::plan::{self, Run};
use icefront_kitchen::sheet::Sheet;
use icefront_kitchen::storage::Memory;
use icefront_kitchen::weather::clock::{Clock, Date};
use icefront_kitchen::{Look, bill, json, report};
use icefront_page::{Effort, Environment, Folder, Request, Settings, State, view};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngSeed, TestRunner};

const LOADS: usize = 50;
const SAMPLES: usize = 4;
const SEED: u32 = 1;

/// Text of a tray.
fn tray() -> impl Strategy<Value = String> {
    let food = prop_oneof![
        Just("apples, raw, without skin"),
        Just("rice, white, long-grain, regular, cooked"),
        Just("chili"),
        Just("yogurt, plain, whole milk"),
        Just("peas, green, frozen"),
        Just("orange juice"),
    ];
    let shape = prop_oneof![
        (6..16_u32).prop_map(|mm| format!("shape = \"layer\"\ndepth = \"{mm} mm\"\n")),
        (2..5_u32).prop_map(|eighths| format!("shape = \"layer\"\ndepth = \"about {eighths}/8 in\"\n")),
        (6..14_u32).prop_map(|mm| format!("shape = \"cubes\"\nsize = \"{mm} mm\"\n")),
    ];
    let frozen =
        any::<bool>().prop_map(|is| if is { "before_loading = { method = \"already frozen\" }\n" } else { "" });
    (food, shape, frozen).prop_map(|(food, shape, frozen)| format!("\n[[tray]]\nfood = \"{food}\"\n{shape}{frozen}"))
}

/// Text of a sheet with a price.
fn sheet() -> impl Strategy<Value = String> {
    let dryer = prop_oneof![Just("0.36 m2"), Just("0.60 m2")];
    let units = prop_oneof![Just("metric"), Just("us")];
    let trays = prop::collection::vec(tray(), 1..4);
    (dryer, units, 15..30_u32, 10..60_u32, prop::option::of(2..20_u32), trays).prop_map(
        |(dryer, units, room, cents, servings, trays)| {
            let servings = servings.map_or(String::new(), |n| format!("servings = {n}\n"));
            format!(
                "icefront = 1\ndryer = \"{dryer}\"\nunits = \"{units}\"\nroom = \"{room} °C\"\n{servings}\n[tariff]\n\
                 price_per_kwh = 0.{cents}\ncurrency = \"EUR\"\n{}",
                trays.concat()
            )
        },
    )
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// All that is said of one load, each with where it is said.
fn everywhere(text: &str, sheet: &Sheet, run: &Run) -> Vec<(&'static str, String)> {
    let draws = Draws { count: SAMPLES, seed: SEED, threads: None };
    let screen = Screen { source: "load.toml", sheet, run, start: None, assumed: &[] }.text(Look::Plain);
    let document = Document::new("load.toml", sheet, run, None);
    let charts: String = plan::charts(run).unwrap().into_iter().map(|chart| chart.svg).collect();
    let question = bill::Question { sheet, draws: &draws, start_s: 0.0 };
    let (billed, packing) = bill::bill(&question).unwrap();
    let folder = Folder::new(Path::new(""), Memory::default());
    let settings = Settings { draws: SAMPLES, seed: SEED };
    let page = Environment { folder: &folder, settings, today: Date::constant(2026, 1, 15), link: None };
    let request = Request { sheet: text.into(), ..Request::default() };
    let all = [
        ("screen", screen),
        ("details", document.text(Look::Plain)),
        ("report", report::html(&document, run, Clock(0.0)).unwrap()),
        ("charts", charts),
        ("bill", bill::text("load.toml", &billed, &packing, Look::Plain)),
        ("page", view::page(&State::after(request, &page, Effort::Whole), None).into_string()),
    ];
    all.map(|(place, text)| (place, one_line(&text.replace('\u{a0}', " ")))).into()
}

#[test]
fn the_same_number_is_the_same_everywhere() {
    let config = Config { rng_seed: RngSeed::Fixed(22), failure_persistence: None, ..Config::default() };
    let mut runner = TestRunner::new(config);
    let mut with_servings = 0;
    for number in 0..LOADS {
        let text = sheet().new_tree(&mut runner).unwrap().current();
        let sheet: Sheet = text.parse().unwrap_or_else(|failure| panic!("{failure}\n{text}"));
        let run = Run::of(&sheet, &Draws { count: SAMPLES, seed: SEED, threads: None }).unwrap();
        let answer = json::value(&plan::answer(&run, None)).unwrap();
        let at = |path: &str| answer.pointer(path).and_then(serde_json::Value::as_f64);
        let needed = |path: &str| at(path).unwrap_or_else(|| panic!("load {number}: {path}: {answer:#}"));
        let (kwh, cost) = (needed("/energy_kwh/total/typical_run"), needed("/cost/typical_run"));
        let ready_h = needed("/time_h/food_ready/typical_run");
        let sentence = answer["range"]["sentence"].as_str().unwrap();
        let rounded = if ready_h < 5.0 { format!("{ready_h:.1}") } else { format!("{ready_h:.0}") };
        assert!(sentence.starts_with(&format!("Ready in about {rounded} h")), "load {number}: {ready_h}: {sentence}");
        let title = sentence.trim_end_matches('.');
        let electricity = format!("{kwh:.1} kWh");
        let money = format!("{cost:.2} EUR");
        let each = sheet.load.servings.map(|servings| format!("{:.2}", cost / servings));
        with_servings += usize::from(each.is_some());
        for (place, said) in everywhere(&text, &sheet, &run) {
            let has = |what: &str| {
                assert!(said.contains(what), "load {number}, {place}: `{what}` is missing\n{text}\n{said}")
            };
            has(&electricity);
            match place {
                // a bill says what it costs and counts servings by the packs
                "bill" => has(&money),
                "page" => {
                    // `Ready in about 19 h (13 to 22 h, 8 times in 10)` is short there
                    let short = title.trim_start_matches("Ready in about ").split(", 8 times").next().unwrap_or(title);
                    has(&format!("{short})"));
                    has(&money);
                    each.iter().for_each(|each| has(each));
                }
                "charts" => {
                    has(title);
                    has(&money);
                }
                _ => {
                    has(title);
                    has(&money);
                    each.iter().for_each(|each| has(&format!("{each} a serving")));
                    for end in ["low", "high"] {
                        has(&format!("{:.2}", needed(&format!("/cost/{end}"))));
                        has(&format!("{:.0}", needed(&format!("/energy_kwh/total/{end}"))));
                    }
                }
            }
        }
    }
    assert!(with_servings > LOADS / 4, "{with_servings}");
}
