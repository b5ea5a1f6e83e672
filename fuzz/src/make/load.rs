//! Random load sheets.

use std::fmt::Write;

use fastrand::Rng;
use icefront_core::food::{FoodEntry, FoodTable};

use super::{one_in, pick};
use crate::limits::{self, Limit};

/// Share of fat from which a food counts as fatty.
const FATTY: f64 = 0.12;
/// Share of water from which a food can be freeze-dried.
const DRIEST: f64 = 0.3;
const SHAPES: [(&str, &[&str]); 6] = [
    ("layer", &["depth"]),
    ("spheres", &["size"]),
    ("cubes", &["size"]),
    ("sticks", &["thickness", "length"]),
    ("slices", &["thickness", "width"]),
    ("bricks", &["length", "width", "height"]),
];
/// Sizes that say how high a piece stands, and how high food may stand, mm.
const UPRIGHT: [&str; 3] = ["size", "thickness", "height"];
const HIGHEST_MM: f64 = 80.0;
const MOST_LAYERS: f64 = 20.0;
/// Dryers that every program knows.
pub const BUILT_IN: [&str; 3] = ["0.36 m2", "0.60 m2", "1.00 m2"];
/// Expert numbers on one tray.
const MOST_EXPERT: usize = 3;

/// How strange a sheet is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Style {
    /// As a household might load it.
    Usual,
    /// Values anywhere within their limits, expert numbers, foods of the sheet's own.
    Anywhere,
}

/// A load sheet with up to so many trays, for a dryer of this name.
pub fn text(dryer: &str, style: Style, most_trays: usize, rng: &mut Rng) -> String {
    let mut sheet = Sheet { text: format!("icefront = 1\ndryer = \"{dryer}\"\n"), style, rng };
    sheet.top();
    let trays = sheet.rng.usize(1..=most_trays);
    for _ in 0..trays {
        sheet.tray();
    }
    sheet.text
}

struct Sheet<'a> {
    text: String,
    style: Style,
    rng: &'a mut Rng,
}

