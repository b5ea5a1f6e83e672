//! A load in a cook's words: each argument is a tray, such as `chili, 1/2 in` or `strawberries, sliced 1/4 in, 2 lb`. The words
//! become the text of a sheet, which is then read like any other: what is said here is what a saved sheet says.

mod phrase;
mod tray;
mod whole;

pub use phrase::says_how_much;

use icefront_core::units::DateOrder;

use crate::Failure;
use crate::format::UnitSystem;
use crate::problem::{OF_WORDS, WORDS_OF_TRAY};
use crate::sheet::{Text, dryer};
use tray::{Copies, Tray};

/// What else may be said of the whole load.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Wishes {
    /// A built-in dryer, or the path of a dryer file.
    pub dryer: Option<String>,
    /// Room temperature, with its unit.
    pub room: Option<String>,
    /// Temperature of the shelves, with its unit.
    pub shelf: Option<String>,
    /// Price of 1 kWh.
    pub price_per_kwh: Option<f64>,
    /// Its currency.
    pub currency: Option<String>,
    /// Servings.
    pub servings: Option<f64>,
    /// Units of the answer.
    pub units: Option<UnitSystem>,
    /// How dates with slashes are meant.
    pub dates: Option<DateOrder>,
    /// Whether a run may be paused to weigh a tray.
    pub can_pause: Option<bool>,
}

/// The text of a sheet for these trays, and what was taken for granted.
///
/// # Errors
/// A tray without food, depth or size, in words.
pub fn sheet(trays: &[String], wishes: &Wishes) -> Result<(Text, Vec<String>), Failure> {
    let mut notes = Vec::new();
    let mut text = String::from("# A load in a cook's words.\nicefront = 1\n");
    let line = |key: &str, value: &str| format!("{key} = {}\n", quoted(value));
    let units = wishes.units.unwrap_or_default();
    let (read, wrong): (Vec<_>, Vec<_>) = trays.iter().map(|words| Tray::read(words, units)).partition(Result::is_ok);
    let read: Vec<Tray> = read.into_iter().filter_map(Result::ok).collect();
    let dryer = wishes.dryer.clone().unwrap_or_else(|| {
        let dryer = with_room_for(&read);
        notes.push(format!("an invented dryer with {dryer} of shelves; name the nearest to yours (`icefront dryers`)"));
        dryer.to_string()
    });
    text += &line("dryer", &dryer);
    text += &wishes.room.as_deref().map_or(String::new(), |room| line("room", room));
    text += &wishes.shelf.as_deref().map_or(String::new(), |shelf| line("shelf", shelf));
    text += &wishes.servings.map_or(String::new(), |servings| format!("servings = {servings}\n"));
    text += &wishes.units.map_or(String::new(), |units| line("units", units.name()));
    text += &wishes.dates.map_or(String::new(), |dates| line("dates", dates.name()));
    text += &wishes.can_pause.map_or(String::new(), |can| format!("can_pause = {can}\n"));
    if let Some(price) = wishes.price_per_kwh {
        text += &format!("\n[tariff]\nprice_per_kwh = {price}\n");
        text += &wishes.currency.as_deref().map_or(String::new(), |currency| line("currency", currency));
    }
    if let Some(failure) = Failure::all(wrong.into_iter().filter_map(Result::err).collect()) {
        return Err(failure);
    }
    let room = Room { dryer: &dryer, trays: &read };
    for (words, tray) in trays.iter().zip(&read) {
        let remark = words.replace(char::is_control, " ");
        let copies = room.copies(words, tray)?;
        let mut tray = tray.clone();
        notes.extend(tray.shared_by(copies)?);
        text += &format!("{WORDS_OF_TRAY}{remark}\n{}", tray.toml(units)).repeat(copies);
        notes.extend(tray.assumed(units));
    }
    if trays.is_empty() {
        return Err(Failure::BadValue {
            key: "load".into(),
            reason: "nothing is on the trays".into(),
            allowed: "trays such as \"chili, 1/2 in\" \"strawberries, sliced 1/4 in, 2 lb\"".into(),
        });
    }
    Ok((Text { path: OF_WORDS.into(), text }, notes))
}

/// The smallest built-in dryer with a shelf for each tray; the smallest of all where the number is not known, or too large.
fn with_room_for(trays: &[Tray]) -> &'static str {
    let counted: usize = trays.iter().map(|tray| if let Copies::Count(count) = tray.copies { count } else { 1 }).sum();
    let has_room = |text: &str| {
        let text = Text { path: OF_WORDS.into(), text: text.to_string() };
        dryer::read(&text).is_ok_and(|cabinet| cabinet.shelves >= counted)
    };
    let [(smallest, _), ..] = dryer::BUILT_IN;
    dryer::BUILT_IN.iter().find(|(_, text)| has_room(text)).map_or(smallest, |(name, _)| *name)
}

/// The dryer, and what is to go into it.
struct Room<'a> {
    dryer: &'a str,
    trays: &'a [Tray],
}

