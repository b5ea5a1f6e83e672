//! Charts hold what they promise, on an invented run: what they show, texts inside the picture and clear of each other
//! (measured by a text engine other than the one that placed them), refusals, same bytes, PNG size.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a helper that fails is a test that fails")]

#[path = "plot/invented_inputs.rs"]
mod invented_inputs;
#[path = "plot/invented_run.rs"]
mod invented_run;
#[path = "plot/plain_inputs.rs"]
mod plain_inputs;
#[path = "plot/sheet.rs"]
mod sheet;

use icefront_core::result::{BatchResult, Stage};
use icefront_core::shape::Shape;
use icefront_core::units::UnitSystem;
use icefront_plot::{
    ComparedVariant, Headline, MeasuredPoint, PlotError, accuracy_chart_svg, batch_chart_svg, comparison_chart_svg,
    drying_chart_svg, evidence_chart_svg, front_chart_svg, machine_chart_svg, narrowing_chart_svg, png_from_svg,
    power_chart_svg, readings_chart_svg, resistance_chart_svg, usable_map_svg,
};
use resvg::tiny_skia::Pixmap;

use invented_inputs::{finished, narrowing, readings, resistances, usable_map, variants};
use invented_run::{invented_run, shape, six_trays};
use sheet::{count, overlap, pair, read, texts};

const HOUR_S: f64 = 3600.0;
const LONG_NAMES: [&str; 8] = [
    "strawberries with vanilla cream and oats",
    "beef stew with potatoes, carrots & peas",
    "unbrokenwordthatgoesonandonwithoutanyend",
    "a",
    "<mushrooms> \u{7} \"fried\"",
    "cooked rice",
    "tomato soup, thick, with basil and cream",
    "mango",
];

type Chart = fn(&BatchResult, &Headline) -> Result<String, PlotError>;
const CHARTS: [Chart; 4] = [batch_chart_svg, drying_chart_svg, machine_chart_svg, power_chart_svg];

/// What the answer says of the runs. Invented.
fn headline() -> Headline {
    Headline {
        ready: "Ready in about 28 h (22 to 37 h, 8 times in 10)".into(),
        electricity: "Electricity about 24.3 kWh (20 to 30): 7.29 EUR (6.00 to 9.00); 0.91 a serving".into(),
        units: UnitSystem::Metric,
    }
}

/// Runs that strain a layout: names, numbers of trays, lengths, lines that coincide.
fn hard_runs() -> Vec<BatchResult> {
    let mut short_stages = six_trays();
    short_stages.stage_s = [0.01, 0.005, 0.96, 0.015, 0.01].map(|share| share * 30.0 * HOUR_S).into();
    vec![
        short_stages,
        six_trays(),
        invented_run(&[], 30.0 * HOUR_S, 0.0),
        invented_run(&["beef stew"], 30.0 * HOUR_S, 0.0),
        invented_run(&LONG_NAMES, 30.0 * HOUR_S, 0.6),
        invented_run(&["peas"; 12], 24.0 * HOUR_S, 0.0),
        invented_run(&LONG_NAMES, 200.0 * HOUR_S, 0.5),
        invented_run(&LONG_NAMES, 300.0, 0.5),
    ]
}

/// Points over three decades; every fifth prediction is 40 % off.
fn points() -> Vec<MeasuredPoint> {
    let point = |i: usize| {
        let measured_h = 0.3 * 1.25_f64.powi(i as i32);
        let predicted_h = measured_h * if i.is_multiple_of(5) { 1.4 } else { 0.9 + 0.01 * i as f64 };
        MeasuredPoint {
            name: format!("trial {i}"),
            group: format!("laboratory {}", i % 6),
            measured_h,
            predicted_low_h: 0.8 * predicted_h,
            predicted_h,
            predicted_high_h: 1.25 * predicted_h,
        }
    };
    (0..30).map(point).collect()
}

