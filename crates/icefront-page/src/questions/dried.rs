//! Questions about the dried food: packs, labels, the bill.

use icefront_kitchen::pack;
use icefront_kitchen::pack::batch::{self, DryMatter};
use icefront_kitchen::pack::packing::{Packing, pack};
use icefront_kitchen::{Failure, Look, bill, format};
use icefront_plot::{LabelSheet, label_sheets_svg};
use maud::html;

use crate::questions::{Context, Report};

fn packing(context: &Context<'_>) -> Result<Packing, Failure> {
    let sheet = &context.answer.sheet;
    let draws = context.draws(context.environment.settings.draws);
    Ok(pack(sheet, &batch::run(sheet, &draws, DryMatter::Drawn, |_| ())?))
}

/// `icefront pack`
pub fn packs(context: &Context<'_>) -> Result<Report, Failure> {
    let text = pack::text(&context.source(), &packing(context)?, Look::Page);
    Ok(Report::new("Packs", ["pack", context.name()], text))
}

/// `icefront labels`
pub fn labels(context: &Context<'_>) -> Result<Report, Failure> {
    let labels = pack::labels(&packing(context)?, context.environment.today);
    let pictures = label_sheets_svg(&labels, &LabelSheet::USUAL)?;
    let (count, sheets) = (format::count(labels.len(), "label"), format::count(pictures.len(), "sheet"));
    let text = html! { p { (count) " on " (sheets) " of paper. Print this page in real size." } }.into_string();
    let report = Report::new("Labels", ["labels", context.name(), "--out", "labels"], text);
    Ok(Report { pictures, labels: true, ..report })
}

/// `icefront bill`
pub fn bill(context: &Context<'_>) -> Result<Report, Failure> {
    let sheet = &context.answer.sheet;
    bill::check(sheet).map_err(|e| context.unfit(e))?;
    let start = context.start.to_string();
    let draws = context.draws(context.environment.settings.draws);
    let (bill, packing) = bill::bill(&bill::Question { sheet, draws: &draws, start_s: context.start.0 })?;
    let text = bill::text(&context.source(), &bill, &packing, Look::Page);
    Ok(Report::new("The bill", ["bill", context.name(), "--start", &start], text))
}
