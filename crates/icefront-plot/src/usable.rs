//! The usable region of a food: shelf temperature across, chamber pressure upwards, hours in the fields, shaded by how the
//! food comes out.

use icefront_core::units::UnitSystem;

use crate::canvas::{Group, Pen, Place};
use crate::error::{PlotError, all_finite};
use crate::heading::{self, HEAD_PX};
use crate::legend::{self, Entry, Key};
use crate::markers::draw_marker;
use crate::style::{
    Anchor, Colour, Dash, INK, LABEL, Letters, NOTE, PANEL_LEFT_PX, PANEL_RIGHT_PX, PAPER, stack_colour,
};
use crate::words::degrees;

/// One field of the map.
#[derive(Clone, Debug, PartialEq)]
pub struct MapCell {
    /// What stands in it.
    pub text: String,
    /// Which of the shades it has, the first the best.
    pub shade: usize,
}

/// A point of the map.
#[derive(Clone, Debug, PartialEq)]
pub struct MapMark {
    /// What it is.
    pub name: String,
    /// Shelf, K.
    pub shelf_k: f64,
    /// Chamber, Pa.
    pub pressure_pa: f64,
}

/// What a food does at each shelf temperature and pressure.
#[derive(Clone, Debug, PartialEq)]
pub struct UsableMap {
    /// The food.
    pub food: String,
    /// Shelf temperatures of the columns, rising, K.
    pub shelves_k: Vec<f64>,
    /// Rows of rising pressure, Pa, each with a field for every column.
    pub rows: Vec<(f64, Vec<MapCell>)>,
    /// What the shades mean, the first the best.
    pub shades: Vec<String>,
    /// Points to be marked.
    pub marks: Vec<MapMark>,
    /// Units of the axes.
    pub units: UnitSystem,
}

/// Left edge of the fields, px: pressures stand left of it.
const LEFT_PX: f64 = PANEL_LEFT_PX + 12.0;
const FIELD_HEIGHT_PX: f64 = 36.0;
/// Room below the fields for the temperatures and their name, px.
const FOOT_PX: f64 = 44.0;
/// A mark stands this far above the middle of a field, clear of its text, px.
const ABOVE_TEXT_PX: f64 = 6.0;
/// Marks in one field stand this far apart, px.
const BESIDE_PX: f64 = 15.0;
/// From the middle of a field to the baseline of its text, px.
const TEXT_DOWN_PX: f64 = 12.0;

/// Draws the map as SVG.
///
/// # Errors
/// `EmptySeries` without columns or rows, or where a row has not one field for each column; `NotFinite`.
pub fn usable_map_svg(map: &UsableMap) -> Result<String, PlotError> {
    let columns = map.shelves_k.len();
    if columns == 0 || map.rows.is_empty() || map.rows.iter().any(|(_, cells)| cells.len() != columns) {
        return Err(PlotError::EmptySeries("map"));
    }
    all_finite("shelf temperature", map.shelves_k.iter().chain(map.marks.iter().map(|mark| &mark.shelf_k)).copied())?;
    all_finite("pressure", map.rows.iter().map(|row| row.0).chain(map.marks.iter().map(|mark| mark.pressure_pa)))?;
    let grid = Grid { map };
    let entries = entries(map);
    let height = grid.bottom_px().max(HEAD_PX + legend::height_px(&entries)) + FOOT_PX;
    let answer = format!("Drying {}: shelf temperature and pressure", map.food);
    let mut canvas =
        heading::begin(PANEL_LEFT_PX - 44.0, height, &answer, "hours of drying, alone on a shelf at a pressure held")?;
    for (shade, name) in map.shades.iter().enumerate() {
        let fields = grid.fields().filter(|(_, cell)| cell.shade == shade);
        let fields: Vec<(Place, &MapCell)> = fields.collect();
        if fields.is_empty() {
            continue;
        }
        canvas.group(&Group::series(name, Dash::Solid), |pen| {
            fields.iter().try_for_each(|(middle, cell)| grid.field(pen, *middle, cell))
        })?;
    }
    canvas.group(&Group::plain("axis"), |pen| grid.axes(pen))?;
    for (index, mark) in map.marks.iter().enumerate() {
        canvas
            .group(&Group::series(&mark.name, Dash::Solid), |pen| draw_marker(pen, index, grid.place(index, mark)))?;
    }
    legend::draw(&mut canvas, &entries, HEAD_PX)?;
    Ok(canvas.finish())
}

struct Grid<'a> {
    map: &'a UsableMap,
}

