//! Random cases for each target, from a random number generator alone.

pub mod dryer;
pub mod load;
pub mod posts;
pub mod readings;

use fastrand::Rng;

/// One of these.
pub(crate) fn pick<'a, T>(list: &'a [T], rng: &mut Rng) -> &'a T {
    &list[rng.usize(..list.len())]
}

/// True in one of so many cases.
pub(crate) fn one_in(count: u32, rng: &mut Rng) -> bool {
    rng.u32(..count) == 0
}
