//! Which sizes go with which shape, so that another shape brings its own and drops those of the old one.

use icefront_kitchen::sheet::schema::load::TRAY;

use crate::page::draft::Draft;

/// Drops keys that do not go with the shape of a tray, and gives sizes that are missing.
pub fn settle(draft: &mut Draft, tray: &str) {
    let at = |key: &str| format!("{tray}.{key}");
    let Some(shape) = TRAY.word("shape", &draft.shown(&at("shape"))) else { return };
    for key in TRAY.names().into_iter().filter(|key| !TRAY.takes(key, shape)) {
        draft.set(&at(key), "");
    }
    for size in TRAY.keys.iter().filter(|key| !key.with.is_empty() && !key.folded && key.goes_with(shape)) {
        let told = [size.name].iter().chain(size.instead_of).any(|key| draft.has(&at(key)));
        if !told {
            draft.set(&at(size.name), size.example);
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
