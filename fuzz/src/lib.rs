//! The program against files, loads, machines, readings and requests that nobody would write: no panic, no long wait, no
//! great hunger for memory, and no answer that cannot be true.
//!
//! It runs on a stable toolchain and from a seed: the same seed makes the same cases. `fuzz/corpus/<target>/` holds good
//! cases to begin with and nasty ones that were found or thought of; a test runs them all and a short round of new ones.

pub mod case;
pub mod judge;
pub mod limits;
mod make;
mod mutate;
mod probe;
pub mod readers;
pub mod round;
pub mod target;
pub mod watch;

pub use round::Round;
pub use target::{Outcome, Target};
