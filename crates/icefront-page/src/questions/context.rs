//! What a question is about: a sheet that was read and planned.

use icefront_core::ranges::Draws;
use icefront_kitchen::weather::clock::Clock;
use icefront_kitchen::{Failure, Text};

use crate::{Answer, Environment, Request, names};

/// What a question is about.
#[derive(Clone, Copy, Debug)]
pub struct Context<'a> {
    /// What was sent: the name of the sheet's file, and the fields of the questions.
    pub request: &'a Request,
    /// The sheet as a file of the folder.
    pub text: &'a Text,
    /// The answer to the sheet itself.
    pub answer: &'a Answer,
    /// When the machine starts, by the clock.
    pub start: Clock,
    /// The page it is on.
    pub environment: &'a Environment<'a>,
}

impl Context<'_> {
    /// Draws of this number, with the page's seed.
    pub fn draws(&self, count: usize) -> Draws {
        Draws { count, seed: self.environment.settings.seed, threads: None }
    }

    /// The sheet's name in messages.
    pub fn name(&self) -> &str {
        names::or_usual(&self.request.file)
    }

    /// Path of the sheet, as reports show it.
    pub fn source(&self) -> String {
        self.text.path.display().to_string()
    }

    /// The sheet does not suit the question.
    pub fn unfit(&self, reason: impl ToString) -> Failure {
        Failure::unfit(&self.text.path, reason)
    }
}
