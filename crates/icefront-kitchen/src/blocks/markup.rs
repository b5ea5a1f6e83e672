//! Parts of a report as HTML.

use maud::{Markup, html};

use crate::blocks::{List, Table, Words};
use crate::format::capital;

/// A paragraph; its label stands before it.
pub fn words(Words { label, text }: &Words) -> Markup {
    html! { p { @if !label.is_empty() { strong { (capital(label)) ": " } } (text) } }
}

/// Items of a list under its label.
pub fn list(list: &List) -> Markup {
    html! {
        p { strong { (capital(list.label)) ":" } }
        ul { @for item in &list.items { li { (item) } } }
    }
}

/// A table that scrolls on narrow screens, its notes below it.
pub fn table<Label: AsRef<str>>(table: &Table<Label>) -> Markup {
    let caption = format!("{}{}", capital(table.label.as_ref()), table.about);
    let class = |index: usize| table.columns.get(index).filter(|column| column.is_number).map(|_| "number");
    html! {
        section.wide tabindex="0" aria-label=(caption) {
            table {
                caption { (caption) }
                thead { tr {
                    @for (index, column) in table.columns.iter().enumerate() {
                        @if column.name.is_empty() { td {} } @else { th scope="col" class=[class(index)] { (column.name) } }
                     }
                } }
                tbody { @for row in &table.rows { tr {
                    @for (index, cell) in row.iter().enumerate() {
                        @if index == 0 { th scope="row" { (cell) } }
                        @else { td class=[class(index)] { (cell.replace('\n', ", ")) } }
                    }
                } } }
            }
        }
        @for note in &table.notes { p.note { (note) } }
    }
}
