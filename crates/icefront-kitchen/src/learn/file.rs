//! The learned dryer file: the file as entered, and `[learned]` after it.

use std::path::Path;

use icefront_core::learning::{Learned, MODEL};

use crate::problem::spelling_help;
use crate::sheet::{Text, dryer};
use crate::{Failure, Storage};

/// The file of a dryer: a built-in one, or a path ending in `.toml` from `folder` on.
///
/// # Errors
/// A name that is neither, or a file that cannot be read.
pub fn dryer_file(name: &str, folder: &Path, files: &dyn Storage) -> Result<Text, Failure> {
    let names: Vec<&str> = dryer::BUILT_IN.iter().map(|(name, _)| *name).collect();
    let help = || format!("{}; or the path of a dryer file ending in .toml", spelling_help(name, &names));
    dryer::file(name, folder, files)?.ok_or_else(|| Failure::unknown("dryer", name, help()))
}

/// `0.60 m2` -> `0.60-m2-learned.toml`; a learned file is learned anew under its own name.
pub fn usual_name(dryer: &str) -> String {
    let is_file = dryer::built_in(dryer).is_none();
    let stem =
        if is_file { Path::new(dryer).file_stem().map_or(dryer.into(), |s| s.to_string_lossy()) } else { dryer.into() };
    format!("{}-learned.toml", stem.trim_end_matches("-learned").replace(' ', "-"))
}

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

/// The file as entered with what was learned from a history.
pub fn with_learned(entered: &Text, learned: &Learned, history: &Path) -> String {
    let quoted = |text: &str| format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""));
    let used: Vec<&str> = learned.batches.iter().map(|b| b.name.as_str()).collect();
    let from = quoted(&format!("{} batches: {}", used.len(), used.join(", ")));
    let mut parts = vec![format!(
        "{}\n\n{MARK} by `icefront learn`. The numbers above stay as entered; these say how\n\
         {MARK_END}, in standard deviations of what is usual (docs/guide/learning.md).\n\
         [learned]\nmodel = {MODEL}\nfrom = {from}\nhistory = {}\nmodel_error = {:.4}\nmodel_error_log = {:.3}\n",
        entered.text.trim_end(),
        quoted(&history.display().to_string()),
        learned.model.moisture_ratio,
        learned.model.log_size
    )];
    for (i, (name, best)) in learned.names.iter().zip(&learned.belief.middle).enumerate() {
        let draws = learned.draws.iter().map(|z| format!("{:.3}", z[i])).collect::<Vec<_>>().join(", ");
        parts.push(format!("[[learned.unknown]]\nname = {}\nbest = {best:.3}\ndraws = [{draws}]\n", quoted(name)));
    }
    parts.join("\n")
}
