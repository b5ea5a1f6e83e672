//! Tests of the core crate, one module per kind of check, in one binary so that they link once.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a helper that fails is a test that fails")]

mod common;
mod learning;

mod checks;
mod edges;
mod food_words;
mod foods;
mod freezing_exact;
mod ice;
mod laws;
mod laws_directions;
mod laws_random;
mod learning_study;
mod machine;
mod parts;
mod properties;
mod ranges;
mod textures;
mod update_study;
mod work;
mod worked_slab;
