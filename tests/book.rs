//! The book and all other pages: links lead to what is there, chapters stand in the contents once, commands work.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use pulldown_cmark::{CodeBlockKind, Event, Options, Parser, Tag, TagEnd};

use crate::program::{TWO_LAYERS, kitchen};

/// The top of the sources.
fn top() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").canonicalize().unwrap()
}

/// Adds the Markdown files of a folder and of those below it, by their paths from the top; links are not followed.
fn add_pages(folder: &Path, pages: &mut BTreeMap<PathBuf, Page>) {
    for entry in fs::read_dir(top().join(folder)).unwrap().map(Result::unwrap) {
        let path = folder.join(entry.file_name());
        // what is built, what others wrote, and pieces of pages
        let aside = ["target", "node_modules", "src"].iter().any(|name| path.ends_with(name))
            || entry.file_name().to_string_lossy().starts_with('.');
        if entry.file_type().unwrap().is_dir() && !aside {
            add_pages(&path, pages);
        } else if entry.file_type().unwrap().is_file() && path.extension().is_some_and(|e| e == "md") {
            let page = Page::of(&fs::read_to_string(top().join(&path)).unwrap());
            pages.insert(path, page);
        }
    }
}

fn pages() -> BTreeMap<PathBuf, Page> {
    let mut pages = BTreeMap::new();
    add_pages(Path::new(""), &mut pages);
    pages
}

/// What a page links to, may be linked at, and shows.
#[derive(Default)]
struct Page {
    links: Vec<String>,
    headings: BTreeSet<String>,
    shell: Vec<String>,
    code: Vec<String>,
}

impl Page {
    fn of(text: &str) -> Self {
        let mut page = Self::default();
        let (mut heading, mut shell) = (None::<String>, None::<String>);
        for event in Parser::new_ext(text, Options::ENABLE_TABLES) {
            match event {
                Event::Start(Tag::Link { dest_url, .. } | Tag::Image { dest_url, .. }) => {
                    page.links.push(dest_url.to_string());
                }
                Event::Start(Tag::Heading { .. }) => heading = Some(String::new()),
                Event::End(TagEnd::Heading(_)) => page.add_heading(&heading.take().unwrap()),
                Event::Start(Tag::CodeBlock(CodeBlockKind::Fenced(kind))) if &*kind == "sh" => {
                    shell = Some(String::new())
                }
                Event::End(TagEnd::CodeBlock) => page.shell.extend(shell.take()),
                Event::Text(text) => {
                    heading.iter_mut().chain(&mut shell).for_each(|open| open.push_str(&text));
                }
                Event::Code(code) => {
                    heading.iter_mut().for_each(|open| open.push_str(&code));
                    page.code.push(code.to_string());
                }
                _ => {}
            }
        }
        page
    }

    /// Its name in a link, as mdBook and most others make it.
    fn add_heading(&mut self, text: &str) {
        let kept = text.chars().filter(|c| c.is_alphanumeric() || " -_".contains(*c));
        let name: String = kept.map(|c| if c == ' ' { '-' } else { c }).collect::<String>().to_lowercase();
        let again = (1..).map(|n| format!("{name}-{n}"));
        let name = std::iter::once(name.clone()).chain(again).find(|name| !self.headings.contains(name)).unwrap();
        self.headings.insert(name);
    }
}

/// A path without `..` and `.` in it.
fn plain(path: &Path) -> PathBuf {
    let mut plain = PathBuf::new();
    for part in path.components() {
        match part {
            std::path::Component::ParentDir => assert!(plain.pop(), "{} leaves the sources", path.display()),
            std::path::Component::CurDir => {}
            part => plain.push(part),
        }
    }
    plain
}

#[test]
fn every_link_leads_to_a_file_and_a_heading_that_are_there() {
    let pages = pages();
    let mut checked = 0;
    let mut bad = Vec::new();
    for (path, page) in &pages {
        for link in page.links.iter().filter(|link| !link.contains("://") && !link.starts_with("mailto:")) {
            checked += 1;
            let (file, heading) = link.split_once('#').map_or((link.as_str(), None), |(file, h)| (file, Some(h)));
            let target = match file {
                "" => path.clone(),
                file => plain(&path.parent().unwrap().join(file)),
            };
            let there = top().join(&target).exists();
            let found = heading.is_none_or(|h| pages.get(&target).is_some_and(|page| page.headings.contains(h)));
            // the book holds nothing but what stands in docs
            let in_the_book = !path.starts_with("docs") || target.starts_with("docs");
            if !(there && found && in_the_book) {
                bad.push(format!("{}: {link}", path.display()));
            }
        }
    }
    assert!(bad.is_empty(), "links that lead nowhere, or out of the book: {bad:#?}");
    assert!(checked > 100, "only {checked} links");
}

