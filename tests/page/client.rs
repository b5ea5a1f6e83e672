//! A page of its own for each test, and a plain HTTP client that can also say what no client should.
#![allow(dead_code)]

use std::io::{BufRead, BufReader, Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::path::Path;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::Duration;

use tempfile::TempDir;

/// Few draws: these tests ask for the same answer, not for a good one.
pub const FEW: [&str; 2] = ["--draws", "16"];
/// A sheet with remarks and one tray.
pub const SMALL: &str = "# mine\nicefront = 1\ndryer = \"0.36 m2\"\nroom = \"20 C\" # kitchen\n\n[[tray]]\n\
    food = \"cooked rice\"\nshape = \"layer\"\ndepth = \"8 mm\"\n";

/// A running page in a folder of its own; ended when dropped.
pub struct Page {
    child: Child,
    _out: BufReader<ChildStdout>,
    pub address: SocketAddr,
    /// The link it shows.
    pub link: String,
    pub folder: TempDir,
}

/// An answer.
#[derive(Debug)]
pub struct Answer {
    pub status: u16,
    pub head: String,
    pub body: String,
}

impl Page {
    /// Starts in an empty folder.
    pub fn start(arguments: &[&str]) -> Self {
        Self::start_in(tempfile::tempdir().unwrap(), arguments)
    }

    /// Starts in a folder.
    pub fn start_in(folder: TempDir, arguments: &[&str]) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_icefront"))
            .arg("page")
            .args(arguments)
            .current_dir(folder.path())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut out = BufReader::new(child.stdout.take().unwrap());
        let mut line = String::new();
        out.read_line(&mut line).unwrap();
        let link =
            line.trim().strip_prefix("icefront page: ").unwrap_or_else(|| panic!("no link in {line:?}")).to_string();
        let place = link.strip_prefix("http://").unwrap().split('/').next().unwrap();
        Self { child, _out: out, address: place.parse().unwrap(), link, folder }
    }

    /// What the program says in the same folder.
    pub fn icefront(&self, arguments: &[&str]) -> String {
        let mut command = Command::new(env!("CARGO_BIN_EXE_icefront"));
        let out = command.args(arguments).current_dir(self.folder.path()).output().unwrap();
        String::from_utf8(if out.status.success() { out.stdout } else { out.stderr }).unwrap()
    }

    /// Number of the process.
    pub fn process(&self) -> u32 {
        self.child.id()
    }

    /// Whether it still runs.
    pub fn lives(&mut self) -> bool {
        self.child.try_wait().unwrap().is_none()
    }

    pub fn get(&self, path: &str) -> Answer {
        self.say(&format!("GET {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n", self.address))
    }

    /// Sends a form as the page itself would.
    pub fn post(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        self.post_with(path, fields, &[("Origin", &format!("http://{}", self.address))])
    }

    pub fn post_with(&self, path: &str, fields: &[(&str, &str)], headers: &[(&str, &str)]) -> Answer {
        let body = form(fields);
        let headers: String = headers.iter().map(|(name, value)| format!("{name}: {value}\r\n")).collect();
        self.say(&format!(
            "POST {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\nContent-Type: application/x-www-form-urlencoded\r\n\
             Content-Length: {}\r\n{headers}\r\n{body}",
            self.address,
            body.len()
        ))
    }

    pub fn say(&self, request: &str) -> Answer {
        self.say_bytes(request.as_bytes()).unwrap_or_else(|| panic!("no answer to {request}"))
    }

    /// What comes back to these bytes; `None` where the connection is closed without a word.
    pub fn say_bytes(&self, request: &[u8]) -> Option<Answer> {
        self.hear(self.write_to(request))
    }

    /// The same, but no more bytes will come.
    pub fn say_and_hang_up(&self, request: &[u8]) -> Option<Answer> {
        let stream = self.write_to(request);
        let _closed = stream.shutdown(std::net::Shutdown::Write);
        self.hear(stream)
    }

    fn write_to(&self, request: &[u8]) -> TcpStream {
        let mut stream = TcpStream::connect(self.address).unwrap();
        stream.set_read_timeout(Some(Duration::from_secs(60))).unwrap();
        // a server that refuses early may close before all is written
        let _unwritten = stream.write_all(request);
        stream
    }

    fn hear(&self, mut stream: TcpStream) -> Option<Answer> {
        let mut bytes = Vec::new();
        let _broken_off = stream.read_to_end(&mut bytes);
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let (head, body) = text.split_once("\r\n\r\n")?;
        let status = head.split(' ').nth(1)?.parse().ok()?;
        let chunked = head.to_lowercase().contains("transfer-encoding: chunked");
        let body = if chunked { unchunked(body) } else { body.to_string() };
        Some(Answer { status, head: head.to_string(), body })
    }

    pub fn write(&self, name: &str, text: &str) {
        std::fs::write(self.folder.path().join(name), text).unwrap();
    }

    pub fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.folder.path().join(name)).unwrap()
    }
}

