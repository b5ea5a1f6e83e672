//! Quantities as people write them: `12 mm`, `3 %`, `12..18 mm`, `15 mm +- 3 mm`, `about 2 cups`. The one reader of
//! sheets, dryer files, tables, options and the page: text -> kind and unit -> range -> SI value or distribution.

pub mod amount;
pub mod error;
pub mod key_path;
pub mod kind;
pub mod limit;
pub mod price;
pub mod spoken;
pub mod system;
pub mod written;

pub use amount::Amount;
pub use error::QuantityError;
pub use key_path::KeyPath;
pub use kind::Kind;
pub use limit::{AMOUNT, CONTAINER, DEPTH, Limit, MEASURE, PACK_SHELF, SHARE, WIND};
pub use price::Price;
pub use written::Written;
