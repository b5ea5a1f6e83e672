//! What a food may do to those who cannot stand it, and what its fat is like.

use serde::{Deserialize, Serialize};

/// Kinds of allergen, as food law groups them. Source: Regulation (EU) 1169/2011, annex II; sulphites are no food.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Allergen {
    /// Cereals with gluten: wheat, rye, barley, oats.
    Gluten,
    /// Crustaceans.
    Crustacean,
    /// Eggs.
    Egg,
    /// Fish.
    Fish,
    /// Peanuts.
    Peanut,
    /// Soybeans.
    Soy,
    /// Milk.
    Milk,
    /// Tree nuts.
    TreeNut,
    /// Celery.
    Celery,
    /// Mustard.
    Mustard,
    /// Sesame.
    Sesame,
    /// Lupin.
    Lupin,
    /// Molluscs.
    Mollusc,
}

impl Allergen {
    /// All kinds.
    pub const ALL: [Self; 13] = [
        Self::Gluten,
        Self::Crustacean,
        Self::Egg,
        Self::Fish,
        Self::Peanut,
        Self::Soy,
        Self::Milk,
        Self::TreeNut,
        Self::Celery,
        Self::Mustard,
        Self::Sesame,
        Self::Lupin,
        Self::Mollusc,
    ];

    /// Short name without blanks, as in files.
    pub fn id(self) -> &'static str {
        match self {
            Self::Gluten => "gluten",
            Self::Crustacean => "crustacean",
            Self::Egg => "egg",
            Self::Fish => "fish",
            Self::Peanut => "peanut",
            Self::Soy => "soy",
            Self::Milk => "milk",
            Self::TreeNut => "tree-nut",
            Self::Celery => "celery",
            Self::Mustard => "mustard",
            Self::Sesame => "sesame",
            Self::Lupin => "lupin",
            Self::Mollusc => "mollusc",
        }
    }

    /// As a label names it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Gluten => "wheat or other gluten",
            Self::Crustacean => "crustaceans",
            Self::Peanut => "peanuts",
            Self::TreeNut => "tree nuts",
            Self::Mollusc => "molluscs",
            other => other.id(),
        }
    }

    /// By its short name.
    pub(super) fn of_id(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|known| known.id() == id)
    }
}

/// What the fat of a food is like in the kitchen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FatState {
    /// Hardly any fat.
    None,
    /// An oil.
    Liquid,
    /// Soft when cold.
    Soft,
    /// Hard when cold.
    Solid,
}

impl FatState {
    /// By its short name.
    pub(super) fn of_id(id: &str) -> Option<Self> {
        Some(match id {
            "none" => Self::None,
            "liquid" => Self::Liquid,
            "soft" => Self::Soft,
            "solid" => Self::Solid,
            _ => return None,
        })
    }
}
