//! icefront as a Python module: each question of `icefront-kitchen` as one function, its answer as JSON text with words,
//! charts and a table beside it. The package `python/icefront` makes objects of them.
//!
//! ```text
//! arguments -> source (sheet, words, file) -> question (interpreter lock released) -> answer -> python/icefront
//! ```

mod answer;
mod command;
mod failure;
mod questions;
mod source;
mod sweep;

use pyo3::prelude::*;

/// The compiled half of the package.
#[pymodule]
mod _native {
    #[pymodule_export]
    use super::answer::Answer;
    #[pymodule_export]
    use super::command::run;
    #[pymodule_export]
    use super::questions::catalogue::{dryer, dryers, foods, published};
    #[pymodule_export]
    use super::questions::compare::ask as compare;
    #[pymodule_export]
    use super::questions::explain::ask as explain;
    #[pymodule_export]
    use super::questions::learn::ask as learn;
    #[pymodule_export]
    use super::questions::log::ask as log;
    #[pymodule_export]
    use super::questions::plan::ask as plan;
    #[pymodule_export]
    use super::questions::prefreeze::ask as prefreeze;
    #[pymodule_export]
    use super::questions::update::ask as update;
    #[pymodule_export]
    use super::source::Source;
    #[pymodule_export]
    use super::sweep::sweep;
}
