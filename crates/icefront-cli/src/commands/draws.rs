//! How many draws make a range: arguments that several commands share.

use std::num::NonZeroUsize;

use clap::Args;
use icefront_core::ranges::Draws;

/// What draws begin from.
#[derive(Clone, Copy, Debug, Args)]
pub struct SeedArguments {
    /// Seed of the samples; the same seed gives the same answer.
    #[arg(long, value_name = "N", default_value_t = 1, hide_short_help = true)]
    pub seed: u32,
    /// Threads to use; the answer is the same. Default: one per core.
    #[arg(long, value_name = "N", hide_short_help = true)]
    pub threads: Option<NonZeroUsize>,
}

impl SeedArguments {
    /// So many draws.
    pub fn draws(&self, count: usize) -> Draws {
        Draws { count, seed: self.seed, threads: self.threads }
    }
}

/// Raw arguments.
#[derive(Clone, Copy, Debug, Args)]
pub struct DrawArguments {
    /// Number of samples for the range; 0 uses typical numbers only.
    #[arg(long = "samples", alias = "draws", value_name = "N", default_value_t = 256, value_parser = clap::value_parser!(u32).range(0..=1_000_000))]
    draws: u32,
    #[command(flatten)]
    seed: SeedArguments,
}

impl DrawArguments {
    /// The requested draws.
    pub fn draws(&self) -> Draws {
        self.seed.draws(self.draws as usize)
    }
}