/// Points close to each other, all 40 % off: more names than there is room for.
fn crowded() -> Vec<MeasuredPoint> {
    let moved = |(i, point): (usize, MeasuredPoint)| {
        let measured_h = 5.0 + 0.1 * i as f64;
        let predicted_h = 1.4 * measured_h;
        MeasuredPoint { measured_h, predicted_low_h: 0.9 * predicted_h, predicted_h, predicted_high_h: 9.0, ..point }
    };
    points().into_iter().enumerate().map(moved).collect()
}

fn all_charts() -> Vec<String> {
    let mut svgs: Vec<String> =
        hard_runs().iter().flat_map(|run| CHARTS.map(|chart| chart(run, &headline()).unwrap())).collect();
    let fronts = |run: &BatchResult| {
        (0..run.trays.len())
            .map(|i| front_chart_svg(&shape(i), run, i, UnitSystem::Metric).unwrap())
            .collect::<Vec<_>>()
    };
    svgs.extend(hard_runs().iter().flat_map(fronts));
    svgs.push(evidence_chart_svg(&points()).unwrap());
    svgs.push(evidence_chart_svg(&points()[..1]).unwrap());
    svgs.push(evidence_chart_svg(&crowded()).unwrap());
    let own_groups = points().into_iter().map(|point| MeasuredPoint { group: point.name.clone(), ..point });
    svgs.push(evidence_chart_svg(&own_groups.collect::<Vec<_>>()).unwrap());
    svgs.push(comparison_chart_svg(&variants()).unwrap());
    let long_names = LONG_NAMES.map(|name| ComparedVariant { name: name.repeat(2), ..variants()[3].clone() });
    svgs.push(comparison_chart_svg(&long_names).unwrap());
    svgs.push(comparison_chart_svg(&variants()[4..]).unwrap());
    svgs.extend(
        [1, 8].map(|count| narrowing_chart_svg("Weigh tray 1 (stew): narrows it by half", &narrowing(count)).unwrap()),
    );
    svgs.push(resistance_chart_svg(&resistances()).unwrap());
    svgs.push(readings_chart_svg(&readings()).unwrap());
    svgs.push(accuracy_chart_svg(&finished()).unwrap());
    svgs.push(usable_map_svg(&usable_map()).unwrap());
    svgs
}

#[test]
fn texts_stay_inside_the_picture_and_clear_of_each_other() {
    for svg in all_charts() {
        let tree = read(&svg);
        let found = texts(tree.root());
        assert!(found.len() > 10, "only {} texts", found.len());
        for (index, (text, own)) in found.iter().enumerate() {
            let inside = own.left() >= 0.0
                && own.top() >= 0.0
                && own.right() <= tree.size().width()
                && own.bottom() <= tree.size().height();
            assert!(inside, "`{text}` leaves the picture: {own:?}");
            for (other_text, other) in &found[..index] {
                assert!(!overlap(own, other), "`{text}` {own:?} covers `{other_text}` {other:?}");
            }
        }
    }
}

#[test]
fn pictures_are_800_wide_and_drawn_on_a_ten_times_finer_grid() {
    for svg in all_charts() {
        let height: u32 = svg.split_once(" height=\"").unwrap().1.split_once('"').unwrap().0.parse().unwrap();
        assert!(svg.contains(&format!("width=\"800\" height=\"{height}\" viewBox=\"0 0 8000 {height}0\"")));
        assert!(!svg.contains("NaN") && !svg.contains("inf\""), "a coordinate is not a number");
    }
}

