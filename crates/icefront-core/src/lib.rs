//! Freeze-drying of real food in one small vacuum cabinet: how long, which tray last, how much electricity, and why.
//!
//! The main path, each step one module:
//! ```text
//! food -> freezing -> primary -> secondary -> batch (with machine) -> result
//! (the same run many times: ranges, decide)
//! ```
//! What comes after (packs, water to add back, absorbers, prices by the hour) stands in [`aftercare`] and [`tariff`].
//! Everything here is SI (`f64`, unit in the name); units live in [`units`] and at the edges.
//!
//! # Quick start
//! Two trays in a built-in cabinet, and how sure the answer is when the depth is only known roughly:
//! ```
//! use icefront_core::prelude::*;
//!
//! let foods = FoodTable::embedded()?;
//! let chili = Tray::layer(&foods.find("chili with beans")?.food(), "12 mm".parse()?)?;
//! let peas = Tray::layer(&foods.find("peas")?.food(), "1/2 in".parse()?)?.frozen("-18 C".parse()?);
//! let load = Load::new(Dryer::builtin("0.60 m2")?, [chili, peas]);
//!
//! let result = plan(&load)?;
//! let hours = Duration::from_seconds(result.food_ready_s()).hours();
//! let kilowatt_hours = result.energy_j().total() / 3.6e6;
//! assert!((5.0..40.0).contains(&hours) && (3.0..30.0).contains(&kilowatt_hours), "{hours} h, {kilowatt_hours} kWh");
//!
//! let depth_m = Spread::Between { low: 0.010, high: 0.014 };
//! // the model's own unknowns (food, machine) are drawn too; ours is one, number 0 of each point
//! let cloud = draw_load(&load, &Draws { count: 32, ..Draws::default() }, 1, |load, point| {
//!     load.trays[0].shape = Shape::Layer { depth_m: depth_m.quantile(point.unit(0)) };
//! })?;
//! let ready_s = cloud.quantiles(|outcome| outcome.food_ready_s); // low, middle, high: 10, 50 and 90 %
//! assert!(ready_s.low < ready_s.high);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//! Where to look next:
//! - [`load`]: every choice of a load (shapes in [`shape`], cuts in [`cuts`]); [`machine`]: a dryer of your own, or a rig
//!   with a prescribed shelf temperature and pressure;
//! - [`result`]: times, temperatures, energy, water and flags of a run, and its history;
//! - [`ranges`]: uncertain inputs, draws and quantiles; [`decide`]: compare, explain, improve; [`learning`]: readings;
//! - [`food`]: the table, compositions, recipes; [`units`]: text with a unit to SI and back.
//!
//! Errors name the quantity, its value, its unit and the range allowed ([`ModelError`]).

#![cfg_attr(not(test), warn(clippy::disallowed_methods))]

/// The example of the README runs as a test.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;

pub mod aftercare;
pub mod batch;
mod brick;
pub mod constants;
pub mod cuts;
pub mod decide;
pub mod error;
pub mod food;
pub mod freezing;
pub mod learning;
pub mod load;
mod load_check;
pub mod machine;
pub mod numerics;
pub mod outage;
pub mod prelude;
pub mod primary;
pub mod ranges;
pub mod result;
mod result_check;
pub mod secondary;
pub mod shape;
pub mod stage;
pub mod stop;
pub mod tariff;
pub mod units;
pub mod water;

pub use batch::{plan, plan_set_out};
pub use error::ModelError;
