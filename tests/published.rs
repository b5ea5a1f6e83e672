//! Predictions against published standards, exact solutions, handbooks and experiments: the rows of `icefront evidence`.
//!
//! Data: `data/published/`, each number with its source. A row must be within its tolerance (or inside its predicted
//! range), unless `data/published/known_misses.csv` lists it with a reason; a listed row that is near enough fails too.
//! The table that `icefront-kitchen` embeds, and the page of the docs, must be up to date.

use std::path::Path;
use std::sync::OnceLock;

use icefront_kitchen::evidence::{Fitted, Measure, NO_SOURCE, Row, Table, Verdict, markdown};
use icefront_validation::evidence;
use serde_json::Value;

/// The table, computed once for all tests.
fn table() -> &'static Table {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE.get_or_init(|| evidence::table().unwrap())
}

fn rows(group: &str) -> Vec<&'static Row> {
    let rows: Vec<&Row> = table().rows.iter().filter(|row| row.group == group).collect();
    assert!(!rows.is_empty(), "no rows in `{group}`");
    rows
}

/// Got, expected, difference, tolerance and source of a row that is not near enough.
fn complaint(row: &Row) -> String {
    let source = table().sources.iter().find(|source| source.key == row.source).unwrap();
    let tolerance = match (row.measure, row.allowed) {
        (Measure::Range, _) => "the predicted 10 to 90 % range".into(),
        (measure, allowed) => format!("{allowed:?} ({measure:?}; {})", row.reason),
    };
    let listed = match row.verdict {
        Verdict::HoldsUnexpectedly => {
            "\n  it is near enough, yet data/published/known_misses.csv lists it as a miss: take it off the list"
        }
        _ => "",
    };
    format!(
        "{}: {} at {}\n  got {:?} {unit}, expected {:?} {unit}, off {}, tolerance {tolerance}\n  source: {} {}, {}{listed}",
        row.id,
        row.quantity,
        row.conditions,
        row.predicted,
        row.published,
        row.deviation,
        source.authors,
        source.year,
        source.title,
        unit = row.unit,
    )
}

#[track_caller]
fn group_holds(group: &str) {
    let wrong = rows(group).into_iter().filter(|row| !matches!(row.verdict, Verdict::Holds | Verdict::KnownMiss));
    let complaints: Vec<String> = wrong.map(complaint).collect();
    assert!(complaints.is_empty(), "{} rows of `{group}`:\n{}", complaints.len(), complaints.join("\n"));
}

/// Choi and Okos 1986.
#[test]
fn components() {
    group_holds("components");
}

/// ASHRAE worked examples and table 3, Sweat et al. 1973, FAO 340, Arellano 2012.
#[test]
fn mixtures() {
    group_holds("mixtures, textbook");
    group_holds("mixtures, measured");
}

/// Handbook freezing points and measured sugar solutions; nothing was fitted to the foods.
#[test]
fn initial_freezing_points() {
    group_holds("initial freezing points");
    let off_k: Vec<f64> = rows("initial freezing points")
        .iter()
        .filter(|row| row.measure == Measure::Absolute)
        .map(|row| row.deviation)
        .collect();
    let bias_k = off_k.iter().sum::<f64>() / off_k.len() as f64;
    let spread_k = (off_k.iter().map(|k| (k - bias_k).powi(2)).sum::<f64>() / off_k.len() as f64).sqrt();
    assert!(off_k.len() >= 40 && bias_k.abs() < 0.1 && spread_k < 0.45, "bias {bias_k} K, spread {spread_k} K");
}

/// IAPWS R14-08, R6-95, R10-06, R15-11, SR1-86; Murphy and Koop 2005; Hellmann and Vogel 2015; Slack 1980.
#[test]
fn ice_and_vapour() {
    group_holds("ice and vapour");
}

