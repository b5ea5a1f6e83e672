//! The file a sheet is kept in, and the others of the folder.

use maud::{Markup, PreEscaped, html};
use qrcode::QrCode;
use qrcode::render::svg;

use crate::State;
use crate::view::parts::link_of;
use icefront_kitchen::Failure;

/// What the form says of the file the sheet is kept in.
pub fn kept_in(state: &State) -> Markup {
    html! {
        input #version type="hidden" name="version" value=(state.version);
        input #opened type="hidden" name="opened" value=(state.request.opened);
        // a name that is typed, under More, comes after it and counts
        input #file-name type="hidden" name="file" value=(state.request.file);
    }
}

/// Where the sheet is kept, and the button to keep it.
pub fn keep(state: &State) -> Markup {
    html! {
        div #file {
            div.field {
                label for="f.file" { "File" }
                input id="f.file" form="load" name="file" value=(state.request.file) placeholder="my load.toml" aria-describedby="h.file" data-quiet;
            }
            p.buttons { button.main form="load" name="do" value="save" { "Save" } }
            (hint(state))
        }
    }
}

/// Whether it is saved, in a word.
pub fn saved(state: &State) -> Markup {
    let words = match (state.version.is_empty(), state.changed()) {
        (false, false) => "saved",
        (false, true) => "changes not saved",
        (true, _) => "",
    };
    html! { span.hint #saved { (words) } }
}

/// Whether the sheet is as it is in its file.
pub fn hint(state: &State) -> Markup {
    let kept = match (state.version.is_empty(), state.changed()) {
        (true, _) => "Not saved yet.",
        (false, true) if state.request.file != state.request.opened => "Not saved yet under this name.",
        (false, true) => "Not saved: it is not as it is in the file.",
        (false, false) => "As it is in the file.",
    };
    html! { p.hint id="h.file" { (kept) " An existing file is never overwritten unless you say so." } }
}

/// Shown by the script where it puts back what was set before and not saved.
pub fn kept() -> Markup {
    html! {
        section.notice.calm #kept hidden {
            p { "What you set before and did not save is shown again." }
            p.buttons { button #drop type="button" { "Show the sheet as it was opened" } }
        }
    }
}

/// What came of saving, where it did not work.
pub fn saving(state: &State) -> Markup {
    let Some(Err(failure)) = &state.saving else { return html! {} };
    let name = &state.request.file;
    html! {
        section.notice role="alert" {
            h2 { "Not saved" }
            @match failure {
                Failure::Exists { .. } => p { "A file " code { (name) } " already exists." },
                other => p { (other) "." },
            }
            p { "Nothing is lost: the form below still holds what you set." }
            @if let Some(theirs) = &state.theirs {
                ul {
                    li { "Save under another name: change it under More." }
                    li { a href=(link_of(name)) target="_blank" rel="noopener" {
                        "Look at the file as it is now" } " in another window." }
                }
                // part of the form below, so that what is set there meanwhile is saved too
                input type="hidden" form="load" name="theirs" value=(theirs);
                p.buttons { button form="load" name="do" value="replace" { "Replace it with what is below" } }
            }
        }
    }
}

/// Sheets to open, and the way in for others.
pub fn sheets(state: &State, link: Option<&str>) -> Markup {
    let listing = &state.listing;
    html! {
        section #sheets {
            h2 { "Open" }
            ul {
                @for name in &listing.sheets { li { a href=(link_of(name)) { (name) } } }
                li { a href="/new" { "A new sheet" } }
                li { a href="/demonstration" { "The demonstration" } " (invented)" }
            }
            @if let Some(link) = link { (share(link)) }
        }
    }
}

fn share(link: &str) -> Markup {
    let code = QrCode::new(link).map(|code| code.render::<svg::Color<'_>>().min_dimensions(180, 180).build());
    html! {
        details {
            summary { h3 { "Another phone or tablet" } }
            p { "Whoever has this link can read and change the sheets of this folder. It is for a home network of your own, "
                "and is not encrypted." }
            p { code { (link) } }
            @if let Ok(code) = code { figure.code role="img" aria-label="The link as a QR code" { (PreEscaped(code)) } }
        }
    }
}
