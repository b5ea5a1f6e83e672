//! Lines of a readings file: a header that names the columns, then a line per moment and tray.

use std::collections::HashMap;

use icefront_core::learning::{Quantity, Reading};
use icefront_core::load::Load;
use icefront_core::units::UnitSystem;

use crate::formula;
use crate::problem::spelling_help;
use crate::quantity::system::system_of;
use crate::readings::column::{self, EVENTS, Event};
use crate::readings::header::{self, Use};
use crate::readings::interruption::{Interruption, Interruptions};
use crate::readings::slip::swapped_digits;
use crate::readings::when::{self, When};
use crate::table::{Cell, Findings, Numbers, Record, Records};
use crate::weather::clock::{Clock, DAY_S, HOUR_S};

/// One reading with its line.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Line in the file, from 1.
    pub line: usize,
    /// Time from the start by the clock, s.
    pub time_s: f64,
    /// What was read; its time is that of the run, without interruptions.
    pub reading: Reading,
    /// What it would be with two digits swapped, SI.
    pub slips: Vec<f64>,
}

/// All lines of a file.
#[derive(Clone, Debug, Default)]
pub struct Lines {
    /// The readings.
    pub rows: Vec<Row>,
    /// Times at which the run stood still.
    pub interruptions: Vec<Interruption>,
    /// Clock of the start, s after midnight or after 1970-01-01 00:00, where it is known.
    pub started_s: Option<f64>,
    /// Time of the last line from the start by the clock, s.
    pub until_s: f64,
    /// Units in which the cook measured, where she used one system.
    pub units: Option<UnitSystem>,
}

/// A clock without a date that goes back by this much or more has passed midnight.
const PAST_MIDNIGHT_S: f64 = 6.0 * HOUR_S;
/// Latest time, h.
const LATEST_H: f64 = 400.0;

/// Most readings of a run, such as one every two minutes for a day: they are weighed together, which takes seconds for so
/// many and grows faster than their square.
pub const MOST_READINGS: usize = 1_000;

/// Reads all lines; whatever is wrong is noted. `pump_s`: when the pump starts in the typical run.
pub fn read(text: &str, load: &Load, pump_s: f64, findings: &mut Findings) -> Lines {
    read_from(text, load, pump_s, None, findings)
}

/// The same of a run that was started at a time of day which the file need not say.
pub fn read_from(text: &str, load: &Load, pump_s: f64, start: Option<Clock>, findings: &mut Findings) -> Lines {
    let mut records = Records::of(text);
    let numbers = Numbers::of(records.separator());
    let Some(header) = records.header(findings) else { return Lines::default() };
    let Some(uses) = header::read(&header, findings) else { return Lines::default() };
    let mut reader = Reader {
        load,
        findings,
        numbers,
        pump_s,
        start,
        start_line: header::start_line(&uses, records.separator()),
        units: header::units(&uses),
        rows: Vec::new(),
        interruptions: Interruptions::default(),
        last: HashMap::new(),
        started_s: None,
        last_s: None,
        until_s: 0.0,
    };
    for record in records {
        if reader.rows.len() >= MOST_READINGS {
            let help = format!("keep at most {MOST_READINGS} readings, one every few minutes");
            reader.findings.note("many", &record.span, "there are too many readings", "from here on", help);
        } else if record.fits(uses.len(), reader.findings) {
            reader.line(record.line, &record, &uses);
        }
    }
    let Reader { rows, interruptions, started_s, until_s, units, .. } = reader;
    let units = system_of(units.iter().map(String::as_str));
    Lines { rows, interruptions: interruptions.until(until_s), started_s, until_s, units }
}

/// A number of a cell.
struct Written {
    /// As it stands, SI.
    value: f64,
    /// With two digits swapped, SI.
    slips: Vec<f64>,
}

impl Written {
    /// A time read off a clock.
    fn clock(time_s: f64) -> Self {
        Self { value: time_s, slips: Vec::new() }
    }
}

struct Reader<'a> {
    load: &'a Load,
    findings: &'a mut Findings,
    numbers: Numbers,
    /// When the pump starts, s: as noted, else as in the typical run.
    pump_s: f64,
    /// Time of day of the start, where it is known from elsewhere.
    start: Option<Clock>,
    /// What to write where the start is missing.
    start_line: String,
    /// Units of the values.
    units: Vec<String>,
    rows: Vec<Row>,
    interruptions: Interruptions,
    /// Line and time, s, of the last reading of each quantity.
    last: HashMap<Quantity, (usize, f64)>,
    /// Clock of the start, s.
    started_s: Option<f64>,
    /// Clock or hours of the line before, s.
    last_s: Option<f64>,
    /// Time of the last line from the start, s.
    until_s: f64,
}

