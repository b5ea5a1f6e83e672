//! Predictions against published standards, exact solutions, handbooks and experiments: the rows of `icefront evidence`.
//!
//! Data: `data/published/`, each number with its source. A row must be within its tolerance (or inside its predicted
//! range), unless `data/published/known_misses.csv` lists it with a reason; a listed row that holds fails too.

#![allow(clippy::unwrap_used, reason = "a test without its table fails")]

use std::path::Path;
use std::process::Command;
use std::sync::OnceLock;

use icefront_cli::evidence::{self, Fitted, Measure, Row, Table, Verdict};

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

/// Got, expected, difference, tolerance and source of a row that does not hold.
fn complaint(row: &Row) -> String {
    let source = table().sources.iter().find(|source| source.key == row.source).unwrap();
    let tolerance = match (row.measure, row.allowed) {
        (Measure::Range, _) => "the predicted 10 to 90 % range".into(),
        (measure, allowed) => format!("{allowed:?} ({measure:?}; {})", row.reason),
    };
    let listed = match row.verdict {
        Verdict::HoldsUnexpectedly => {
            "\n  it holds, yet data/published/known_misses.csv lists it as a miss: take it off the list"
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
    group_holds("mixtures");
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
    assert!(misses.is_empty(), "the check grid has no excuse:\n{}", misses.join("\n"));
}

/// Plank, Pham, worked examples, measured times.
#[test]
fn freezing_times() {
    group_holds("freezing times");
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

/// Five published compressor curves at a condensing temperature that the fit did not see.
#[test]
fn compressor_curves() {
    group_holds("compressor curves");
}

/// Pump-down examples, leaks, lower bounds on electricity.
#[test]
fn pump_down_and_energy() {
    group_holds("pump-down and energy");
}

/// Isotherms, monolayers, desorption.
#[test]
fn isotherms_and_desorption() {
    group_holds("isotherms and desorption");
}

/// A worked operating point and exact slabs, with the steps of a batch and with fine ones: all inputs are told, so fine
/// steps have no excuse.
#[test]
fn drying_worked() {
    group_holds("drying, worked and exact");
    let fine = rows("drying, worked and exact").into_iter().filter(|row| row.conditions.contains("steps=fine"));
    let misses: Vec<String> = fine.filter(|row| row.verdict != Verdict::Holds).map(complaint).collect();
    assert!(misses.is_empty(), "{}", misses.join("\n"));
}

/// Experiments with inputs missing, nothing fitted: most published figures lie in the predicted range, as many as four
/// in five by a binomial test at 5 %.
#[test]
fn drying_experiments() {
    group_holds("drying, experiments");
    let coverage = table().coverage;
    // rows that a default was set on do not count
    assert!(coverage.rows >= 25, "{coverage:?}");
    assert!(coverage.is_believed(), "{coverage:?}");
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
fn there_is_enough_and_every_row_is_told_apart() {
    let table = table();
    assert!(table.rows.len() >= 150 && table.sources.len() >= 25, "{} {}", table.rows.len(), table.sources.len());
    let drying = table.rows.iter().filter(|row| row.group.starts_with("drying")).count();
    assert!(drying >= 15, "{drying}");
    let mut ids: Vec<&str> = table.rows.iter().map(|row| row.id.as_str()).collect();
    ids.sort_unstable();
    let twice: Vec<_> = ids.windows(2).filter(|pair| pair[0] == pair[1]).collect();
    assert!(twice.is_empty(), "{twice:?}");
    for row in &table.rows {
        assert!(row.predicted.typical.is_finite(), "{} is {}", row.id, row.predicted.typical);
    }
}

/// Words are equal; numbers may differ in the last of the few digits shown.
fn same_word(written: &str, computed: &str) -> bool {
    let number = |word: &str| word.trim_matches(['(', ')', ',', ';', '.', '%', '+']).parse::<f64>().ok();
    match (number(written), number(computed)) {
        (Some(a), Some(b)) => (a - b).abs() <= 0.02 * a.abs().max(b.abs()) + 1e-3,
        _ => {
            let both_ranges = written.split_once("..").zip(computed.split_once(".."));
            both_ranges.is_some_and(|((a, b), (c, d))| same_word(a, c) && same_word(b, d)) || written == computed
        }
    }
}

/// `docs/evidence.md` is what the program writes now.
#[test]
fn the_written_table_is_up_to_date() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/evidence.md");
    let written = std::fs::read_to_string(path).unwrap();
    let computed = evidence::markdown(table());
    let stale: Vec<String> = written
        .lines()
        .zip(computed.lines())
        .filter(|(written, computed)| {
            let words = |line: &str| line.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
            let (written, computed) = (words(written), words(computed));
            written.len() != computed.len() || !written.iter().zip(&computed).all(|(a, b)| same_word(a, b))
        })
        .map(|(written, computed)| format!("- {written}\n+ {computed}"))
        .collect();
    let command = "icefront evidence --markdown > docs/evidence.md";
    assert!(stale.is_empty(), "write it anew with `{command}`:\n{}", stale.join("\n"));
    assert_eq!(written.lines().count(), computed.lines().count(), "write it anew with `{command}`");
}

#[test]
fn a_changed_number_makes_the_written_table_stale() {
    assert!(same_word("12.3", "12.4") && same_word("(8.66..20.5)", "(8.65..20.5)") && same_word("yes", "yes"));
    assert!(!same_word("12.3", "13.3") && !same_word("(8.66..20.5)", "(8.66..24.5)") && !same_word("yes", "NO"));
}

/// The command itself: JSON and CSV tell the same table, the chart is a picture.
#[test]
fn the_command_prints_and_draws() {
    let folder = tempfile::tempdir().unwrap();
    let run = |form: &str, more: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_icefront"));
        let output = command.args(["evidence", form]).args(more).current_dir(folder.path()).output().unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8(output.stdout).unwrap()
    };
    let json: serde_json::Value = serde_json::from_str(&run("--json", &["--chart", "evidence.svg"])).unwrap();
    let lines = run("--csv", &[]).lines().count();
    assert_eq!(json["rows"].as_array().unwrap().len() + 1, lines);
    assert_eq!(json["coverage"]["rows"], table().coverage.rows);
    assert!(std::fs::read_to_string(folder.path().join("evidence.svg")).unwrap().starts_with("<svg"));
}