/// Neumann's solution and the Fourier series, on 100 cells and on the 10 of a batch.
#[test]
fn freezing_exact() {
    group_holds("freezing, exact");
    let check_grid = rows("freezing, exact").into_iter().filter(|row| row.conditions.contains("cells=100;"));
    let misses: Vec<String> = check_grid.filter(|row| row.verdict != Verdict::Holds).map(complaint).collect();
    assert!(misses.is_empty(), "no row of the check grid may miss:\n{}", misses.join("\n"));
}

/// Plank, Pham, worked examples, measured times.
#[test]
fn freezing_times() {
    group_holds("freezing times, textbook");
    group_holds("freezing times, measured");
}

/// Plates, walls, streams, wind and sky.
#[test]
fn convection_and_sky() {
    group_holds("convection and sky");
}

/// Hertz and Knudsen, choked flow, mean free path.
#[test]
fn vapour_flow() {
    group_holds("vapour flow");
}

/// Gas gaps and grey plates.
#[test]
fn shelf_heat_transfer() {
    group_holds("shelf heat transfer");
}

/// R404A cycles computed with `CoolProp`.
#[test]
fn refrigeration_cycle() {
    group_holds("refrigeration cycle");
}

/// Five published compressor curves at a condensing temperature that the fit did not use.
#[test]
fn compressor_curves() {
    group_holds("compressor curves");
}

/// Pump-down examples, leaks, lower bounds on electricity.
#[test]
fn pump_down_and_energy() {
    group_holds("pump-down, textbook");
    group_holds("electricity, bounds");
}

/// Isotherms, monolayers, desorption, conductivity.
#[test]
fn dried_food() {
    group_holds("dried food, arithmetic");
    group_holds("dried food, measured");
}

/// A worked operating point and exact slabs, with the steps of a batch and with fine ones: all inputs are published, so no
/// row with fine steps may miss.
#[test]
fn drying_worked() {
    group_holds("drying, worked and exact");
    let fine = rows("drying, worked and exact").into_iter().filter(|row| row.conditions.contains("steps=fine"));
    let misses: Vec<String> = fine.filter(|row| row.verdict != Verdict::Holds).map(complaint).collect();
    assert!(misses.is_empty(), "{}", misses.join("\n"));
}

/// Usual times of textbooks, whose experiments are not named.
#[test]
fn drying_textbook() {
    group_holds("drying, textbook");
    group_holds("drying, textbook ratios");
}

/// Experiments with inputs missing, nothing fitted: most published figures lie in the predicted range, as many as four
/// in five by a binomial test at 5 %.
#[test]
fn drying_experiments() {
    group_holds("drying, experiments");
    let summary = table().summaries.iter().find(|summary| summary.group == "drying, experiments").unwrap();
    // rows that a default was set on do not count
    assert!(summary.judged.ranges >= 25, "{summary:?}");
    assert!(summary.judged.ranges_pass(), "{summary:?}");
}

/// Every set of drying times, by its score against that of the first version of the model on the same rows: a wider
/// range does not help.
#[test]
fn drying_times_score_no_worse_than_the_first_version() {
    assert_eq!(table().drying_times.len(), 4);
    for set in &table().drying_times {
        println!("{}: {:?}, first version {:?}", set.set, set.now, set.first);
        assert_eq!(set.now.ratios, set.first.ratios, "{}: a row without its first version", set.set);
        assert!(set.now.ranges_pass(), "{set:?}");
        assert!(set.now.score.unwrap() <= 1.001 * set.first.score.unwrap(), "{set:?}");
    }
}

/// Who reads a row sees what was drawn for it.
#[test]
fn what_was_drawn_is_named() {
    let drawn = table().rows.iter().filter(|row| row.score.is_some());
    let unnamed: Vec<&str> =
        drawn.filter(|row| row.drawn.as_ref().is_none_or(String::is_empty)).map(|row| row.id.as_str()).collect();
    assert!(unnamed.is_empty(), "{unnamed:?}");
}

/// Ratios of two runs of one publication.
#[test]
fn drying_ratios() {
    group_holds("drying, ratios");
}

