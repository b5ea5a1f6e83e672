//! Charts of a drying run: results in, SVG text and PNG bytes out.
//!
//! ```
//! use icefront_plot::{MeasuredPoint, evidence_chart_svg, png_from_svg};
//! let trial = MeasuredPoint {
//!     name: "trial 1".to_owned(),
//!     group: "carrot cubes".to_owned(),
//!     measured_h: 8.0,
//!     predicted_low_h: 6.5,
//!     predicted_h: 7.6,
//!     predicted_high_h: 9.1,
//! };
//! let svg = evidence_chart_svg(&[trial])?;
//! assert!(svg.contains("1 of 1 predictions within 20 %"));
//! assert!(png_from_svg(&svg, 800)?.starts_with(b"\x89PNG"));
//! # Ok::<(), icefront_plot::PlotError>(())
//! ```
//! One file per chart (`batch`, `power`, `night`, `evidence`). They share looks (`style`), the sheet (`canvas`), `axis` and
//! `panel`, the `heading` and the band of `stages` above, the `legend` beside, and the placing of `labels` by the widths
//! that `font` measures. A new chart is a new file over these.

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
mod night;
mod pack_labels;
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
pub use night::{NightCourse, NightTray, night_chart_svg};
pub use pack_labels::{LabelSheet, PackLabel, label_sheets_html, label_sheets_svg};
pub use png::png_from_svg;
pub use power::power_chart_svg;
