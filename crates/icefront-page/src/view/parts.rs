//! Pieces that several views share.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::Request;

/// A whole page around its body.
pub fn frame(title: &str, body: &Markup) -> Markup {
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
