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
    /// All of them.
    pub const ALL: [Self; 11] = [
        Self::Explain,
        Self::Compare,
        Self::Best,
        Self::Pack,
        Self::Labels,
        Self::Bill,
        Self::Update,
        Self::Dry,
        Self::Log,
        Self::Learn,
        Self::Prefreeze,
    ];

    /// The command of that name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Explain => "explain",
            Self::Compare => "compare",
            Self::Best => "best",
            Self::Pack => "pack",
            Self::Labels => "labels",
            Self::Bill => "bill",
            Self::Update => "update",
            Self::Dry => "dry",
            Self::Log => "log",
            Self::Learn => "learn",
            Self::Prefreeze => "prefreeze",
        }
    }
}
