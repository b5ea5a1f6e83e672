//! A crowd at the kitchen page: so many clients drag a slider for so long, each asking again as soon as it is answered.
//!
//! ```sh
//! icefront page --port 8123 &
//! cargo run --release -p icefront-cli --example page_crowd -- 127.0.0.1:8123 50 60 $!
//! ```
//! The last argument, the page's process, adds its memory (Linux).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a helper that fails is a test that fails")]
#![allow(dead_code, reason = "a test takes the crowd without its report")]

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::time::{Duration, Instant};

/// What a client says and hears, over one connection.
struct Client {
    address: String,
    stream: BufReader<TcpStream>,
}

/// One answer: its status and how long it took.
pub type Heard = (u16, Duration);

impl Client {
    fn connect(address: &str) -> std::io::Result<Self> {
        let stream = TcpStream::connect(address)?;
        stream.set_nodelay(true)?;
        Ok(Self { address: address.into(), stream: BufReader::new(stream) })
    }

    /// Sends a dragged form and reads its answer to the end.
    fn ask(&mut self, sheet: &str, room: f64) -> std::io::Result<u16> {
        let escaped: String = sheet.bytes().map(|b| format!("%{b:02X}")).collect();
        let body = format!("sheet={escaped}&room={room}+C&pace=drag");
        write!(
            self.stream.get_mut(),
            "POST /live HTTP/1.1\r\nHost: {0}\r\nOrigin: http://{0}\r\n\
             Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {1}\r\n\r\n{body}",
            self.address,
            body.len()
        )?;
        let mut line = String::new();
        self.stream.read_line(&mut line)?;
        let status = line.split(' ').nth(1).and_then(|word| word.parse().ok()).unwrap_or(0);
        let mut length = 0;
        while line.trim() != "" {
            line.clear();
            self.stream.read_line(&mut line)?;
            if let Some((name, value)) = line.split_once(':')
                && name.eq_ignore_ascii_case("content-length")
            {
                length = value.trim().parse().unwrap_or(0);
            }
        }
        let mut answer = vec![0; length];
        self.stream.read_exact(&mut answer)?;
        Ok(status)
    }
}

fn drag(address: &str, client: usize, goes_on: &dyn Fn(usize) -> bool) -> std::io::Result<Vec<Heard>> {
    let sheet = include_str!("../data/loads/demonstration.toml");
    let mut connection = Client::connect(address)?;
    let mut heard = Vec::new();
    while goes_on(heard.len()) {
        let room = 10.0 + 0.5 * ((heard.len() + 7 * client) % 50) as f64;
        let began = Instant::now();
        let status = connection.ask(sheet, room)?;
        heard.push((status, began.elapsed()));
    }
    Ok(heard)
}

/// All that so many clients hear as long as `goes_on`, asked with the number of answers so far, says so; one that breaks off
/// hears status 0.
pub fn drag_all(
    address: &str,
    clients: usize,
    goes_on: &(dyn Fn(usize) -> bool + Sync),
    meanwhile: impl FnOnce(),
) -> Vec<Heard> {
    std::thread::scope(|scope| {
        let all: Vec<_> = (0..clients).map(|client| scope.spawn(move || drag(address, client, goes_on))).collect();
        meanwhile();
        let heard = all.into_iter().map(|one| match one.join() {
            Ok(Ok(answers)) => answers,
            _ => vec![(0, Duration::ZERO)],
        });
        heard.flatten().collect()
    })
}

/// Resident memory of a process, MB.
fn memory_mb(process: &str) -> Option<f64> {
    let status = std::fs::read_to_string(format!("/proc/{process}/status")).ok()?;
    let line = status.lines().find(|line| line.starts_with("VmRSS:"))?;
    Some(line.split_whitespace().nth(1)?.parse::<f64>().ok()? / 1024.0)
}

fn main() -> std::io::Result<()> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let word = |at: usize, usual: &str| arguments.get(at).cloned().unwrap_or_else(|| usual.into());
    let (address, process) = (word(0, "127.0.0.1:8123"), word(3, ""));
    let number = |at: usize, usual: &str| word(at, usual).parse::<u64>().map_err(std::io::Error::other);
    let (clients, seconds) = (number(1, "50")? as usize, number(2, "60")?);
    let until = Instant::now() + Duration::from_secs(seconds);
    let before = memory_mb(&process);
    let mut memory = Vec::new();
    let mut heard = drag_all(address.as_str(), clients, &|_| Instant::now() < until, || {
        while Instant::now() < until {
            std::thread::sleep(Duration::from_secs((seconds / 6).max(1)));
            memory.extend(memory_mb(&process));
        }
    });
    heard.sort_by_key(|(_, took)| *took);
    let wrong = heard.iter().filter(|(status, _)| *status != 200).count();
    let at =
        |share: f64| heard.get((share * (heard.len() - 1) as f64) as usize).map_or(0.0, |h| h.1.as_secs_f64() * 1e3);
    println!("{clients} clients for {seconds} s: {} answers, {wrong} not 200", heard.len());
    println!(
        "ms: half under {:.0}, 95 % under {:.0}, 99 % under {:.0}, all under {:.0}",
        at(0.5),
        at(0.95),
        at(0.99),
        at(1.0)
    );
    if let Some(before) = before {
        let during: Vec<String> = memory.iter().map(|mb| format!("{mb:.1}")).collect();
        println!("memory, MB: {before:.1} before, {} during", during.join(" "));
    }
    Ok(())
}
