//! Texts as cooks write them, refusals, and every factor against NIST.

use proptest::{prelude::*, test_runner::RngSeed};

use super::*;

#[track_caller]
fn same(got: f64, expected: f64) {
    assert!((got - expected).abs() <= 1e-9 * expected.abs().max(1e-6), "got {got}, expected {expected}");
}

fn metres(text: &str) -> Result<f64, UnitError> {
    text.parse::<Length>().map(Length::metres)
}

#[test]
fn numbers_as_written() {
    for (text, expected) in [
        ("12 mm", 0.012),
        ("12mm", 0.012),
        ("  12 mm ", 0.012),
        (".5 m", 0.5),
        ("1e-3 m", 0.001),
        ("1/2 in", 0.0127),
        ("1 1/2 in", 0.0381),
        ("1-1/2 in", 0.0381),
        ("1½ in", 0.0381),
        ("½ in", 0.0127),
        ("0.5\"", 0.0127),
        ("5 ft 3 in", 1.6002),
        ("3 µm", 3e-6),
        ("0 mm", 0.0),
        ("+2 cm", 0.02),
    ] {
        same(metres(text).unwrap(), expected);
    }
}

#[test]
fn quantities_as_cooks_write_them() {
    let kelvin = |text: &str| text.parse::<Temperature>().unwrap().kelvin();
    for text in ["-18 C", "-18 °C", "\u{2212}18 °C", "-18C", "-18 degC", "-18 celsius"] {
        same(kelvin(text), 255.15);
    }
    same(kelvin("0 F"), 255.372_222_222_222);
    same(kelvin("212 °F"), 373.15);
    same(kelvin("300 K"), 300.0);
    same("9 F".parse::<TemperatureDifference>().unwrap().kelvin(), 5.0);
    same("5 °C".parse::<TemperatureDifference>().unwrap().kelvin(), 5.0);

    let pascals = |text: &str| text.parse::<Pressure>().unwrap().pascals();
    same(pascals("0.4 mbar"), 40.0);
    same(pascals("40 Pa"), 40.0);
    same(pascals("300 mTorr"), 0.3 * 101_325.0 / 760.0);
    same(pascals("300 um Hg"), 0.3 * 133.3224);
    same(pascals("300 µmHg"), 0.3 * 133.3224);

    same("1.5 lb".parse::<Mass>().unwrap().kilograms(), 0.680_388_555);
    same("1 lb 8 oz".parse::<Mass>().unwrap().kilograms(), 0.680_388_555);
    same("2 cups".parse::<Volume>().unwrap().cubic_metres(), 4.731_764_73e-4);
    same("500 ml".parse::<Volume>().unwrap().cubic_metres(), 5e-4);
    same("500 mL".parse::<Volume>().unwrap().cubic_metres(), 5e-4);

    let seconds = |text: &str| text.parse::<Duration>().unwrap().seconds();
    same(seconds("90 min"), 5400.0);
    same(seconds("1 h 30 min"), 5400.0);
    same(seconds("1h30min"), 5400.0);
    same(seconds("2 days"), 172_800.0);

    let square_metres = |text: &str| text.parse::<Area>().unwrap().square_metres();
    for text in ["25 cm x 40 cm", "25 x 40 cm", "25cm×40cm", "0.1 m2", "0.1 m²", "1000 sq cm"] {
        same(square_metres(text), 0.1);
    }
    same("5 km/h".parse::<Speed>().unwrap().metres_per_second(), 5.0 / 3.6);
    same("1.5 kW".parse::<Power>().unwrap().watts(), 1500.0);
    same("2 kWh".parse::<Energy>().unwrap().joules(), 7.2e6);
}

#[test]
fn refusals_say_what_is_wrong() {
    let text = |t: &str| t.to_owned();
    let quantity = "length";
    let allowed = || vec!["mm", "cm", "m", "in", "ft"];
    for bare in ["12", "12 ", "1/2"] {
        assert_eq!(metres(bare), Err(UnitError::MissingUnit { text: text(bare), quantity, allowed: allowed() }));
    }
    for none in ["", "mm", "about", "- mm", ".mm"] {
        assert_eq!(metres(none), Err(UnitError::NoNumber { text: text(none) }));
    }
    for infinite in ["nan mm", "inf mm", "-inf", "NaN", "1e999 mm", "1/0 mm"] {
        assert_eq!(metres(infinite), Err(UnitError::NotFinite { text: text(infinite) }));
    }
    for comma in ["1,5 mm", "1,500 mm"] {
        assert_eq!(metres(comma), Err(UnitError::Comma { text: text(comma) }));
    }
    assert_eq!(metres("-2 mm"), Err(UnitError::Negative { text: text("-2 mm"), quantity }));
    let unknown = |unit: &str, nearest| {
        Err(UnitError::UnknownUnit {
            text: format!("12 {unit}"),
            unit: text(unit),
            quantity,
            allowed: allowed(),
            nearest,
        })
    };
    assert_eq!(metres("12 inchs"), unknown("inchs", Some("inches")));
    assert_eq!(metres("12 kg"), unknown("kg", None));
    assert_eq!(metres("12 MM"), unknown("MM", Some("mm"))); // M is mega: never taken for milli
    assert!("-300 C".parse::<Temperature>().is_err_and(|e| e == UnitError::BelowAbsoluteZero { text: text("-300 C") }));
    assert!(matches!("5 C 3 C".parse::<Temperature>(), Err(UnitError::MoreThanOne { .. })));
    assert!(matches!("12..18 mm".parse::<Length>(), Err(UnitError::NoNumber { .. }))); // a range is no number
    assert!(matches!("25 cm x".parse::<Area>(), Err(UnitError::NoNumber { .. })));
    assert!(matches!("25 x 40".parse::<Area>(), Err(UnitError::MissingUnit { .. })));
}

