//! Plan a freeze-drying batch.
fn main() {}
