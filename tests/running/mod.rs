//! A folder with a load of one tray, and what its typical run would show at any time.
#![allow(dead_code, clippy::unwrap_used, clippy::panic, reason = "helpers of tests")]

use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;
use tempfile::TempDir;

pub const LOAD: &str = r#"icefront = 1
dryer = "0.36 m2"
room = "20 C"

[before_loading]
method = "already frozen"
temperature = "-20 C"

[tariff]
price_per_kwh = 0.3
currency = "EUR"

[[tray]]
food = "cooked rice"
shape = "layer"
depth = "about 12 mm"
"#;

pub struct Kitchen {
    pub folder: TempDir,
    /// Hours, water per dry matter, kWh.
    course: Vec<[f64; 3]>,
    water_g: f64,
    ready_h: f64,
}

/// Runs the program in a folder.
pub fn icefront(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_icefront")).args(args).current_dir(folder).output().unwrap()
}

pub fn stdout(output: &Output) -> String {
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout.clone()).unwrap()
}

/// Standard error of a run that was refused.
pub fn refused(output: &Output) -> String {
    assert_eq!(output.status.code(), Some(2), "{}", String::from_utf8_lossy(&output.stdout));
    assert!(output.stdout.is_empty());
    String::from_utf8(output.stderr.clone()).unwrap()
}

impl Kitchen {
    pub fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("load.toml"), LOAD).unwrap();
        let told = stdout(&icefront(folder.path(), &["plan", "load.toml", "--json", "--draws", "0", "--out", "run"]));
        let plan: Value = serde_json::from_str(&told).unwrap();
        let typical = |path: &str| plan.pointer(path).and_then(Value::as_f64).unwrap();
        let mut table = csv::Reader::from_path(folder.path().join("run/history.csv")).unwrap();
        let header = table.headers().unwrap().clone();
        let at = |name: &str| header.iter().position(|h| h == name).unwrap_or_else(|| panic!("no column {name}"));
        let energies = ["compressor", "vacuum_pump", "heaters", "other"].map(|c| at(&format!("energy_{c}_kwh")));
        let (time, water, stage) = (at("time_h"), at("tray_1_water_per_dry_kg_per_kg"), at("stage"));
        let course = table
            .records()
            .map(|r| r.unwrap())
            .filter(|r| &r[stage] != "defrost")
            .map(|r| {
                let number = |i: usize| r[i].parse::<f64>().unwrap();
                [number(time), number(water), energies.iter().map(|&i| number(i)).sum()]
            })
            .collect();
        let (water_g, ready_h) =
            (1e3 * typical("/water_kg/loaded/typical_run"), typical("/time_h/food_ready/typical_run"));
        Self { folder, course, water_g, ready_h }
    }

    pub fn run(&self, args: &[&str]) -> Output {
        icefront(self.folder.path(), args)
    }

    pub fn write(&self, name: &str, text: &str) {
        std::fs::write(self.folder.path().join(name), text).unwrap();
    }

    /// When the typical run is over, h.
    pub fn ready_h(&self) -> f64 {
        self.ready_h
    }

    /// Water the tray has lost, g.
    pub fn lost_g(&self, time_h: f64) -> f64 {
        self.water_g * (1.0 - self.at(time_h, 1) / self.course[0][1])
    }

    /// Electricity used, kWh.
    pub fn energy_kwh(&self, time_h: f64) -> f64 {
        self.at(time_h, 2)
    }

    fn at(&self, time_h: f64, column: usize) -> f64 {
        let after = self.course.iter().position(|r| r[0] >= time_h);
        let Some(after) = after.filter(|i| *i > 0) else {
            return if after.is_some() { self.course[0][column] } else { self.course.last().unwrap()[column] };
        };
        let (a, b) = (self.course[after - 1], self.course[after]);
        a[column] + (time_h - a[0]) / (b[0] - a[0]).max(1e-9) * (b[column] - a[column])
    }
}
