//! Records of a table: quotation marks hold separators and line ends together, and every cell knows its place.

use std::borrow::Cow;
use std::ops::Range;

use csv_core::{ReadFieldResult, Reader, ReaderBuilder};

use crate::table::findings::Findings;
use crate::table::separator::Separator;

/// Most columns of a table; further cells of a line are not kept.
pub const MOST_COLUMNS: usize = 200;

/// One cell without blanks and quotation marks around it.
#[derive(Clone, Debug, PartialEq)]
pub struct Cell<'a> {
    /// What it says.
    pub text: Cow<'a, str>,
    /// Bytes of the file it fills.
    pub span: Range<usize>,
}

/// One line, or several where a quoted cell holds line ends.
#[derive(Clone, Debug, PartialEq)]
pub struct Record<'a> {
    /// Line of the file on which it begins, from 1.
    pub line: usize,
    /// Bytes of the file it fills, without its end.
    pub span: Range<usize>,
    /// Its cells: one more than [`MOST_COLUMNS`] where there are too many.
    pub cells: Vec<Cell<'a>>,
    /// Where a quotation mark stands that is never closed.
    pub unclosed: Option<usize>,
}

impl Record<'_> {
    /// Whether the line has a cell for each column, all quotation marks closed.
    pub fn fits(&self, columns: usize, findings: &mut Findings) -> bool {
        if let Some(at) = self.unclosed {
            let help = "close it; within quotation marks write \"\" for one".to_string();
            findings.note("quote", &(at..at + 1), "a quotation mark is not closed", "this one", help);
            return false;
        }
        let fits = self.cells.len() == columns;
        if !fits {
            let label = format!("{} cells, the header has {columns}", self.cells.len());
            let help = "put a text with the separator in it in quotation marks; where columns are set apart by commas, \
                        write decimals with a point; leave a cell empty where nothing was measured";
            findings.note("cells", &self.span, "this line does not fit the header", label, help);
        }
        fits
    }
}

/// All records of a text; empty lines, lines of empty cells and remarks (`#`) are passed over.
#[derive(Debug)]
pub struct Records<'a> {
    text: &'a str,
    separator: Separator,
    remarks: bool,
    reader: Reader,
    at: usize,
    line: usize,
}

impl<'a> Records<'a> {
    /// Of a table with the separator that its header shows.
    pub fn of(text: &'a str) -> Self {
        let header = text.lines().find(|line| !is_passed_over(line, true)).unwrap_or_default();
        Self::with(text, Separator::of(header), true)
    }

    /// The same, but a line that begins with `#` is a record like any other.
    pub fn without_remarks(text: &'a str) -> Self {
        let header = text.lines().find(|line| !is_passed_over(line, false)).unwrap_or_default();
        Self { remarks: false, ..Self::with(text, Separator::of(header), true) }
    }

    /// Of a table with commas in which quotation marks hold nothing together.
    pub fn unquoted(text: &'a str) -> Self {
        Self::with(text, Separator::Comma, false)
    }

    fn with(text: &'a str, separator: Separator, quoting: bool) -> Self {
        let reader = ReaderBuilder::new().delimiter(separator.byte()).quoting(quoting).build();
        Self { text, separator, remarks: true, reader, at: 0, line: 1 }
    }

    /// What stands between its columns.
    pub fn separator(&self) -> Separator {
        self.separator
    }

    /// The first record: names of not too many columns.
    pub fn header(&mut self, findings: &mut Findings) -> Option<Record<'a>> {
        let Some(header) = self.next() else {
            findings.note("empty", &(0..0), "the file holds no table", "nothing but remarks", "");
            return None;
        };
        if header.cells.len() > MOST_COLUMNS {
            let label = format!("more than {MOST_COLUMNS}");
            findings.note("columns", &header.span, "there are too many columns", label, "");
            return None;
        }
        Some(header)
    }

    fn rest(&self) -> &'a str {
        self.text.get(self.at..).unwrap_or_default()
    }

    /// Passes over so many bytes.
    fn advance(&mut self, bytes: usize) {
        self.line += self.rest().bytes().take(bytes).filter(|byte| *byte == b'\n').count();
        self.at += bytes;
    }

    fn pass_over(&mut self) {
        while let Some(line) =
            self.rest().split_inclusive('\n').next().filter(|line| is_passed_over(line, self.remarks))
        {
            self.advance(line.len());
        }
    }

    /// The next cell, and whether it is the last of its record.
    fn cell(&mut self) -> (Cell<'a>, bool) {
        let tab = self.separator == Separator::Tab;
        let blanks = self.rest().bytes().take_while(|b| *b == b' ' || (*b == b'\t' && !tab)).count();
        self.advance(blanks);
        let (from, mut said, mut scratch) = (self.at, Vec::new(), [0; 256]);
        let last = loop {
            let (result, read, written) = self.reader.read_field(self.rest().as_bytes(), &mut scratch);
            self.advance(read);
            said.extend(scratch.iter().take(written));
            match result {
                ReadFieldResult::Field { record_end } => break record_end,
                ReadFieldResult::End => break true,
                ReadFieldResult::InputEmpty | ReadFieldResult::OutputFull => {}
            }
        };
        let raw = self.text.get(from..self.at).unwrap_or_default();
        let raw = if last {
            raw.trim_end_matches(['\n', '\r'])
        } else {
            raw.get(..raw.len().saturating_sub(1)).unwrap_or_default()
        };
        let said = String::from_utf8_lossy(&said);
        let said = said.trim();
        // what was written with doubled quotation marks is no piece of the file
        let cell = match raw.find(said).and_then(|at| Some((at, raw.get(at..at + said.len())?))) {
            Some((at, text)) => Cell { text: text.into(), span: from + at..from + at + text.len() },
            None => Cell { text: said.to_string().into(), span: from..from + raw.trim_end().len() },
        };
        (cell, last)
    }

    fn record(&mut self) -> Option<Record<'a>> {
        self.pass_over();
        if self.rest().is_empty() {
            return None;
        }
        self.reader.reset();
        let (start, line) = (self.at, self.line);
        let mut cells = Vec::new();
        let mut cell_start;
        loop {
            cell_start = self.at;
            let (cell, last) = self.cell();
            if cells.len() <= MOST_COLUMNS {
                cells.push(cell);
            }
            if last {
                break;
            }
        }
        let whole = self.text.get(start..self.at).unwrap_or_default().trim_end_matches(['\n', '\r']);
        let last = self.text.get(cell_start..self.at).unwrap_or_default();
        let marks = last.bytes().filter(|byte| *byte == b'"').count();
        let open = last.trim_start().starts_with('"') && marks % 2 == 1 && self.rest().is_empty();
        let unclosed = open.then(|| cell_start + last.find('"').unwrap_or(0));
        Some(Record { line, span: start..start + whole.len(), cells, unclosed })
    }
}

