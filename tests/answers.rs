//! `docs/json.md` says what the types of the answers say, and names every key that an answer of the ledger has.
//! `ICEFRONT_DOCS=write cargo test -p icefront-cli --test program answers` rewrites it.
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests, not only test functions")]

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use icefront_kitchen::json;
use serde_json::Value;
use syn::{Attribute, Expr, Field, Item, Lit, Meta, Type, UseTree};

/// Commands with the type of their answer and the file it stands in.
const ANSWERS: [(&str, &str, &str); 15] = [
    ("plan", "Answer", "plan/answer.rs"),
    ("compare", "Comparison", "compare/answer.rs"),
    ("best", "Arrangement", "best/answer.rs"),
    ("explain", "Explanation", "explain/answer.rs"),
    ("prefreeze", "Prefreezing", "prefreeze/answer.rs"),
    ("update", "Update", "running/answer.rs"),
    ("dry", "Dry", "running/answer.rs"),
    ("learn", "Lesson", "learn/answer.rs"),
    ("pack", "Packing", "pack/packing.rs"),
    ("bill", "Bill", "bill/account.rs"),
    ("store list", "Left", "pantry/lots.rs"),
    ("store summary", "Summary", "pantry/lots.rs"),
    ("foods", "Foods", "catalogue.rs"),
    ("dryers", "Dryers", "catalogue.rs"),
    ("evidence", "Table", "evidence/mod.rs"),
];

/// Types that the introduction describes: the file and name of each, the word for it, its keys.
const GROUPS: [(&str, &str, &str, &[&str]); 4] = [
    ("json.rs", "Predicted", "predicted", &["low", "median", "high", "typical_run"]),
    ("ranges/outcome.rs", "Quantiles", "drawn", &["low", "median", "high"]),
    ("pack/band.rs", "RunBand", "run in band", &["low", "typical_run", "high"]),
    ("food/class.rs", "Band", "band", &["low", "typical", "high"]),
];

const INTRODUCTION: &str = "# JSON

One JSON object on stdout, with `--json`. What cannot be done is an object on stderr instead: `error` says what is wrong,
`where` the place, `allowed` what to write instead, and `others` has further mistakes; the exit code is 2. This page is written from the types of the answers: `ICEFRONT_DOCS=write cargo test
-p icefront-cli --test program answers`.

Every answer begins with `schema`, a number that changes when a key is renamed or goes, and `icefront`, the version that
answered. The unit of a number stands in its key or in that of its group (`time_h`: all in hours): hours, kWh, degC, g or kg,
Pa, mm, ml; food energy in kJ, whatever units a sheet asks for: JSON is for programs. Numbers carry seven digits (those of `evidence` as many as they were published with). `null`
means not known, or never where the table says so; a number that is not known is never 0. Shares and chances go from 0 to 1.

Some values are groups of numbers:

| value | keys |
| --- | --- |
| predicted | `typical_run`: the run with the middle of every number; with samples also `low`, `median` and `high`: 1 sample in 10 is below `low`, half are below `median`, 1 in 10 is above `high`. Sums hold exactly for `typical_run` |
| drawn | `low`, `median`, `high` |
| run in band | `typical_run` between `low` and `high`, each passed by 1 sample in 10; without samples all three are equal |
| band | `typical` between `low` and `high`, as a table has them |

`icefront sweep` writes the answer of `plan` for each of its lines: [sweep.md](sweep.md). `plan --out DIR` also writes
`history.csv`: one row per time, with the unit in each column's name and a group of columns for each tray (`tray_1_front_c`
and `tray_1_front_warmest_c`: the coldest and the warmest ice front on the tray). A cell without a value is empty.
";

fn top() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// A parsed source file of core or kitchen.
struct Source {
    /// Such as `icefront_core::ranges`: crate and first module.
    module: String,
    path: PathBuf,
    file: syn::File,
}

fn sources() -> Vec<Source> {
    fn walk(folder: &Path, files: &mut Vec<PathBuf>) {
        for entry in fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
            if entry.is_dir() {
                walk(&entry, files);
            } else if entry.extension().is_some_and(|e| e == "rs") {
                files.push(entry);
            }
        }
    }
    let mut all = Vec::new();
    for krate in ["core", "kitchen"] {
        let root = top().join(format!("crates/icefront-{krate}/src"));
        let mut files = Vec::new();
        walk(&root, &mut files);
        files.sort();
        for path in files {
            let first = path.strip_prefix(&root).unwrap().components().next().unwrap().as_os_str().to_str().unwrap();
            let module = format!("icefront_{krate}::{}", first.trim_end_matches(".rs"));
            let file = syn::parse_file(&fs::read_to_string(&path).unwrap()).unwrap();
            all.push(Source { module, path, file });
        }
    }
    all
}

