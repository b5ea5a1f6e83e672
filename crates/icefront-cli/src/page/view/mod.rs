//! A screen as HTML. Every text of the cook's is escaped by `maud`; every sentence on the run is `report`'s own.

mod answer;
mod command;
mod file;
mod form;
mod more;
mod night;
mod pantry;
mod run;
mod wrong;

use maud::{DOCTYPE, Markup, PreEscaped, html};

pub use pantry::pantry;

use crate::page::answer::Settings;
use crate::page::screen::Screen;

/// A screen with what the page is.
#[derive(Clone, Copy, Debug)]
pub struct Shown<'a> {
    /// The screen.
    pub screen: &'a Screen,
    /// Draws and seed.
    pub settings: Settings,
    /// The link others may use.
    pub link: Option<&'a str>,
}

/// The whole page.
pub fn page(shown: &Shown<'_>) -> Markup {
    let screen = shown.screen;
    let title = if screen.file.is_empty() { "a load that is not saved" } else { &screen.file };
    frame(
        title,
        &html! {
            header {
                p.name { "icefront" }
                nav aria-label="Parts of this page" {
                    a href="#load" { "Food and trays" }
                    a href="#answer" { "Answer" }
                    a href="#why" { "Why" }
                    a href="#more" { "Ask more" }
                    a href="#night" { "Freezing" }
                    a href="#run" { "Run" }
                    a href="#after" { "Afterwards" }
                    a href="#text" { "As text" }
                    a href="#sheets" { "Sheets" }
                }
            }
            main {
                h1 { (title) }
                div #saving-here { (file::saving(screen)) }
                (file::kept())
                div.columns {
                    (form::form(screen))
                    div.beside role="region" aria-label="Answer" tabindex="0" {
                        (answer::not_current())
                        (answer::answer(shown))
                    }
                }
                (answer::why(screen))
                (more::more(screen))
                (form::text(screen))
                (file::sheets(shown))
            }
            a #now href="#answer" { (answer::now(screen)) }
            p #status role="status" {}
        },
    )
}

/// The parts that change while something is set; each goes where the one of its id stands.
pub fn parts(shown: &Shown<'_>, dragging: bool) -> Markup {
    let screen = shown.screen;
    html! {
        (answer::answer(shown))
        @if !dragging { (answer::why(screen)) (more::told(screen)) (run::readings(screen)) }
        @if screen.other_fields { (form::form(screen)) } @else { (form::hidden_sheet(screen)) (file::hint(screen)) }
        (form::text(screen))
        span #now-words { (answer::now(screen)) }
    }
}

/// A page that only says why there is nothing else.
pub fn refusal(words: &str) -> Markup {
    frame(
        "not here",
        &html! {
            header { p.name { "icefront" } }
            main {
                h1 { "That did not work" }
                p.wrong { (words) }
                p { a href="/" { "Back to the page" } }
            }
        },
    )
}

fn frame(title: &str, body: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) " - icefront" }
                link rel="stylesheet" href="/page.css";
                link rel="icon" href="data:,";
                script src="/page.js" defer {}
            }
            body { (body) }
        }
    }
}

/// A name as a part of a link.
pub fn in_link(name: &str) -> String {
    let plain = |byte: &u8| byte.is_ascii_alphanumeric() || b"-_.".contains(byte);
    let escape = |byte: u8| if plain(&byte) { char::from(byte).to_string() } else { format!("%{byte:02X}") };
    name.bytes().map(escape).collect()
}

/// A chart of `icefront-plot`.
fn picture(title: &str, svg: &str) -> Markup {
    html! { figure { section.wide tabindex="0" aria-label=(title) { (PreEscaped(svg)) } } }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_in_a_link_has_no_path_and_no_query() {
        assert_eq!(in_link("my stew (2).toml"), "my%20stew%20%282%29.toml");
        assert_eq!(in_link("a/b?c#d"), "a%2Fb%3Fc%23d");
    }
}
