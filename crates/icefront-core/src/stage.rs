//! The stages of a run, and one value for each of them.

use std::ops::{Index, IndexMut};

use serde::{Deserialize, Serialize};

/// A stage of a run, in the order in which they follow one another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Stage {
    /// Food freezes in the cabinet; shelves and condenser cool down.
    Freezing,
    /// The pump removes the air.
    Evacuation,
    /// Ice still sublimes somewhere in the load.
    PrimaryDrying,
    /// The ice is gone; sorbed water leaves.
    SecondaryDrying,
    /// The ice on the condenser is melted off.
    Defrost,
}

impl Stage {
    /// All stages in their order.
    pub const ALL: [Self; 5] =
        [Self::Freezing, Self::Evacuation, Self::PrimaryDrying, Self::SecondaryDrying, Self::Defrost];

    /// Name in words.
    pub fn name(self) -> &'static str {
        match self {
            Self::Freezing => "freezing",
            Self::Evacuation => "evacuation",
            Self::PrimaryDrying => "primary drying",
            Self::SecondaryDrying => "secondary drying",
            Self::Defrost => "defrost",
        }
    }
}

/// One value per stage, indexed by [`Stage`]. Serialised as a list in the order of [`Stage::ALL`].
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct ByStage<T>([T; 5]);

impl<T> ByStage<T> {
    /// The value that `of` gives for each stage.
    pub fn from_fn(of: impl FnMut(Stage) -> T) -> Self {
        Self(Stage::ALL.map(of))
    }

    /// The stages with their values.
    pub fn iter(&self) -> impl Iterator<Item = (Stage, &T)> {
        Stage::ALL.into_iter().zip(&self.0)
    }

    /// The values in the order of the stages.
    pub fn values(&self) -> std::slice::Iter<'_, T> {
        self.0.iter()
    }

    /// The values in the order of the stages, to be changed.
    pub fn values_mut(&mut self) -> std::slice::IterMut<'_, T> {
        self.0.iter_mut()
    }

    /// Applies `f` to each value.
    pub fn map<U>(self, f: impl FnMut(T) -> U) -> ByStage<U> {
        ByStage(self.0.map(f))
    }
}

/// Values in the order of [`Stage::ALL`].
impl<T> From<[T; 5]> for ByStage<T> {
    fn from(values: [T; 5]) -> Self {
        Self(values)
    }
}

impl<T> Index<Stage> for ByStage<T> {
    type Output = T;

    fn index(&self, stage: Stage) -> &T {
        &self.0[stage as usize]
    }
}

impl<T> IndexMut<Stage> for ByStage<T> {
    fn index_mut(&mut self, stage: Stage) -> &mut T {
        &mut self.0[stage as usize]
    }
}
