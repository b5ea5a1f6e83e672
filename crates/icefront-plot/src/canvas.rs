//! The sheet a chart is drawn on: shapes and texts in pixels go in, one SVG comes out.
//!
//! `plotters-svg` writes the shapes. Two things it cannot say are added around them: it knows whole units only, so a pixel
//! is ten of its units and the view box scales back; and it has no dashes, names or halos, so each group of shapes is
//! wrapped in a `<g>` that carries them.

use std::convert::Infallible;
use std::fmt::{Display, Write as _};

use plotters_backend::text_anchor::{Pos, VPos};
use plotters_backend::{BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, FontFamily};
use plotters_svg::SVGBackend;

use crate::error::PlotError;
use crate::style::{Colour, Dash, FONT_FAMILIES, Letters, PAPER, PICTURE_WIDTH_PX};

/// Units of the backend in one pixel.
const UNITS_PER_PX: f64 = 10.0;
/// The backend writes the font size it is given over this.
const BACKEND_FONT_SCALE: f64 = 1.24;
/// The backend lets a text anchored at its top hang by this much, em.
const BACKEND_HANG_EM: f64 = 0.76;

/// Width of the paper-coloured line around a text with a halo, px.
const HALO_PX: f64 = 3.0;

/// A place on the sheet, px from its upper left corner.
pub(crate) type Place = (f64, f64);

/// The sheet.
pub(crate) struct Canvas {
    height_px: f64,
    title: String,
    body: String,
}

/// What a group of shapes is.
pub(crate) struct Group<'a> {
    /// Its kind.
    pub class: &'a str,
    /// A name that viewers show on pointing.
    pub name: &'a str,
    /// How its lines are broken.
    pub dash: Dash,
    /// Whether its texts are set off from what lies below them.
    pub halo: bool,
}

impl<'a> Group<'a> {
    /// A part of the picture without a name of its own.
    pub(crate) fn plain(class: &'a str) -> Self {
        Self { class, name: "", dash: Dash::Solid, halo: false }
    }

    /// A nameless part with broken lines.
    pub(crate) fn dashed(class: &'a str, dash: Dash) -> Self {
        Self { dash, ..Self::plain(class) }
    }

    /// A nameless part of texts over a drawing.
    pub(crate) fn halo(class: &'a str) -> Self {
        Self { halo: true, ..Self::plain(class) }
    }

    /// A named line, area or set of points.
    pub(crate) fn series(name: &'a str, dash: Dash) -> Self {
        Self { name, ..Self::dashed("series", dash) }
    }
}

impl Canvas {
    /// A sheet with nothing on it; all have the same width. `title` is read out by screen readers.
    pub(crate) fn new(height_px: f64, title: &str) -> Self {
        Self { height_px, title: title.to_owned(), body: String::new() }
    }

    /// Adds what `draw` draws, as one group.
    pub(crate) fn group(
        &mut self,
        group: &Group<'_>,
        draw: impl FnOnce(&mut Pen<'_>) -> Result<(), PlotError>,
    ) -> Result<(), PlotError> {
        let mut document = String::new();
        let mut pen = Pen { backend: SVGBackend::with_string(&mut document, (1, 1)) };
        draw(&mut pen)?;
        drop(pen);
        self.body.push_str(&opening_tag(group));
        self.body.push_str(inside(&document));
        self.body.push_str("</g>\n");
        Ok(())
    }

    /// The finished SVG.
    pub(crate) fn finish(self) -> String {
        let (width, height) = (PICTURE_WIDTH_PX, self.height_px);
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" width=\"{width}\" height=\"{height}\" \
             viewBox=\"0 0 {} {}\">\n<title>{}</title>\n<rect width=\"100%\" height=\"100%\" fill=\"{}\"/>\n{}</svg>\n",
            units(width),
            units(height),
            escaped(&self.title),
            hex(PAPER),
            self.body
        )
    }
}

/// Draws the shapes of one group.
pub(crate) struct Pen<'a> {
    backend: SVGBackend<'a>,
}

impl Pen<'_> {
    /// A line through `points`.
    pub(crate) fn line(&mut self, points: &[Place], colour: Colour, width_px: f64) -> Result<(), PlotError> {
        let stroke = Stroke { colour, width: unsigned(width_px) };
        self.backend.draw_path(thinned(points), &stroke).map_err(failed)
    }

    /// The inside of `outline`.
    pub(crate) fn area(&mut self, outline: &[Place], colour: Colour) -> Result<(), PlotError> {
        self.backend.fill_polygon(outline.iter().map(|&p| grid_point(p)), &colour.backend()).map_err(failed)
    }

    /// A filled box between two corners.
    pub(crate) fn filled_box(&mut self, from: Place, to: Place, colour: Colour) -> Result<(), PlotError> {
        self.backend.draw_rect(grid_point(from), grid_point(to), &colour.backend(), true).map_err(failed)
    }

    /// A filled disc.
    pub(crate) fn disc(&mut self, centre: Place, radius_px: f64, colour: Colour) -> Result<(), PlotError> {
        self.backend.draw_circle(grid_point(centre), unsigned(radius_px), &colour.backend(), true).map_err(failed)
    }

    /// A disc of paper with a coloured rim.
    pub(crate) fn ring(&mut self, centre: Place, radius_px: f64, colour: Colour) -> Result<(), PlotError> {
        self.disc(centre, radius_px + 0.7, colour)?;
        self.disc(centre, radius_px - 0.7, PAPER)
    }

    /// One line of text; `at` is its anchor on the baseline. Control signs become blanks.
    pub(crate) fn text(&mut self, text: &str, at: Place, letters: Letters) -> Result<(), PlotError> {
        let top = (at.0, at.1 - BACKEND_HANG_EM * letters.size_px);
        self.backend.draw_text(&printable(text), &letters, grid_point(top)).map_err(failed)
    }
}

