//! Broken files from good ones: a few random cuts, doublings, swaps and strange words each.

use fastrand::Rng;

/// Words that have broken readers of text before.
pub const STRANGE: [&str; 40] = [
    "nan",
    "inf",
    "-inf",
    "1e309",
    "-1e309",
    "5e-324",
    "-0",
    "0",
    "0x10",
    "1_000",
    "9223372036854775808",
    "00",
    "1e400 mm",
    "\u{feff}",
    "\u{202e}",
    "\u{0}",
    "\u{a0}",
    "é",
    "🍎",
    "\r\n",
    "\n",
    "\t",
    "\"",
    "'",
    "\"\"\"",
    "[",
    "]",
    "[[",
    "{",
    "}",
    ",",
    ";",
    "..",
    "+-",
    "about",
    "exactly",
    "=",
    "#",
    "%",
    "-",
];
/// Most changes made to one file.
const MOST_CHANGES: usize = 6;

/// A file made from one of `corpus`, with a piece of another now and then.
pub fn broken(corpus: &[Vec<u8>], rng: &mut Rng) -> Vec<u8> {
    let mut bytes = corpus[rng.usize(..corpus.len())].clone();
    for _ in 0..rng.usize(1..=MOST_CHANGES) {
        match rng.u8(..8) {
            0 => flip(&mut bytes, rng),
            1 => drop(cut(&mut bytes, rng)),
            2 => {
                let piece = cut(&mut bytes, rng);
                insert(&mut bytes, &piece, rng);
            }
            3 => {
                let other = &corpus[rng.usize(..corpus.len())];
                let piece = other[span(other, rng)].to_vec();
                insert(&mut bytes, &piece, rng);
            }
            4 => bytes.truncate(rng.usize(..=bytes.len())),
            5 => bytes = renumbered(&bytes, rng),
            _ => insert(&mut bytes, STRANGE[rng.usize(..STRANGE.len())].as_bytes(), rng),
        }
    }
    bytes
}

/// The same text with some of its numbers replaced by any others: most often a bad file.
fn renumbered(bytes: &[u8], rng: &mut Rng) -> Vec<u8> {
    with_numbers(bytes, |number| if rng.u8(..4) == 0 { any_number(rng) } else { number.into() })
}

/// The same text with a few of its numbers up to four times as large or small: most often still a good file.
pub fn nudged(bytes: &[u8], rng: &mut Rng) -> Vec<u8> {
    with_numbers(bytes, |number| match number.parse::<f64>() {
        Ok(value) if rng.u8(..8) == 0 => format!("{:.3}", value * 4f64.powf(2.0 * rng.f64() - 1.0)),
        _ => number.into(),
    })
}

/// The same with the lines left alone that say what kind of file it is and which dryer is meant.
pub fn nudged_values(bytes: &[u8], rng: &mut Rng) -> Vec<u8> {
    let is_fixed =
        |line: &[u8]| [&b"icefront"[..], b"dryer", b"time", b"shelves"].iter().any(|key| line.starts_with(key));
    let lines = bytes.split_inclusive(|b| *b == b'\n');
    lines.flat_map(|line| if is_fixed(line) { line.to_vec() } else { nudged(line, rng) }).collect()
}

fn with_numbers(bytes: &[u8], mut change: impl FnMut(&str) -> String) -> Vec<u8> {
    let mut out = Vec::with_capacity(bytes.len());
    let mut rest = bytes;
    while let Some(start) = rest.iter().position(u8::is_ascii_digit) {
        let (before, number) = rest.split_at(start);
        let length = number.iter().position(|b| !b.is_ascii_digit() && *b != b'.').unwrap_or(number.len());
        // a range such as 12..18 holds two numbers
        let length = number.windows(2).position(|two| two == b"..").map_or(length, |dots| length.min(dots));
        let (number, after) = number.split_at(length);
        out.extend_from_slice(before);
        out.extend_from_slice(change(&String::from_utf8_lossy(number)).as_bytes());
        rest = after;
    }
    out.extend_from_slice(rest);
    out
}

/// A number between a thousandth and a thousand, evenly in its logarithm.
fn any_number(rng: &mut Rng) -> String {
    let value = 10f64.powf(6.0 * rng.f64() - 3.0);
    if rng.bool() { format!("{value:.0}") } else { format!("{value:.3}") }
}

fn flip(bytes: &mut [u8], rng: &mut Rng) {
    if !bytes.is_empty() {
        let at = rng.usize(..bytes.len());
        bytes[at] ^= 1 << rng.u8(..8);
    }
}

fn span(bytes: &[u8], rng: &mut Rng) -> std::ops::Range<usize> {
    let start = rng.usize(..=bytes.len());
    let most = (bytes.len() - start).min(if rng.bool() { 8 } else { 200 });
    start..start + rng.usize(..=most)
}

fn cut(bytes: &mut Vec<u8>, rng: &mut Rng) -> Vec<u8> {
    let gone = span(bytes, rng);
    bytes.drain(gone).collect()
}

fn insert(bytes: &mut Vec<u8>, piece: &[u8], rng: &mut Rng) {
    let at = rng.usize(..=bytes.len());
    bytes.splice(at..at, piece.iter().copied());
}