impl Reader<'_> {
    fn line(&mut self, number: usize, line: &Record<'_>, uses: &[Use]) {
        let cell = |wanted: fn(&Use) -> bool| uses.iter().position(wanted).map(|i| &line.cells[i]);
        let event = cell(|u| matches!(u, Use::Event)).and_then(|c| self.event(c));
        let clock = cell(|u| matches!(u, Use::Clock));
        let time_s = match (clock, cell(|u| matches!(u, Use::HoursOfPump))) {
            (Some(c), _) => self.time(c, event),
            (None, Some(c)) => self.hours(c, self.pump_s),
            (None, None) => cell(|u| matches!(u, Use::Hours)).and_then(|c| self.hours(c, 0.0)),
        };
        let Some(time_s) = time_s else { return };
        self.until_s = self.until_s.max(time_s);
        if let Some(event) = event
            && self.interruptions.note(event, time_s).is_none()
        {
            let help = "note when it began, in a line before: `power off`, `opened`, `tray out` or `pump off`";
            self.findings.note(
                "event",
                &line.span,
                "this ends something that had not started",
                "no beginning before",
                help,
            );
        }
        let tray_cell = cell(|u| matches!(u, Use::Tray)).filter(|c| !c.text.is_empty());
        let tray = tray_cell.and_then(|c| self.tray(c));
        if tray_cell.is_some() && tray.is_none() {
            return;
        }
        match event {
            Some(Event::PumpStarted) => {
                self.pump_s = time_s;
                self.add(number, line, time_s, Quantity::PumpStarted, Written::clock(time_s));
            }
            Some(Event::Finished) => self.add(number, line, time_s, Quantity::Finished, Written::clock(time_s)),
            _ => {}
        }
        for (cell, what) in line.cells.iter().zip(uses) {
            let Use::Value(column) = what else { continue };
            if cell.text.is_empty() {
                continue;
            }
            let Some(quantity) = column.quantity(tray) else {
                let title = format!("`{}` needs a tray", column.name);
                let help = "write its number, from the bottom, or its name in the column `tray`";
                self.findings.note("tray", &cell.span, title, "of which tray?", help);
                continue;
            };
            let plain = self.numbers.plain(&cell.text).map_err(str::to_string);
            if matches!(quantity, Quantity::Weight { .. }) && self.load.dryer.can_pause() {
                self.interruptions.weighed(time_s);
            }
            match plain.and_then(|plain| Ok((column.read(&plain)?, plain))) {
                Ok((value, plain)) => {
                    self.units.push(plain.to_string());
                    let slips = swapped_digits(&plain).iter().filter_map(|text| column.read(text).ok()).collect();
                    self.add(number, line, time_s, quantity, Written { value, slips });
                }
                Err(label) => {
                    let title = format!("`{}` cannot be used", column.name);
                    self.findings.note(column.name, &cell.span, title, label, column.advice(&cell.text));
                }
            }
        }
    }

    fn add(&mut self, number: usize, line: &Record<'_>, time_s: f64, quantity: Quantity, written: Written) {
        if !quantity.is_there(self.load) {
            self.findings.note("rig", &line.span, "there is nothing to read on a rig", "a rig has no machine", "");
            return;
        }
        let event = matches!(quantity, Quantity::PumpStarted | Quantity::Finished);
        // lines follow each other in time, so the last reading is the nearest
        let before = self.last.get(&quantity).filter(|(_, last_s)| event || time_s - last_s < 1.0);
        if let Some((first, _)) = before {
            let label = format!("read in line {first} already");
            self.findings.note("twice", &line.span, "a reading is there twice", label, "leave one out");
            return;
        }
        self.last.insert(quantity, (number, time_s));
        let of_run_s = time_s - self.interruptions.before_s(time_s);
        let value = if event { of_run_s } else { written.value };
        let reading = Reading { time_s: of_run_s, quantity, value };
        self.rows.push(Row { line: number, time_s, reading, slips: written.slips });
    }

    fn event(&mut self, cell: &Cell<'_>) -> Option<Event> {
        if cell.text.is_empty() {
            return None;
        }
        let found = column::event(&cell.text);
        if found.is_none() {
            let help = spelling_help(&cell.text, &EVENTS.map(|(name, _)| name));
            let title = format!("no event is named `{}`", cell.text);
            self.findings.note("event", &cell.span, title, "not one of them", help);
        }
        found
    }

    fn tray(&mut self, cell: &Cell<'_>) -> Option<usize> {
        let trays = &self.load.trays;
        let named = formula::original(&cell.text);
        let digits = named.trim_start_matches(|c: char| c.is_alphabetic() || c == '#' || c == ' ');
        let number = if digits.is_empty() { named } else { digits };
        let by_number = || number.parse::<usize>().ok().and_then(|n| n.checked_sub(1)).filter(|i| *i < trays.len());
        let by_name = || trays.iter().position(|t| t.name.eq_ignore_ascii_case(named));
        let of_food: Vec<usize> = (0..trays.len()).filter(|i| trays[*i].food.eq_ignore_ascii_case(named)).collect();
        let found = by_name().or_else(by_number).or(if of_food.len() == 1 { of_food.first().copied() } else { None });
        if found.is_none() {
            let several = of_food.len() > 1;
            let title = if several {
                format!("`{}` is on {} trays", cell.text, of_food.len())
            } else {
                format!("there is no tray `{}`", cell.text)
            };
            let all = trays.iter().enumerate().map(|(i, t)| format!("{} ({})", i + 1, t.food));
            let help = format!("from the bottom: {}; write the number", all.collect::<Vec<_>>().join(", "));
            self.findings.note(
                "tray",
                &cell.span,
                title,
                if several { "which one?" } else { "not on the sheet" },
                help,
            );
        }
        found
    }

    /// Seconds since the start, by hours since `from_s`.
    fn hours(&mut self, cell: &Cell<'_>, from_s: f64) -> Option<f64> {
        let hours = self.numbers.plain(&cell.text).ok().and_then(|plain| plain.parse::<f64>().ok());
        match hours {
            Some(hours) if (0.0..=LATEST_H).contains(&hours) => {
                let time_s = from_s + hours * HOUR_S;
                self.in_order(cell, time_s).then_some(time_s)
            }
            _ => {
                let help = format!("hours since the start, 0 to {LATEST_H}; clock times go in a column `time`");
                self.findings.note("time", &cell.span, "the time cannot be read", "not hours", help);
                None
            }
        }
    }

    /// Seconds since the start, by a clock with or without dates, or counted from the start or the pump.
    fn time(&mut self, cell: &Cell<'_>, event: Option<Event>) -> Option<f64> {
        let from_start = |time_s: f64| self.started_s.unwrap_or(0.0) + time_s;
        let clock_s = match When::read(&cell.text, self.load.dates) {
            Ok(When::OfDay(of_day_s)) => self.on_its_day(of_day_s),
            Ok(When::Stamp(stamp_s)) => stamp_s,
            Ok(When::SinceStart(time_s)) if self.started_s.is_none() => {
                return self.in_order(cell, time_s).then_some(time_s);
            }
            Ok(When::SincePump(time_s)) if self.started_s.is_none() => {
                let time_s = self.pump_s + time_s;
                return self.in_order(cell, time_s).then_some(time_s);
            }
            Ok(When::SinceStart(time_s)) => from_start(time_s),
            Ok(When::SincePump(time_s)) => from_start(self.pump_s + time_s),
            Err(label) => {
                self.findings.note("time", &cell.span, "the time cannot be read", label, when::HELP);
                return None;
            }
        };
        if !self.in_order(cell, clock_s) {
            return None;
        }
        if event == Some(Event::Started) {
            self.started_s.get_or_insert(clock_s);
        }
        if let (None, Some(start)) = (self.started_s, self.start) {
            self.started_s = Some(clock_s - start.until(Clock(clock_s.rem_euclid(DAY_S))).rem_euclid(DAY_S));
        }
        let Some(started_s) = self.started_s else {
            let help = format!("{}; or count from the start: `after 7 h`", self.start_line);
            self.findings.note("start", &cell.span, "when did the run start?", "no start before", help);
            return None;
        };
        if clock_s - started_s > LATEST_H * HOUR_S {
            let label = format!("more than {LATEST_H} h after the start");
            self.findings.note("late", &cell.span, "this is another run", label, "");
            return None;
        }
        Some(clock_s - started_s)
    }

    /// A clock without a date is of the day of the line before, or of the next if it has gone round.
    fn on_its_day(&self, of_day_s: f64) -> f64 {
        let Some(last_s) = self.last_s else { return of_day_s };
        let same_day = (last_s / DAY_S).floor() * DAY_S + of_day_s;
        if last_s - same_day >= PAST_MIDNIGHT_S { same_day + DAY_S } else { same_day }
    }

    fn in_order(&mut self, cell: &Cell<'_>, time_s: f64) -> bool {
        let back = self.last_s.is_some_and(|last| time_s < last);
        if back {
            let help = "write the lines in order of time, with dates where two lines are more than 18 h apart";
            self.findings.note("order", &cell.span, "time goes back", "earlier than the line before", help);
        } else {
            self.last_s = Some(time_s);
        }
        !back
    }
}
