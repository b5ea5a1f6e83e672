//! What `--plain` promises: lines to be read out.

/// Panics unless every line is a sentence or a heading, without columns, bars or signs.
pub fn check(text: &str) {
    assert!(!text.trim().is_empty());
    for line in text.lines().filter(|line| !line.is_empty()) {
        assert!(line.ends_with(['.', ':']), "no sentence: {line}");
        assert!(!line.contains("  ") && !line.starts_with(['-', ' ']), "columns or signs: {line}");
        assert!(line.chars().all(|c| (c.is_ascii() || c == '°') && !c.is_control() && !"|#^".contains(c)), "{line}");
    }
}
