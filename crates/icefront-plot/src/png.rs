//! SVG to PNG with the embedded font; no font of the system is looked at.

use std::sync::Arc;

use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree, fontdb};

use crate::error::PlotError;

/// Widest picture made, px.
const WIDEST_PX: u32 = 20_000;

/// Draws an SVG as a PNG of the given width; the height follows from the picture's shape.
///
/// All texts are set in DejaVu Sans, which is part of the program.
///
/// # Errors
/// `BadSvg` if the text is no usable SVG, `BadWidth` if the width is zero or too large, `BadPng` if writing fails.
///
/// ```
/// let svg = "<svg xmlns='http://www.w3.org/2000/svg' width='8' height='4'/>";
/// assert!(icefront_plot::png_from_svg(svg, 80)?.starts_with(b"\x89PNG"));
/// # Ok::<(), icefront_plot::PlotError>(())
/// ```
pub fn png_from_svg(svg: &str, width_px: u32) -> Result<Vec<u8>, PlotError> {
    let bad_width = PlotError::BadWidth { width_px, most_px: WIDEST_PX };
    if !(1..=WIDEST_PX).contains(&width_px) {
        return Err(bad_width);
    }
    let tree = Tree::from_str(svg, &options()).map_err(|e| PlotError::BadSvg(e.to_string()))?;
    let scale = width_px as f32 / tree.size().width();
    let height_px = (tree.size().height() * scale).round().max(1.0) as u32;
    let mut picture = Pixmap::new(width_px, height_px).ok_or(bad_width)?;
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut picture.as_mut());
    picture.encode_png().map_err(|e| PlotError::BadPng(e.to_string()))
}

/// Reads SVG with the embedded font for every family.
fn options() -> Options<'static> {
    let mut fonts = fontdb::Database::new();
    fonts.load_font_source(fontdb::Source::Binary(Arc::new(dejavu::sans::regular())));
    fonts.set_sans_serif_family("DejaVu Sans");
    Options { fontdb: Arc::new(fonts), font_family: "DejaVu Sans".to_owned(), ..Options::default() }
}
