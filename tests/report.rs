//! The page that `icefront report` writes: what it holds, that the user's words are escaped, that it says what `plan`
//! says. In a browser and by a validator where these are installed: `chromium` on the path, and the npm packages
//! `html-validate` and `axe-core` in the folder named by `ICEFRONT_NODE_MODULES`. Else those tests say so and pass.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use tempfile::TempDir;

const NASTY: &str = "<script>alert('soup')</script> & \"co\"";

fn icefront(folder: &Path, arguments: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_icefront")).args(arguments).current_dir(folder).output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

/// A folder with the page of the demonstration, and the page.
fn demonstration() -> (TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    icefront(folder.path(), &["report", "--draws", "64"]);
    let page = std::fs::read_to_string(folder.path().join("report.html")).unwrap();
    (folder, page)
}

/// The words of a page, without its tags, drawings and style.
fn words(page: &str) -> String {
    let body = page.split_once("<body>").unwrap().1;
    let mut text = String::new();
    for (index, part) in body.split("<svg").enumerate() {
        let part = if index == 0 { part } else { part.split_once("</svg>").unwrap().1 };
        for piece in part.split('<') {
            text.push_str(piece.split_once('>').map_or(piece, |(_, words)| words));
            text.push(' ');
        }
    }
    one_line(&text.replace("&quot;", "\"").replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&"))
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_page_holds_every_part_in_order_and_needs_nothing_else() {
    let (_folder, page) = demonstration();
    let parts = [
        "<html lang=\"en\">",
        "<h1>Freeze-drying plan</h1>",
        "Ready in about ",
        "<h2>Loading plan</h2>",
        "<h2>Times</h2>",
        "<h2>Checklist for the run</h2>",
        "<h2>Bill</h2>",
        "<h2>Cautions</h2>",
        "<h2>Details</h2>",
    ];
    let mut from = 0;
    for part in parts {
        from += page[from..].find(part).unwrap_or_else(|| panic!("`{part}` is missing or out of order"));
    }
    // batch, power, worth of measurements, drying, machine, six trays and the map of each one's food but the peas', which have none of the texture limits
    assert_eq!(page.matches("<svg").count(), 17);
    assert_eq!(page.matches("role=\"img\"").count(), 17, "every chart is an image with a title");
    for foreign in ["<script", "<link", "<img", "url(", "@import", "src=", "href="] {
        assert!(!page.contains(foreign), "`{foreign}` reaches out of the page");
    }
    // the only address is the name of the SVG standard
    assert_eq!(
        page.matches("http").count(),
        page.matches("http://www.w3.org/2000/svg").count() + page.matches("http-equiv").count()
    );
    assert!(page.len() < 1_000_000, "{} bytes", page.len());
}

#[test]
fn the_page_says_what_plan_says() {
    let (folder, page) = demonstration();
    let (page, plain) =
        (words(&page), icefront(folder.path(), &["plan", "--demo", "--details", "--plain", "--draws", "64"]));
    // rows of tables are shorter
    let sentences =
        plain.lines().filter(|line| line.len() > 90 && line.contains(". ") && !line.contains("Foods taken"));
    let mut compared = 0;
    for line in sentences {
        let line = one_line(line.split_once(": ").filter(|(label, _)| label.len() < 16).map_or(line, |(_, rest)| rest));
        // the answer stands in two places on the page
        if !line.starts_with("Ready in about") {
            // a sentence may begin with a capital there
            assert!(page.contains(&line[1..]), "the page lacks: {line}");
            compared += 1;
        }
    }
    assert!(compared > 8, "{compared} sentences compared");
}

#[test]
fn names_of_the_users_are_words_never_tags() {
    let folder = tempfile::tempdir().unwrap();
    let sheet = format!(
        "icefront = 1\ndryer = \"0.36 m2\"\n[tariff]\nprice_per_kwh = 0.3\ncurrency = '{0}'\n[[tray]]\nname = '''{1}'''\n\
         food = \"apple\"\nshape = \"layer\"\ndepth = \"8 mm\"\n",
        "<b>EUR</b>", NASTY
    );
    std::fs::write(folder.path().join("load.toml"), sheet).unwrap();
    icefront(folder.path(), &["report", "load.toml", "--draws", "0"]);
    let page = std::fs::read_to_string(folder.path().join("report.html")).unwrap();
    assert!(!page.contains("<script") && !page.contains("<b>"), "a name became a tag");
    assert!(words(&page).contains(NASTY) && words(&page).contains("<b>EUR</b>"));
}

#[test]
fn a_rig_has_a_page_without_a_bill() {
    let folder = tempfile::tempdir().unwrap();
    let sheet = "icefront = 1\n[rig]\nshelf = \"20 C\"\nvapour_pressure = \"40 Pa\"\n[before_loading]\nmethod = \"already frozen\"\ntemperature = \"-25 C\"\n\
                 [[tray]]\nfood = \"apple\"\nshape = \"layer\"\ndepth = \"8 mm\"\narea = \"0.1 m2\"\n";
    std::fs::write(folder.path().join("load.toml"), sheet).unwrap();
    icefront(folder.path(), &["report", "load.toml", "--draws", "0"]);
    let page = std::fs::read_to_string(folder.path().join("report.html")).unwrap();
    assert!(!page.contains("<h2>Bill</h2>") && page.contains("<h2>Checklist for the run</h2>"));
}

#[test]
fn a_page_that_is_there_stays() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("report.html"), "mine").unwrap();
    let mut command = Command::new(env!("CARGO_BIN_EXE_icefront"));
    let output = command.args(["report", "--draws", "0"]).current_dir(folder.path()).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(std::fs::read_to_string(folder.path().join("report.html")).unwrap(), "mine");
}

/// The browser run without a window; `None`, with a word on stderr, where there is none.
fn browser(folder: &Path, arguments: &[&str], page: &str) -> Option<Output> {
    let base = ["--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--no-first-run"];
    let profile = format!("--user-data-dir={}", folder.join("profile").display());
    let address = format!("file://{}", folder.join(page).display());
    let run = Command::new("chromium").args(base).args(arguments).args([&profile, &address]).output();
    if run.is_err() {
        eprintln!("skipped: there is no `chromium` on the path");
    }
    run.ok()
}

/// The page with a script that writes what it finds into the page; the page itself allows none.
fn asked(page: &str, script: &str) -> String {
    let (head, rest) = page.split_once("<meta http-equiv").unwrap();
    let rest = rest.split_once('>').unwrap().1;
    format!("{head}{}", rest.replace("</body>", &format!("<pre id=\"found\"></pre><script>{script}</script></body>")))
}

fn found(output: &Output) -> String {
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let (_, found) = text.split_once("<pre id=\"found\">").unwrap_or_else(|| panic!("no answer in {text:.300}"));
    found.split_once("</pre>").unwrap().0.to_string()
}

#[test]
fn in_a_browser_nothing_sticks_out_on_phone_or_desk() {
    let (folder, page) = demonstration();
    let script = "document.getElementById('found').textContent = document.documentElement.scrollWidth - innerWidth;";
    std::fs::write(folder.path().join("asked.html"), asked(&page, script)).unwrap();
    // a browser without a window is never narrower than 500 px: a frame makes it a phone
    for width in [360, 1000] {
        let frame = format!(
            "<iframe id=\"phone\" src=\"asked.html\" style=\"width:{width}px;height:700px\"></iframe><pre id=\"found\"></pre>\
             <script>onload = () => {{ const page = document.getElementById('phone').contentDocument;\
             document.getElementById('found').textContent = page.getElementById('found').textContent; }}</script>"
        );
        std::fs::write(folder.path().join("frame.html"), frame).unwrap();
        let arguments = ["--allow-file-access-from-files", "--dump-dom"];
        let Some(output) = browser(folder.path(), &arguments, "frame.html") else { return };
        let over: f64 = found(&output).parse().unwrap();
        assert!(over <= 0.0, "{over} px stick out at {width} px");
    }
}

#[test]
fn in_a_browser_it_prints() {
    let (folder, _) = demonstration();
    let target = folder.path().join("report.pdf");
    let print = format!("--print-to-pdf={}", target.display());
    if browser(folder.path(), &[&print], "report.html").is_none() {
        return;
    }
    let pdf = std::fs::read(target).unwrap();
    let pages = String::from_utf8_lossy(&pdf).matches("/Type /Page\n").count();
    assert!(pdf.starts_with(b"%PDF") && (4..=20).contains(&pages), "{pages} pages");
}

/// The folder of the npm packages; `None`, with a word on stderr, where it is not told.
fn node_modules() -> Option<PathBuf> {
    let folder = std::env::var_os("ICEFRONT_NODE_MODULES").map(PathBuf::from);
    if folder.is_none() {
        eprintln!("skipped: ICEFRONT_NODE_MODULES names no folder with html-validate and axe-core");
    }
    folder
}

#[test]
fn a_validator_finds_no_error() {
    let Some(modules) = node_modules() else { return };
    let (folder, _) = demonstration();
    // long titles in drawings, and our way of writing void tags and entities, are no errors
    let rules = r#"{"root": true, "extends": ["html-validate:standard", "html-validate:a11y"], "rules": {
        "long-title": "off", "no-inline-style": "off", "void-style": "off", "no-raw-characters": "off", "doctype-style": "off"}}"#;
    std::fs::write(folder.path().join(".htmlvalidate.json"), rules).unwrap();
    let program = modules.join(".bin/html-validate");
    let output = Command::new(program).arg("report.html").current_dir(folder.path()).output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stdout));
}

#[test]
fn an_accessibility_check_finds_no_fault() {
    let Some(modules) = node_modules() else { return };
    let (folder, page) = demonstration();
    let axe = std::fs::read_to_string(modules.join("axe-core/axe.min.js")).unwrap();
    let script = "axe.run().then(r => { document.getElementById('found').textContent = 'faults ' + r.violations.length + ' ' + \
                  r.violations.map(v => v.id + ': ' + v.nodes.map(n => n.target).join(' ')).join('; ') + ' passes ' + r.passes.length; });";
    std::fs::write(folder.path().join("axe.js"), axe).unwrap();
    let with_axe = asked(&page, script).replace("<script>axe", "<script src=\"axe.js\"></script><script>axe");
    std::fs::write(folder.path().join("asked.html"), with_axe).unwrap();
    let arguments = ["--allow-file-access-from-files", "--virtual-time-budget=60000", "--dump-dom"];
    let Some(output) = browser(folder.path(), &arguments, "asked.html") else { return };
    let found = found(&output);
    assert!(found.starts_with("faults 0 "), "{found}");
    let passes: usize = found.rsplit(' ').next().unwrap().parse().unwrap();
    assert!(passes > 15, "the check looked at little: {found}");
}
