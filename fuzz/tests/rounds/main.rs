//! Tests of the fuzzer, in one binary so that they link once.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a helper that fails is a test that fails")]

mod short;
mod sizes;
