//! A sheet as it is edited on the page.

mod document;
mod linked;
#[cfg(test)]
mod tests;
mod trays;

pub use document::Editor;
pub use trays::{MOST_TRAYS, TrayStep};
