//! Questions beyond the plan. Each answer is the report of the command of that name.

mod context;
mod dried;
mod night;
mod options;
mod plan;
pub mod question;
mod report;
mod run;

pub use context::Context;
pub use dried::USUAL_START;
pub use night::FIELDS as NIGHT_FIELDS;
pub use options::{COST, Options};
pub use question::Question;
pub use report::Report;

use icefront_kitchen::failure::Failure;

/// Answers a question.
pub fn answer(question: Question, options: &Options, context: &Context<'_>) -> Result<Report, Failure> {
    match question {
        Question::Explain => plan::explain(context),
        Question::Compare => plan::compare(options, context),
        Question::Best => plan::best(options, context),
        Question::Pack => dried::packs(context),
        Question::Labels => dried::labels(context),
        Question::Bill => dried::bill(options, context),
        Question::Update => run::update(context),
        Question::Dry => run::dry(context),
        Question::Log => run::log(context),
        Question::Learn => run::learn(options.relearn, context),
        Question::Prefreeze => night::prefreeze(&options.night, context),
    }
}
