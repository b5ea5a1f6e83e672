//! What is wrong with a sheet, in the words of the sheet reader.

use std::collections::BTreeMap;

use maud::{Markup, html};

use crate::State;
use crate::places::Places;
use icefront_kitchen::problem::{BadFile, Problem};
use icefront_kitchen::{Failure, Look};

/// Problems by the place of the field they belong to.
pub type Wrong = BTreeMap<String, String>;

/// Those of a state.
pub fn by_place(state: &State) -> Wrong {
    let mut words = Wrong::new();
    let Err(Failure::BadFiles(files)) = &state.outcome else { return words };
    for file in files.iter().filter(|file| file.text == state.text) {
        let places = Places::of(&file.text);
        for problem in &file.problems {
            let known = words.entry(places.at(problem.span.start).to_string()).or_default();
            known.push_str(if known.is_empty() { "" } else { "; " });
            known.push_str(&sentence(problem));
        }
    }
    words
}

/// Why something cannot be done; what is wrong with files after the words `lead`, each problem with its line. For those of
/// `sheet`, `data-place` names the field they belong to.
pub fn list(lead: &str, sheet: &str, failure: &Failure) -> Markup {
    let Failure::BadFiles(files) = failure else {
        return html! { p.wrong { (failure) } };
    };
    html! {
        p { (lead) }
        (problems(files, sheet))
        details {
            summary { "The same as " code { "icefront" } " prints it" }
            pre tabindex="0" { (failure.render(Look::Bare)) }
        }
    }
}

/// Problems, each with its line; those of `sheet` name the field they belong to.
fn problems(files: &[BadFile], sheet: &str) -> Markup {
    html! {
        ul.problems {
            @for file in files {
                @let places = Places::of(&file.text);
                @for problem in &file.problems {
                    @let place = if file.text == sheet { places.at(problem.span.start) } else { "" };
                    li.wrong data-place=(place) { (sentence(problem)) " " span.where { (where_it_stands(file, problem)) } }
                }
                @if let Some(more) = file.problems.more_words() {
                    li { (more) }
                }
            }
        }
    }
}

fn sentence(problem: &Problem) -> String {
    match &problem.help {
        Some(help) => format!("{}: {} ({help})", problem.title, problem.label),
        None => format!("{}: {}", problem.title, problem.label),
    }
}

fn where_it_stands(file: &BadFile, problem: &Problem) -> String {
    let line = 1 + file.text.bytes().take(problem.span.start).filter(|byte| *byte == b'\n').count();
    format!("{}, line {line}", file.path.display())
}