/// Text of the doc comment, up to the first blank line.
fn doc(attributes: &[Attribute]) -> String {
    let lines = attributes.iter().filter_map(|attribute| match &attribute.meta {
        Meta::NameValue(pair) if pair.path.is_ident("doc") => match &pair.value {
            Expr::Lit(text) => match &text.lit {
                Lit::Str(text) => Some(text.value().trim().to_string()),
                _ => None,
            },
            _ => None,
        },
        _ => None,
    });
    lines.take_while(|line| !line.is_empty()).collect::<Vec<_>>().join(" ")
}

/// Words for JSON: without the unit of the value in Rust.
fn plain(doc: &str) -> String {
    let units = [", s", ", K", ", J", ", m3", ", m", ", kg", ", kJ", ", g", ", ml", ", degC", ", h"];
    let mut text = doc.replace("`None`", "`null`");
    for unit in units {
        for end in [".", ";", ",", " at ", " after "] {
            text = text.replace(&format!("{unit}{end}"), end);
        }
    }
    text
}

/// What `#[serde(..)]` says: words, and words with a value.
fn serde(attributes: &[Attribute]) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    for attribute in attributes.iter().filter(|attribute| attribute.path().is_ident("serde")) {
        attribute
            .parse_nested_meta(|meta| {
                let value = if meta.input.peek(syn::Token![=]) {
                    meta.value()?.parse::<syn::LitStr>()?.value()
                } else {
                    String::new()
                };
                found.insert(meta.path.get_ident().unwrap().to_string(), value);
                Ok(())
            })
            .unwrap();
    }
    found
}

/// Name of a variant as it is serialised.
fn renamed(name: &str, rule: Option<&String>) -> String {
    let words = name.char_indices().fold(String::new(), |words, (i, c)| {
        let gap = if i > 0 && c.is_uppercase() { "_" } else { "" };
        words + gap + &c.to_lowercase().to_string()
    });
    match rule.map(String::as_str) {
        Some("snake_case") => words,
        Some("kebab-case") => words.replace('_', "-"),
        Some("lowercase") => words.replace('_', ""),
        _ => name.to_string(),
    }
}

/// One row of the page.
struct Row {
    key: String,
    value: String,
    unit: &'static str,
    what: String,
}

struct Page<'s> {
    sources: &'s [Source],
    rows: Vec<Row>,
}

