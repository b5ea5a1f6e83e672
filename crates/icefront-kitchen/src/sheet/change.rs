//! Values put in place of those of a file before it is checked, so that a changed sheet meets the same checks and says
//! the same messages as one that was written so.

use std::borrow::Cow;
use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::sheet::schema::load::{BEFORE_LOADING, LOAD, TRAY};

/// One value and where it goes: names of tables and numbers of list entries (from 1), the key last.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// Such as `tray`, `2`, `depth`.
    pub path: Vec<String>,
    /// The value as TOML.
    pub value: String,
}

/// Tables that may be missing, and the word of their choice that then holds.
const USUAL: [(&str, &str); 2] = [("end", "wettest spot"), ("before_loading", "in machine")];

/// Keys of a tray that are dropped where `key` is put in.
pub fn give_way(key: &str) -> &'static [&'static str] {
    TRAY.row(key, None).map_or(&[], |row| row.instead_of)
}

/// Puts all changes into a table.
pub fn apply<'a>(table: &mut DeTable<'a>, changes: &'a [Change]) {
    for change in changes {
        if let Some((key, tables)) = change.path.split_last() {
            put(table, tables, key, &change.value, 0..0);
        }
    }
    // a method goes last: what it does not take may have come with another one
    for change in changes.iter().filter(|c| c.path.last().is_some_and(|key| key == "method")) {
        let tables = &change.path[..change.path.len() - 1];
        let Some(table) = tables.iter().try_fold(&mut *table, |table, step| inner(table.get_mut(step.as_str())?))
        else {
            continue;
        };
        settle_method(table);
    }
}

fn inner<'t, 'a>(value: &'t mut Spanned<DeValue<'a>>) -> Option<&'t mut DeTable<'a>> {
    match value.get_mut() {
        DeValue::Table(table) => Some(table),
        _ => None,
    }
}

fn settle_method(table: &mut DeTable<'_>) {
    let given = table.get("method").and_then(|m| m.get_ref().as_str()).unwrap_or("");
    let Some(method) = BEFORE_LOADING.word("method", given) else { return };
    for key in BEFORE_LOADING.names().into_iter().filter(|key| !BEFORE_LOADING.takes(key, method)) {
        table.remove(key);
    }
}

fn put<'a>(table: &mut DeTable<'a>, tables: &'a [String], key: &'a str, value: &'a str, span: Range<usize>) {
    let Some((first, rest)) = tables.split_first() else {
        return set(table, key, value, span);
    };
    if !table.contains_key(first.as_str()) {
        let mut new = DeTable::new();
        let choice = LOAD.inner(first).map_or("", |table| table.choice);
        if let Some((_, usual)) = USUAL.iter().find(|(known, _)| known == first) {
            let usual = DeValue::String(Cow::Borrowed(*usual));
            new.insert(name(choice, &span), Spanned::new(span.clone(), usual));
        }
        table.insert(name(first, &span), Spanned::new(span.clone(), DeValue::Table(new)));
    }
    let Some(next) = table.get_mut(first.as_str()) else { return };
    let next_span = next.span();
    match (next.get_mut(), rest.split_first()) {
        (DeValue::Table(inner), _) => put(inner, rest, key, value, next_span),
        (DeValue::Array(list), Some((number, rest))) => {
            let entry = number.parse::<usize>().ok().and_then(|n| list.get_mut(n.checked_sub(1)?));
            if let Some(entry) = entry {
                let entry_span = entry.span();
                if let DeValue::Table(inner) = entry.get_mut() {
                    put(inner, rest, key, value, entry_span);
                }
            }
        }
        _ => {}
    }
}

fn set<'a>(table: &mut DeTable<'a>, key: &'a str, value: &'a str, span: Range<usize>) {
    let span = table.get(key).map_or(span, Spanned::span);
    let Ok(parsed) = DeValue::parse(value) else { return };
    let same = table.get(key).is_some_and(|old| same(old.get_ref(), parsed.get_ref()));
    if !same {
        if table.contains_key("shape") {
            give_way(key).iter().for_each(|other| drop(table.remove(*other)));
        }
        // a temperature of frozen food is none of unfrozen food
        if key == "method" && [table.get(key).map(|m| m.get_ref()), Some(parsed.get_ref())].iter().any(is_frozen) {
            table.remove("temperature");
        }
    }
    table.insert(name(key, &span), Spanned::new(span, parsed.into_inner()));
}

fn is_frozen(method: &Option<&DeValue<'_>>) -> bool {
    method.and_then(DeValue::as_str) == Some("already frozen")
}

fn same(old: &DeValue<'_>, new: &DeValue<'_>) -> bool {
    old.as_str().is_some() && old.as_str() == new.as_str()
}

fn name<'a>(key: &'a str, span: &Range<usize>) -> Spanned<Cow<'a, str>> {
    Spanned::new(span.clone(), Cow::Borrowed(key))
}
