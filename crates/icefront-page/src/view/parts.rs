//! Pieces that several views share.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::questions::Report;
use crate::view::{command, wrong};
use crate::{Request, State};

/// A whole page around its body.
pub fn frame(title: &str, body: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                meta name="theme-color" content="#f7f3ea" media="(prefers-color-scheme: light)";
                meta name="theme-color" content="#191714" media="(prefers-color-scheme: dark)";
                title { (title) " - icefront" }
                link rel="stylesheet" href="/page.css";
                link rel="icon" href="/icon.svg" type="image/svg+xml";
                link rel="manifest" href="/page.webmanifest";
                script src="/page.js" defer {}
            }
            body { (body) }
        }
    }
}

/// Where a sheet of the folder is shown.
pub fn link_of(name: &str) -> String {
    format!("/sheet/{}", in_link(name))
}

/// A name as a part of a link.
fn in_link(name: &str) -> String {
    let plain = |byte: &u8| byte.is_ascii_alphanumeric() || b"-_.".contains(byte);
    let escape = |byte: u8| if plain(&byte) { char::from(byte).to_string() } else { format!("%{byte:02X}") };
    name.bytes().map(escape).collect()
}

/// A chart of `icefront-plot`.
pub fn picture(title: &str, svg: &str) -> Markup {
    html! { figure { section.wide tabindex="0" aria-label=(title) { (PreEscaped(svg)) } } }
}

/// A button of the form of the sheet, wherever it stands.
pub fn button(act: &str, words: &str) -> Markup {
    html! { button form="load" name="do" value=(act) { (words) } }
}

/// The place under the button of a question, with its answer once there is one.
pub fn answer_of(state: &State, command: &str) -> Markup {
    let answer = state.report.as_ref().filter(|(asked, _)| *asked == command).map(|(_, report)| report);
    html! {
        div.answer id=(format!("r.{command}")) {
            @match answer {
                Some(Ok(report)) => (report_of(state, report)),
                Some(Err(failure)) => div role="alert" tabindex="-1" { (wrong::list("That cannot be done like this:", "", failure)) },
                None => {}
            }
        }
    }
}

fn report_of(state: &State, report: &Report) -> Markup {
    html! {
        article tabindex="-1" aria-label=(report.title) {
            h3 { (report.title) }
            @let (first, rest) = folded(&report.text.0);
            (PreEscaped(first))
            @if !rest.is_empty() { details { summary { "All of it, with what to watch out for" } (PreEscaped(rest)) } }
            div.labels[report.labels] { @for svg in &report.pictures { (picture(report.title, svg)) } }
            @if !report.arguments.is_empty() { (command::line(state, &report.arguments)) }
        }
    }
}

/// A report up to its first table, and the rest.
fn folded(text: &str) -> (&str, &str) {
    const TABLE_END: &str = "</section>";
    text.find(TABLE_END).map_or((text, ""), |at| text.split_at(at + TABLE_END.len()))
}

/// A field of a question, which belongs to the form of the sheet; nothing is sent while it is typed.
pub fn typed(request: &Request, name: &str, label: &str, usual: &str, hint: &str) -> Markup {
    let id_of_hint = format!("h.{name}");
    html! {
        div.field {
            label for=(name) { (label) }
            input id=(name) form="load" name=(name) value=(request.field(name)) placeholder=(usual) data-quiet
                aria-describedby=[(!hint.is_empty()).then_some(&id_of_hint)];
            @if !hint.is_empty() { p.hint id=(id_of_hint) { (hint) } }
        }
    }
}

/// A time of day.
pub fn time(request: &Request, name: &str, label: &str, usual: &str) -> Markup {
    html! {
        div.field.short {
            label for=(name) { (label) }
            input id=(name) form="load" name=(name) type="time" value=(request.field_or(name, usual)) data-quiet;
        }
    }
}

/// A day, as [`typed`].
pub fn day(request: &Request, name: &str, usual: &str) -> Markup {
    html! {
        div.field.short {
            label for=(name) { "Day" }
            input id=(name) form="load" name=(name) type="date" value=(request.field_or(name, usual)) data-quiet;
        }
    }
}

/// On or off, as [`typed`].
pub fn ticked(request: &Request, name: &str, label: &str) -> Markup {
    html! {
        div.field.tick {
            label { input id=(name) form="load" type="checkbox" name=(name) value="true" checked[request.is_on(name)] data-quiet; " " (label) }
        }
    }
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
