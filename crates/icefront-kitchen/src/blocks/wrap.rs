//! Lines of at most 80 columns.

/// Width of a report.
pub const WIDTH: usize = 80;

/// Words of `text` in lines of at most [`WIDTH`] columns, the first after `lead`, the others indented as far.
pub fn wrap(lead: &str, text: &str) -> String {
    let indent = " ".repeat(lead.chars().count());
    let mut lines = String::new();
    let mut line = lead.to_string();
    let mut empty = true;
    for word in text.split_whitespace() {
        let longer = line.chars().count() + usize::from(!empty) + word.chars().count();
        if !empty && longer > WIDTH {
            lines.push_str(line.trim_end());
            lines.push('\n');
            line.clone_from(&indent);
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    lines.push_str(line.trim_end());
    lines.push('\n');
    lines
}

/// `text` in exactly `width` columns, its end replaced by `..` where it is too long.
pub fn fit(text: &str, width: usize) -> String {
    let long = text.chars().count() > width;
    let kept: String = text.chars().take(if long { width.saturating_sub(2) } else { width }).collect();
    format!("{:<width$}", if long { format!("{kept}..") } else { kept })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_wider_and_no_word_is_lost() {
        let text = "water leaves as vapour ".repeat(20);
        let wrapped = wrap("- ", &text);
        assert!(wrapped.lines().all(|l| l.chars().count() <= WIDTH));
        assert!(
            wrapped
                .lines()
                .skip(1)
                .all(|l| l.starts_with("  w") || l.starts_with("  l") || l.starts_with("  a") || l.starts_with("  v"))
        );
        assert_eq!(wrapped.split_whitespace().count(), 81);
    }

    #[test]
    fn long_names_are_cut() {
        assert_eq!(fit("stew", 6), "stew  ");
        assert_eq!(fit("bean stew", 6), "bean..");
    }
}
