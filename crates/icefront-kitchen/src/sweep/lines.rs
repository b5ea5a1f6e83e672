//! Lines of a file a few at a time, none of them longer than memory should hold.

use std::io::{self, BufRead, Read};

/// Longest line that is taken, bytes; a sheet has a few hundred.
pub const LONGEST: u64 = 1 << 20;
/// More than this without the end of a line is no list of sheets, bytes.
const ENDLESS: usize = 64 << 20;

/// Lines that are not empty.
pub struct Lines<R> {
    source: R,
}

impl<R: BufRead> Lines<R> {
    /// Of a file.
    pub fn new(source: R) -> Self {
        Self { source }
    }

    /// The next lines, at most `count`; none at the end of the file.
    ///
    /// A line longer than a sheet can be is cut to one byte more than [`LONGEST`], so that its answer can say so.
    pub fn next_few(&mut self, count: usize) -> io::Result<Vec<Vec<u8>>> {
        let mut few = Vec::with_capacity(count);
        while few.len() < count {
            let mut line = Vec::new();
            if self.source.by_ref().take(LONGEST + 1).read_until(b'\n', &mut line)? == 0 {
                break;
            }
            if line.last() != Some(&b'\n') {
                self.skip_rest()?;
            }
            if !line.trim_ascii().is_empty() {
                few.push(line.trim_ascii().to_vec());
            }
        }
        Ok(few)
    }

    /// Skips what is left of a line; an endless one is an error.
    fn skip_rest(&mut self) -> io::Result<()> {
        let mut skipped = 0;
        while skipped < ENDLESS {
            let held = self.source.fill_buf()?;
            let (used, done) = match held.iter().position(|b| *b == b'\n') {
                Some(end) => (end + 1, true),
                None => (held.len(), held.is_empty()),
            };
            self.source.consume(used);
            if done {
                return Ok(());
            }
            skipped += used;
        }
        Err(io::Error::new(io::ErrorKind::InvalidData, "a line is longer than 64 MiB, so this is no list of sheets"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_come_in_order_without_the_empty_ones() {
        let mut lines = Lines::new("a\n\n b \nc".as_bytes());
        assert_eq!(lines.next_few(2).unwrap(), [b"a", b"b"]);
        assert_eq!(lines.next_few(2).unwrap(), [b"c"]);
        assert!(lines.next_few(2).unwrap().is_empty());
    }

    #[test]
    fn a_line_without_end_does_not_fill_memory() {
        let long = vec![b'x'; 3 * LONGEST as usize];
        let mut lines = Lines::new(long.chain("\nnext\n".as_bytes()));
        let few = lines.next_few(5).unwrap();
        assert_eq!((few.len(), few[0].len()), (2, LONGEST as usize + 1));
        assert_eq!(few[1], b"next");
        assert!(Lines::new(io::BufReader::new(io::repeat(0))).next_few(1).is_err(), "an endless line is refused");
    }
}