/// Factors as printed in NIST SP 811 (2008), appendix B.8, seven digits.
#[test]
fn factors_agree_with_nist() {
    let digits = |got: f64, printed: f64| assert!((got / printed - 1.0).abs() < 5e-7, "got {got}, printed {printed}");
    for (text, printed) in [("1 in", 2.54e-2), ("1 ft", 3.048e-1)] {
        digits(metres(text).unwrap(), printed);
    }
    for (text, printed) in [("1 lb", 4.535_924e-1), ("1 oz", 2.834_952e-2)] {
        digits(text.parse::<Mass>().unwrap().kilograms(), printed);
    }
    for (text, printed) in [
        ("1 gallon", 3.785_412e-3),
        ("1 quart", 9.463_529e-4),
        ("1 pint", 4.731_765e-4),
        ("1 cup", 2.365_882e-4),
        ("1 fl oz", 2.957_353e-5),
        ("1 tbsp", 1.478_676e-5),
        ("1 tsp", 4.928_922e-6),
        ("1 ft3", 2.831_685e-2),
        ("1 l", 1e-3),
    ] {
        digits(text.parse::<Volume>().unwrap().cubic_metres(), printed);
    }
    for (text, printed) in [
        ("1 Torr", 1.333_224e2),
        ("1 mmHg", 1.333_224e2),
        ("1 um Hg", 1.333_224e-1),
        ("1 inHg", 3.386_389e3),
        ("1 psi", 6.894_757e3),
        ("1 atm", 1.013_25e5),
        ("1 mbar", 1e2),
        ("1 bar", 1e5),
    ] {
        digits(text.parse::<Pressure>().unwrap().pascals(), printed);
    }
    for (text, printed) in [("1 ft2", 9.290_304e-2), ("1 in2", 6.4516e-4)] {
        digits(text.parse::<Area>().unwrap().square_metres(), printed);
    }
    for (text, printed) in
        [("1 mph", 4.4704e-1), ("1 km/h", 2.777_778e-1), ("1 kn", 5.144_444e-1), ("1 ft/s", 3.048e-1)]
    {
        digits(text.parse::<Speed>().unwrap().metres_per_second(), printed);
    }
    for (text, printed) in [("1 BTU", 1.055_056e3), ("1 kWh", 3.6e6), ("1 Wh", 3.6e3)] {
        digits(text.parse::<Energy>().unwrap().joules(), printed);
    }
    for (text, printed) in [("1 BTU/h", 2.930_711e-1), ("1 hp", 7.456_999e2)] {
        digits(text.parse::<Power>().unwrap().watts(), printed);
    }
    digits("1 d".parse::<Duration>().unwrap().seconds(), 8.64e4);
}

#[test]
fn the_way_out_is_the_way_in() {
    same(Length::from_metres(0.0254).inches(), 1.0);
    same(Length::from_metres(0.012).millimetres(), 12.0);
    same(Length::from_metres(0.012).centimetres(), 1.2);
    same(Temperature::from_kelvin(255.15).celsius(), -18.0);
    same(Temperature::from_kelvin(373.15).fahrenheit(), 212.0);
    same(TemperatureDifference::from_kelvin(5.0).fahrenheit_degrees(), 9.0);
    same(Pressure::from_pascals(40.0).millibar(), 0.4);
    same(Pressure::from_pascals(101.325).millitorr(), 760.0);
    same(Mass::from_kilograms(0.453_592_37).pounds(), 1.0);
    same(Mass::from_kilograms(0.453_592_37).ounces(), 16.0);
    same(Mass::from_kilograms(0.2).grams(), 200.0);
    same(Volume::from_cubic_metres(2.365_882_365e-4).cups(), 1.0);
    same(Volume::from_cubic_metres(0.5).litres(), 500.0);
    same(Area::from_square_metres(0.092_903_04).square_feet(), 1.0);
    same(Duration::from_seconds(5400.0).hours(), 1.5);
    same(Duration::from_seconds(5400.0).minutes(), 90.0);
    same(Duration::from_seconds(86_400.0).days(), 1.0);
    same(Speed::from_metres_per_second(5.0).kilometres_per_hour(), 18.0);
    same(Energy::from_joules(7.2e6).kilowatt_hours(), 2.0);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, rng_seed: RngSeed::Fixed(1), failure_persistence: None, ..ProptestConfig::default() })]

    /// Any text gives a finite quantity or an error, never a panic.
    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,16}", likely in "[-+0-9 ./,a-zA-Zµ°½²x×\"']{0,14}") {
        for text in [text, likely] {
            prop_assert!(text.parse::<Length>().map_or(true, |q| q.metres().is_finite() && q.metres() >= 0.0));
            prop_assert!(text.parse::<Temperature>().map_or(true, |q| q.kelvin().is_finite() && q.kelvin() >= 0.0));
            prop_assert!(text.parse::<Area>().map_or(true, |q| q.square_metres().is_finite()));
            prop_assert!(text.parse::<Duration>().map_or(true, |q| q.seconds().is_finite()));
        }
    }

    /// A number printed with a unit is read back.
    #[test]
    fn printed_numbers_are_read_back(value in 0.0..1e6_f64) {
        same(format!("{value} mm").parse::<Length>().unwrap().millimetres(), value);
        same(format!("{}C", value - 273.0).parse::<Temperature>().unwrap().kelvin(), value + 0.15);
    }
}
