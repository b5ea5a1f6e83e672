//! What more can be asked of a sheet: why it takes so long, what if, what would be better; packs, labels, the bill. Each is
//! the answer and the report of the command of that name.

use icefront_core::decide::compare::Pairing;
use icefront_core::learning::{self, Errors};
use icefront_core::ranges::Draws;
use icefront_plot::{LabelSheet, label_sheets_svg};
use maud::{Markup, PreEscaped, html};
use toml::de::DeValue;

use crate::page::answer::{Answer, Settings};
use crate::page::asked::Asked;
use crate::page::files::Folder;
use crate::page::night::{self, NightTold};
use crate::page::{finished, readings, screen};
use crate::today::today;
use icefront_kitchen::best::{self, Aim};
use icefront_kitchen::compare::{Question, loads};
use icefront_kitchen::failure::Failure;
use icefront_kitchen::pack::batch;
use icefront_kitchen::pack::packing::{Packing, pack};
use icefront_kitchen::readings::Readings;
use icefront_kitchen::sheet::Text;
use icefront_kitchen::sheet::vary::{Vary, grid};
use icefront_kitchen::style::Look;
use icefront_kitchen::weather::clock::Clock;
use icefront_kitchen::{bill, explain, format, running};

/// A question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tool {
    /// `icefront explain`
    Explain,
    /// `icefront compare`
    Compare,
    /// `icefront best`
    Best,
    /// `icefront pack`
    Pack,
    /// `icefront labels`
    Labels,
    /// `icefront bill`
    Bill,
    /// `icefront update`
    Update,
    /// `icefront dry`
    Dry,
    /// `icefront log`
    Log,
    /// `icefront learn`
    Learn,
    /// `icefront prefreeze`
    Prefreeze,
}

impl Tool {
    /// All of them.
    pub const ALL: [Self; 11] = [
        Self::Explain,
        Self::Compare,
        Self::Best,
        Self::Pack,
        Self::Labels,
        Self::Bill,
        Self::Update,
        Self::Dry,
        Self::Log,
        Self::Learn,
        Self::Prefreeze,
    ];

    /// The command of that name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Explain => "explain",
            Self::Compare => "compare",
            Self::Best => "best",
            Self::Pack => "pack",
            Self::Labels => "labels",
            Self::Bill => "bill",
            Self::Update => "update",
            Self::Dry => "dry",
            Self::Log => "log",
            Self::Learn => "learn",
            Self::Prefreeze => "prefreeze",
        }
    }
}

/// Its answer.
#[derive(Debug)]
pub struct Told {
    /// What it is called.
    pub title: &'static str,
    /// The arguments that give the same, the subcommand first.
    pub arguments: Vec<String>,
    /// The report.
    pub report: Markup,
    /// Its pictures.
    pub pictures: Vec<String>,
    /// Whether the pictures are labels, to be printed in real size.
    pub labels: bool,
}

impl Told {
    /// A report without pictures.
    pub fn new(title: &'static str, arguments: &[&str], report: String) -> Self {
        let arguments = arguments.iter().map(ToString::to_string).collect();
        Self { title, arguments, report: PreEscaped(report), pictures: Vec::new(), labels: false }
    }

    /// A few words that no command says.
    pub fn words(title: &'static str, words: &str) -> Self {
        Self::new(title, &[], html! { p { (words) } }.into_string())
    }

    /// The same with a picture.
    pub fn with(self, picture: String) -> Self {
        Self { pictures: vec![picture], ..self }
    }
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
    /// When the machine starts.
    pub start: String,
    /// Whether a learned dryer file that is there is replaced.
    pub relearn: bool,
    /// The night outdoors.
    pub night: NightTold,
}

impl Wishes {
    /// As they were sent.
    pub fn of(asked: &Asked) -> Self {
        let field = |name: &str| asked.field(name).to_string();
        Self {
            key: field("vary.key"),
            values: field("vary.values"),
            by_cost: asked.field("best.goal") == COST,
            start: field("bill.start"),
            relearn: asked.field("learn.force") == "true",
            night: NightTold::of(asked),
        }
    }
}