/// A line as the backend wants it.
struct Stroke {
    colour: Colour,
    width: u32,
}

impl BackendStyle for Stroke {
    fn color(&self) -> BackendColor {
        self.colour.backend()
    }

    fn stroke_width(&self) -> u32 {
        self.width
    }
}

impl Colour {
    fn backend(self) -> BackendColor {
        BackendColor { alpha: 1.0, rgb: (self.0, self.1, self.2) }
    }
}

/// Letters as the backend wants them; it writes text as text, so that it neither measures nor draws them.
impl BackendTextStyle for Letters {
    type FontError = Infallible;

    fn color(&self) -> BackendColor {
        self.colour.backend()
    }

    fn size(&self) -> f64 {
        self.size_px * UNITS_PER_PX * BACKEND_FONT_SCALE
    }

    fn anchor(&self) -> Pos {
        Pos::new(self.anchor, VPos::Top)
    }

    fn family(&self) -> FontFamily<'_> {
        FontFamily::Name(FONT_FAMILIES)
    }

    fn layout_box(&self, _: &str) -> Result<(BackendCoord, BackendCoord), Infallible> {
        Ok(((0, 0), (0, 0)))
    }

    fn draw<E, Draw: FnMut(i32, i32, BackendColor) -> Result<(), E>>(
        &self,
        _: &str,
        _: BackendCoord,
        _: Draw,
    ) -> Result<Result<(), E>, Infallible> {
        Ok(Ok(()))
    }
}

fn opening_tag(group: &Group<'_>) -> String {
    let mut tag = format!("<g class=\"{}\" stroke-linejoin=\"round\"", group.class);
    if group.dash != Dash::Solid {
        let lengths: Vec<String> = group.dash.pattern_px().iter().map(|&px| units(px).to_string()).collect();
        // Writing into a String cannot fail.
        let _ = write!(tag, " stroke-dasharray=\"{}\"", lengths.join(" "));
    }
    if group.halo {
        let _ = write!(tag, " stroke=\"{}\" stroke-width=\"{}\" paint-order=\"stroke\"", hex(PAPER), units(HALO_PX));
    }
    tag.push_str(">\n");
    if !group.name.is_empty() {
        let _ = writeln!(tag, "<title>{}</title>", escaped(group.name));
    }
    tag
}

/// The shapes of a document, without its own `<svg>` tags.
fn inside(document: &str) -> &str {
    let body = document.split_once('\n').map_or("", |(_, body)| body);
    body.trim_end().strip_suffix("</svg>").unwrap_or(body)
}

/// Points on the backend's grid, without those that would not be seen beside the one before them.
fn thinned(points: &[Place]) -> Vec<(i32, i32)> {
    /// Half a pixel, in units.
    const UNSEEN: u32 = 5;
    let mut kept: Vec<(i32, i32)> = Vec::with_capacity(points.len());
    for (index, &place) in points.iter().enumerate() {
        let point = grid_point(place);
        let is_last = index + 1 == points.len();
        let unseen = kept.last().is_some_and(|k| k.0.abs_diff(point.0) < UNSEEN && k.1.abs_diff(point.1) < UNSEEN);
        if is_last || !unseen {
            kept.push(point);
        }
    }
    kept
}

fn grid_point(place: Place) -> (i32, i32) {
    (units(place.0), units(place.1))
}

fn units(px: f64) -> i32 {
    (px * UNITS_PER_PX).round() as i32
}

fn unsigned(px: f64) -> u32 {
    (px * UNITS_PER_PX).round() as u32
}

fn hex(colour: Colour) -> String {
    format!("#{:02X}{:02X}{:02X}", colour.0, colour.1, colour.2)
}

fn failed(error: impl Display) -> PlotError {
    PlotError::Draw(error.to_string())
}

/// Signs that XML forbids become blanks.
fn printable(text: &str) -> String {
    text.chars().map(|c| if c.is_control() || matches!(c, '\u{FFFE}' | '\u{FFFF}') { ' ' } else { c }).collect()
}

pub(crate) fn escaped(text: &str) -> String {
    printable(text).replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}
