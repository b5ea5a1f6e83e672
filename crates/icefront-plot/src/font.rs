//! How wide a text is, and how to make it fit, by the metrics of the embedded font.

use std::sync::LazyLock;

use ttf_parser::Face;

static FACE: LazyLock<Option<Face<'static>>> = LazyLock::new(|| Face::parse(dejavu::sans::regular(), 0).ok());

/// Width of `text` at letters of `size_px`, px. A sign that the font lacks counts as one em.
pub(crate) fn width_px(text: &str, size_px: f64) -> f64 {
    text.chars().map(advance_em).sum::<f64>() * size_px
}

fn advance_em(sign: char) -> f64 {
    FACE.as_ref()
        .and_then(|face| {
            let advance = face.glyph_hor_advance(face.glyph_index(sign)?)?;
            Some(f64::from(advance) / f64::from(face.units_per_em()))
        })
        .unwrap_or(1.0)
}

/// `text` cut to `room_px` with an ellipsis at the end where it does not fit.
pub(crate) fn cut(text: &str, size_px: f64, room_px: f64) -> String {
    if width_px(text, size_px) <= room_px {
        return text.to_owned();
    }
    let mut room_left_px = room_px - width_px("…", size_px);
    let fitting = text.chars().take_while(|&sign| {
        room_left_px -= advance_em(sign) * size_px;
        room_left_px >= 0.0
    });
    let kept: String = fitting.collect();
    format!("{}…", kept.trim_end())
}

/// `text` broken between words into at most `most_lines` lines of `room_px`; what is left over is cut.
pub(crate) fn wrap(text: &str, size_px: f64, room_px: f64, most_lines: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if width_px(&format!("{line} {word}"), size_px) <= room_px => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    if lines.len() > most_lines {
        let rest = lines.split_off(most_lines.saturating_sub(1)).join(" ");
        lines.push(rest);
    }
    lines.iter().map(|line| cut(line, size_px, room_px)).collect()
}
