//! The stages of a run as a labelled band above its panels.

use icefront_core::result::{BatchResult, Stage};

use crate::canvas::{Canvas, Group};
use crate::error::{PlotError, finite};
use crate::font;
use crate::heading::HEAD_PX;
use crate::labels::spread;
use crate::panel::Panel;
use crate::style::{Anchor, Colour, Dash, EDGE_PX, FRAME, INK, Letters, MUTED, NOTE, PICTURE_WIDTH_PX};
use crate::words::duration;

const BAND_PX: f64 = 34.0;
const LABEL_ROW_PX: f64 = 20.0;
const LABEL_GAP_PX: f64 = 12.0;
const ROW_PX: f64 = 14.0;
const GAP_PX: f64 = 4.0;

const LETTERS: Letters = NOTE.coloured(INK).anchored(Anchor::Center);

/// One stage that took time.
struct Span {
    stage: Stage,
    from_s: f64,
    to_s: f64,
}

/// The stages of one run.
pub(crate) struct StageBand {
    spans: Vec<Span>,
}

impl StageBand {
    pub(crate) fn of(result: &BatchResult) -> Result<Self, PlotError> {
        let mut spans = Vec::new();
        let mut from_s = 0.0;
        for (stage, &length_s) in result.stage_s.iter() {
            let to_s = from_s + finite("stage length", length_s)?;
            if to_s > from_s {
                spans.push(Span { stage, from_s, to_s });
            }
            from_s = to_s;
        }
        Ok(Self { spans })
    }

    /// Draws the band below the heading and thin lines at the borders of stages down through `panels`.
    pub(crate) fn draw(&self, canvas: &mut Canvas, panels: &[&Panel<'_>]) -> Result<(), PlotError> {
        let Some(panel) = panels.first() else { return Ok(()) };
        let band_top = HEAD_PX + LABEL_ROW_PX;
        canvas.group(&Group::plain("stages"), |pen| {
            let mut outside = Vec::new();
            for span in &self.spans {
                let (from, to) = (panel.at(span.from_s, 0.0).0, panel.at(span.to_s, 0.0).0);
                let (name, length) = (span.stage.name(), duration(span.to_s - span.from_s));
                pen.filled_box((from, band_top), (to, band_top + BAND_PX), tint(span.stage))?;
                pen.line(&[(from, band_top), (from, band_top + BAND_PX)], FRAME, 0.8)?;
                let middle = (from + to) / 2.0;
                if font::width_px(name, LETTERS.size_px) + 8.0 <= to - from {
                    let upper = band_top + BAND_PX / 2.0 - ROW_PX / 2.0 + LETTERS.half_capital_px();
                    pen.text(name, (middle, upper), LETTERS)?;
                    pen.text(&length, (middle, upper + ROW_PX), LETTERS.coloured(MUTED))?;
                } else {
                    let label = format!("{name} {length}");
                    let width = font::width_px(&label, LETTERS.size_px);
                    outside.push((label, middle, width));
                }
            }
            let wanted: Vec<(f64, f64)> = outside.iter().map(|(_, middle, width)| (*middle, *width)).collect();
            let room = (EDGE_PX, PICTURE_WIDTH_PX - EDGE_PX);
            for ((label, middle, _), x) in outside.iter().zip(spread(&wanted, room, LABEL_GAP_PX)) {
                pen.line(&[(x, band_top - 7.0), (*middle, band_top)], FRAME, 0.8)?;
                pen.text(label, (x, band_top - 10.0), LETTERS)?;
            }
            Ok(())
        })?;
        canvas.group(&Group::dashed("borders", Dash::Dots), |pen| {
            for panel in panels {
                for span in self.spans.iter().skip(1) {
                    let (x, _) = panel.at(span.from_s, 0.0);
                    pen.line(&[(x, panel.top), (x, panel.bottom)], FRAME, 0.8)?;
                }
            }
            Ok(())
        })
    }

    /// Where the band and the gap below it end, px from the picture's upper edge.
    pub(crate) fn end_px(&self) -> f64 {
        HEAD_PX + LABEL_ROW_PX + BAND_PX + GAP_PX
    }
}

/// Colour of a stage wherever it is shown.
pub(crate) fn tint(stage: Stage) -> Colour {
    match stage {
        Stage::Freezing => Colour(214, 228, 241),
        Stage::Evacuation => Colour(190, 196, 203),
        Stage::PrimaryDrying => Colour(251, 231, 206),
        Stage::SecondaryDrying => Colour(248, 243, 216),
        Stage::Defrost => Colour(221, 236, 226),
    }
}
