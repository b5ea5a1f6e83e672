//! The units we know, and every conversion factor there is in this project.
//!
//! Source of all factors: NIST Special Publication 811 (2008), appendix B.8, where exact factors are in bold; US
//! kitchen measures follow from the gallon (3.785 411 784 L) as NIST Handbook 44 appendix C divides it.

/// One unit: the names it goes by, the factor to SI, and the offset that makes it a scale of temperature.
pub(super) struct Unit {
    /// Names; the first is the one we print.
    pub names: &'static [&'static str],
    /// SI value of one unit.
    pub factor: f64,
    /// SI value at 0 of this unit.
    pub zero: f64,
}

/// The units of one quantity.
pub(super) struct Scale {
    /// What is measured.
    pub quantity: &'static str,
    /// Units, commonest first.
    pub units: &'static [Unit],
    /// Whether negative values make sense.
    pub signed: bool,
}

const fn unit(names: &'static [&'static str], factor: f64) -> Unit {
    Unit { names, factor, zero: 0.0 }
}

const fn positive(quantity: &'static str, units: &'static [Unit]) -> Scale {
    Scale { quantity, units, signed: false }
}

const fn signed(quantity: &'static str, units: &'static [Unit]) -> Scale {
    Scale { quantity, units, signed: true }
}

/// Units that are understood but not offered: no kitchen measures in them.
const NOT_OFFERED: [&str; 1] = ["um"];

impl Scale {
    /// Names of its units, for an error.
    pub(super) fn names(&self) -> Vec<&'static str> {
        self.units.iter().map(|unit| unit.names[0]).filter(|name| !NOT_OFFERED.contains(name)).collect()
    }
}

pub(super) const MILLIMETRE: f64 = 1e-3;
pub(super) const CENTIMETRE: f64 = 1e-2;
pub(super) const INCH: f64 = 0.0254;
pub(super) const FOOT: f64 = 0.3048;
pub(super) const FAHRENHEIT_DEGREE: f64 = 5.0 / 9.0;
pub(super) const FAHRENHEIT_AT_ZERO_CELSIUS: f64 = 32.0;
pub(super) const MILLITORR: f64 = TORR / 1e3;
pub(super) const MILLIBAR: f64 = 100.0;
pub(super) const POUND: f64 = 0.453_592_37;
pub(super) const OUNCE: f64 = POUND / 16.0;
pub(super) const LITRE: f64 = 1e-3;
pub(super) const CUP: f64 = GALLON / 16.0;
pub(super) const SQUARE_FOOT: f64 = FOOT * FOOT;
pub(super) const MINUTE: f64 = 60.0;
pub(super) const HOUR: f64 = 3600.0;
pub(super) const DAY: f64 = 86_400.0;
pub(super) const KILOWATT_HOUR: f64 = 3.6e6;
/// 101 325/760 Pa.
const TORR: f64 = 101_325.0 / 760.0;
/// Conventional millimetre of mercury.
const MILLIMETRE_OF_MERCURY: f64 = 133.3224;
const PSI: f64 = 6894.757;
const INCH_OF_MERCURY: f64 = 3386.389;
const GALLON: f64 = 3.785_411_784e-3;
pub(super) const MILE: f64 = 1609.344;
const KNOT: f64 = 1852.0 / HOUR;
/// International Table British thermal unit.
const BTU: f64 = 1055.056;
const HORSEPOWER: f64 = 745.6999;
/// Celsius zero in kelvin.
const CELSIUS_ZERO: f64 = 273.15;
/// Fahrenheit zero in kelvin: (0 + 459.67)/1.8.
const FAHRENHEIT_ZERO: f64 = 459.67 / 1.8;

pub(super) static LENGTH: Scale = positive(
    "length",
    &[
        unit(&["mm", "millimetre", "millimetres", "millimeter", "millimeters"], MILLIMETRE),
        unit(&["cm", "centimetre", "centimetres", "centimeter", "centimeters"], CENTIMETRE),
        unit(&["m", "metre", "metres", "meter", "meters"], 1.0),
        unit(&["in", "inch", "inches", "\""], INCH),
        unit(&["ft", "foot", "feet", "'"], FOOT),
        unit(&["um", "micrometre", "micrometres", "micrometer", "micrometers"], 1e-6),
    ],
);

const CELSIUS_NAMES: &[&str] = &["C", "degC", "deg C", "celsius"];
const FAHRENHEIT_NAMES: &[&str] = &["F", "degF", "deg F", "fahrenheit"];
const KELVIN_NAMES: &[&str] = &["K", "kelvin"];