/// The word for cost as a goal.
pub const COST: &str = "cost-per-kg";
/// When the machine starts unless told otherwise, as for `icefront bill`.
pub const USUAL_START: &str = "18:00";
/// Draws of each load that `icefront best` takes.
const BEST_DRAWS: usize = 64;

/// What the questions are asked of.
pub struct Asking<'a> {
    /// Name of the sheet's file; empty where it has none.
    pub file: &'a str,
    /// The sheet as a file of the folder.
    pub text: &'a Text,
    /// The folder.
    pub folder: &'a Folder,
    /// The answer to the sheet itself.
    pub answer: &'a Answer,
    /// Draws and seed.
    pub settings: Settings,
}

/// Answers a question on a sheet that was read.
pub fn ask(tool: Tool, wishes: &Wishes, asking: &Asking<'_>) -> Result<Told, Failure> {
    match tool {
        Tool::Explain => explained(asking),
        Tool::Compare => compared(wishes, asking),
        Tool::Best => bettered(wishes, asking),
        Tool::Pack => packed(asking),
        Tool::Labels => labelled(asking),
        Tool::Bill => billed(wishes, asking),
        Tool::Update => updated(asking),
        Tool::Dry => dried(asking),
        Tool::Log => finished::log(asking),
        Tool::Learn => finished::learn(wishes.relearn, asking),
        Tool::Prefreeze => night::prefreeze(&wishes.night, asking),
    }
}

impl Asking<'_> {
    fn draws(&self, count: usize) -> Draws {
        Draws { count, seed: self.settings.seed, threads: None }
    }

    /// The name the sheet goes by.
    pub fn name(&self) -> &str {
        screen::name(self.file)
    }

    /// Where the sheet is, as reports tell it.
    pub fn source(&self) -> String {
        self.text.path.display().to_string()
    }

    /// The sheet does not suit the question.
    pub fn unfit(&self, reason: String) -> Failure {
        Failure::Unfit { path: self.text.path.clone(), reason }
    }

    fn packing(&self, draws: usize) -> Result<Packing, Failure> {
        let sheet = &self.answer.sheet;
        Ok(pack(sheet, &batch::run(sheet, &self.draws(draws), |_| ())?))
    }
}

fn explained(asking: &Asking<'_>) -> Result<Told, Failure> {
    let told = explain::explain(asking.text, &asking.answer.sheet, None, asking.folder.files())?;
    let report = icefront_kitchen::explain::text(&asking.source(), &told, false, Look::Page);
    Ok(Told::new("Why so slow", &["explain", asking.name()], report).with(icefront_kitchen::explain::chart(&told)?))
}

fn compared(wishes: &Wishes, asking: &Asking<'_>) -> Result<Told, Failure> {
    let written = format!("{}={}", wishes.key, wishes.values);
    let varied = [Vary::read(&written).map_err(|reason| asking.unfit(reason))?];
    for change in grid(asking.text, &varied)?.cells.iter().flat_map(|cell| &cell.variant.sheet) {
        if change.path == ["dryer"]
            && let Ok(value) = DeValue::parse(&change.value)
        {
            asking.folder.check_dryer(value.get_ref().as_str().unwrap_or_default())?;
        }
    }
    let (loads, notes) = loads(std::slice::from_ref(asking.text), &varied, asking.folder.files())?;
    let draws = asking.draws(Question::draws_for(loads.len()));
    let question = Question { loads, notes, pairing: Pairing { draws, independent: false } };
    let told = question.answer()?;
    let report = icefront_kitchen::compare::text(&question, &told, Look::Page);
    Ok(Told::new("What if", &["compare", asking.name(), "--vary", &written], report)
        .with(icefront_kitchen::compare::chart(&question, &told)?))
}

