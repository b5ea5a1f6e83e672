//! Checks of the editor, and the sheet they share.

use super::Editor;

const SHEET: &str = "# my load\nicefront = 1\ndryer = \"0.60 m2\"\nroom = \"20 C\" # kitchen\n\n[[tray]]\n\
    food = \"rice\" # white\nshape = \"layer\"\ndepth = \"12 mm\"\n\n[tray.expert]\nemissivity = 0.9\n\n[[tray]]\n\
    recipe = \"stew\"\nshape = \"cubes\"\nsize = \"10 mm\"\nlayers = 2\n\n[recipe.stew]\nwater = \"1 cup\"\n";

pub(super) fn sheet() -> Editor {
    Editor::parse(SHEET).unwrap()
}

#[test]
fn a_value_changes_and_all_else_stays() {
    let mut sheet = sheet();
    assert_eq!(sheet.to_string(), SHEET);
    sheet.set("room", "about 25 C");
    sheet.set("tray.0.depth", "14 mm");
    let expected = SHEET.replace("\"20 C\" #", "\"about 25 C\" #").replace("12 mm", "14 mm");
    assert_eq!(sheet.to_string(), expected);
}

#[test]
fn numbers_go_without_quotes_and_nonsense_stays_as_typed() {
    let mut sheet = sheet();
    sheet.set("servings", "12");
    sheet.set("tray.1.layers", "two \"deep\"\n");
    sheet.set("tray.0.lined", "true");
    let text = sheet.to_string();
    assert!(text.contains("servings = 12\n"), "{text}");
    assert!(Editor::parse(&text).is_some(), "{text}");
    assert_eq!(Editor::parse(&text).unwrap().shown("tray.1.layers"), "two \"deep\"");
    assert_eq!(sheet.shown("tray.0.lined"), "true");
}

#[test]
fn places_that_are_not_there_change_nothing() {
    let mut sheet = sheet();
    sheet.set("tray.9.depth", "14 mm");
    sheet.set("room.x", "14 mm");
    assert_eq!(sheet.to_string(), SHEET);
}