impl Drop for Page {
    fn drop(&mut self) {
        let _ended = self.child.kill();
        let _waited = self.child.wait();
    }
}

impl Answer {
    /// Value of a header.
    pub fn header(&self, name: &str) -> Option<&str> {
        let lines = self.head.lines().filter_map(|line| line.split_once(": "));
        lines.into_iter().find(|(known, _)| known.eq_ignore_ascii_case(name)).map(|(_, value)| value)
    }

    /// The value of an attribute of the element with this id, escapes undone.
    pub fn attribute(&self, id: &str, name: &str) -> Option<String> {
        let element = self.body.split('<').find(|element| element.contains(&format!(" id=\"{id}\"")))?;
        let value = element.split_once(&format!(" {name}=\""))?.1.split('"').next()?;
        Some(plain(value))
    }

    /// The answer to a question, escapes undone.
    pub fn told(&self) -> String {
        plain(self.body.split("<article ").nth(1).unwrap_or_else(|| panic!("nothing is told: {}", self.body)))
    }

    /// The sheet that the form holds.
    pub fn sheet(&self) -> String {
        self.attribute("sheet", "value").unwrap_or_else(|| panic!("no sheet in {}", self.body))
    }

    /// The version of its file.
    pub fn version(&self) -> String {
        let input = self.body.split("name=\"version\" value=\"").nth(1).unwrap();
        input.split('"').next().unwrap().to_string()
    }
}

/// Sentences of a plain report, without the labels and cells that a page sets otherwise, are all told.
pub fn tells_the_same(told: &str, report: &str) {
    let sentences: Vec<&str> = report.lines().filter(|line| line.ends_with('.') && !line.contains(": ")).collect();
    assert!(!sentences.is_empty(), "{report}");
    for sentence in sentences {
        assert!(told.contains(sentence), "{sentence}\nis not in\n{told}");
    }
}

/// HTML escapes undone.
pub fn plain(text: &str) -> String {
    text.replace("&quot;", "\"").replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&")
}

/// A form's fields as they are sent.
pub fn form(fields: &[(&str, &str)]) -> String {
    let pair = |(name, value): &(&str, &str)| format!("{}={}", escaped(name), escaped(value));
    fields.iter().map(pair).collect::<Vec<_>>().join("&")
}

fn escaped(text: &str) -> String {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"-_.".contains(&byte);
    text.bytes().map(|b| if plain(b) { char::from(b).to_string() } else { format!("%{b:02X}") }).collect()
}

fn unchunked(body: &str) -> String {
    let (mut rest, mut whole) = (body, String::new());
    while let Some((length, after)) = rest.split_once("\r\n") {
        let Ok(length) = usize::from_str_radix(length.trim(), 16) else { break };
        if length == 0 || after.len() < length {
            break;
        }
        whole.push_str(&after[..length]);
        rest = after[length..].trim_start_matches("\r\n");
    }
    whole
}

/// The demonstration sheet.
pub fn demonstration() -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/loads/demonstration.toml")).unwrap()
}
