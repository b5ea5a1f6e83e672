//! Recipes that several sheets share: `recipes = "recipes.toml"` adds the `[recipe.x]` and `[food.x]` of that file to the sheet. They
//! become part of the sheet's text, so that a batch in the history can be computed again without the file.

use std::path::Path;

use serde::Deserialize;

use crate::sheet::Text;
use crate::{Failure, Storage};

/// Tables that such a file may hold.
const TABLES: [&str; 2] = ["recipe", "food"];

/// What is looked for at the top of a sheet; whatever is wrong with the rest is noted when the sheet is checked.
#[derive(Deserialize)]
struct Top {
    recipes: Option<String>,
}

/// The sheet with the recipes of the file it names, if it names one.
///
/// # Errors
/// A file that cannot be read, or that holds more than recipes and foods.
pub(super) fn with_shared(text: &Text, files: &dyn Storage) -> Result<Text, Failure> {
    let Some(name) = toml::from_str::<Top>(&text.text).ok().and_then(|top| top.recipes) else {
        return Ok(text.clone());
    };
    let path = text.path.parent().unwrap_or(Path::new("")).join(&name);
    let shared = Text::read(&path, files)?;
    let unreadable = |reason: String| Failure::Unreadable { path: path.clone(), reason };
    let tables: toml::Table = toml::from_str(&shared.text).map_err(|error| {
        let line =
            error.span().map_or(1, |span| 1 + shared.text[..span.start.min(shared.text.len())].matches('\n').count());
        unreadable(format!("line {line}: {}", error.message()))
    })?;
    if let Some(other) = tables.keys().find(|key| !TABLES.contains(&key.as_str())) {
        return Err(unreadable(format!(
            "`{other}` does not belong there: a recipe file holds [recipe.x] and [food.x]"
        )));
    }
    Ok(Text { path: text.path.clone(), text: format!("{}\n{}", text.text.trim_end(), shared.text) })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet;
    use crate::storage::Memory;

    const SHEET: &str = "icefront = 1\ndryer = \"0.36 m2\"\nrecipes = \"ours.toml\"\n[[tray]]\nrecipe = \"tomato rice\"\n\
        shape = \"layer\"\ndepth = \"10 mm\"\n";

    fn read(shared: &str) -> Result<sheet::Sheet, Failure> {
        let text = Text { path: "a.toml".into(), text: SHEET.into() };
        sheet::read(&text, &Memory::of(&[("ours.toml", shared)]))
    }

    #[test]
    fn sheets_share_a_file_of_recipes() {
        let ours = "[recipe.\"tomato rice\"]\n\"cooked rice\" = \"500 g\"\n\"tomatoes, cooked\" = \"400 g\"\n";
        let sheet = read(ours).unwrap();
        assert_eq!(sheet.load.trays[0].food, "tomato rice");
        // what is logged needs the file no more
        assert!(sheet.text.text.contains("tomatoes, cooked"));
    }

    #[test]
    fn a_file_that_is_missing_or_holds_something_else_is_refused() {
        for (shared, part) in [("dryer = \"x\"\n", "`dryer` does not belong there"), ("[recipe\n", "line 1")] {
            let refused = read(shared).unwrap_err().to_string();
            assert!(refused.contains(part), "{refused}");
        }
        let text = Text { path: "a.toml".into(), text: SHEET.into() };
        assert!(sheet::read(&text, &Memory::default()).is_err());
    }
}
