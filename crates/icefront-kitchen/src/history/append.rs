//! A batch is added whole or not at all, whatever happens: the new history is written beside the old one, brought to the
//! disk, and takes its name in one step. A lock keeps two programs from adding at the same time; the system lets go of it
//! when a program ends, however it ends.

use std::fs::{self, File};
use std::path::{Path, PathBuf};

use crate::failure::Failure;
use crate::history::table::{Batch, COLUMNS, parse};
use crate::output;
use crate::problem::BadFile;
use crate::sheet::Text;

/// Adds a batch to a history, which need not be there yet; a link to a history stays a link.
pub fn append(path: &Path, batch: &Batch) -> Result<(), Failure> {
    let unwritable = |e: std::io::Error| Failure::unwritable(path, &e);
    let lock = lock_of(&output::followed(path).map_err(unwritable)?);
    let lock = File::options().create(true).truncate(false).write(true).open(lock).map_err(unwritable)?;
    lock.lock().map_err(unwritable)?;
    let mut bytes = match fs::metadata(path) {
        Ok(_) => old(path, batch)?.into_bytes(),
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => format!("{}\n", COLUMNS.join(",")).into_bytes(),
        Err(e) => return Err(unwritable(e)),
    };
    if bytes.last() != Some(&b'\n') {
        bytes.push(b'\n');
    }
    bytes.extend(batch.rows().map_err(std::io::Error::from)?);
    output::replace(path, &bytes)
}

/// What the history holds, once it is found whole and without this batch.
fn old(path: &Path, batch: &Batch) -> Result<String, Failure> {
    let Text { text, .. } = Text::read_table(path)?;
    let there = parse(&text).map_err(|problem| {
        Failure::BadFiles(vec![BadFile {
            path: path.to_path_buf(),
            text: text.clone(),
            problems: vec![problem].into(),
        }])
    })?;
    let same = |b: &&Batch| b.name == batch.name || (b.sheet == batch.sheet && alike(b, batch));
    match there.iter().find(same) {
        Some(known) => Err(Failure::AlreadyLogged { path: path.to_path_buf(), batch: known.name.clone() }),
        None => Ok(text),
    }
}

/// The same readings, up to the digits that the history keeps.
fn alike(a: &Batch, b: &Batch) -> bool {
    let close = |x: f64, y: f64| (x - y).abs() <= 1e-4 * x.abs().max(1.0);
    !a.readings.is_empty()
        && a.readings.len() == b.readings.len()
        && a.readings
            .iter()
            .zip(&b.readings)
            .all(|(x, y)| x.quantity == y.quantity && close(x.time_s, y.time_s) && close(x.value, y.value))
}

/// `history.csv.lock` beside the history.
fn lock_of(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".lock");
    name.into()
}