#[test]
fn batch_chart_shows_stages_trays_and_machine() {
    let svg = batch_chart_svg(&six_trays(), &headline()).unwrap();
    let shown: Vec<String> = texts(read(&svg).root()).into_iter().map(|(text, _)| text).collect();
    let expected = [
        "Ready in about 28 h (22 to 37 h, 8 times in 10)",
        "once it is gone",
        "freezing",
        "evacuation 27 min",
        "primary drying",
        "17.6 h",
        "secondary drying",
        "defrost 1.8 h",
        "Ice left, % of the ice at the start",
        "Temperature, °C",
        "time from the start, h",
        "shelf mean",
        "condenser",
        "strawberries, sliced",
        "ice gone 19.0 h, dry 23.5 h",
    ];
    for text in expected {
        assert!(shown.iter().any(|s| s == text), "`{text}` is missing from {shown:?}");
    }
    // Six trays in each panel, shelf and condenser in one.
    assert_eq!(count(&svg, "class=\"series\""), 14);
    // Each tray's number: on both of its lines and in the legend (3 and 6 are tick labels too).
    for number in [1, 2, 4, 5] {
        assert_eq!(shown.iter().filter(|s| **s == number.to_string()).count(), 3, "number {number}");
    }
}

#[test]
fn drying_chart_tells_rates_and_what_is_left() {
    // One tray of 1 kg with 0.85 kg of water loses it evenly over ten hours under vacuum: 85 g in an hour.
    let mut run = invented_run(&["peas"], 12.0 * HOUR_S, 0.0);
    run.stage_s = [HOUR_S, 0.0, 10.0 * HOUR_S, 0.0, HOUR_S].into();
    for sample in &mut run.history {
        let passed = ((sample.time_s - HOUR_S) / (10.0 * HOUR_S)).clamp(0.0, 1.0);
        sample.stage = if passed < 1.0 { Stage::PrimaryDrying } else { Stage::Defrost };
        sample.trays[0].water_per_dry = 0.85 / 0.15 * (1.0 - passed);
    }
    let svg = drying_chart_svg(&run, &headline()).unwrap();
    assert!(svg.contains("up to 85 g/h, 0.5 % left") && svg.contains("ice for 10.0 h"), "{svg}");
    assert!(!svg.contains("off the scale"), "an even rate has no gush");
    run.trays[0].ice_gone_at_s = None;
    assert!(drying_chart_svg(&run, &headline()).unwrap().contains("ice is left at the end"));
    assert_eq!(count(&svg, "class=\"series\""), 2);
}

#[test]
fn machine_chart_shows_what_there_is() {
    let svg = machine_chart_svg(&six_trays(), &headline()).unwrap();
    for text in ["vapour and air", "vapour alone", "ice surface", "condenser metal", "Ice on the condenser, kg"] {
        assert!(svg.contains(text), "`{text}` is missing");
    }
    assert_eq!(count(&svg, "class=\"series\""), 5);
    let mut never_pumped = six_trays();
    never_pumped.history.retain(|sample| sample.stage == Stage::Freezing);
    assert_eq!(machine_chart_svg(&never_pumped, &headline()), Err(PlotError::EmptySeries("drying")));
    assert_eq!(front_chart_svg(&shape(0), &never_pumped, 0, UnitSystem::Metric), Err(PlotError::EmptySeries("drying")));
    let mut no_vapour = six_trays();
    no_vapour.history[100].vapour_pressure_pa = 0.0;
    assert!(
        machine_chart_svg(&no_vapour, &headline()).unwrap().contains("vapour alone"),
        "one reading of nothing is left out"
    );
    no_vapour.history.iter_mut().for_each(|sample| sample.vapour_pressure_pa = 0.0);
    assert!(!machine_chart_svg(&no_vapour, &headline()).unwrap().contains("vapour alone"));
}

