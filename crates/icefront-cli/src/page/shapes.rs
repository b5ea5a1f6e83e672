//! Which sizes go with which shape, so that another shape brings its own and drops those of the old one.

use crate::page::draft::Draft;

/// A size of a tray's food: key, label, and what it starts at.
pub type Size = (&'static str, &'static str, &'static str);

/// Shapes, what they are called on the page, and their sizes.
pub const SHAPES: [(&str, &str, &[Size]); 6] = [
    ("layer", "layer", &[("depth", "Depth", "12 mm")]),
    ("spheres", "balls or berries", &[("size", "Diameter", "12 mm")]),
    ("sticks", "sticks", &[("thickness", "Thickness", "10 mm"), ("length", "Length", "50 mm")]),
    ("cubes", "cubes", &[("size", "Edge", "10 mm")]),
    ("slices", "slices", &[("thickness", "Thickness", "6 mm"), ("width", "Width across", "50 mm")]),
    (
        "bricks",
        "bricks",
        &[("length", "Length", "50 mm"), ("width", "Width", "30 mm"), ("height", "Height as they lie", "10 mm")],
    ),
];

/// Keys that pieces have and a layer has not.
const OF_PIECES: [&str; 2] = ["layers", "coverage"];

/// Sizes of a shape; none for a word that is no shape.
pub fn sizes(shape: &str) -> &'static [Size] {
    SHAPES.iter().find(|(word, ..)| word.eq_ignore_ascii_case(shape)).map_or(&[], |(_, _, sizes)| sizes)
}

/// Drops sizes that do not go with the shape of a tray, and gives those that are missing.
pub fn settle(draft: &mut Draft, tray: &str) {
    let shape = draft.shown(&format!("{tray}.shape"));
    let sizes = sizes(&shape);
    if sizes.is_empty() {
        return;
    }
    let is_layer = shape.eq_ignore_ascii_case("layer");
    let at = |key: &str| format!("{tray}.{key}");
    let strange = SHAPES.iter().flat_map(|(_, _, sizes)| *sizes).map(|(key, ..)| *key);
    let strange = strange.filter(|key| !sizes.iter().any(|(own, ..)| own == key));
    for key in strange.chain(OF_PIECES.into_iter().filter(|_| is_layer)) {
        draft.set(&at(key), "");
    }
    if !is_layer {
        for key in ["embedded.food", "cut", "cut_width"] {
            draft.set(&at(key), "");
        }
    }
    let told = is_layer && (draft.has(&at("amount")) || draft.has(&at("filled_to")));
    for (key, _, start) in sizes.iter().filter(|_| !told) {
        if !draft.has(&at(key)) {
            draft.set(&at(key), start);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn another_shape_brings_its_sizes() {
        let text = "icefront = 1\n[[tray]]\nfood = \"rice\"\nshape = \"layer\"\ndepth = \"9 mm\"\n";
        let mut draft = Draft::parse(text).unwrap();
        draft.set("tray.0.shape", "slices");
        assert_eq!((draft.shown("tray.0.thickness"), draft.has("tray.0.depth")), ("6 mm".to_string(), false));
        draft.set("tray.0.layers", "2");
        draft.set("tray.0.shape", "layer");
        assert_eq!(draft.shown("tray.0.depth"), "12 mm");
        assert!(!draft.has("tray.0.layers") && !draft.has("tray.0.width"));
    }
}
