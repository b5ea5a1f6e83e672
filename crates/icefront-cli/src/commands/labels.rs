//! `icefront labels`: a label for each pack, to print.

use std::path::PathBuf;

use clap::Args;
use icefront_core::units::{Length, UnitError};
use icefront_plot::{LabelSheet, label_sheets_html, label_sheets_svg};

use crate::commands::{DrawArguments, LoadArgument};
use crate::today::{day, today};
use crate::{Targets, output, while_working};
use icefront_kitchen::pack::batch::{self, DryMatter};
use icefront_kitchen::pack::{self, packing};
use icefront_kitchen::weather::clock::Date;
use icefront_kitchen::{Failure, format};

/// Raw arguments.
#[derive(Debug, Args)]
#[command(
    after_help = "Common sheets, in millimetres: 3 x 8 labels of 70 x 36 on 210 x 297 (--columns 3 --rows 8 --margin \
                  \"0 mm x 4.5 mm\"); 2 x 7 of 99 x 38 on 210 x 297 (--columns 2 --rows 7 --margin \"4.65 mm x 15.15 mm\" \
                  --gap \"2.5 mm x 0 mm\"); 2 x 5 of 101.6 x 50.8 on 215.9 x 279.4 (--paper \"215.9 mm x 279.4 mm\" \
                  --columns 2 --rows 5 --margin \"4 mm x 12.7 mm\" --gap \"4.7 mm x 0 mm\"). Print in real size, unscaled."
)]
pub struct Arguments {
    #[command(flatten)]
    load: LoadArgument,
    #[command(flatten)]
    draws: DrawArguments,
    /// Folder for labels.html and labels-1.svg, labels-2.svg, ...
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Paper, width x height.
    #[arg(long, value_name = "SIZE", default_value = "210 mm x 297 mm", value_parser = two_lengths)]
    paper: (f64, f64),
    /// Labels beside each other.
    #[arg(long, value_name = "N", default_value_t = 2, value_parser = clap::value_parser!(u8).range(1..=20))]
    columns: u8,
    /// Labels above each other.
    #[arg(long, value_name = "N", default_value_t = 5, value_parser = clap::value_parser!(u8).range(1..=40))]
    rows: u8,
    /// Free paper at the sides x above and below.
    #[arg(long, value_name = "SIZE", default_value = "8 mm x 8 mm", value_parser = two_lengths)]
    margin: (f64, f64),
    /// Between labels, across x down.
    #[arg(long, value_name = "SIZE", default_value = "0 mm x 0 mm", value_parser = two_lengths)]
    gap: (f64, f64),
    /// Labels of the first sheet that are used up.
    #[arg(long, value_name = "N", default_value_t = 0)]
    skip: u16,
    /// Thin lines to cut along, for plain paper.
    #[arg(long)]
    cut_lines: bool,
    /// Day of packing.
    #[arg(long, value_name = "DATE", value_parser = day)]
    today: Option<Date>,
    /// Overwrite existing files.
    #[arg(long)]
    force: bool,
}

/// Smallest label, mm.
const SMALLEST_MM: f64 = 15.0;
const HTML: &str = "labels.html";

/// Two lengths with an x between them, mm.
fn two_lengths(text: &str) -> Result<(f64, f64), String> {
    let wrong = || format!("`{text}` is not two lengths, such as \"70 mm x 36 mm\"");
    let (first, second) = text.split_once(['x', '\u{d7}']).ok_or_else(wrong)?;
    let millimetres = |part: &str| -> Result<f64, UnitError> { Ok(part.trim().parse::<Length>()?.millimetres()) };
    match (millimetres(first), millimetres(second)) {
        (Ok(first), Ok(second)) if first <= 2_000.0 && second <= 2_000.0 => Ok((first, second)),
        (Err(e), _) | (_, Err(e)) => Err(e.to_string()),
        _ => Err("use up to 2000 mm instead".into()),
    }
}

/// Reads, checks, computes, writes.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let sheet = sheet_of(arguments)?;
    let (_, load) = arguments.load.read()?;
    Targets::check(&arguments.out, &[HTML, &page_name(0)], arguments.force)?;
    let batch =
        while_working("computing the run", || batch::run(&load, &arguments.draws.draws(), DryMatter::Drawn, |_| ()))?;
    let labels = pack::labels(&packing::pack(&load, &batch), arguments.today.unwrap_or_else(today));
    let pages = label_sheets_svg(&labels, &sheet)?;
    let html = label_sheets_html(&pages, &sheet, "labels for packs");

    let mut files = vec![(HTML.to_string(), html)];
    files.extend(pages.iter().enumerate().map(|(page, svg)| (page_name(page), svg.clone())));
    let names: Vec<&String> = files.iter().map(|(name, _)| name).collect();
    Targets::check(&arguments.out, &names, arguments.force)?.write(&files)?;
    output::print(&format!(
        "{} on {} written to {}; print {HTML} in real size\n",
        format::count(labels.len(), "label"),
        format::count(pages.len(), "sheet"),
        arguments.out.display()
    ))
}

fn page_name(page: usize) -> String {
    format!("labels-{}.svg", page + 1)
}

fn sheet_of(arguments: &Arguments) -> Result<LabelSheet, Failure> {
    let sheet = LabelSheet {
        paper_mm: arguments.paper,
        columns: arguments.columns.into(),
        rows: arguments.rows.into(),
        margin_mm: arguments.margin,
        gap_mm: arguments.gap,
        skip: arguments.skip.into(),
        cut_lines: arguments.cut_lines,
    };
    let (width, height) = sheet.label_mm();
    if width < SMALLEST_MM || height < SMALLEST_MM {
        let given = format!("{width:.1} mm x {height:.1} mm");
        let help = "paper, margins and gaps leave less than 15 mm; take fewer columns or rows";
        return Err(Failure::unknown("label size", given, help));
    }
    Ok(sheet)
}
