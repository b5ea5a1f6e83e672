//! The usable region of a food, shelf temperature against pressure: as data, as a table and as a map.

use icefront_core::decide::grade::Grade;
use icefront_core::decide::region::{Cell, PATIENCE_S, Region, region};
use icefront_core::error::ModelError;
use icefront_core::load::Load;
use icefront_core::machine::Dryer;
use icefront_core::result::BatchResult;
use icefront_core::units::UnitSystem;
use icefront_plot::{MapCell, MapMark, PlotError, UsableMap, usable_map_svg};
use serde::Serialize;

use crate::blocks::{Column, Table};
use crate::format::{self, capital};

/// The usable region of the food on one tray, and where its load is in it.
#[derive(Clone, Debug)]
pub struct Usable {
    /// The region.
    pub region: Region,
    /// Units in which it is shown.
    pub units: UnitSystem,
    /// Shelf and mean pressure of the load's own run; `None` for a rig.
    pub here: Option<Here>,
}

/// Where a load is run.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Here {
    /// What the shelves are heated to, at most.
    pub shelf_k: f64,
    /// Mean of the chamber while ice leaves.
    pub pressure_pa: f64,
}

/// The usable region as data.
#[derive(Clone, Debug, Serialize)]
pub struct Map<'a> {
    /// Drying alone on a shelf of this temperature at this pressure.
    pub cells: &'a [Cell],
    /// Of those dry within 48 h the one with the coldest ice front.
    pub gentlest: Option<Cell>,
    /// The fastest that comes out as well.
    pub fastest: Option<Cell>,
    /// The load's own run.
    pub this_load: Option<Here>,
}

impl Usable {
    /// Of the food on a tray.
    ///
    /// # Errors
    /// [`ModelError`] as the model gives it.
    pub fn of(load: &Load, result: &BatchResult, tray: usize) -> Result<Self, ModelError> {
        let here = match &load.dryer {
            Dryer::Cabinet(cabinet) => {
                let shelf_k = cabinet.heater.set_point.warmest_k();
                Some(Here { shelf_k, pressure_pa: result.machine.mean_pressure_pa })
            }
            Dryer::Prescribed(_) => None,
        };
        Ok(Self { region: region(load, tray)?, units: load.units, here })
    }

    /// As data.
    pub fn map(&self) -> Map<'_> {
        let Region { cells, gentlest, fastest } = &self.region;
        Map { cells, gentlest: *gentlest, fastest: *fastest, this_load: self.here }
    }

    /// As a table: a row for each pressure, a column for each shelf temperature.
    pub fn table(&self, food: &str) -> Table {
        let units = self.units;
        let rows = self.region.rows().map(|row| {
            let pressure = row.first().map_or(0.0, |cell| cell.pressure_pa);
            let cells = row.iter().map(|cell| format!("{}{}", hours(cell), mark(cell.grade)));
            [units.pressure(pressure)].into_iter().chain(cells).collect()
        });
        let columns = Region::shelves_k().map(|shelf_k| Column::number(units.whole_degrees(shelf_k)));
        Table::new("hours of drying", [Column::words("", 15)].into_iter().chain(columns), rows)
            .note(format!(
                "{}, alone on a shelf at each of these temperatures, in a chamber held at each pressure while ice leaves. no: never dry; s: softens; x: \
                 shrinks or collapses; m: melts. Not computed: heat may cost colour, aroma and vitamins before texture.",
                capital(food)
            ))
            .notes(self.found())
    }

    /// The gentlest, the fastest, and where this load is.
    fn found(&self) -> Vec<String> {
        let units = self.units;
        let at = |cell: &Cell| {
            let (shelf, pressure) = (units.whole_degrees(cell.shelf_k), units.pressure(cell.pressure_pa));
            format!("{shelf} and {pressure}, {} h, {}", hours(cell), words(cell.grade))
        };
        let patience = format::in_hours(PATIENCE_S);
        let mut found = match (&self.region.gentlest, &self.region.fastest) {
            (Some(gentlest), Some(fastest)) => vec![
                format!("Gentlest within {patience:.0} h: {}.", at(gentlest)),
                format!("Fastest that comes out as well: {}.", at(fastest)),
            ],
            _ => vec![format!("It is dry within {patience:.0} h at none of these.")],
        };
        found.extend(self.here.map(|here| {
            let (shelf, pressure) = (units.whole_degrees(here.shelf_k), units.pressure(here.pressure_pa));
            format!("This load: shelves to {shelf}, {pressure} on average while ice leaves.")
        }));
        found
    }

    /// As a picture.
    ///
    /// # Errors
    /// What cannot be drawn.
    pub fn chart(&self, food: &str) -> Result<String, PlotError> {
        let rows = self.region.rows().map(|row| {
            let cells = row.iter().map(|cell| MapCell {
                text: hours(cell),
                shade: Grade::ALL.iter().position(|grade| *grade == cell.grade).unwrap_or(0),
            });
            (row.first().map_or(0.0, |cell| cell.pressure_pa), cells.collect())
        });
        let at = |name: &str, shelf_k: f64, pressure_pa: f64| MapMark { name: name.into(), shelf_k, pressure_pa };
        let Region { gentlest, fastest, .. } = &self.region;
        let marks = [
            gentlest.map(|cell| at("gentlest", cell.shelf_k, cell.pressure_pa)),
            fastest.map(|cell| at("fastest that comes out as well", cell.shelf_k, cell.pressure_pa)),
            self.here.map(|here| at("this load", here.shelf_k, here.pressure_pa)),
        ];
        usable_map_svg(&UsableMap {
            food: food.into(),
            shelves_k: Region::shelves_k().collect(),
            rows: rows.collect(),
            shades: Grade::ALL.map(words).map(String::from).to_vec(),
            marks: marks.into_iter().flatten().collect(),
            units: self.units,
        })
    }
}

/// `12`, with a decimal under ten; `no` where it never gets dry.
fn hours(cell: &Cell) -> String {
    match cell.dry_s.map(format::in_hours) {
        Some(h) if h < 9.95 => format!("{h:.1}"),
        Some(h) => format!("{h:.0}"),
        None => "no".into(),
    }
}

fn mark(grade: Grade) -> &'static str {
    match grade {
        Grade::Keeps | Grade::NeverDry => " ",
        Grade::Softens => "s",
        Grade::Shrinks => "x",
        Grade::Melts => "m",
    }
}

/// How it comes out.
pub fn words(grade: Grade) -> &'static str {
    match grade {
        Grade::Keeps => "keeps its texture",
        Grade::Softens => "softens",
        Grade::Shrinks => "shrinks or collapses",
        Grade::Melts => "melts",
        Grade::NeverDry => "never dry",
    }
}
