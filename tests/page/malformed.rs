//! Requests that no browser would send.

use super::client::{FEW, Page, SMALL, form};

#[test]
fn malformed_requests_end_in_an_answer_and_touch_nothing() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("load.toml"), SMALL).unwrap();
    let mut page = Page::start_in(folder, &FEW);
    let mut random = Random(20_260_101);
    for round in 0..600 {
        let (request, whole) = random.request(&page);
        // who promises more than comes must not keep this test waiting: it hangs up
        let answer = if whole { page.say_bytes(&request) } else { page.say_and_hang_up(&request) };
        if let Some(answer) = answer {
            let shown = String::from_utf8_lossy(&request).into_owned();
            assert!(answer.status < 500 || answer.status == 503, "round {round}: {} to {shown}", answer.status);
            assert!(!answer.body.contains("root:"), "round {round}: {shown}");
        }
        assert!(page.lives(), "round {round}");
    }
    assert_eq!(page.read("load.toml"), SMALL);
    for entry in std::fs::read_dir(page.folder.path()).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(name.ends_with(".toml"), "{name}");
    }
}

/// Bytes that mean something to TOML, and some that do not.
const ODD: &[u8] = b" \n\"=[].#0aZ-\\'{";

/// Numbers that look random and are the same each time (SplitMix64, Steele et al. 2014, doi:10.1145/2660193.2660195).
struct Random(u64);

impl Random {
    fn next(&mut self, below: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) % below as u64) as usize
    }

    fn of<'a>(&mut self, list: &[&'a str]) -> &'a str {
        list[self.next(list.len())]
    }

    /// A request that is nearly right, with some bytes changed, dropped or doubled.
    fn request(&mut self, page: &Page) -> (Vec<u8>, bool) {
        let method = self.of(&["GET", "POST", "POST", "POST", "HEAD", "PUT", "OPTIONS", "", "G\u{0}T"]);
        let path = self.of(&[
            "/",
            "/plan",
            "/live",
            "/json",
            "/sheet/load.toml",
            "/sheet/",
            "/sheet/../../etc/passwd",
            "/sheet/%2e%2e%2fetc%2fpasswd",
            "//etc/passwd",
            "/sheet/%ff%fe.toml",
            "/?token=%00",
            "*",
            "http://[::1",
            "/page.js?x=%",
        ]);
        let sheet = self.sheet();
        let place = self.of(&[
            "tray.0.depth",
            "tray.4294967296.depth",
            "tray.-1.x",
            "room",
            "..",
            "end.moisture",
            "tray.0.fat",
            "",
        ]);
        let value = self.of(&[
            "1e999 mm",
            "-0 mm",
            "NaN C",
            "\u{202e}12 mm",
            "999999999999999999999",
            "\"\"\"",
            "",
            "0.0000001 %",
            "~",
            "1..2 mm",
        ]);
        let act =
            self.of(&["save", "replace", "add", "remove.0", "up.18446744073709551615", "down.0", "answer", "\r\n"]);
        let file = self.of(&["../x.toml", "x.toml", "/etc/passwd", "load.toml", "a\u{0}b.toml", ""]);
        let body =
            form(&[("sheet", &sheet), (place, value), ("do", act), ("file", file), ("version", "0"), ("pace", "drag")]);
        let told = self.of(&["", "", "", "0", "-1", "99999999999999999999", "x"]);
        let length = if told.is_empty() { body.len().to_string() } else { told.to_string() };
        let head = format!(
            "{method} {path} HTTP/1.1\r\nHost: {0}\r\nOrigin: http://{0}\r\nConnection: close\r\n\
             Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {length}\r\n\r\n{body}",
            page.address
        );
        let mut bytes = head.into_bytes();
        let changes = self.next(4);
        for _ in 0..changes {
            let at = self.next(bytes.len());
            match self.next(4) {
                0 => bytes[at] = self.next(256) as u8,
                1 => drop(bytes.remove(at)),
                2 => bytes.insert(at, self.next(256) as u8),
                _ => bytes.truncate(at.max(1)),
            }
            if bytes.is_empty() {
                bytes.push(b'G');
            }
        }
        (bytes, changes == 0 && told.is_empty())
    }

    /// A sheet with some of its bytes changed.
    fn sheet(&mut self) -> String {
        let mut bytes = SMALL.as_bytes().to_vec();
        for _ in 0..self.next(6) {
            let at = self.next(bytes.len());
            bytes[at] = ODD[self.next(ODD.len())];
        }
        String::from_utf8_lossy(&bytes).into_owned()
    }
}
