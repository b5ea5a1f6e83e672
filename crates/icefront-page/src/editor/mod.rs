//! A sheet as it is edited on the page.

mod document;
mod linked;
mod trays;

pub use document::Editor;
pub use trays::{MOST_TRAYS, TrayStep};
