//! Charts over plain inputs: variants, measurements, resistances.

use icefront_plot::{
    ComparedVariant, NarrowingBar, PlotError, comparison_chart_svg, narrowing_chart_svg, resistance_chart_svg,
};

use super::invented_inputs::{narrowing, resistances, variants};
use super::sheet::{count, pair, read, texts};

#[test]
fn comparison_names_the_best_and_tells_every_range() {
    let svg = comparison_chart_svg(&variants()).unwrap();
    let shown: Vec<String> = texts(read(&svg).root()).into_iter().map(|(text, _)| text).collect();
    for text in [
        "Shortest and least electricity: depth 10 mm instead of 14 mm on every tray",
        "26.2 (21.4 to 34.8)",
        "39.5 (27.0 to never)",
        "25.0",
        "a third less food",
    ] {
        assert!(shown.iter().any(|s| s == text), "`{text}` is missing from {shown:?}");
    }
    assert_eq!(count(&svg, "class=\"series\""), 5);
    // the first row's middle on both panels
    assert_eq!(count(&svg, "class=\"reference\""), 2);
    assert!(!comparison_chart_svg(&variants()[..1]).unwrap().contains("class=\"reference\""));
}

#[test]
fn comparison_refuses_nothing_and_what_is_no_number() {
    assert_eq!(comparison_chart_svg(&[]), Err(PlotError::EmptySeries("variants")));
    for spoilt in [f64::NAN, -1.0, f64::NEG_INFINITY] {
        let mut bad = variants();
        bad[1].kwh[0] = spoilt;
        assert_eq!(comparison_chart_svg(&bad), Err(PlotError::NotFinite("Electricity, kWh")));
    }
    let never = ComparedVariant { hours: [f64::INFINITY; 3], ..variants()[0].clone() };
    assert_eq!(comparison_chart_svg(&[never]), Err(PlotError::NotFinite("Time, h")));
}

#[test]
fn narrowing_tells_what_each_measurement_is_worth() {
    const ANSWER: &str = "Weigh tray 1 (stew): narrows it by about half";
    // Half widths 6.5 (1 - 0.45 / n): 3.575 and 5.0375 h over a range of 13 h now: 45 and 22.5 % narrower.
    let svg = narrowing_chart_svg(ANSWER, &narrowing(2)).unwrap();
    assert!(
        svg.contains("22.4 to 29.6 h: narrows it by about half") && svg.contains("21.0 to 31.0 h: narrows it"),
        "{svg}"
    );
    assert!(svg.contains(&format!("<title>{ANSWER}</title>")));
    assert_eq!(count(&svg, "class=\"series\""), 2);
    assert_eq!(narrowing_chart_svg(ANSWER, &[]), Err(PlotError::EmptySeries("measurements")));
    let never = NarrowingBar { now_h: (1.0, 2.0, f64::INFINITY), ..narrowing(1)[0].clone() };
    assert_eq!(narrowing_chart_svg(ANSWER, &[never]), Err(PlotError::NotFinite("time")));
}

#[test]
fn resistance_shares_fill_the_panel_and_carry_their_means() {
    // Two shares that cross linearly from 80:20 to 20:80: half and half on average.
    let mut course = resistances();
    course.time_h = vec![2.0, 6.0];
    course.shares = vec![("contact".to_owned(), vec![0.8, 0.2]), ("dried layer".to_owned(), vec![0.2, 0.8])];
    let svg = resistance_chart_svg(&course).unwrap();
    assert_eq!(count(&svg, "50 % on average"), 2);
    assert!(svg.contains("<title>Largest resistance: ") && svg.contains(&course.tray), "{svg}");
    assert_eq!(count(&svg, "class=\"series\""), 2);
    // The upper area reaches the top of the panel on both sides: y = 50 + 26 px, times ten.
    let upper = svg.split_once("<title>dried layer</title>").unwrap().1.split_once("points=\"").unwrap().1;
    let points: Vec<(f64, f64)> = upper.split_once('"').unwrap().0.split_whitespace().map(pair).collect();
    assert_eq!((points[0].1, points[1].1), (760.0, 760.0));
    course.shares[1].1.pop();
    assert_eq!(resistance_chart_svg(&course), Err(PlotError::EmptySeries("resistances")));
    course.shares[1].1.push(f64::NAN);
    assert_eq!(resistance_chart_svg(&course), Err(PlotError::NotFinite("share")));
}
