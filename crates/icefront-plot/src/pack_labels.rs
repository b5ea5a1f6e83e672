//! Labels for packs on a sheet of paper: all lengths in millimetres, one page of SVG per sheet, and all pages as HTML.
//!
//! Every label is set in the largest letters in which all of its text fits; nothing is ever cut.

use std::fmt::Write as _;

use crate::canvas::escaped;
use crate::error::{PlotError, finite};
use crate::font;
use crate::style::FONT_FAMILIES;

/// Letters of a label, mm: never larger, never smaller, step.
const LARGEST_MM: f64 = 4.2;
const SMALLEST_MM: f64 = 1.7;
const STEP_MM: f64 = 0.05;
/// Title and small print over the other lines.
const TITLE: f64 = 1.45;
const SMALL: f64 = 0.8;
/// Line to line over the size of the letters.
const LEADING: f64 = 1.28;
/// From the top of a line to its baseline over the size of its letters.
const ASCENT: f64 = 0.93;
/// Free edge of a label, mm and at most over its shorter side.
const EDGE_MM: f64 = 3.0;
const EDGE_FRAC: f64 = 0.07;

/// How labels lie on a sheet of paper, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LabelSheet {
    /// Width and height of the paper.
    pub paper_mm: (f64, f64),
    /// Labels beside each other.
    pub columns: usize,
    /// Labels above each other.
    pub rows: usize,
    /// Free paper left (and right) and above (and below).
    pub margin_mm: (f64, f64),
    /// Between labels, across and down.
    pub gap_mm: (f64, f64),
    /// Labels of the first sheet that are used up.
    pub skip: usize,
    /// Thin lines to cut along, for plain paper.
    pub cut_lines: bool,
}

impl LabelSheet {
    /// Two by five on plain paper of 210 x 297 mm, to be cut apart.
    pub const USUAL: Self = Self {
        paper_mm: (210.0, 297.0),
        columns: 2,
        rows: 5,
        margin_mm: (8.0, 8.0),
        gap_mm: (0.0, 0.0),
        skip: 0,
        cut_lines: true,
    };

    /// Width and height of one label, mm; what is left of the paper.
    pub fn label_mm(&self) -> (f64, f64) {
        let side = |paper: f64, margin: f64, gap: f64, count: usize| {
            (paper - 2.0 * margin - gap * count.saturating_sub(1) as f64) / count as f64
        };
        (
            side(self.paper_mm.0, self.margin_mm.0, self.gap_mm.0, self.columns),
            side(self.paper_mm.1, self.margin_mm.1, self.gap_mm.1, self.rows),
        )
    }
}

/// What one label says.
#[derive(Clone, Debug, PartialEq)]
pub struct PackLabel {
    /// In large letters.
    pub title: String,
    /// Below it, each on lines of its own.
    pub lines: Vec<String>,
    /// In small letters at the end.
    pub small: Vec<String>,
}

/// One page of SVG for each sheet of paper, in real size.
///
/// # Errors
/// `NoRoom` if a label is too small for its text in letters of 1.7 mm; `EmptySeries` without labels; `NotFinite`.
pub fn label_sheets_svg(labels: &[PackLabel], sheet: &LabelSheet) -> Result<Vec<String>, PlotError> {
    let per_page = sheet.columns * sheet.rows;
    if labels.is_empty() || per_page == 0 {
        return Err(PlotError::EmptySeries("labels"));
    }
    let (width_mm, height_mm) = sheet.label_mm();
    finite("width of a label", width_mm)?;
    finite("height of a label", height_mm)?;
    let mut pages: Vec<String> = Vec::new();
    for (index, label) in labels.iter().enumerate() {
        let place = index + sheet.skip % per_page;
        if pages.len() <= place / per_page {
            pages.push(String::new());
        }
        let (row, column) = (place % per_page / sheet.columns, place % sheet.columns);
        let left = sheet.margin_mm.0 + column as f64 * (width_mm + sheet.gap_mm.0);
        let top = sheet.margin_mm.1 + row as f64 * (height_mm + sheet.gap_mm.1);
        let drawn = draw(label, (left, top), (width_mm, height_mm), sheet.cut_lines)?;
        if let Some(page) = pages.last_mut() {
            page.push_str(&drawn);
        }
    }
    Ok(pages.iter().map(|body| page(body, sheet)).collect())
}

/// All pages as one HTML document that prints each on a sheet of its own.
pub fn label_sheets_html(pages: &[String], sheet: &LabelSheet, title: &str) -> String {
    let (width, height) = sheet.paper_mm;
    let pages: String = pages.iter().map(|svg| format!("<section>\n{svg}</section>\n")).collect();
    format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<title>{}</title>\n<style>\n\
         @page {{ size: {width}mm {height}mm; margin: 0 }}\nbody {{ margin: 0 }}\n\
         section {{ width: {width}mm; height: {height}mm; overflow: hidden; break-after: page }}\n\
         section:last-child {{ break-after: auto }}\nsvg {{ display: block }}\n</style>\n</head>\n<body>\n{pages}</body>\n\
         </html>\n",
        escaped(title)
    )
}