#[test]
fn front_chart_goes_through_the_depth() {
    let run = six_trays();
    let layer = front_chart_svg(&shape(0), &run, 0, UnitSystem::Metric).unwrap();
    let ball = front_chart_svg(&shape(1), &run, 1, UnitSystem::Metric).unwrap();
    assert!(
        layer.contains("Ice boundary above the tray, mm")
            && ball.contains("Ice boundary from the middle of a piece, mm")
    );
    for part in
        ["Tray 1, strawberries, sliced: ice gone after 19.0 h", "50 % of the ice left", "end of drying", "frozen"]
    {
        assert!(layer.contains(part), "`{part}` is missing");
    }
    // Two areas and the front, four temperatures, four profiles.
    assert_eq!(count(&layer, "class=\"series\""), 11);
    // a run that ends at once: its only moment is drawn once, on an axis of whole degrees
    let mut at_once = six_trays();
    let first = at_once.history.iter().position(|sample| sample.stage == Stage::PrimaryDrying).unwrap();
    at_once.history.truncate(first + 1);
    let at_once = front_chart_svg(&shape(0), &at_once, 0, UnitSystem::Metric).unwrap();
    assert!(!at_once.contains("of the ice left") && count(&at_once, "end of drying") > 0, "{at_once}");
    assert_eq!(count(&at_once, "class=\"series\""), 8);
    assert_eq!(front_chart_svg(&shape(0), &run, 6, UnitSystem::Metric), Err(PlotError::EmptySeries("tray")));
    let endless = Shape::Layer { depth_m: f64::INFINITY };
    assert_eq!(front_chart_svg(&endless, &run, 0, UnitSystem::Metric), Err(PlotError::NotFinite("depth")));
}

#[test]
fn power_chart_shows_consumers_stages_and_totals() {
    let run = six_trays();
    let svg = power_chart_svg(&run, &headline()).unwrap();
    let shown: Vec<String> = texts(read(&svg).root()).into_iter().map(|(text, _)| text).collect();
    let total_kwh = run.energy_j().total() / 3.6e6;
    let heaters_kwh = run.energy_j().heaters / 3.6e6;
    let expected = [
        headline().electricity,
        format!("{total_kwh:.1} kWh"),
        format!("{heaters_kwh:.1} kWh, {:.0} %", 100.0 * heaters_kwh / total_kwh),
        "Electric power, W".to_owned(),
        "Electric energy since the start, kWh".to_owned(),
        "compressor".to_owned(),
        "vacuum pump".to_owned(),
        "heaters".to_owned(),
        "other".to_owned(),
    ];
    for text in expected {
        assert!(shown.contains(&text), "`{text}` is missing from {shown:?}");
    }
    // Four consumers, the total power, the energy.
    assert_eq!(count(&svg, "class=\"series\""), 6);
}

#[test]
fn what_a_rig_lacks_is_not_shown() {
    let mut rig = invented_run(&["peas"], 10.0 * HOUR_S, 0.0);
    for sample in &mut rig.history {
        sample.condenser_k = 0.0;
    }
    for by in rig.energy_by_stage_j.values_mut() {
        by.vacuum_pump = 0.0;
    }
    let machine = machine_chart_svg(&rig, &headline()).unwrap();
    assert!(machine.contains("vapour alone") && !machine.contains("ondenser"));
    let (batch, power) = (batch_chart_svg(&rig, &headline()).unwrap(), power_chart_svg(&rig, &headline()).unwrap());
    assert!(!batch.contains("condenser") && !batch.contains("−200"));
    assert!(batch.contains("shelf mean") && !power.contains("vacuum pump") && power.contains("compressor"));
}

#[test]
fn evidence_chart_counts_and_names_what_is_off() {
    let svg = evidence_chart_svg(&points()).unwrap();
    let shown: Vec<String> = texts(read(&svg).root()).into_iter().map(|(text, _)| text).collect();
    assert!(shown.contains(&"24 of 30 predictions within 20 %".to_owned()), "{shown:?}");
    assert!(shown.contains(&"trial 15".to_owned()), "a point 40 % off has its name");
    assert!(!shown.contains(&"trial 14".to_owned()), "a point 4 % off has none");
    assert_eq!(count(&svg, "class=\"series\""), 6);
}

