//! Numerical tools.

pub mod components;
pub mod exponential;
pub(crate) mod linear;
pub(crate) mod power;
pub mod root;
pub mod stepper;
pub mod tridiagonal;
