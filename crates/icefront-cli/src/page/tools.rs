//! What more can be asked of a sheet: why it takes so long, what if, and what would be better. Each is the answer and the
//! report of the command of that name.

use icefront_core::decide::compare::Pairing;
use icefront_core::ranges::Draws;
use maud::{Markup, PreEscaped};
use toml::de::DeValue;

use super::answer::{Answer, Settings};
use super::asked::Asked;
use super::files::Folder;
use crate::best::Aim;
use crate::compare::{Question, loads};
use crate::failure::Failure;
use crate::look::Look;
use crate::report;
use crate::sheet::Text;
use crate::sheet::vary::{Vary, grid};
use crate::{best, explain};

/// A question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tool {
    /// `icefront explain`
    Explain,
    /// `icefront compare`
    Compare,
    /// `icefront best`
    Best,
}

/// Its answer.
#[derive(Debug)]
pub struct Told {
    /// What it is called.
    pub title: &'static str,
    /// The arguments that give the same.
    pub arguments: Vec<String>,
    /// The report.
    pub report: Markup,
    /// Its chart.
    pub chart: Option<String>,
}

/// What the fields of these questions hold.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Wishes {
    /// Key to vary.
    pub key: String,
    /// Its values.
    pub values: String,
    /// Whether cost counts, not time.
    pub by_cost: bool,
}

impl Wishes {
    /// As they were sent.
    pub fn of(asked: &Asked) -> Self {
        let field = |name: &str| asked.field(name).to_string();
        Self { key: field("vary.key"), values: field("vary.values"), by_cost: asked.field("best.goal") == COST }
    }
}

/// The word for cost as a goal.
pub const COST: &str = "cost-per-kg";
/// Draws of each load that `icefront best` takes.
const BEST_DRAWS: usize = 64;

/// Answers a question on a sheet that was read.
pub fn ask(
    tool: Tool,
    asked: &Asked,
    text: &Text,
    folder: &Folder,
    answer: &Answer,
    settings: Settings,
) -> Result<Told, Failure> {
    let wishes = Wishes::of(asked);
    match tool {
        Tool::Explain => explained(text, answer),
        Tool::Compare => compared(&wishes, text, folder, settings),
        Tool::Best => bettered(&wishes, text, answer, settings),
    }
}

fn explained(text: &Text, answer: &Answer) -> Result<Told, Failure> {
    let told = explain::explain(text, &answer.sheet, None)?;
    Ok(Told {
        title: "Why so slow",
        arguments: vec!["explain".into()],
        report: page(report::explain::text(&source(text), &told, false, Look::Page)),
        chart: Some(report::explain::chart(&told)?),
    })
}

fn compared(wishes: &Wishes, text: &Text, folder: &Folder, settings: Settings) -> Result<Told, Failure> {
    let written = format!("{}={}", wishes.key, wishes.values);
    let wrong = |reason: String| Failure::Unfit { path: text.path.clone(), reason };
    let varied = [Vary::read(&written).map_err(wrong)?];
    for change in grid(text, &varied)?.cells.iter().flat_map(|cell| &cell.variant.sheet) {
        if change.path == ["dryer"]
            && let Ok(value) = DeValue::parse(&change.value)
        {
            folder.check_dryer(value.get_ref().as_str().unwrap_or_default())?;
        }
    }
    let (loads, notes) = loads(std::slice::from_ref(text), &varied)?;
    let draws = Draws { count: Question::draws_for(loads.len()), seed: settings.seed, threads: None };
    let question = Question { loads, notes, pairing: Pairing { draws, independent: false } };
    let told = question.answer()?;
    Ok(Told {
        title: "What if",
        arguments: vec!["compare".into(), "--vary".into(), written],
        report: page(report::compare::text(&question, &told, Look::Page)),
        chart: Some(report::compare::chart(&question, &told)?),
    })
}

fn bettered(wishes: &Wishes, text: &Text, answer: &Answer, settings: Settings) -> Result<Told, Failure> {
    let aim = if wishes.by_cost { Aim::CostPerKg } else { Aim::Hours };
    best::suits(text, &answer.sheet)?;
    let told = best::find(&answer.sheet, aim, Draws { count: BEST_DRAWS, seed: settings.seed, threads: None })?;
    let goal = if wishes.by_cost { vec!["--goal".to_string(), COST.to_string()] } else { Vec::new() };
    Ok(Told {
        title: "A better arrangement",
        arguments: [vec!["best".to_string()], goal].concat(),
        report: page(report::best::text(&source(text), aim, &told, Look::Page)),
        chart: None,
    })
}

fn page(html: String) -> Markup {
    PreEscaped(html)
}

fn source(text: &Text) -> String {
    text.path.display().to_string()
}
