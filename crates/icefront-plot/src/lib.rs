//! Charts of a drying run: results in, SVG text and PNG bytes out.
//!
//! One file per chart ([`batch_chart_svg`], [`power_chart_svg`], [`evidence_chart_svg`]); they share looks (`style`),
//! the sheet (`canvas`), axes, panels, legends and the placing of labels. [`png_from_svg`] turns any of them into a
//! picture with the font that is part of the program.

mod axis;
mod batch;
mod canvas;
mod error;
mod evidence;
mod font;
mod heading;
mod labels;
mod legend;
mod markers;
mod panel;
mod png;
mod power;
mod run;
#[cfg(test)]
mod sight;
mod stages;
mod style;
mod words;

pub use batch::batch_chart_svg;
pub use error::PlotError;
pub use evidence::{MeasuredPoint, evidence_chart_svg};
pub use png::png_from_svg;
pub use power::power_chart_svg;
