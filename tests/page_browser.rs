//! The kitchen page in a real browser: `tests/browser/page.test.mjs`, driven by Node. Skipped, with a message, where Node,
//! its packages (`npm ci` in tests/browser) or Chromium are not there.

use std::path::Path;
use std::process::Command;

use crate::page::client::Page;

const BROWSERS: [&str; 4] =
    ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome", "/snap/bin/chromium"];

#[test]
fn the_page_works_in_a_real_browser() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/browser");
    let Some(browser) = BROWSERS.iter().find(|path| Path::new(path).exists()) else {
        return eprintln!("skipped: no Chromium; `apt-get install chromium` brings it");
    };
    if !folder.join("node_modules").exists() || Command::new("node").arg("--version").output().is_err() {
        return eprintln!("skipped: no packages for Node; `npm ci` in tests/browser brings them");
    }
    let page = Page::start(&["--draws", "64"]);
    let mut command = Command::new("node");
    command.arg("page.test.mjs").arg(format!("http://{}", page.address)).arg(browser);
    // ICEFRONT_PICTURES=DIR keeps pictures of the page
    command.args(std::env::var_os("ICEFRONT_PICTURES")).current_dir(folder);
    let out = command.output().unwrap();
    let said = String::from_utf8_lossy(&out.stdout).into_owned() + &String::from_utf8_lossy(&out.stderr);
    println!("{said}");
    assert!(out.status.success(), "{said}");
}
