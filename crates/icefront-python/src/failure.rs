//! A failure of the kitchen as a Python exception of `icefront.errors`.

use icefront_kitchen::problem::{BadFile, Problem};
use icefront_kitchen::{Failure, Look};
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyList};

/// The exception for a failure.
pub fn raised(py: Python<'_>, failure: &Failure) -> PyErr {
    exception(py, failure).unwrap_or_else(|broken| broken)
}

/// The exception as an object.
pub fn exception(py: Python<'_>, failure: &Failure) -> PyResult<PyErr> {
    let class = match failure {
        Failure::Model(_) | Failure::Plot(_) | Failure::Output(_) | Failure::Food(_) => "RunError",
        _ => "InputError",
    };
    let message = failure.render(Look::Bare);
    let message = message.strip_prefix("error: ").unwrap_or(&message).trim_end();
    let made = py.import("icefront.errors")?.getattr(class)?.call1((message, problems(py, failure)?))?;
    Ok(PyErr::from_value(made))
}

fn problems<'py>(py: Python<'py>, failure: &Failure) -> PyResult<Bound<'py, PyList>> {
    let list = PyList::empty(py);
    match failure {
        Failure::BadFiles(files) => {
            for file in files {
                for problem in file.problems.iter() {
                    list.append(of_file(py, file, problem)?)?;
                }
            }
        }
        Failure::Several(all) => {
            for one in all {
                for problem in problems(py, one)? {
                    list.append(problem)?;
                }
            }
        }
        Failure::BadValue { key, reason, allowed } => {
            let one = PyDict::new(py);
            one.set_item("title", reason)?;
            one.set_item("key", key)?;
            one.set_item("allowed", allowed)?;
            list.append(one)?;
        }
        Failure::Unclear { words, question } => {
            let one = PyDict::new(py);
            one.set_item("title", question)?;
            one.set_item("key", words)?;
            list.append(one)?;
        }
        Failure::UnknownName { what, name, help } => {
            let one = PyDict::new(py);
            one.set_item("title", format!("{what} `{name}` is not known"))?;
            one.set_item("value", name)?;
            one.set_item("help", help)?;
            list.append(one)?;
        }
        Failure::Unreadable { path, reason }
        | Failure::Unfit { path, reason }
        | Failure::Unwritable { path, reason } => {
            let one = PyDict::new(py);
            one.set_item("title", reason)?;
            one.set_item("path", path.display().to_string())?;
            list.append(one)?;
        }
        _ => {}
    }
    Ok(list)
}

fn of_file<'py>(py: Python<'py>, file: &BadFile, problem: &Problem) -> PyResult<Bound<'py, PyDict>> {
    let one = PyDict::new(py);
    let before = file.text.get(..problem.span.start).unwrap_or_default();
    one.set_item("title", format!("{}: {}", problem.title, problem.label))?;
    one.set_item("path", file.path.display().to_string())?;
    one.set_item("line", 1 + before.matches('\n').count())?;
    one.set_item("key", problem.key.as_ref().map(|key| key.dotted()))?;
    one.set_item("help", &problem.help)?;
    if let Some(value) = &problem.value {
        one.set_item("value", file.text.get(problem.span.clone()).map(|written| written.trim_matches('"')))?;
        one.set_item("allowed", value.1.words)?;
    }
    Ok(one)
}