fn bettered(wishes: &Wishes, asking: &Asking<'_>) -> Result<Told, Failure> {
    let aim = if wishes.by_cost { Aim::CostPerKg } else { Aim::Hours };
    best::suits(asking.text, &asking.answer.sheet)?;
    let told = best::find(&asking.answer.sheet, aim, asking.draws(BEST_DRAWS))?;
    let goal: &[&str] = if wishes.by_cost { &["--goal", COST] } else { &[] };
    let arguments = [&["best", asking.name()], goal].concat();
    let report = icefront_kitchen::best::text(&asking.source(), aim, &told, Look::Page);
    Ok(Told::new("A better arrangement", &arguments, report))
}

fn packed(asking: &Asking<'_>) -> Result<Told, Failure> {
    let packing = asking.packing(asking.settings.draws)?;
    Ok(Told::new(
        "Packs",
        &["pack", asking.name()],
        icefront_kitchen::pack::text(&asking.source(), &packing, Look::Page),
    ))
}

fn labelled(asking: &Asking<'_>) -> Result<Told, Failure> {
    let labels = icefront_kitchen::pack::labels(&asking.packing(asking.settings.draws)?, today());
    let pictures = label_sheets_svg(&labels, &LabelSheet::USUAL)?;
    let (count, sheets) = (format::count(labels.len(), "label"), format::count(pictures.len(), "sheet"));
    let words = format!("{count} on {sheets} of paper. Print this page in real size.");
    let report = html! { p { (words) } }.into_string();
    Ok(Told { pictures, labels: true, ..Told::new("Labels", &["labels", asking.name(), "--out", "labels"], report) })
}

fn billed(wishes: &Wishes, asking: &Asking<'_>) -> Result<Told, Failure> {
    let sheet = &asking.answer.sheet;
    bill::check(sheet).map_err(|e| asking.unfit(e.to_string()))?;
    let start = if wishes.start.is_empty() { USUAL_START } else { &wishes.start };
    let clock = Clock::read(start).map_err(|reason| asking.unfit(reason))?;
    let draws = asking.draws(asking.settings.draws);
    let (bill, packing) = bill::bill(&bill::Question { sheet, draws: &draws, start_s: clock.0 })?;
    let report = icefront_kitchen::bill::text(&asking.source(), &bill, &packing, Look::Page);
    Ok(Told::new("The bill", &["bill", asking.name(), "--start", start], report))
}

/// Draws of each round that readings are weighed against, at least.
const LEAST_DRAWS: usize = 64;

/// The readings kept beside the sheet, checked, and how much is computed.
fn readings(asking: &Asking<'_>) -> Result<(Readings, Errors, learning::Effort, String), Failure> {
    let errors = Errors::default();
    let (name, text) = readings::text(asking.folder, asking.file)?;
    let (load, typical) = (&asking.answer.sheet.load, &asking.answer.result);
    let read = Readings::of(text, load, typical, &errors)?;
    let draws = asking.settings.draws.max(LEAST_DRAWS);
    let effort = learning::Effort { draws, seed: asking.settings.seed, ..learning::Effort::default() };
    Ok((read, errors, effort, name))
}

fn updated(asking: &Asking<'_>) -> Result<Told, Failure> {
    let (read, errors, effort, name) = readings(asking)?;
    let sheet = &asking.answer.sheet;
    let told = running::update(sheet, &asking.answer.result, &read, &errors, &effort)?;
    let report = icefront_kitchen::running::update_text::text(sheet, &read, &told, Look::Page);
    Ok(Told::new("With the readings so far", &["update", asking.name(), "--readings", &name], report))
}

fn dried(asking: &Asking<'_>) -> Result<Told, Failure> {
    let (read, errors, effort, name) = readings(asking)?;
    let told = running::dryness(&asking.answer.sheet, &read, &errors, &effort)?;
    let report = icefront_kitchen::running::dry_text::text(&read, &told, Look::Page);
    Ok(Told::new("Is it dry?", &["dry", asking.name(), "--readings", &name], report))
}
