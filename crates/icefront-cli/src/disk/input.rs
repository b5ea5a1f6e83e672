//! Files and standard input as bytes, up to a stated size: a device, a named pipe or an endless stream is refused instead
//! of filling the memory or waiting for ever.

use std::fs::{self, File, Metadata};
use std::io::{self, Read};
use std::path::Path;

use icefront_kitchen::failure::{Failure, plain_reason};
use icefront_kitchen::storage::{is_standard_input, too_large};

/// Paths of streams that the caller has opened already, such as `<(command)` of a shell.
const OPENED: [&str; 3] = ["/dev/stdin", "/dev/fd", "/proc/self/fd"];

/// All bytes of a file, or of standard input where the path is `-`.
///
/// # Errors
/// What cannot be opened, is no plain file, or is larger than `largest` bytes.
pub fn read(path: &Path, largest: u64) -> Result<Vec<u8>, Failure> {
    let unreadable = |reason| Failure::Unreadable { path: path.to_path_buf(), reason };
    let read = if is_standard_input(path) { up_to(largest, io::stdin().lock()) } else { up_to(largest, open(path)?) };
    read.map_err(|e| unreadable(plain_reason(&e)))?.ok_or_else(|| too_large(path, largest))
}

/// Opens a plain file, or a stream that the caller has opened already.
///
/// # Errors
/// What cannot be opened, or is something else.
pub fn open(path: &Path) -> Result<File, Failure> {
    let unreadable = |reason| Failure::Unreadable { path: path.to_path_buf(), reason };
    let opened = OPENED.iter().any(|stream| path.starts_with(stream));
    // looked at before it is opened: opening a named pipe waits until somebody writes into it
    let about = fs::metadata(path).map_err(|e| unreadable(plain_reason(&e)))?;
    match unsuitable(&about).filter(|_| !opened || about.is_dir()) {
        Some(reason) => Err(unreadable(reason.into())),
        None => File::open(path).map_err(|e| unreadable(plain_reason(&e))),
    }
}

/// Why something in the place of a file cannot be read.
fn unsuitable(about: &Metadata) -> Option<&'static str> {
    if about.is_file() {
        None
    } else if about.is_dir() {
        Some("it is a folder, not a file")
    } else {
        Some("it is a device or a pipe, not a file; `-` reads standard input")
    }
}

/// All bytes, or `None` where there are more than may be.
fn up_to(largest: u64, source: impl Read) -> io::Result<Option<Vec<u8>>> {
    let mut bytes = Vec::new();
    source.take(largest + 1).read_to_end(&mut bytes)?;
    Ok((bytes.len() as u64 <= largest).then_some(bytes))
}

#[cfg(test)]
mod tests {
    use super::*;
    use icefront_kitchen::storage::LARGEST_TABLE;

    #[test]
    fn a_stream_is_read_up_to_the_limit_and_no_further() {
        assert_eq!(up_to(5, io::repeat(b'x')).unwrap(), None);
        assert_eq!(up_to(5, &b"abcde"[..]).unwrap().as_deref(), Some(&b"abcde"[..]));
    }

    #[test]
    fn a_file_of_holes_is_refused_with_the_limit_in_words() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("large.toml");
        File::create(&path).unwrap().set_len(1 << 40).unwrap();
        let refused = read(&path, LARGEST_TABLE).unwrap_err().to_string();
        assert!(refused.contains("larger than 16 MiB"), "{refused}");
        assert!(read(folder.path(), 1).unwrap_err().to_string().contains("folder"));
    }
}
