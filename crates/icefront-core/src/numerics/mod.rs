//! Numerical tools: the only users of the equation solvers.

pub mod components;
pub mod exponential;
pub(crate) mod linear;
pub mod ode;
pub mod root;
pub mod stepper;
pub mod tridiagonal;