impl<'a> Iterator for Records<'a> {
    type Item = Record<'a>;

    fn next(&mut self) -> Option<Record<'a>> {
        loop {
            let record = self.record()?;
            let remark = self.remarks && record.cells.first().is_some_and(|cell| cell.text.starts_with('#'));
            if !remark && record.cells.iter().any(|cell| !cell.text.is_empty()) {
                return Some(record);
            }
        }
    }
}

fn is_passed_over(line: &str, remarks: bool) -> bool {
    let line = line.trim();
    line.is_empty() || (remarks && line.starts_with('#'))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts<'a>(record: &'a Record<'_>) -> Vec<&'a str> {
        record.cells.iter().map(|cell| cell.text.as_ref()).collect()
    }

    #[test]
    fn cells_know_their_places() {
        let text = "# a remark, \"with\ntime, air\r\n\r\n\"1\",,-2.5 \n";
        let found: Vec<Record<'_>> = Records::of(text).collect();
        assert_eq!(found.len(), 2);
        assert_eq!((texts(&found[1]), found[1].line), (vec!["1", "", "-2.5"], 4));
        for cell in found.iter().flat_map(|r| &r.cells) {
            assert_eq!(&text[cell.span.clone()], cell.text);
        }
        assert_eq!(&text[found[0].span.clone()], "time, air");
    }

    #[test]
    fn quotation_marks_hold_commas_and_line_ends_together() {
        let text = "time,note,tray\n1, \"hot, dry\nand \"\"still\"\"\" ,2\n3,\"a,b\",4\n";
        let found: Vec<Record<'_>> = Records::of(text).collect();
        assert_eq!(texts(&found[1]), ["1", "hot, dry\nand \"still\"", "2"]);
        assert_eq!((texts(&found[2]), found[2].line), (vec!["3", "a,b", "4"], 4));
        let [comma, end] = ["a,b", "4"].map(|text| found[2].cells.iter().find(|c| c.text == text).unwrap());
        assert_eq!((&text[comma.span.clone()], &text[end.span.clone()]), ("a,b", "4"));
    }

    #[test]
    fn separators_are_those_of_the_header() {
        for (text, separator) in [
            ("time_h;tray;\"a,b,c\"\n1;2;3\n", Separator::Semicolon),
            ("# x;y;z\ntime_h,tray,c\n1,2,3\n", Separator::Comma),
            ("time_h\ttray\tc\n1\t\t3\n", Separator::Tab),
        ] {
            let records = Records::of(text);
            assert_eq!(records.separator(), separator, "{text}");
            assert!(records.map(|r| r.cells.len()).all(|cells| cells == 3), "{text}");
        }
        assert_eq!(texts(&Records::of("a;b\n12,5;\"x;y\"\n").nth(1).unwrap()), ["12,5", "x;y"]);
    }

    #[test]
    fn an_open_quotation_mark_is_found() {
        let text = "a,b\n1,\"2\n3,4\n5,6\n";
        let last = Records::of(text).nth(1).unwrap();
        assert_eq!((last.unclosed, last.line), (Some(6), 2));
        assert!(Records::of("a,b\n1,\"2\"\"\"\n").all(|record| record.unclosed.is_none()));
        let unquoted: Vec<_> = Records::unquoted("a,\"b\n1,2\n").map(|r| r.cells.len()).collect();
        assert_eq!(unquoted, [2, 2]);
    }

    #[test]
    fn a_line_of_a_million_cells_keeps_few() {
        let text = format!("{}x\n", ",".repeat(1_000_000));
        let record = Records::of(&text).record().unwrap();
        assert_eq!((record.cells.len(), record.span.len()), (MOST_COLUMNS + 1, 1_000_001));
    }

    #[test]
    fn any_bytes_give_places_inside_the_text() {
        for text in ["", "\u{0}", "\"", "\"\"", ",\"", "a\rb\rc", "ä;\"ö", "\"a\"b\"c,\n\"", "\r\n\r\n", " \"", "\t\t"]
        {
            for record in Records::of(text).chain(Records::unquoted(text)) {
                for cell in &record.cells {
                    assert!(text.get(cell.span.clone()).is_some(), "{text:?}: {cell:?}");
                }
            }
        }
    }
}