#[test]
fn every_document_is_a_chapter_once() {
    let pages = pages();
    let contents = &pages[Path::new("docs/SUMMARY.md")].links;
    let chapters: BTreeSet<PathBuf> = contents.iter().map(|link| Path::new("docs").join(link)).collect();
    assert_eq!(chapters.len(), contents.len(), "a chapter stands twice in docs/SUMMARY.md");
    let documents = pages.into_keys().filter(|path| path.starts_with("docs") && !path.ends_with("SUMMARY.md"));
    assert_eq!(chapters, documents.collect(), "chapters of docs/SUMMARY.md, and files of docs");
}

/// Runs each block of commands as it stands, page by page, in a kitchen that has the files they name.
#[cfg(unix)]
#[test]
fn commands_of_the_book_work() {
    let program = Path::new(env!("CARGO_BIN_EXE_icefront")).parent().unwrap();
    let search = format!("{}:{}", program.display(), std::env::var("PATH").unwrap());
    let mut blocks = 0;
    for (path, page) in pages() {
        // a page serves until it is stopped; the gallery is written by running its commands
        if !path.starts_with("docs") || path.ends_with("page.md") || path.ends_with("gallery.md") {
            continue;
        }
        let sheet = TWO_LAYERS.replace("already frozen", "in machine");
        let folder = kitchen(&sheet);
        for name in ["stew.toml", "stew-in-bricks.toml"] {
            fs::write(folder.path().join(name), &sheet).unwrap();
        }
        std::os::unix::fs::symlink(top().join("data"), folder.path().join("data")).unwrap();
        let of_icefront = |block: &&String| block.contains("icefront ") && !block.contains("cargo ");
        for block in page.shell.iter().filter(of_icefront).filter(|block| !block.contains("pip ")) {
            blocks += 1;
            let mut shell = Command::new("sh");
            shell.args(["-e", "-c", block]).env("PATH", &search).current_dir(folder.path());
            let output = shell.output().unwrap();
            assert!(output.status.success(), "{}: {block}{}", path.display(), String::from_utf8_lossy(&output.stderr));
        }
    }
    assert!(blocks >= 8, "only {blocks} blocks of commands");
}

/// A command in running text is not run, but it and its options exist.
#[test]
fn commands_named_in_the_text_exist() {
    let help = |words: &[&str]| {
        let output = Command::new(env!("CARGO_BIN_EXE_icefront")).args(words).arg("--help").output().unwrap();
        output.status.success().then(|| String::from_utf8(output.stdout).unwrap())
    };
    let mut helps = BTreeMap::new();
    let mut bad = Vec::new();
    let shown = |path: &Path| path.starts_with("docs") || path == Path::new("README.md");
    for (path, page) in pages().into_iter().filter(|(path, _)| shown(path)) {
        for code in page.code.iter().filter_map(|code| code.strip_prefix("icefront ")) {
            let words: Vec<&str> = code.split_whitespace().collect();
            if words[0].starts_with('-') || ["COMMAND", "help", "="].contains(&words[0]) {
                continue;
            }
            let below =
                ["store", "shell"].contains(&words[0]) && words.get(1).is_some_and(|word| !word.starts_with('-'));
            let command: Vec<&str> = words[..1 + usize::from(below)].to_vec();
            let text = helps.entry(command.join(" ")).or_insert_with(|| help(&command));
            let known = text.as_ref().is_some_and(|text| {
                let mut options = words.iter().filter(|word| word.starts_with("--"));
                options.all(|word| text.contains(word.split(['=', ',', ';', '.', ')']).next().unwrap()))
            });
            if !known {
                bad.push(format!("{}: icefront {code}", path.display()));
            }
        }
    }
    assert!(bad.is_empty(), "no such command or option: {bad:#?}");
    assert!(helps.len() > 20, "only {} commands are named", helps.len());
}