/// Curves after one number was fitted on their first quarter.
#[test]
fn drying_curves() {
    group_holds("drying, curves");
    assert!(rows("drying, curves").iter().all(|row| row.fitted == Fitted::AnotherPart));
}

#[test]
fn there_are_enough_rows_and_each_has_its_own_name() {
    let table = table();
    assert!(table.rows.iter().all(|row| row.source != NO_SOURCE));
    assert!(table.rows.len() >= 150 && table.sources.len() >= 25, "{} {}", table.rows.len(), table.sources.len());
    let drying = table.rows.iter().filter(|row| row.group.starts_with("drying")).count();
    assert!(drying >= 15, "{drying}");
    let mut ids: Vec<&str> = table.rows.iter().map(|row| row.id.as_str()).collect();
    ids.sort_unstable();
    let twice: Vec<_> = ids.windows(2).filter(|pair| pair[0] == pair[1]).collect();
    assert!(twice.is_empty(), "{twice:?}");
    for row in &table.rows {
        assert!(row.predicted.value.is_finite(), "{} is {}", row.id, row.predicted.value);
    }
}

const REWRITE: &str = "write it anew with `cargo run --release -p icefront-validation -- evidence`";

/// Paths at which two JSON values differ; numbers may differ slightly between machines.
fn differences(path: &str, embedded: &Value, computed: &Value, found: &mut Vec<String>) {
    let near = |a: f64, b: f64| (a - b).abs() <= 5e-3 * a.abs().max(b.abs()) + 1e-4;
    match (embedded, computed) {
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
            a.iter().zip(b).enumerate().for_each(|(i, (a, b))| differences(&format!("{path}[{i}]"), a, b, found));
        }
        (Value::Object(a), Value::Object(b)) if a.keys().eq(b.keys()) => {
            a.iter().zip(b.values()).for_each(|((key, a), b)| differences(&format!("{path}.{key}"), a, b, found));
        }
        _ if embedded == computed => {}
        _ if embedded.as_f64().zip(computed.as_f64()).is_some_and(|(a, b)| near(a, b)) => {}
        _ => found.push(format!("{path}: embedded {embedded}, computed {computed}")),
    }
}

#[test]
fn the_embedded_table_is_up_to_date() {
    let mut found = Vec::new();
    let embedded = serde_json::to_value(Table::embedded().unwrap()).unwrap();
    let computed = serde_json::from_str::<Table>(&evidence::data(table()).unwrap()).unwrap();
    differences("", &embedded, &serde_json::to_value(computed).unwrap(), &mut found);
    assert!(found.is_empty(), "data/evidence.json is out of date; {REWRITE}:\n{}", found.join("\n"));
}

#[test]
fn a_changed_number_or_word_is_a_difference() {
    let count = |a: Value, b: Value| {
        let mut found = Vec::new();
        differences("", &a, &b, &mut found);
        found.len()
    };
    let row = |predicted: f64, verdict: &str| serde_json::json!([{ "predicted": predicted, "verdict": verdict }]);
    assert_eq!(count(row(12.3, "holds"), row(12.31, "holds")), 0);
    assert_eq!(count(row(12.3, "holds"), row(12.5, "miss")), 2);
    assert_eq!(count(row(12.3, "holds"), serde_json::json!([])), 1);
}

#[test]
fn a_number_without_a_value_is_refused() {
    let mut table = table().clone();
    table.rows[0].predicted.high = Some(f64::INFINITY);
    let refused = evidence::data(&table).unwrap_err();
    assert!(refused.to_string().starts_with(&table.rows[0].id), "{refused}");
}

/// The page is exactly what the command prints.
#[test]
fn the_page_of_the_docs_is_up_to_date() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/evidence.md");
    let printed = markdown(&Table::embedded().unwrap());
    assert!(std::fs::read_to_string(path).unwrap() == printed, "docs/evidence.md is out of date; {REWRITE}");
}