pub(super) static TEMPERATURE: Scale = signed(
    "temperature",
    &[
        Unit { names: CELSIUS_NAMES, factor: 1.0, zero: CELSIUS_ZERO },
        Unit { names: FAHRENHEIT_NAMES, factor: FAHRENHEIT_DEGREE, zero: FAHRENHEIT_ZERO },
        Unit { names: KELVIN_NAMES, factor: 1.0, zero: 0.0 },
    ],
);

pub(super) static TEMPERATURE_DIFFERENCE: Scale = signed(
    "temperature difference",
    &[unit(KELVIN_NAMES, 1.0), unit(CELSIUS_NAMES, 1.0), unit(FAHRENHEIT_NAMES, FAHRENHEIT_DEGREE)],
);

pub(super) static PRESSURE: Scale = positive(
    "pressure",
    &[
        unit(&["Pa", "pascal"], 1.0),
        unit(&["hPa"], 100.0),
        unit(&["kPa"], 1e3),
        unit(&["mbar", "millibar"], MILLIBAR),
        unit(&["bar"], 1e5),
        unit(&["mTorr", "millitorr"], MILLITORR),
        unit(&["Torr"], TORR),
        unit(&["um Hg", "umHg", "micron", "microns"], MILLIMETRE_OF_MERCURY / 1e3),
        unit(&["mmHg", "mm Hg"], MILLIMETRE_OF_MERCURY),
        unit(&["inHg", "in Hg"], INCH_OF_MERCURY),
        unit(&["psi"], PSI),
        unit(&["atm"], 101_325.0),
    ],
);

pub(super) static MASS: Scale = positive(
    "mass",
    &[
        unit(&["g", "gram", "grams"], 1e-3),
        unit(&["kg", "kilogram", "kilograms", "kilo", "kilos"], 1.0),
        unit(&["lb", "lbs", "pound", "pounds"], POUND),
        unit(&["oz", "ounce", "ounces"], OUNCE),
        unit(&["mg"], 1e-6),
    ],
);

pub(super) static VOLUME: Scale = positive(
    "volume",
    &[
        unit(&["ml", "millilitre", "millilitres", "milliliter", "milliliters", "cm3", "cc"], LITRE / 1e3),
        unit(&["l", "litre", "litres", "liter", "liters", "dm3"], LITRE),
        unit(&["dl"], LITRE / 10.0),
        unit(&["cl"], LITRE / 100.0),
        unit(&["m3"], 1.0),
        unit(&["cup", "cups"], CUP),
        unit(&["tbsp", "tablespoon", "tablespoons"], CUP / 16.0),
        unit(&["tsp", "teaspoon", "teaspoons"], CUP / 48.0),
        unit(&["fl oz", "floz", "fluid ounce", "fluid ounces"], GALLON / 128.0),
        unit(&["pint", "pints", "pt"], GALLON / 8.0),
        unit(&["quart", "quarts", "qt"], GALLON / 4.0),
        unit(&["gallon", "gallons", "gal"], GALLON),
        unit(&["ft3", "cu ft"], FOOT * FOOT * FOOT),
    ],
);

pub(super) static AREA: Scale = positive(
    "area",
    &[
        unit(&["m2", "sq m"], 1.0),
        unit(&["cm2", "sq cm"], CENTIMETRE * CENTIMETRE),
        unit(&["ft2", "sq ft"], SQUARE_FOOT),
        unit(&["in2", "sq in"], INCH * INCH),
    ],
);

pub(super) static DURATION: Scale = positive(
    "time",
    &[
        unit(&["h", "hour", "hours", "hr", "hrs"], HOUR),
        unit(&["min", "minute", "minutes", "mins"], MINUTE),
        unit(&["s", "second", "seconds", "sec"], 1.0),
        unit(&["d", "day", "days"], DAY),
    ],
);

pub(super) static SPEED: Scale = positive(
    "speed",
    &[
        unit(&["m/s"], 1.0),
        unit(&["km/h", "kph"], 1e3 / HOUR),
        unit(&["mph"], MILE / HOUR),
        unit(&["ft/s"], FOOT),
        unit(&["kn", "knot", "knots"], KNOT),
    ],
);

pub(super) static POWER: Scale = positive(
    "power",
    &[
        unit(&["W", "watt", "watts"], 1.0),
        unit(&["kW", "kilowatt", "kilowatts"], 1e3),
        unit(&["BTU/h", "BTU/hr"], BTU / HOUR),
        unit(&["hp", "horsepower"], HORSEPOWER),
    ],
);

pub(super) static ENERGY: Scale = positive(
    "energy",
    &[
        unit(&["kWh"], KILOWATT_HOUR),
        unit(&["Wh"], HOUR),
        unit(&["J", "joule", "joules"], 1.0),
        unit(&["kJ"], 1e3),
        unit(&["MJ"], 1e6),
        unit(&["BTU"], BTU),
    ],
);
