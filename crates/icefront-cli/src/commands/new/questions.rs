//! What `icefront new` asks on a terminal: six questions at most, each with an answer that Enter takes.

use icefront_kitchen::Failure;
use icefront_kitchen::quantity::Price;
use icefront_kitchen::sheet::dryer;
use icefront_kitchen::sheet::spoken::Wishes;

/// Someone who answers.
pub trait Cook {
    /// An answer in words. What `check` refuses is asked again, with the reason.
    fn words(&mut self, question: &str, usual: &str, check: &dyn Fn(&str) -> Result<(), String>) -> Answered<String>;

    /// One of several; the place of the one that is chosen.
    fn choose(&mut self, question: &str, among: &[&str], usual: usize) -> Answered<usize>;
}

/// An answer, or the reason why there is none.
pub type Answered<T> = Result<T, Failure>;

/// Trays where none is named.
const TRAYS: &str = "chili, 1/2 in; strawberries, sliced 1/4 in";
/// Price where none is known, as in the demonstration.
const PRICE: &str = "0.29 EUR";

/// Asks for trays, and for what `wishes` leaves open.
///
/// # Errors
/// Where the cook breaks off.
pub fn ask(cook: &mut dyn Cook, wishes: &mut Wishes) -> Answered<Vec<String>> {
    let known = wishes.clone();
    let is_right =
        |all: &[String], wishes: &Wishes| super::right(all, wishes).map(|_| ()).map_err(|failure| failure.to_string());
    let planned = |answer: &str| is_right(&trays(answer), &known);
    let question = "What goes on the trays, from the bottom? Food and size; a semicolon before the next tray";
    let mut all = trays(&cook.words(question, TRAYS, &planned)?);
    if !all.iter().all(|tray| tray.contains("frozen")) {
        let ways = ["fresh or chilled: the dryer freezes it", "already frozen"];
        if cook.choose("How does the food go in?", &ways, 0)? == 1 {
            all.iter_mut().filter(|tray| !tray.contains("frozen")).for_each(|tray| tray.push_str(", frozen"));
        }
    }
    if wishes.dryer.is_none() {
        let names: Vec<&str> = dryer::BUILT_IN.iter().map(|(name, _)| *name).collect();
        let chosen = cook.choose("Which dryer, by its shelf area? All are invented; take the nearest", &names, 0)?;
        wishes.dryer = names.get(chosen).map(ToString::to_string);
    }
    if wishes.room.is_none() {
        let is_room =
            |answer: &str| is_right(&trays(TRAYS), &Wishes { room: Some(answer.into()), ..Wishes::default() });
        wishes.room = Some(cook.words("How warm is the room?", "20 °C", &is_room)?);
    }
    if wishes.price_per_kwh.is_none() {
        let known = wishes.currency.clone();
        let read = |answer: &str| Price::read(answer, known.as_deref());
        let is_price = |answer: &str| read(answer).map(|_| ());
        if let Ok(price) = read(&cook.words("What does 1 kWh cost?", PRICE, &is_price)?) {
            (wishes.price_per_kwh, wishes.currency) = (Some(price.per_kwh), price.currency);
        }
    }
    if wishes.servings.is_none() {
        let is_count = |answer: &str| servings(answer).map(|_| ()).ok_or("write a number, such as 12".to_string());
        let answer = cook.words("How many servings is it? 0 leaves that out", "0", &is_count)?;
        wishes.servings = servings(&answer).filter(|count| *count > 0.0);
    }
    Ok(all)
}

/// The trays of an answer.
fn trays(answer: &str) -> Vec<String> {
    answer.split(';').map(str::trim).filter(|tray| !tray.is_empty()).map(String::from).collect()
}

fn servings(answer: &str) -> Option<f64> {
    answer.trim().parse::<f64>().ok().filter(|count| (0.0..=10_000.0).contains(count))
}

/// A cook at a terminal.
pub struct AtTerminal;

impl Cook for AtTerminal {
    fn words(&mut self, question: &str, usual: &str, check: &dyn Fn(&str) -> Result<(), String>) -> Answered<String> {
        dialoguer::Input::<String>::new()
            .with_prompt(question)
            .default(usual.into())
            .validate_with(|answer: &String| check(answer))
            .interact_text()
            .map_err(|error| broken_off(&error))
    }

    fn choose(&mut self, question: &str, among: &[&str], usual: usize) -> Answered<usize> {
        dialoguer::Select::new()
            .with_prompt(question)
            .items(among)
            .default(usual)
            .interact()
            .map_err(|error| broken_off(&error))
    }
}

fn broken_off(error: &dialoguer::Error) -> Failure {
    Failure::Output(format!("the questions were broken off ({error}); nothing was written"))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Answers in order; an empty one takes what is usual.
    struct Script(Vec<&'static str>, usize);

    impl Cook for Script {
        fn words(&mut self, _: &str, usual: &str, check: &dyn Fn(&str) -> Result<(), String>) -> Answered<String> {
            loop {
                self.1 += 1;
                let answer = Some(self.0.remove(0)).filter(|a| !a.is_empty()).unwrap_or(usual);
                if check(answer).is_ok() {
                    return Ok(answer.into());
                }
            }
        }

        fn choose(&mut self, _: &str, among: &[&str], usual: usize) -> Answered<usize> {
            self.1 += 1;
            let answer = self.0.remove(0);
            Ok(among.iter().position(|a| !answer.is_empty() && a.contains(answer)).unwrap_or(usual))
        }
    }

    #[test]
    fn enter_takes_what_is_usual_and_six_questions_are_enough() {
        let (mut cook, mut wishes) = (Script(vec![""; 6], 0), Wishes::default());
        let trays = ask(&mut cook, &mut wishes).unwrap();
        assert_eq!(cook.1, 6);
        assert_eq!(trays, ["chili, 1/2 in", "strawberries, sliced 1/4 in"]);
        assert_eq!((wishes.price_per_kwh, wishes.currency.as_deref()), (Some(0.29), Some("EUR")));
        assert_eq!((wishes.servings, wishes.room.as_deref()), (None, Some("20 °C")));
    }

    #[test]
    fn what_cannot_be_read_is_asked_again_and_what_is_known_is_not_asked() {
        let answers = vec!["xyzzy, 1 in", "raw chicken, 12 mm cubes", "already", "much", "$0,17", "six", "6"];
        let mut wishes = Wishes { dryer: Some("0.60 m2".into()), room: Some("68 °F".into()), ..Wishes::default() };
        let trays = ask(&mut Script(answers, 0), &mut wishes).unwrap();
        assert_eq!(trays, ["raw chicken, 12 mm cubes, frozen"]);
        assert_eq!((wishes.price_per_kwh, wishes.currency.as_deref()), (Some(0.17), Some("$")));
        assert_eq!(wishes.servings, Some(6.0));
    }
}
