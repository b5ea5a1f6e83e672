//! Tests of the core crate, one module per kind of check, in one binary so that they link once.

mod common;
mod learning;

mod checks;
mod edges;
mod foods;
mod freezing_exact;
mod ice;
mod laws;
mod laws_random;
mod learning_study;
mod machine;
mod parts;
mod properties;
mod ranges;

mod worked_slab;