impl Sheet<'_> {
    fn anywhere(&self) -> bool {
        self.style == Style::Anywhere
    }

    fn line(&mut self, key: &str, value: impl std::fmt::Display) {
        let _infallible = writeln!(self.text, "{key} = {value}");
    }

    fn heading(&mut self, heading: &str) {
        let _infallible = write!(self.text, "\n{heading}\n");
    }

    /// A quantity with its unit: between two usual values, or anywhere within its limits; rough now and then.
    fn quantity(&mut self, limit: &Limit, usual: (f64, f64)) -> (String, f64) {
        let value =
            if self.anywhere() { limit.value(self.rng) } else { usual.0 + (usual.1 - usual.0) * self.rng.f64() };
        let rounded = if self.rng.bool() { value } else { (value * 100.0).round() / 100.0 };
        let value = rounded.clamp(limit.low, limit.high);
        let unit = &limit.unit;
        // where a rough value would reach beyond the limits the sheet is refused: now and then that is wanted
        let fits = value * 1.5 < limit.high && value > limit.low * 1.5 && limit.low >= 0.0 || one_in(20, self.rng);
        let text = match self.rng.u8(..12) {
            0 if fits => format!("\"about {value} {unit}\""),
            1 if fits => format!("\"{value}..{} {unit}\"", (value + 0.2 * value.abs()).min(limit.high)),
            2 if fits => format!("\"{value} {unit} +- {} {unit}\"", (0.1 * value).abs()),
            _ => format!("\"{value} {unit}\""),
        };
        (text, value)
    }

    /// Writes a key, and gives its value in the unit of its limits.
    fn set(&mut self, chapter: &str, key: &str, usual: (f64, f64)) -> Option<f64> {
        let limit = limits::of(chapter).find(|limit| limit.key == key)?;
        let (text, value) = self.quantity(limit, usual);
        self.line(key, text);
        Some(value)
    }

    fn top(&mut self) {
        if one_in(2, self.rng) {
            self.set("Top of the sheet", "room", (12.0, 32.0));
        }
        if one_in(4, self.rng) {
            let servings = self.rng.u32(1..40);
            self.line("servings", servings);
        }
        if one_in(3, self.rng) {
            self.heading("[tariff]");
            self.line("price_per_kwh", 0.25);
            self.line("currency", "\"EUR\"");
        }
        if one_in(3, self.rng) {
            self.end();
        }
        if one_in(2, self.rng) {
            self.before_loading("[before_loading]");
        }
    }

    fn end(&mut self) {
        self.heading("[end]");
        match self.rng.u8(..5) {
            0 | 1 => {
                self.line("rule", "\"wettest spot\"");
                let share = if self.anywhere() { 0.5 + 19.5 * self.rng.f64() } else { 1.0 + 5.0 * self.rng.f64() };
                self.line("moisture", format!("\"{share:.2} %\""));
            }
            2 => {
                self.line("rule", "\"fixed time\"");
                self.set("`[end]`", "time", (8.0, 40.0));
            }
            3 => {
                self.line("rule", "\"temperatures meet\"");
                self.set("`[end]`", "difference", (1.0, 5.0));
            }
            _ => {
                self.line("rule", "\"weight constant\"");
                let grams = 0.1 * 10f64.powf(4.0 * self.rng.f64());
                self.line("loss", format!("\"{grams} g\""));
                let hours = 0.09 + 23.9 * self.rng.f64();
                self.line("over", format!("\"{hours} h\""));
            }
        }
    }

    fn before_loading(&mut self, heading: &str) {
        const CHAPTER: &str = "`[before_loading]`";
        self.heading(heading);
        let method = *pick(&["in machine", "already frozen", "already frozen", "freezer", "outdoors"], self.rng);
        self.line("method", format!("\"{method}\""));
        if method == "already frozen" {
            if one_in(2, self.rng) {
                let celsius =
                    if self.anywhere() { -70.0 + 65.0 * self.rng.f64() } else { -18.0 - 6.0 * self.rng.f64() };
                self.line("temperature", format!("\"{celsius} C\""));
            }
            return;
        }
        if one_in(2, self.rng) {
            self.set(CHAPTER, "temperature", (2.0, 25.0));
        }
        if method == "outdoors" || method == "freezer" && one_in(2, self.rng) {
            self.set(CHAPTER, "air", (-25.0, -8.0));
        }
        if method == "outdoors" && one_in(2, self.rng) {
            self.set(CHAPTER, "wind", (0.0, 8.0));
        }
        if method != "in machine" {
            self.set(CHAPTER, "time", (6.0, 24.0));
        }
    }

    fn tray(&mut self) {
        const CHAPTER: &str = "`[[tray]]`";
        let food = self.food();
        self.heading("[[tray]]");
        self.text.push_str(&food.line);
        let (shape, sizes) = *pick(&SHAPES, self.rng);
        // a layer is the most usual
        let (shape, sizes) = if one_in(3, self.rng) { SHAPES[0] } else { (shape, sizes) };
        self.line("shape", format!("\"{shape}\""));
        // now and then one that hardly any tray can hold
        let careless = one_in(20, self.rng);
        let by_amount = one_in(8, self.rng);
        let mut height_mm = HIGHEST_MM;
        for key in sizes.iter().filter(|_| !by_amount || shape != "layer" || careless) {
            let value = self.set(CHAPTER, key, (5.0, 25.0));
            if UPRIGHT.contains(key) {
                height_mm = value.unwrap_or(height_mm);
            }
        }
        let mut has_area = false;
        if by_amount {
            // on a tray of its own size, or else it hardly ever fits
            has_area = !careless;
            let area_m2 = 0.02 + 0.3 * self.rng.f64();
            if has_area {
                self.line("area", format!("\"{area_m2} m2\""));
            }
            let grams = if careless { 10f64.powf(4.7 * self.rng.f64()) } else { self.covering_g(area_m2) };
            self.line("amount", format!("\"{grams:.1} g\""));
        } else if shape != "layer" {
            if one_in(2, self.rng) {
                let most = if careless { MOST_LAYERS } else { (HIGHEST_MM / height_mm).clamp(1.0, MOST_LAYERS) };
                let layers = self.rng.u8(1..=if self.anywhere() { most as u8 } else { most.min(3.0) as u8 });
                self.line("layers", layers);
            }
            if one_in(2, self.rng) {
                let share = if self.anywhere() { 1.0 + 99.0 * self.rng.f64() } else { 40.0 + 45.0 * self.rng.f64() };
                self.line("coverage", format!("\"{share:.2} %\""));
            }
        }
        if shape == "layer" {
            self.in_a_layer();
        }
        if one_in(5, self.rng) {
            self.line("lined", "true");
        }
        if one_in(6, self.rng) {
            let share = self.rng.f64() * if self.anywhere() { 95.0 } else { 40.0 };
            self.line("uneven_contact", format!("\"{share:.2} %\""));
        }
        if self.anywhere() && !has_area && one_in(8, self.rng) {
            self.set(CHAPTER, "area", (0.05, 0.2));
        }
        if food.may_change_fat && one_in(6, self.rng) {
            let share = 90.0 * self.rng.f64() * self.rng.f64();
            self.line("fat", format!("\"{share:.2} %\""));
        }
        if one_in(8, self.rng) {
            self.before_loading("[tray.before_loading]");
        }
        if self.anywhere() && one_in(3, self.rng) {
            self.expert();
        }
        self.text.push_str(&food.after);
    }

    /// An amount that lies a few millimetres to a few centimetres high, g.
    fn covering_g(&mut self, area_m2: f64) -> f64 {
        const GRAMS_PER_M2_MM: f64 = 900.0;
        GRAMS_PER_M2_MM * area_m2 * if self.anywhere() { 2.0 * 20f64.powf(self.rng.f64()) } else { 12.0 }
    }

    fn in_a_layer(&mut self) {
        if one_in(5, self.rng) {
            let edge = if self.anywhere() { 5.0 * 100f64.powf(self.rng.f64()) } else { 30.0 + 40.0 * self.rng.f64() };
            self.line("cut", format!("\"{edge} mm\""));
            if one_in(2, self.rng) {
                let width = edge * 0.1 * self.rng.f64().max(0.02);
                self.line("cut_width", format!("\"{} mm\"", width.clamp(0.1, 20.0)));
            }
        } else if one_in(6, self.rng) {
            let name = self.entry().description.clone();
            let (size, share) = (2.0 + 30.0 * self.rng.f64() * self.rng.f64(), 1.0 + 89.0 * self.rng.f64());
            self.line(
                "embedded",
                format!("{{ food = {}, size = \"{size:.2} mm\", share = \"{share:.1} %\" }}", quoted(&name)),
            );
        }
    }

    fn expert(&mut self) {
        self.heading("[tray.expert]");
        let limits: Vec<&Limit> = limits::of("`[tray.expert]`").collect();
        let mut keys: Vec<&Limit> = (0..self.rng.usize(1..=MOST_EXPERT)).map(|_| *pick(&limits, self.rng)).collect();
        keys.sort_by_key(|limit| limit.key.clone());
        keys.dedup();
        for limit in keys {
            let value = limit.value(self.rng);
            self.line(&limit.key, format!("{value:e}"));
        }
    }

    /// A food of the table: any, or a fatty one.
    fn entry(&mut self) -> &'static FoodEntry {
        let entries: Vec<&'static FoodEntry> =
            FoodTable::embedded().map(|table| table.entries().collect()).unwrap_or_default();
        let fatty = one_in(4, self.rng);
        loop {
            let entry = *pick(&entries, self.rng);
            let wanted = !fatty || entry.composition.fat >= FATTY;
            // too dry to be freeze-dried: refused, so seldom
            let is_wet = entry.composition.water >= DRIEST || one_in(50, self.rng);
            if !entry.is_dried() && is_wet && wanted {
                return entry;
            }
        }
    }

    /// What is on a tray: a food of the table, a recipe, or a food of the sheet's own.
    fn food(&mut self) -> OnTray {
        let name = quoted(&self.entry().description);
        let own = format!("own {}", self.rng.u32(..1_000_000));
        match self.rng.u8(..12) {
            0 => {
                let mut after = format!("\n[recipe.\"{own}\"]\n");
                for _ in 0..self.rng.usize(1..=3) {
                    let part = quoted(&self.entry().description);
                    if !after.contains(&part) {
                        let grams = 10f64.powf(3.5 * self.rng.f64());
                        let _infallible = writeln!(after, "{part} = \"{grams:.1} g\"");
                    }
                }
                if one_in(2, self.rng) {
                    let _infallible = writeln!(after, "water = \"{} g\"", self.rng.u32(1..800));
                }
                OnTray { line: format!("recipe = \"{own}\"\n"), after, may_change_fat: true }
            }
            1 => {
                let mut after = format!("\n[food.\"{own}\"]\nlike = {name}\n");
                let share = |high: f64, rng: &mut Rng| format!("\"{:.2} %\"", high * rng.f64());
                for (key, high) in [("fat", 40.0), ("sugars", 10.0), ("salt", 1.0), ("air", 90.0)] {
                    if one_in(4, self.rng) {
                        let _infallible = writeln!(after, "{key} = {}", share(high, self.rng));
                    }
                }
                if one_in(3, self.rng) {
                    let _infallible = writeln!(after, "water = \"{:.2} %\"", 5.0 + 93.0 * self.rng.f64());
                }
                if one_in(4, self.rng) {
                    let celsius = if one_in(4, self.rng) { 0.0 } else { -20.0 * self.rng.f64() * self.rng.f64() };
                    let _infallible = writeln!(after, "freezing_point = \"{celsius:.3} C\"");
                }
                OnTray { line: format!("food = \"{own}\"\n"), after, may_change_fat: false }
            }
            _ => OnTray { line: format!("food = {name}\n"), after: String::new(), may_change_fat: true },
        }
    }
}

struct OnTray {
    line: String,
    after: String,
    may_change_fat: bool,
}

fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}
