//! The kitchen page in a browser without a server: `icefront-page` behind three exported functions.
//!
//! ```text
//! bytes -> message (a request and the files that changed elsewhere) -> icefront_page::route over files in memory
//!       -> message (an answer and the files that it changed) -> bytes
//! ```
//! The module imports nothing. Who runs it (a worker in `host/`) keeps the files, knows the day, and measures time.

mod bytes;
mod files;
mod host;
mod message;

pub use host::Host;
pub use message::{Answer, Message};
