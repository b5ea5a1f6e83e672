//! Inputs made up for drawing, other than a run: variants, measurements, resistances, readings, finished batches.

use icefront_plot::{
    ComparedVariant, FinishedBatch, MapCell, MapMark, NarrowingBar, ReadCourse, ReadPanel, ReadRun, ResistanceCourse,
    SharpenedRange, UsableMap,
};

/// Ways to do the same batch: with and without a range, with a long name and note, one that may never end.
pub fn variants() -> Vec<ComparedVariant> {
    let variant = |name: &str, hours: [f64; 3], kwh: [f64; 3], note: Option<&str>| ComparedVariant {
        name: name.to_owned(),
        hours,
        kwh,
        note: note.map(str::to_owned),
    };
    vec![
        variant("as it is", [21.4, 26.2, 34.8], [15.1, 18.9, 25.2], None),
        variant(
            "depth 10 mm instead of 14 mm on every tray",
            [14.2, 17.3, 22.0],
            [10.4, 12.6, 16.1],
            Some("a third less food"),
        ),
        variant("frozen outdoors", [18.9, 23.6, 31.9], [11.2, 14.4, 20.3], Some("needs a night under -15 °C & a lid")),
        variant(
            "eight trays of <strawberries>",
            [27.0, 39.5, f64::INFINITY],
            [19.0, 30.2, f64::INFINITY],
            Some("too much"),
        ),
        variant("typical numbers alone", [25.0; 3], [17.0; 3], None),
    ]
}

/// Measurements that narrow the same range by less and less.
pub fn narrowing(count: usize) -> Vec<NarrowingBar> {
    let bar = |i: usize| {
        let half = 6.5 * (1.0 - 0.45 / (i + 1) as f64);
        NarrowingBar {
            measurement: format!("weigh tray {} (bean stew with potatoes) on a kitchen scale before loading", i + 1),
            now_h: (20.1, 26.0, 33.1),
            after_h: (26.0 - half, 26.0, 26.0 + half),
            gain: ["narrows it by about half", "narrows it by about a quarter"][i.min(1)].into(),
        }
    };
    (0..count).map(bar).collect()
}

/// Seven resistances over ten hours of drying.
pub fn resistances() -> ResistanceCourse {
    let names = [
        "shelf to tray",
        "tray to food",
        "frozen food",
        "dried layer, heat",
        "dried layer, vapour through its pores",
        "vapour to the condenser",
        "ice on the condenser",
    ];
    let time_h: Vec<f64> = (0..60).map(|i| 8.0 + f64::from(i) / 6.0).collect();
    let weights = |t: f64| [30.0 - t, 20.0, 8.0 - 0.3 * t, 2.0 * t, 1.5 * t, 9.0, 0.4 * t];
    let share = |index: usize, t: f64| weights(t)[index] / weights(t).iter().sum::<f64>();
    let shares = names
        .iter()
        .enumerate()
        .map(|(index, name)| ((*name).to_owned(), time_h.iter().map(|t| share(index, *t)).collect()));
    ResistanceCourse { tray: "tray 1 (bean stew)".to_owned(), shares: shares.collect(), time_h }
}

/// Readings of trays (one with a long name), a meter and a gauge, half-way; one range may never end.
pub fn readings() -> ReadRun {
    let hours = |n: usize| (0..n).map(|h| h as f64).collect::<Vec<_>>();
    let course = |name: &str, most: f64| {
        let at = |h: f64| most * (1.0 - (-h / 9.0).exp());
        let points = |n: usize, factor: f64| hours(n).into_iter().map(|h| (3600.0 * h, factor * at(h))).collect();
        ReadCourse {
            name: name.to_owned(),
            read: vec![(36_000.0, 0.93 * at(10.0)), (54_000.0, 0.95 * at(15.0))],
            before: points(28, 1.0),
            after: points(31, 0.94),
        }
    };
    let trays = ["bean stew with potatoes & carrots on the lowest tray", "mango", "<peas>"];
    let panel = |title: &str, courses| ReadPanel { title: title.into(), courses };
    let range = |name: &str, before_h: [f64; 3], after_h: [f64; 3]| SharpenedRange {
        name: name.to_owned(),
        before_s: before_h.map(|h| 3600.0 * h),
        after_s: after_h.map(|h| 3600.0 * h),
    };
    ReadRun {
        answer: "Ready 11.2 to 15.4 h from the last reading, about 13.1 h".to_owned(),
        panels: vec![
            panel("Water lost, g", trays.iter().enumerate().map(|(i, n)| course(n, 900.0 - 90.0 * i as f64)).collect()),
            panel("Electricity, kWh", vec![course("plug meter", 19.0)]),
        ],
        ranges: vec![
            range("last ice gone", [18.0, 22.5, 29.0], [22.0, 23.1, 24.4]),
            range("food ready", [21.0, 26.0, f64::INFINITY], [26.2, 28.1, 30.4]),
        ],
    }
}

/// Batches that ended later than the dryer as entered said.
pub fn finished() -> Vec<FinishedBatch> {
    let batch = |i: usize| {
        let noted_h = 16.0 + 2.3 * i as f64;
        FinishedBatch { noted_h, as_entered_h: 0.84 * noted_h, from_others_h: noted_h + 0.4 - 0.2 * (i % 4) as f64 }
    };
    (0..7).map(batch).collect()
}

/// A food at eight shelf temperatures and six pressures, with three marks of which two share a field.
pub fn usable_map() -> UsableMap {
    let cell = |row: usize, column: usize| MapCell {
        text: format!("{:.1}", 40.0 / (1.0 + column as f64)),
        shade: ((row + column) / 3).min(4),
    };
    let pressures = [10.0, 25.0, 50.0, 75.0, 100.0, 150.0];
    let row = |(row, pressure_pa): (usize, f64)| (pressure_pa, (0..8).map(|column| cell(row, column)).collect());
    let mark = |name: &str, shelf_c: f64, pressure_pa: f64| MapMark {
        name: name.to_owned(),
        shelf_k: 273.15 + shelf_c,
        pressure_pa,
    };
    UsableMap {
        food: "<strawberries> with vanilla cream & oats".to_owned(),
        shelves_k: (1..=8).map(|i| 273.15 + 10.0 * f64::from(i)).collect(),
        units: icefront_core::units::UnitSystem::Metric,
        rows: pressures.into_iter().enumerate().map(row).collect(),
        shades: ["keeps", "softens", "shrinks or collapses", "melts", "never dry"].map(String::from).to_vec(),
        marks: vec![
            mark("gentlest", 10.0, 10.0),
            mark("fastest that comes out as well", 50.0, 50.0),
            mark("this load", 52.0, 58.0),
        ],
    }
}