#[test]
fn a_map_has_a_field_for_every_pair_and_names_its_shades_and_marks() {
    let map = usable_map();
    let svg = usable_map_svg(&map).unwrap();
    let shown: Vec<String> = texts(read(&svg).root()).into_iter().map(|(text, _)| text).collect();
    for text in ["shrinks or collapses", "this load", "52 °C, 58 Pa", "150 Pa", "80 °C"] {
        assert!(shown.iter().any(|s| s == text), "`{text}` is missing from {shown:?}");
    }
    // each column's hours in all six rows
    assert_eq!(shown.iter().filter(|s| *s == "20.0").count(), 6);
    // five shades and three marks
    assert_eq!(count(&svg, "class=\"series\""), 8);
    let mut ragged = map.clone();
    ragged.rows[2].1.pop();
    assert_eq!(usable_map_svg(&ragged), Err(PlotError::EmptySeries("map")));
    let mut nowhere = map;
    nowhere.marks[0].shelf_k = f64::NAN;
    assert_eq!(usable_map_svg(&nowhere), Err(PlotError::NotFinite("shelf temperature")));
}

#[test]
fn a_line_is_placed_to_a_tenth_of_a_pixel() {
    // Half of the ice at half of the time, on a panel from 52 to 588 px: x = 52 + 536 (t / end), to 0.1 px.
    let mut run = invented_run(&["peas"], 10.0 * HOUR_S, 0.0);
    let last_s = run.history.last().unwrap().time_s;
    for sample in &mut run.history {
        sample.trays[0].ice_left_frac = 1.0 - sample.time_s / last_s;
    }
    run.trays[0].ice_gone_at_s = None;
    let svg = batch_chart_svg(&run, &headline()).unwrap();
    let line = svg.split_once("<title>peas</title>").unwrap().1.split_once("points=\"").unwrap().1;
    let points: Vec<(f64, f64)> = line.split_once('"').unwrap().0.split_whitespace().map(pair).collect();
    let (first, last) = (points[0], points[points.len() - 1]);
    assert_eq!(first.0, 520.0);
    let slope = (last.1 - first.1) / (last.0 - first.0);
    for point in &points {
        let straight = first.1 + slope * (point.0 - first.0);
        assert!((point.1 - straight).abs() <= 1.0, "{point:?} is off the straight line by over 0.1 px");
    }
}

#[test]
fn a_cut_name_stays_whole_where_the_pointer_finds_it() {
    let svg = batch_chart_svg(&invented_run(&LONG_NAMES, 30.0 * HOUR_S, 0.6), &headline()).unwrap();
    assert!(svg.contains(&format!("<title>{}</title>", LONG_NAMES[2])));
    assert!(svg.contains("<title>&lt;mushrooms&gt;"));
}

#[test]
fn coinciding_trays_all_keep_their_numbers() {
    let svg = batch_chart_svg(&invented_run(&["peas"; 8], 24.0 * HOUR_S, 0.0), &headline()).unwrap();
    let shown = texts(read(&svg).root());
    let numbers: Vec<_> =
        shown.iter().filter(|(text, _)| text.parse::<usize>().is_ok_and(|n| (1..=8).contains(&n))).collect();
    // 8 numbers on two panels and in the legend; the tick labels 3 and 6 add two.
    assert_eq!(numbers.len(), 26);
}