impl<'s> Page<'s> {
    /// The item that a name means in a file: of that file, or of the module that it is imported from.
    fn find(&self, name: &str, from: &Source) -> Option<(&'s Source, &'s Item)> {
        fn imported(tree: &UseTree, name: &str, path: &mut Vec<String>) -> Option<(Vec<String>, String)> {
            match tree {
                UseTree::Path(inner) => {
                    path.push(inner.ident.to_string());
                    let found = imported(&inner.tree, name, path);
                    path.pop();
                    found
                }
                UseTree::Group(group) => group.items.iter().find_map(|tree| imported(tree, name, path)),
                UseTree::Name(last) if last.ident == name => Some((path.clone(), name.to_string())),
                UseTree::Rename(last) if last.rename == name => Some((path.clone(), last.ident.to_string())),
                _ => None,
            }
        }
        let of = |source: &'s Source, name: &str| {
            let named = |item: &&Item| match item {
                Item::Struct(item) => item.ident == name,
                Item::Enum(item) => item.ident == name,
                _ => false,
            };
            source.file.items.iter().find(named).map(|item| (source, item))
        };
        let here = self.sources.iter().find(|source| source.path == from.path)?;
        let own = crate_of(&from.module);
        let import = here.file.items.iter().find_map(|item| match item {
            Item::Use(item) => imported(&item.tree, name, &mut Vec::new()),
            _ => None,
        });
        of(here, name).or_else(|| {
            let (path, name) = import?;
            let module = match path[0].as_str() {
                "icefront_core" => path[..2].join("::"),
                "crate" => format!("{own}::{}", path.get(1)?),
                // a sibling, or a child that is re-exported
                _ => from.module.clone(),
            };
            let of_module = self.sources.iter().filter(|source| source.module == module);
            // what one module re-exports from another goes by a name of its own
            let of_crate = self.sources.iter().filter(|source| crate_of(&source.module) == crate_of(&module));
            of_module.chain(of_crate).find_map(|source| of(source, &name))
        })
    }

    /// Words of an enum, with what each means.
    fn words(&self, name: &str, from: &Source) -> Option<Vec<(String, String)>> {
        let (_, Item::Enum(item)) = self.find(name, from)? else { return None };
        let rule = serde(&item.attrs).remove("rename_all");
        let word = |variant: &syn::Variant| {
            let word = serde(&variant.attrs).remove("rename");
            (word.unwrap_or_else(|| renamed(&variant.ident.to_string(), rule.as_ref())), doc(&variant.attrs))
        };
        Some(item.variants.iter().map(word).filter(|(word, _)| !word.is_empty()).collect())
    }

    /// The group of the introduction that a type is.
    fn group(&self, name: &str, from: &Source) -> Option<&'static str> {
        let (source, item) = self.find(name, from)?;
        let Item::Struct(item) = item else { return None };
        let is = |(file, name, ..): &&(&str, &str, &str, &[&str])| source.path.ends_with(file) && item.ident == name;
        GROUPS.iter().find(is).map(|(_, _, word, _)| *word)
    }

    /// Rows of a struct under `place`, which is empty or ends with a point.
    fn add(&mut self, name: &str, from: &Source, place: &str, unit: &'static str) {
        let Some((source, Item::Struct(item))) = self.find(name, from) else {
            panic!("{place}: no struct {name} for {}", from.path.display())
        };
        for field in &item.fields {
            self.field(field, source, place, unit);
        }
    }

    fn field(&mut self, field: &Field, source: &Source, place: &str, unit: &'static str) {
        let mut said = serde(&field.attrs);
        if said.contains_key("skip") {
            return;
        }
        let ident = said.remove("rename").unwrap_or_else(|| field.ident.as_ref().unwrap().to_string());
        let unit = json::unit(&ident).map_or(unit, |unit| unit.name);
        let what = plain(&doc(&field.attrs));
        assert!(!what.is_empty(), "{}: {ident} has no words", source.path.display());
        if said.contains_key("flatten") {
            self.value(&field.ty, source, place.trim_end_matches('.'), unit, &what, true);
        } else {
            self.value(&field.ty, source, &format!("{place}{}", json::key(&ident)), unit, &what, false);
        }
    }

    fn row(&mut self, key: &str, value: &str, unit: &'static str, what: &str) {
        let (key, value, what) = (key.to_string(), value.to_string(), what.to_string());
        self.rows.push(Row { key, value, unit, what });
    }

    fn value(&mut self, kind: &Type, source: &Source, key: &str, unit: &'static str, what: &str, flat: bool) {
        match kind {
            Type::Reference(inner) => return self.value(&inner.elem, source, key, unit, what, flat),
            Type::Slice(inner) => return self.value(&inner.elem, source, &format!("{key}[]"), unit, what, false),
            Type::Array(inner) => return self.value(&inner.elem, source, &format!("{key}[]"), unit, what, false),
            _ => {}
        }
        let Type::Path(path) = kind else { panic!("{key}: a type that is not known") };
        let last = path.path.segments.last().unwrap();
        let name = last.ident.to_string();
        let inner: Vec<&Type> = match &last.arguments {
            syn::PathArguments::AngleBracketed(list) => {
                let types = list.args.iter();
                types.filter_map(|a| if let syn::GenericArgument::Type(kind) = a { Some(kind) } else { None }).collect()
            }
            _ => Vec::new(),
        };
        let name_of = |kind: &Type| match kind {
            Type::Path(path) => path.path.segments.last().unwrap().ident.to_string(),
            _ => String::new(),
        };
        let group = self.group(&name, source);
        match (name.as_str(), &inner[..]) {
            ("Option", [inner]) => self.value(inner, source, key, unit, what, flat),
            ("Vec", [inner]) => self.value(inner, source, &format!("{key}[]"), unit, what, false),
            ("BTreeMap", [keys, inner]) => {
                let words = self.words(&name_of(keys), source).unwrap_or_else(|| vec![("*".into(), what.into())]);
                if !flat && words.len() > 1 {
                    self.row(key, "group", unit, what);
                }
                for (word, meaning) in words {
                    let key = if key.is_empty() { word } else { format!("{key}.{word}") };
                    self.value(inner, source, &key, unit, &meaning, false);
                }
            }
            ("ByStep", []) => {
                let falls = self.sources.iter().find(|source| source.path.ends_with("decide/falls.rs")).unwrap();
                self.row(key, "group", unit, what);
                for (word, meaning) in self.words("Step", falls).unwrap() {
                    self.row(&format!("{key}.{word}"), "number", unit, &meaning);
                }
            }
            ("f64", []) => self.row(key, "number", unit, what),
            ("usize" | "u32", []) => self.row(key, "whole number", unit, what),
            ("bool", []) => self.row(key, "`true` or `false`", unit, what),
            ("String" | "str", []) => self.row(key, "text", unit, what),
            ("Date", []) => self.row(key, "date", unit, what),
            _ if group.is_some() => self.row(key, group.unwrap(), unit, what),
            _ => match self.words(&name, source) {
                Some(words) => {
                    let words: Vec<String> = words.iter().map(|(word, _)| format!("`{word}`")).collect();
                    self.row(key, &words.join(", "), unit, what);
                }
                None => {
                    if !flat {
                        self.row(key, if key.ends_with("[]") { "list" } else { "group" }, unit, what);
                    }
                    let place = if key.is_empty() { String::new() } else { format!("{key}.") };
                    self.add(&name, source, &place, unit);
                }
            },
        }
    }
}

