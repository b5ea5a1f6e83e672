//! What would help a tray, as one change of the sheet, tried before it is offered: the model says what it does.

use icefront_core::machine::Dryer;
use icefront_core::ranges::{Outcome, Point};
use icefront_core::result::{BatchResult, Flag};
use icefront_core::units::Temperature;
use icefront_kitchen::plan::flags;
use icefront_kitchen::range::hours;
use icefront_kitchen::{Sheet, format};

use crate::editor::Editor;
use crate::form::Control;
use crate::form::TrayFields;
use crate::{Answer, Folder};

/// Most warnings in sight.
const MOST: usize = 2;
/// A tray is offered so much thinner.
const THINNER: [f64; 2] = [0.85, 0.7];
/// Shelves are offered so much colder, K.
const COLDER_K: [f64; 3] = [10.0, 20.0, 30.0];
/// Colder than this says a cook's machine no more, C.
const COLDEST_C: f64 = 0.0;
/// A change of less than this is not worth a word, s.
const WORTH_S: f64 = 1_800.0;

/// A finding on some trays, and what would help.
#[derive(Clone, Debug, PartialEq)]
pub struct Warned {
    /// The first of the trays.
    pub tray: usize,
    /// The trays.
    pub trays: String,
    /// What is found, and what can be done.
    pub words: String,
    /// A change that helps.
    pub remedy: Option<Remedy>,
}

/// A change of the sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Remedy {
    /// The place of the value.
    pub place: String,
    /// The value.
    pub value: String,
    /// What it is, on a button.
    pub words: String,
    /// What it does.
    pub effect: String,
}

/// What a change is tried on.
pub struct Bench<'a> {
    /// The sheet as it is edited.
    pub editor: &'a Editor,
    /// The folder it belongs to.
    pub folder: &'a Folder,
    /// Its name.
    pub name: &'a str,
    /// Its answer.
    pub answer: &'a Answer,
}

impl Bench<'_> {
    /// The most pressing findings.
    pub fn warned(&self) -> Vec<Warned> {
        let trays = &self.answer.run.result.trays;
        // that a fatty food keeps less long is true of the food, whatever is done with it
        let pressing = flags::pressing(&self.answer.run).into_iter().filter(|one| one.flag != Flag::Fatty);
        let warned = pressing.take(MOST).filter_map(|finding| {
            let named = finding.places.iter().filter_map(|place| trays.get(*place));
            let named = named.map(|tray| format!("{}, {}", format::capital(&tray.name), tray.food));
            let remedy = self.helps(finding.flag, &finding.places);
            Some(Warned {
                tray: *finding.places.first()?,
                trays: named.collect::<Vec<_>>().join("; "),
                words: finding.words(),
                remedy,
            })
        });
        warned.collect()
    }

    /// What a thinner tray would do to its own time.
    pub fn thinner(&self, tray: usize) -> Option<Remedy> {
        let (place, value, words) = self.less_deep(tray, THINNER[0])?;
        let before = self.typical(&self.answer.sheet)?;
        let after = self.typical(&self.changed(&place, &value)?)?;
        let dry = |result: &BatchResult| result.trays.get(tray)?.dry_at_s;
        let sooner_s = dry(&before)? - dry(&after)?;
        let effect = format!("{} sooner", hours(sooner_s));
        (sooner_s >= WORTH_S).then_some(Remedy { place, value, words, effect })
    }

    fn typical(&self, sheet: &Sheet) -> Option<BatchResult> {
        icefront_core::plan(&sheet.load).ok()
    }

    /// The sheet with one value changed, if that can be planned.
    fn changed(&self, place: &str, value: &str) -> Option<Sheet> {
        let mut editor = self.editor.clone();
        editor.set(place, value);
        self.folder.check(self.name, &editor.to_string()).ok()
    }

    /// Of the samples that show a finding on some trays, the middle one by the time the food is ready.
    fn sample(&self, flag: Flag, places: &[usize]) -> Option<Point> {
        let range = self.answer.run.range.as_ref()?;
        let shows = |o: &&Outcome| {
            places.iter().any(|place| o.trays.get(*place).is_some_and(|tray| tray.flags.contains(&flag)))
        };
        let mut showing: Vec<&Outcome> = range.cloud.outcomes.iter().filter(shows).collect();
        showing.sort_by(|a, b| a.food_ready_s.total_cmp(&b.food_ready_s));
        showing.get(showing.len() / 2).map(|outcome| Point::new(outcome.draw, range.seed))
    }

    /// The first change after which the finding is gone from these trays, in a sample that shows it.
    fn helps(&self, flag: Flag, places: &[usize]) -> Option<Remedy> {
        if !matches!(flag, Flag::Melts | Flag::Collapses | Flag::Shrinks | Flag::Softens | Flag::NotFrozen) {
            return None;
        }
        let point = self.sample(flag, places);
        let run = |sheet: &Sheet| match &point {
            Some(point) => icefront_core::plan(&sheet.at(point).ok()?).ok(),
            None => self.typical(sheet),
        };
        let before = run(&self.answer.sheet)?;
        let shows = |result: &BatchResult| {
            places.iter().any(|place| result.trays.get(*place).is_some_and(|tray| tray.flags.contains(&flag)))
        };
        let first = places.first();
        let thinner = THINNER.into_iter().filter_map(|by| self.less_deep(*first?, by));
        let colder = COLDER_K.into_iter().filter_map(|by_k| self.colder(by_k));
        let mut changes = thinner.chain(colder).filter(|_| shows(&before));
        changes.find_map(|(place, value, words)| {
            let after = run(&self.changed(&place, &value)?)?;
            let later_s = after.food_ready_s() - before.food_ready_s();
            let effect = match later_s {
                later_s if later_s >= WORTH_S => format!("{} longer", hours(later_s)),
                later_s if later_s <= -WORTH_S => format!("{} sooner", hours(-later_s)),
                _ => "no later".into(),
            };
            (!shows(&after)).then_some(Remedy { place, value, words, effect })
        })
    }

    /// Place, value and words of a thinner tray.
    fn less_deep(&self, tray: usize, by: f64) -> Option<(String, String, String)> {
        let fields = TrayFields::of(self.editor, tray).fields;
        let depth = fields.into_iter().find(|field| {
            let key = field.place.rsplit('.').next();
            matches!(key, Some("depth" | "size" | "thickness" | "height")) && !field.value.is_empty()
        })?;
        let Control::Typed(Some(slider)) = depth.control else { return None };
        let thinner = ((slider.value * by) / slider.tap).round() * slider.tap;
        let thinner = format::trimmed(thinner.min(slider.value - slider.tap), 2);
        let value = format!("{}{thinner}{}", slider.before, slider.after);
        let verb = if depth.place.ends_with("depth") { "Spread it" } else { "Cut it" };
        let words = format!("{verb} {thinner}{}", slider.after);
        (thinner.parse::<f64>().ok()? > 0.0).then_some((depth.place, value, words))
    }

    /// Place, value and words of colder shelves, where they are kept at one temperature.
    fn colder(&self, by_k: f64) -> Option<(String, String, String)> {
        let Dryer::Cabinet(cabinet) = &self.answer.sheet.load.dryer else { return None };
        let now_c = Temperature::from_kelvin(cabinet.heater.set_point.warmest_k()).celsius();
        let target_c = 5.0 * ((now_c - by_k) / 5.0).round();
        let value = format!("{target_c:.0} C");
        (target_c >= COLDEST_C)
            .then(|| ("shelf".into(), value, format!("Heat the shelves to {target_c:.0} \u{b0}C only")))
    }
}