fn page(body: &str, sheet: &LabelSheet) -> String {
    let (width, height) = sheet.paper_mm;
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" \
         viewBox=\"0 0 {width} {height}\">\n<title>labels for packs</title>\n\
         <rect width=\"{width}\" height=\"{height}\" fill=\"#FFFFFF\"/>\n\
         <g font-family=\"{FONT_FAMILIES}\" fill=\"#000000\">\n{body}</g>\n</svg>\n"
    )
}

/// One label at its place; letters as large as fit.
fn draw(label: &PackLabel, at: (f64, f64), size: (f64, f64), cut_lines: bool) -> Result<String, PlotError> {
    let edge = EDGE_MM.min(EDGE_FRAC * size.0.min(size.1));
    let room = (size.0 - 2.0 * edge, size.1 - 2.0 * edge);
    let steps = ((LARGEST_MM - SMALLEST_MM) / STEP_MM).round() as usize;
    let sizes = (0..=steps).map(|step| LARGEST_MM - step as f64 * STEP_MM);
    let Some(lines) = sizes.filter_map(|letters| set(label, letters, room)).next() else {
        return Err(PlotError::NoRoom(label.title.clone()));
    };
    let mut drawn = String::from("<g class=\"label\">\n");
    if cut_lines {
        // Writing into a String cannot fail.
        let _ = writeln!(
            drawn,
            "<rect x=\"{:.2}\" y=\"{:.2}\" width=\"{:.2}\" height=\"{:.2}\" fill=\"none\" stroke=\"#969BA1\" \
             stroke-width=\"0.1\"/>",
            at.0, at.1, size.0, size.1
        );
    }
    let mut top = at.1 + edge;
    for (text, letters) in lines {
        let baseline = top + ASCENT * letters;
        let _ = writeln!(
            drawn,
            "<text x=\"{:.2}\" y=\"{baseline:.2}\" font-size=\"{letters:.2}\">{}</text>",
            at.0 + edge,
            escaped(&text)
        );
        top += LEADING * letters;
    }
    drawn.push_str("</g>\n");
    Ok(drawn)
}

/// Lines with the size of their letters, if all fit.
fn set(label: &PackLabel, letters: f64, room: (f64, f64)) -> Option<Vec<(String, f64)>> {
    let title = std::iter::once((&label.title, TITLE * letters));
    let lines = label.lines.iter().map(|line| (line, letters));
    let small = label.small.iter().map(|line| (line, SMALL * letters));
    let mut all = Vec::new();
    for (text, letters) in title.chain(lines).chain(small) {
        if text.split_whitespace().any(|word| font::width_px(word, letters) > room.0) {
            return None;
        }
        all.extend(font::wrap(text, letters, room.0, usize::MAX).into_iter().map(|line| (line, letters)));
    }
    let height: f64 = all.iter().map(|(_, letters)| LEADING * letters).sum();
    (height <= room.1).then_some(all)
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLAIN: LabelSheet = LabelSheet {
        paper_mm: (210.0, 297.0),
        columns: 3,
        rows: 8,
        margin_mm: (0.0, 4.5),
        gap_mm: (0.0, 0.0),
        skip: 0,
        cut_lines: false,
    };

    fn label(words: usize) -> PackLabel {
        PackLabel {
            title: "bean & lentil <stew>".into(),
            lines: vec!["soak ".repeat(words)],
            small: vec!["allergens: celery".into()],
        }
    }

    #[test]
    fn labels_fill_the_sheets_in_their_order() {
        // 3 by 8 labels of 70 by 36 mm
        assert_eq!(PLAIN.label_mm(), (70.0, 36.0));
        let labels = vec![label(8); 30];
        let pages = label_sheets_svg(&labels, &LabelSheet { skip: 20, ..PLAIN }).unwrap();
        let counts: Vec<usize> = pages.iter().map(|p| p.matches("class=\"label\"").count()).collect();
        assert_eq!(counts, [4, 24, 2]);
        assert!(
            pages[0].contains("&lt;stew&gt;") && pages[0].contains("&amp;") && pages[0].contains("height=\"297mm\"")
        );
        assert_eq!(label_sheets_html(&pages, &PLAIN, "x").matches("<section>").count(), 3);
    }

    #[test]
    fn no_word_is_ever_lost() {
        for words in [1, 20, 60, 100] {
            let page = &label_sheets_svg(&[label(words)], &PLAIN).unwrap()[0];
            assert_eq!(page.matches("soak").count(), words);
            assert!(!page.contains('…'));
        }
        assert!(matches!(label_sheets_svg(&[label(2_000)], &PLAIN), Err(PlotError::NoRoom(_))));
        let wide = PackLabel { title: "x".repeat(200), ..label(1) };
        assert!(matches!(label_sheets_svg(&[wide], &PLAIN), Err(PlotError::NoRoom(_))));
    }
}
