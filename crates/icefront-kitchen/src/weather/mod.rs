//! Weather of a night, from a file of hours: text -> rows, checked -> the night the trays are out.

pub mod clock;
pub mod column;
pub mod csv;
pub mod epw;
pub mod hours;
pub mod night;
pub mod row;

pub use hours::{Weather, is_weather};
pub use night::{Night, Outside, Sky, Stay};
pub use row::Row;