#[test]
fn too_little_and_impossible_values_are_refused() {
    let mut empty = six_trays();
    empty.history.clear();
    let mut single = six_trays();
    single.history.truncate(1);
    for chart in CHARTS {
        assert_eq!(chart(&empty, &headline()), Err(PlotError::EmptySeries("history")));
        assert_eq!(chart(&single, &headline()), Err(PlotError::EmptySeries("history")));
    }
    type Spoil = (fn(&mut BatchResult), &'static str);
    let spoils: [Spoil; 8] = [
        (|run| run.history[7].time_s = f64::NAN, "time"),
        (|run| run.history[7].condenser_k = f64::INFINITY, "condenser temperature"),
        (|run| run.history[7].power_w.heaters = f64::NAN, "power"),
        (|run| run.history[7].energy_j.other = f64::NEG_INFINITY, "energy"),
        (|run| run.history[7].trays[2].front_k = f64::NAN, "front temperature"),
        (|run| run.history[7].trays[2].ice_left_frac = f64::NAN, "ice left"),
        (|run| run.history[7].trays[2].shelf_k = f64::NAN, "shelf temperature"),
        (|run| run.stage_s[Stage::PrimaryDrying] = f64::INFINITY, "stage length"),
    ];
    for (spoil, what) in spoils {
        let mut run = six_trays();
        spoil(&mut run);
        for chart in CHARTS {
            assert_eq!(chart(&run, &headline()), Err(PlotError::NotFinite(what)));
        }
    }
}

#[test]
fn evidence_refuses_what_cannot_stand_on_a_logarithmic_axis() {
    assert_eq!(evidence_chart_svg(&[]), Err(PlotError::EmptySeries("points")));
    let mut zero = points();
    zero[3].predicted_low_h = 0.0;
    assert!(matches!(evidence_chart_svg(&zero), Err(PlotError::NotPositive(_))));
    let mut infinite = points();
    infinite[3].predicted_high_h = f64::INFINITY;
    assert!(matches!(evidence_chart_svg(&infinite), Err(PlotError::NotFinite(_))));
}

#[test]
fn huge_values_end_in_a_picture_or_a_refusal() {
    for size in [1e-300, 1e9, 1e300, 1e308] {
        let mut run = six_trays();
        run.history[7].power_w.heaters = size;
        run.history[7].condenser_k = size;
        run.history[9].time_s = -size;
        run.history[9].trays[2].ice_left_frac = size;
        run.stage_s[Stage::PrimaryDrying] = size;
        for chart in CHARTS {
            match chart(&run, &headline()) {
                Ok(svg) => assert!(svg.ends_with("</svg>\n")),
                Err(error) => assert!(matches!(error, PlotError::NotFinite(_)), "{error}"),
            }
        }
    }
}

#[test]
fn same_input_same_bytes() {
    assert_eq!(all_charts(), all_charts());
    let svg = batch_chart_svg(&six_trays(), &headline()).unwrap();
    assert_eq!(png_from_svg(&svg, 800), png_from_svg(&svg, 800));
}

#[test]
fn png_has_the_asked_width_the_same_shape_and_ink_on_paper() {
    let svg = batch_chart_svg(&six_trays(), &headline()).unwrap();
    let size = read(&svg).size();
    for width_px in [800, 1600] {
        let picture = Pixmap::decode_png(&png_from_svg(&svg, width_px).unwrap()).unwrap();
        assert_eq!(picture.width(), width_px);
        assert_eq!(picture.height(), (size.height() * width_px as f32 / size.width()).round() as u32);
        let corner = picture.pixel(0, 0).unwrap();
        assert_eq!((corner.red(), corner.green(), corner.blue(), corner.alpha()), (255, 255, 255, 255));
        let inked = picture.pixels().iter().filter(|pixel| pixel.green() < 128).count() as f64;
        let share = inked / picture.pixels().len() as f64;
        assert!((0.005..0.2).contains(&share), "ink on {share:.4} of the picture");
    }
}

#[test]
fn png_refuses_bad_widths_and_bad_text() {
    let svg = batch_chart_svg(&six_trays(), &headline()).unwrap();
    assert_eq!(png_from_svg(&svg, 0), Err(PlotError::BadWidth { width_px: 0, most_px: 20_000 }));
    assert_eq!(png_from_svg(&svg, 20_001), Err(PlotError::BadWidth { width_px: 20_001, most_px: 20_000 }));
    assert!(matches!(png_from_svg("no picture", 800), Err(PlotError::BadSvg(_))));
}
