//! After the run: how the dried food is packed, labelled and kept.

pub mod amounts;
pub mod band;
pub mod batch;
pub mod labels;
pub mod packing;
pub mod safety;
pub mod text;

pub use labels::labels;
pub use text::pack as text;