fn crate_of(module: &str) -> &str {
    module.split_once("::").unwrap().0
}

/// The page, and the keys of each command.
fn page() -> (String, BTreeMap<&'static str, BTreeSet<String>>) {
    let sources = sources();
    let mut text = INTRODUCTION.to_string();
    let mut keys = BTreeMap::new();
    for (command, name, file) in ANSWERS {
        let source = sources.iter().find(|source| source.path.ends_with(Path::new("icefront-kitchen/src").join(file)));
        let mut page = Page { sources: &sources, rows: Vec::new() };
        page.add(name, source.unwrap(), "", "");
        let _ = write!(
            text,
            "\n## `icefront {command}`\n\n| key | value | unit | what it is |\n| --- | --- | --- | --- |\n"
        );
        let mut own: BTreeSet<String> = ["schema", "icefront"].map(str::to_string).into();
        for row in &page.rows {
            let _ = writeln!(text, "| `{}` | {} | {} | {} |", row.key, row.value, row.unit, row.what);
            own.insert(row.key.clone());
            let inner = GROUPS.iter().filter(|(_, _, word, _)| *word == row.value).flat_map(|(.., inner)| inner.iter());
            own.extend(inner.map(|inner| format!("{}.{inner}", row.key)));
        }
        keys.insert(command, own);
    }
    (text, keys)
}

#[test]
fn the_page_of_the_docs_is_that_of_the_types() {
    let path = top().join("docs/json.md");
    let (text, _) = page();
    if std::env::var_os("ICEFRONT_DOCS").is_some_and(|wish| wish == "write") {
        fs::write(&path, &text).unwrap();
    }
    assert!(
        fs::read_to_string(&path).unwrap() == text,
        "docs/json.md is not what the types of the answers say: ICEFRONT_DOCS=write cargo test -p icefront-cli --test \
         program answers"
    );
}

/// Keys of an answer, lists as `[]`.
fn keys_of(value: &Value, place: &str, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(fields) => {
            for (key, inner) in fields {
                let key = if place.is_empty() { key.clone() } else { format!("{place}.{key}") };
                keys_of(inner, &key, found);
            }
        }
        Value::Array(items) => items.iter().for_each(|inner| keys_of(inner, &format!("{place}[]"), found)),
        _ => {
            found.insert(place.to_string());
        }
    }
}

/// Keys of an answer that the page does not name.
pub fn unnamed(command: &str, answer: &Value) -> Vec<String> {
    let (_, keys) = page();
    let named = &keys[command];
    let mut found = BTreeSet::new();
    keys_of(answer, "", &mut found);
    // keys that the cook chose may have points in them
    let any = |key: &str| named.iter().filter_map(|name| name.strip_suffix('*')).any(|group| key.starts_with(group));
    found.into_iter().filter(|key| !named.contains(key) && !any(key)).collect()
}
