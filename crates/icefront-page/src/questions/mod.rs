//! Questions beyond the plan. Each answer is the report of the command of that name.

mod context;
mod dried;
mod night;
mod plan;
mod report;
mod run;

pub use context::Context;
pub use night::{FIELDS as NIGHT_FIELDS, Field as NightField};
pub use plan::COST;
pub use report::Report;
pub use run::{Updated, update, updated};

use icefront_kitchen::Failure;

use crate::place::View;

/// The name of a command, the view that shows its answer, and the answer on the page.
type Question = (&'static str, View, fn(&Context<'_>) -> Result<Report, Failure>);

const QUESTIONS: [Question; 11] = [
    ("explain", View::Plan, plan::explain),
    ("compare", View::More, plan::compare),
    ("best", View::More, plan::best),
    ("pack", View::Pack, dried::packs),
    ("labels", View::Pack, dried::labels),
    ("bill", View::Pack, dried::bill),
    ("update", View::Run, |context| Ok(run::update(context, &run::updated(context)?))),
    ("dry", View::Run, run::dry),
    ("log", View::Run, run::log),
    ("learn", View::Run, run::learn),
    ("prefreeze", View::Freeze, night::prefreeze),
];

/// The view that a question belongs to.
pub fn view_of(command: &str) -> View {
    QUESTIONS.iter().find(|(name, ..)| *name == command).map_or(View::Plan, |(_, view, _)| *view)
}

/// The question of a command, if there is one.
pub fn named(command: &str) -> Option<&'static str> {
    QUESTIONS.iter().map(|(name, ..)| *name).find(|name| *name == command)
}

/// Answers the question of a command; `None` if there is none.
pub fn answer(command: &str, context: &Context<'_>) -> Option<Result<Report, Failure>> {
    let (_, _, answer) = QUESTIONS.iter().find(|(name, ..)| *name == command)?;
    Some(answer(context))
}
