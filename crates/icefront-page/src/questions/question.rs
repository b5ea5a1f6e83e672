//! The questions beyond the plan; each is the command of its name.

/// A question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Question {
    /// `icefront explain`
    Explain,
    /// `icefront compare`
    Compare,
    /// `icefront best`
    Best,
    /// `icefront pack`
    Pack,
    /// `icefront labels`
    Labels,
    /// `icefront bill`
    Bill,
    /// `icefront update`
    Update,
    /// `icefront dry`
    Dry,
    /// `icefront log`
    Log,
    /// `icefront learn`
    Learn,
    /// `icefront prefreeze`
    Prefreeze,
}

impl Question {
    /// All of them, each with the name of its command.
    #[rustfmt::skip]
    const ALL: [(Self, &str); 11] = [
        (Self::Explain, "explain"), (Self::Compare, "compare"), (Self::Best, "best"), (Self::Pack, "pack"),
        (Self::Labels, "labels"), (Self::Bill, "bill"), (Self::Update, "update"), (Self::Dry, "dry"), (Self::Log, "log"),
        (Self::Learn, "learn"), (Self::Prefreeze, "prefreeze"),
    ];

    /// The question of a command.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|(_, command)| *command == name).map(|(question, _)| question)
    }
}