impl Grid<'_> {
    fn field_width_px(&self) -> f64 {
        (PANEL_RIGHT_PX - LEFT_PX) / self.map.shelves_k.len() as f64
    }

    fn bottom_px(&self) -> f64 {
        HEAD_PX + FIELD_HEIGHT_PX * self.map.rows.len() as f64
    }

    /// Middle of a field.
    fn middle(&self, column: f64, row: f64) -> Place {
        (LEFT_PX + (column + 0.5) * self.field_width_px(), self.bottom_px() - (row + 0.5) * FIELD_HEIGHT_PX)
    }

    fn fields(&self) -> impl Iterator<Item = (Place, &MapCell)> {
        self.map.rows.iter().enumerate().flat_map(move |(row, (_, cells))| {
            cells.iter().enumerate().map(move |(column, cell)| (self.middle(column as f64, row as f64), cell))
        })
    }

    fn field(&self, pen: &mut Pen<'_>, (x, y): Place, cell: &MapCell) -> Result<(), PlotError> {
        let (half_width, half_height) = (0.5 * self.field_width_px() - 0.75, 0.5 * FIELD_HEIGHT_PX - 0.75);
        let (shade, ink) = shade(cell.shade);
        pen.filled_box((x - half_width, y - half_height), (x + half_width, y + half_height), shade)?;
        pen.text(&cell.text, (x, y + TEXT_DOWN_PX), LABEL.anchored(Anchor::Center).coloured(ink))
    }

    fn axes(&self, pen: &mut Pen<'_>) -> Result<(), PlotError> {
        let right = |letters: Letters| letters.anchored(Anchor::Right);
        for (row, (pressure_pa, _)) in self.map.rows.iter().enumerate() {
            let y = self.middle(0.0, row as f64).1 + NOTE.half_capital_px();
            pen.text(&self.map.units.pressure(*pressure_pa), (LEFT_PX - 6.0, y), right(NOTE))?;
        }
        for (column, shelf_k) in self.map.shelves_k.iter().enumerate() {
            let x = self.middle(column as f64, 0.0).0;
            pen.text(&degrees(*shelf_k, self.map.units), (x, self.bottom_px() + 15.0), NOTE.anchored(Anchor::Center))?;
        }
        let middle = 0.5 * (LEFT_PX + PANEL_RIGHT_PX);
        pen.text("Shelf", (middle, self.bottom_px() + 34.0), LABEL.anchored(Anchor::Center))
    }

    /// A mark in the field that is nearest to it, above its text; several beside each other.
    fn place(&self, index: usize, mark: &MapMark) -> Place {
        let pressures: Vec<f64> = self.map.rows.iter().map(|row| row.0).collect();
        let (column, row) = (nearest(&self.map.shelves_k, mark.shelf_k), nearest(&pressures, mark.pressure_pa));
        let (x, y) = self.middle(column as f64, row as f64);
        let aside = index as f64 - 0.5 * (self.map.marks.len() - 1) as f64;
        (x + aside * BESIDE_PX, y - ABOVE_TEXT_PX)
    }
}

/// The nearest of some values, by its number.
fn nearest(values: &[f64], value: f64) -> usize {
    let off = |other: f64| (other - value).abs();
    values.iter().enumerate().min_by(|a, b| off(*a.1).total_cmp(&off(*b.1))).map_or(0, |(index, _)| index)
}

/// Areas from light to dark, so that they differ without colour; and the ink that can be read on it.
fn shade(index: usize) -> (Colour, Colour) {
    let colour = stack_colour(SHADES.get(index).copied().unwrap_or(0));
    let luminance = 0.299 * f64::from(colour.0) + 0.587 * f64::from(colour.1) + 0.114 * f64::from(colour.2);
    (colour, if luminance > 140.0 { INK } else { PAPER })
}

/// Of the colours of stacked areas, which go from dark to light: near-white, cream, ochre, rust, navy.
const SHADES: [usize; 5] = [6, 5, 3, 1, 0];

fn entries(map: &UsableMap) -> Vec<Entry> {
    let used = |shade: usize| map.rows.iter().any(|(_, cells)| cells.iter().any(|cell| cell.shade == shade));
    let shades = map.shades.iter().enumerate().filter(|(index, _)| used(*index));
    let shades = shades.map(|(index, name)| Entry::new(Key::Area(shade(index).0), name, ""));
    let marks = map.marks.iter().enumerate().map(|(index, mark)| {
        let at = format!("{}, {}", degrees(mark.shelf_k, map.units), map.units.pressure(mark.pressure_pa));
        Entry::new(Key::Marker(index), &mark.name, &at)
    });
    shades.chain(marks).collect()
}
