//! The prediction meets reality: readings of a run sharpen what is known of that run, logged batches what is known of the
//! machine.
//!
//! Everything unknown is expressed in coordinates in which the prior is standard normal: coordinate `z` of an unknown means the
//! number `Phi(z)` of a [`Point`](crate::ranges::Point), and so a value of its [`Spread`](crate::ranges::Spread). A
//! [`Belief`] is a normal distribution there.
//!
//! ```text
//! readings, their errors -> reweigh: draws of one run, weighed by the likelihood of the readings -> dryness, misfit
//! logged batches         -> fit: the machine that explains them best (maximum a posteriori), with what is left unknown
//! ```
//!
//! # References
//! Adaptive multiple importance sampling: Cornuet, Marin, Mira and Robert 2012, Scand. J. Stat. 39, 798. Effective sample
//! size: Kong 1992. Student-t weights: Lange, Little and Taylor 1989, JASA 84, 881. (Titles and pages from memory.)

mod belief;
mod believable;
mod cause;
mod discrepancy;
mod error;
mod fit;
mod line;
mod order;
mod reading;
mod regression;
mod reweigh;
mod weighted;
mod wrong;

pub use belief::{Belief, Direction};
pub use cause::{Cause, Misfit, Suspect, misfit};
pub use discrepancy::Discrepancy;
pub use error::{Errors, ToolError};
pub use fit::{BatchFit, Build, Learned, Logged, learn};
pub use order::{Backwards, backwards};
pub use reading::{Quantity, Reading};
pub use reweigh::{Draw, Effort, FEWEST, Question, Updated, log_likelihood, prior, update};
pub use weighted::{resampled, weighted_chance, weighted_quantiles};
pub use wrong::{Slip, Wrong};

/// Version of the unknowns that batches teach about: what they are called, and what a standard deviation of each means. What
/// was learned with another version does not apply here; it is computed again from the history.
pub const MODEL: usize = 1;

/// The chi-squared distribution: chance that `count` independent errors are this large together or larger.
fn chance_of_larger(squared: f64, count: usize) -> f64 {
    use statrs::distribution::{ChiSquared, ContinuousCDF};
    if count == 0 {
        return 1.0;
    }
    ChiSquared::new(count as f64).map_or(f64::NAN, |d| d.sf(squared))
}

/// Logarithm of the sum of numbers given by their logarithms, which may be beyond what a number holds.
fn log_sum(logs: &[f64]) -> f64 {
    let highest = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if highest == f64::NEG_INFINITY {
        return highest;
    }
    highest + libm::log(logs.iter().map(|log| libm::exp(log - highest)).sum())
}