impl Room<'_> {
    /// How many trays some words stand for.
    fn copies(&self, words: &str, tray: &Tray) -> Result<usize, Failure> {
        let counted = |tray: &Tray| if let Copies::Count(count) = tray.copies { Some(count) } else { None };
        if let Some(count) = counted(tray) {
            return Ok(count);
        }
        let unclear = |question: String| Failure::Unclear { words: Some(words.to_string()), question };
        let others: Option<usize> = self.trays.iter().filter(|other| !std::ptr::eq(*other, tray)).map(counted).sum();
        let others = others
            .ok_or_else(|| unclear("Only one food can go on all trays. Say how many, as in `4 trays`.".into()))?;
        let shelves =
            dryer::built_in(self.dryer).and_then(|text| dryer::read(&text).ok()).map(|cabinet| cabinet.shelves);
        let shelves = shelves.ok_or_else(|| unclear("How many trays? Say it as in `4 trays`.".into()))?;
        let left = shelves.checked_sub(others).filter(|left| *left > 0);
        left.ok_or_else(|| unclear(format!("The dryer has {shelves} trays, and the other foods fill them all.")))
    }
}

/// A TOML string.
fn quoted(text: &str) -> String {
    let escaped: String = text
        .chars()
        .map(|c| match c {
            '"' => "\\\"".to_string(),
            '\\' => "\\\\".to_string(),
            c if c.is_control() => " ".to_string(),
            c => c.to_string(),
        })
        .collect();
    format!("\"{escaped}\"")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Sheet;

    fn tray(words: &str) -> String {
        sheet(&[words.to_string()], &Wishes::default()).unwrap().0.text.split_once("[[tray]]").unwrap().1.to_string()
    }

    #[test]
    fn words_become_a_tray() {
        for (words, lines) in [
            ("chili, 1/2 in", vec!["food = \"chili\"", "shape = \"layer\"", "depth = \"1/2 in\""]),
            (
                "strawberries, sliced 1/4 in, 2 lb",
                vec!["food = \"strawberries\"", "shape = \"slices\"", "thickness = \"1/4 in\"", "amount = \"2 lb\""],
            ),
            ("raw chicken, 12 mm cubes, frozen", vec!["food = \"raw chicken\"", "size = \"12 mm\"", "already frozen"]),
            ("blueberries, whole 12 mm", vec!["shape = \"spheres\"", "size = \"12 mm\""]),
            ("mashed potatoes, 15 mm, from the freezer", vec!["food = \"mashed potatoes\"", "already frozen"]),
            ("mashed potatoes, 15 mm, frozen at -20", vec!["food = \"mashed potatoes\"", "temperature = \"-20 C\""]),
            ("mashed potatoes, 15 mm, not frozen", vec!["food = \"mashed potatoes\"", "depth = \"15 mm\""]),
            ("greek yogurt, 8 mm, from the fridge", vec!["food = \"greek yogurt\"", "depth = \"8 mm\""]),
            ("beef stew, 3.6 kg, 15 mm, over 4 trays", vec!["food = \"beef stew\"", "amount = \"0.9 kg\""]),
            ("peach, 900 g", vec!["food = \"peach\"", "amount = \"900 g\""]),
            ("900 g peach, 15 mm", vec!["food = \"peach\"", "depth = \"15 mm\""]),
            ("2 trays beef stew, 900 g each", vec!["food = \"beef stew\"", "amount = \"900 g\""]),
            ("rice, cooked, 12-18 mm deep", vec!["food = \"rice, cooked\"", "depth = \"12-18 mm\""]),
            ("whole milk, 8 mm, lined", vec!["food = \"whole milk\"", "depth = \"8 mm\"", "lined = true"]),
            ("green beans, 900 g", vec!["food = \"green beans\"", "amount = \"900 g\""]),
            ("potato, sticks 10 mm", vec!["shape = \"sticks\"", "thickness = \"10 mm\""]),
            // without commas
            (
                "sliced strawberries 1/4 inch, 3 cups",
                vec!["\"strawberries\"", "\"slices\"", "thickness = \"1/4 inch\"", "amount = \"3 cups\""],
            ),
            ("sliced strawberries, 1/4 in", vec!["\"strawberries\"", "\"slices\"", "thickness = \"1/4 in\""]),
            ("chili 1/2 in", vec!["\"chili\"", "depth = \"1/2 in\""]),
            ("chicken 12 mm cubes", vec!["\"chicken\"", "size = \"12 mm\""]),
            ("whole milk 8 mm", vec!["\"whole milk\"", "\"layer\"", "depth = \"8 mm\""]),
            ("diced tomatoes 1/2 in deep", vec!["\"diced tomatoes\"", "\"layer\"", "depth = \"1/2 in\""]),
            ("cooked rice half an inch", vec!["\"cooked rice\"", "depth = \"half an inch\""]),
            // the amount first
            ("5 cups chili, 1/2 in", vec!["\"chili\"", "depth = \"1/2 in\""]),
            ("5 cups of chili", vec!["\"chili\"", "amount = \"5 cups\""]),
            ("2 lb strawberries, sliced 1/4 in", vec!["\"strawberries\"", "\"slices\"", "amount = \"2 lb\""]),
            ("2 lb thick bacon, 1/4 in", vec!["\"thick bacon\""]),
            ("800 g of peas", vec!["\"peas\"", "amount = \"800 g\""]),
            ("half a pound of bacon", vec!["\"bacon\"", "amount = \"half a pound\""]),
            ("1 lb 4 oz beef", vec!["\"beef\"", "amount = \"1 lb 4 oz\""]),
            ("1 inch cubes of beef", vec!["\"beef\"", "\"cubes\"", "size = \"1 inch\""]),
            // a number that is part of the name, or counts pieces
            ("2% milk, 8 mm", vec!["\"2% milk\"", "depth = \"8 mm\""]),
            ("3 large eggs", vec!["\"eggs\"", "amount = \"3 large eggs\""]),
            ("xanthan gum, 5 mm", vec!["\"xanthan gum\""]),
            // decimal commas
            ("chili, 0,5 cm", vec!["\"chili\"", "depth = \"0.5 cm\""]),
            ("chili, 1,25 cm, 0,500 kg", vec!["\"chili\"", "depth = \"1.25 cm\""]),
        ] {
            let text = tray(words);
            for line in lines {
                assert!(text.contains(line), "{words}: `{line}` is missing in\n{text}");
            }
        }
    }

    #[test]
    fn the_sheet_can_be_read_and_trays_can_be_several() {
        let words = ["chicken soup, 12 mm, 2 trays".to_string(), "apple, slices 6 mm".to_string()];
        let wishes = Wishes { price_per_kwh: Some(0.3), currency: Some("EUR".into()), ..Wishes::default() };
        let (text, notes) = sheet(&words, &wishes).unwrap();
        assert_eq!(text.text.matches("[[tray]]").count(), 3);
        assert!(
            notes.iter().any(|n| n.contains("dryer")) && notes.iter().any(|n| n.contains("50 mm across")),
            "{notes:?}"
        );
        for (words, trays) in [
            ("4 x beef stew, 2 cm", 4),
            ("4x beef stew, 2 cm", 4),
            ("3 trays of beef stew, 2 cm", 3),
            ("beef stew, 2 cm, x2", 2),
            ("beef stew, 2 cm, on two trays", 2),
            ("beef stew, 2 cm, all trays", 4),
        ] {
            let text = sheet(&[words.to_string()], &Wishes::default()).unwrap().0.text;
            assert_eq!(text.matches("[[tray]]").count(), trays, "{words}: {text}");
            assert!(text.contains("food = \"beef stew\"\n"), "{words}: {text}");
        }
        let filled = ["chili, 1 cm", "beef stew, 2 cm, all trays"].map(String::from);
        assert_eq!(sheet(&filled, &Wishes::default()).unwrap().0.text.matches("beef stew\"\n").count(), 3);
        let apple = ["apple, raw, slices 6 mm".to_string()];
        sheet(&apple, &wishes).unwrap().0.text.parse::<Sheet>().unwrap();
    }

    #[test]
    fn pieces_of_a_load_in_inches_are_assumed_in_inches() {
        let wishes = Wishes { units: Some(UnitSystem::Us), ..Wishes::default() };
        let (text, notes) = sheet(&["apple, slices 1/4 in".to_string()], &wishes).unwrap();
        assert!(
            text.text.contains("units = \"us\"") && notes.iter().any(|n| n.contains("about 2 in across")),
            "{notes:?}"
        );
    }

    #[test]
    fn a_depth_that_follows_from_a_weight_is_said() {
        let notes = sheet(&["cooked rice, 1 kg".to_string()], &Wishes::default()).unwrap().1;
        assert!(notes.iter().any(|n| n == "cooked rice (depth of 1 kg spread over the tray)"), "{notes:?}");
    }

    #[test]
    fn all_trays_need_a_dryer_that_is_known() {
        let wishes = Wishes { dryer: Some("mine.toml".into()), ..Wishes::default() };
        let refused = sheet(&["chili, 1 cm, all trays".to_string()], &wishes).unwrap_err().to_string();
        assert!(refused.contains("How many trays?"), "{refused}");
    }

    #[test]
    fn what_says_how_much_is_no_file() {
        for words in ["chili 1/2 in", "2 cups chili", "chili 1 kg"] {
            assert!(says_how_much(words), "{words}");
        }
        for words in ["loads/monday", "load", "chili/2026-01-15", "2nd load"] {
            assert!(!says_how_much(words), "{words}");
        }
    }

    #[test]
    fn what_is_missing_is_asked_for() {
        for (words, part) in [
            ("chili", "How deep is it, or how much is it? A weight is enough: `chili, 1 kg`"),
            ("1/2 in", "no food"),
            ("beef, cubes", "How large"),
            ("beef, 10 mm, 12 mm", "second depth"),
            ("beef, 10 mm cubes, slices", "cubes or slices"),
            ("chili, 1/2 furlong", "1/2 furlong"),
            ("chili, 1,200 g", "`1`"),
            ("chili, 99 trays, 1 in", "number of trays"),
        ] {
            let refused = sheet(&[words.to_string()], &Wishes::default()).unwrap_err().to_string();
            assert!(refused.contains(part) && !refused.contains("?."), "{words}: {refused}");
        }
    }
}
