//! Tests of the validation crate, one module per kind of check, in one binary so that they link once.

mod common;

mod cabinet;
mod published;
mod verification;
