//! The learned dryer file: the file as entered, and `[learned]` after it.

use std::fmt::Write;

use icefront_core::learning::{Direction, Learned};

use crate::sheet::Text;

/// A direction with more than this left is not worth a column: leaving it out makes later ranges wider, never narrower.
const WORTH_KEEPING: f64 = 0.95;
/// Most directions kept.
const MOST: usize = 16;

/// A dryer file without what was learned before: learning starts anew from the whole history, so nothing counts twice.
pub fn entered(file: &Text) -> Text {
    let mut learned = false;
    let lines = file.text.lines().filter(|line| {
        let line = line.trim();
        if line.starts_with('[') {
            learned = line.starts_with("[learned") || line.starts_with("[[learned");
        }
        !learned && !line.starts_with(MARK) && !line.starts_with(MARK_END)
    });
    let text = lines.collect::<Vec<_>>().join("\n").trim_end().to_string() + "\n";
    Text { path: file.path.clone(), text }
}

const MARK: &str = "# Learned from finished batches";
const MARK_END: &str = "# this machine and its foods differ";

/// The file as entered with what was learned.
pub fn with_learned(entered: &Text, learned: &Learned) -> String {
    let used: Vec<&str> = learned.batches.iter().map(|b| b.name.as_str()).collect();
    let kept: Vec<&Direction> =
        learned.belief.directions.iter().filter(|d| d.left < WORTH_KEEPING).take(MOST).collect();
    let mut text = entered.text.trim_end().to_string();
    let list =
        |numbers: &mut dyn Iterator<Item = f64>| numbers.map(|x| format!("{x:.5}")).collect::<Vec<_>>().join(", ");
    let quoted = |text: &str| format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""));
    let from = format!("{} batches: {}", used.len(), used.join(", "));
    // writing into a string cannot fail
    let _ = write!(
        text,
        "\n\n{MARK} by `icefront learn`. The numbers above stay as entered; these say how\n\
         {MARK_END}, in standard deviations of what is usual (docs/learning.md).\n\
         [learned]\nfrom = {}\nleft = [{}]\n",
        quoted(&from),
        list(&mut kept.iter().map(|d| d.left))
    );
    for (i, (name, middle)) in learned.names.iter().zip(&learned.belief.middle).enumerate() {
        let along = list(&mut kept.iter().map(|d| d.along[i]));
        let _ =
            write!(text, "\n[[learned.unknown]]\nname = {}\nmiddle = {middle:.5}\nalong = [{along}]\n", quoted(name));
    }
    text
}
