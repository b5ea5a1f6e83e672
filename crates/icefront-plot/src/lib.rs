//! Charts of a drying run: results in, SVG text out; with the default feature `png` also PNG bytes.
//!
//! ```
//! use icefront_plot::{MeasuredPoint, evidence_chart_svg};
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
//! # Ok::<(), icefront_plot::PlotError>(())
//! ```
//! One file per chart: `batch`, `front`, `drying`, `machine`, `power`, `night`, `evidence`, `comparison`, `narrowing`,
//! `resistance`, `readings`, `accuracy`, `usable`. They share looks (`style`), the sheet (`canvas`), `axis` and `panel` with `lines`, or bars in `rows`, the
//! `heading` and the band of `stages` above, the `legend` beside, and the placing of `labels` by the widths that `font`
//! measures. A new chart is a new file over these.

#![cfg_attr(not(test), warn(clippy::disallowed_methods))]

/// The example of the README runs as a test.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;

mod accuracy;
mod axis;
mod batch;
mod canvas;
mod comparison;
mod depth;
mod drying;
mod error;
mod evidence;
mod font;
mod front;
mod heading;
mod headline;
mod labels;
mod legend;
mod lines;
mod machine;
mod markers;
mod narrowing;
mod night;
mod pack_labels;
mod panel;
#[cfg(feature = "png")]
mod png;
mod power;
mod readings;
mod resistance;
mod rows;
mod run;
mod stages;
mod style;
mod usable;
mod words;

pub use accuracy::{FinishedBatch, accuracy_chart_svg};
pub use batch::batch_chart_svg;
pub use comparison::{ComparedVariant, comparison_chart_svg};
pub use drying::drying_chart_svg;
pub use error::PlotError;
pub use evidence::{MeasuredPoint, evidence_chart_svg};
pub use front::front_chart_svg;
pub use headline::Headline;
pub use machine::machine_chart_svg;
pub use narrowing::{NarrowingBar, narrowing_chart_svg};
pub use night::{NightCourse, NightTray, night_chart_svg};
pub use pack_labels::{LabelSheet, PackLabel, label_sheets_html, label_sheets_svg};
#[cfg(feature = "png")]
pub use png::png_from_svg;
pub use power::power_chart_svg;
pub use readings::{ReadCourse, ReadPanel, ReadRun, SharpenedRange, readings_chart_svg};
pub use resistance::{ResistanceCourse, resistance_chart_svg};
pub use usable::{MapCell, MapMark, UsableMap, usable_map_svg};
