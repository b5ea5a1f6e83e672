//! Numerical tools.

pub mod components;
pub mod exponential;
pub(crate) mod linear;
pub mod root;
pub mod stepper;
pub mod tridiagonal;
