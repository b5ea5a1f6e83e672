//! Tables as text, as spreadsheets of any country save them: text -> records of cells, each with its place in the file.

pub mod findings;
pub mod number;
pub mod record;
pub mod separator;

pub use findings::Findings;
pub use number::{Numbers, plain_number};
pub use record::{Cell, MOST_COLUMNS, Record, Records};
pub use separator::Separator;
