//! Tests of the validation crate, one module per kind of check, in one binary so that they link once.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a helper that fails is a test that fails")]

mod common;

mod bricks;
mod cabinet;
mod published;
mod verification;
