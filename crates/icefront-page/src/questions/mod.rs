//! Questions beyond the plan. Each answer is the report of the command of that name.

mod context;
mod dried;
mod night;
mod plan;
mod report;
mod run;

pub use context::Context;
pub use dried::USUAL_START;
pub use night::FIELDS as NIGHT_FIELDS;
pub use plan::COST;
pub use report::Report;

use icefront_kitchen::Failure;

/// The name of a command, and its answer on the page.
type Question = (&'static str, fn(&Context<'_>) -> Result<Report, Failure>);

const QUESTIONS: [Question; 11] = [
    ("explain", plan::explain),
    ("compare", plan::compare),
    ("best", plan::best),
    ("pack", dried::packs),
    ("labels", dried::labels),
    ("bill", dried::bill),
    ("update", run::update),
    ("dry", run::dry),
    ("log", run::log),
    ("learn", run::learn),
    ("prefreeze", night::prefreeze),
];

/// The question of a command, if there is one.
pub fn named(command: &str) -> Option<&'static str> {
    QUESTIONS.iter().map(|(name, _)| *name).find(|name| *name == command)
}

/// Answers the question of a command; `None` if there is none.
pub fn answer(command: &str, context: &Context<'_>) -> Option<Result<Report, Failure>> {
    let (_, answer) = QUESTIONS.iter().find(|(name, _)| *name == command)?;
    Some(answer(context))
}
