//! Questions about the plan: why it takes so long, what if, what would be better.

use icefront_core::decide::compare::Pairing;
use icefront_kitchen::best::{self, Aim};
use icefront_kitchen::compare::{self, loads};
use icefront_kitchen::sheet::vary::{Vary, grid};
use icefront_kitchen::{Failure, Look, explain};
use toml::de::DeValue;

use crate::questions::{Context, Report};

/// The word for cost as a goal.
pub const COST: &str = "cost-per-kg";
/// Draws of each load that `icefront best` takes.
const BEST_DRAWS: usize = 64;

/// `icefront explain`
pub fn explain(context: &Context<'_>) -> Result<Report, Failure> {
    let files = context.environment.folder.files();
    let answer = explain::explain(context.text, &context.answer.run, None, files)?;
    let text = explain::text(&context.source(), &answer, false, Look::Page);
    Ok(Report::new("Why so slow", ["explain", context.name()], text).with(explain::chart(&answer)?))
}

/// `icefront compare`
pub fn compare(context: &Context<'_>) -> Result<Report, Failure> {
    let folder = context.environment.folder;
    let written = format!("{}={}", context.request.field("vary.key"), context.request.field("vary.values"));
    let varied = [Vary::read(&written).map_err(|reason| context.unfit(reason))?];
    for change in grid(context.text, &varied)?.cells.iter().flat_map(|cell| &cell.variant.sheet) {
        if change.path == ["dryer"]
            && let Ok(value) = DeValue::parse(&change.value)
        {
            folder.check_dryer(value.get_ref().as_str().unwrap_or_default())?;
        }
    }
    let (loads, notes) = loads(std::slice::from_ref(context.text), &varied, folder.files())?;
    let draws = context.draws(compare::Question::draws_for(loads.len()));
    let question = compare::Question { loads, notes, pairing: Pairing { draws, independent: false } };
    let answer = question.answer()?;
    let text = compare::text(&question, &answer, Look::Page);
    let report = Report::new("What if", ["compare", context.name(), "--vary", &written], text);
    Ok(report.with(compare::chart(&question, &answer)?))
}

/// `icefront best`
pub fn best(context: &Context<'_>) -> Result<Report, Failure> {
    let by_cost = context.request.field("best.goal") == COST;
    let aim = if by_cost { Aim::CostPerKg } else { Aim::Hours };
    best::suits(context.text, &context.answer.sheet)?;
    let answer = best::find(&context.answer.sheet, aim, context.draws(BEST_DRAWS))?;
    let goal = by_cost.then_some(["--goal", COST]).into_iter().flatten();
    let text = best::text(&context.source(), aim, &answer, Look::Page);
    Ok(Report::new("A better arrangement", ["best", context.name()].into_iter().chain(goal), text))
}
