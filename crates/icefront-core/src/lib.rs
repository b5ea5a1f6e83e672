//! Freeze-drying of real food in one small vacuum cabinet: how long, which tray last, how much electricity, and why.
//!
//! The main path, each step one module:
//! ```text
//! food -> freezing -> primary -> secondary -> batch (with machine) -> energy -> report
//! (the same run many times: ranges, decide)
//! ```
//! What comes after (packs, water to add back, absorbers, prices by the hour) stands in [`aftercare`] and [`tariff`].
//! Everything here is SI (`f64`, unit in the name); units live in [`units`] and at the edges.
//!
//! # Quick start
//! A layer of cooked rice on one tray, frozen beforehand, over a shelf of 40 degC at 50 Pa of vapour:
//! ```
//! use icefront_core::food::FoodTable;
//! use icefront_core::load::{ContactOverride, EndRule, Freezing, Load, Tariff, Tray};
//! use icefront_core::machine::{Contact, Dryer, Prescribed, PrescribedPoint};
//! use icefront_core::shape::Shape;
//!
//! let rice = FoodTable::embedded()?.find("cooked rice")?.food();
//! let tray = Tray {
//!     name: "tray 1".into(),
//!     food: "cooked rice".into(),
//!     model: rice.model()?,
//!     spread: Some(rice.spread()),
//!     shape: Shape::Layer { depth_m: 0.010 },
//!     area_m2: 0.1,
//!     freezing: Freezing::Frozen { loaded_k: 255.15 },
//!     lined: false,
//!     contact: ContactOverride::default(),
//!     embedded: None,
//!     cuts: None,
//!     uneven: None,
//! };
//! let contact = Contact {
//!     gap_m: 0.4e-3,
//!     direct_w_per_m2_k: 3.0,
//!     accommodation: 0.8,
//!     lining_gap_m: 0.2e-3,
//!     frozen_block_gap_m: 0.5e-3,
//!     emissivity_above: 0.9,
//!     emissivity_below: 0.16,
//! };
//! let steady = PrescribedPoint { time_s: 0.0, shelf_k: 313.15, vapour_pressure_pa: 50.0, air_pressure_pa: 0.0 };
//! let rig = Prescribed { name: "a rig".into(), schedule: vec![steady], contact, heated_above: true };
//! let load = Load {
//!     dryer: Dryer::Prescribed(rig),
//!     room_k: 293.15,
//!     trays: vec![tray],
//!     end: EndRule::WettestSpot { moisture_wet_frac: 0.03 },
//!     tariff: Tariff { price_per_kwh: None, currency: String::new() },
//!     servings: None,
//! };
//! let result = icefront_core::plan(&load)?;
//! let hours = result.food_ready_s() / 3600.0;
//! assert!(result.trays[0].ice_gone_at_s < result.trays[0].dry_at_s);
//! assert!((4.0..40.0).contains(&hours), "{hours}");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//! A whole cabinet with its condenser and compressor is [`machine::Cabinet`]; with what is not known drawn, [`ranges`].

pub mod aftercare;
pub mod batch;
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
pub mod primary;
pub mod ranges;
pub mod result;
mod result_check;
pub mod secondary;
pub mod shape;
pub mod single;
pub mod stage;
pub mod stop;
pub mod tariff;
pub mod units;
pub mod water;

pub use batch::{plan, plan_set_out};
pub use error::ModelError;
