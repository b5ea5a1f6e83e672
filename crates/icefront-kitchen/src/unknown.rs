//! Quantities that are not known exactly: which they are, as data, and in words a cook knows.

use icefront_core::ranges::Parameter;
use statrs::distribution::{ContinuousCDF, Normal};

use crate::quantity::KeyPath;

/// Which quantity is not known exactly.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unknown {
    /// A key of the sheet with a distribution of its own.
    Sheet(KeyPath),
    /// A key of the dryer file with a distribution of its own.
    Dryer(KeyPath),
    /// A parameter of the model.
    Model(Parameter),
}

impl Unknown {
    /// Its name in files: `contact.gap`, `cut-fruit.permeability`.
    pub fn name(&self) -> String {
        match self {
            Self::Sheet(path) => path.to_string(),
            Self::Dryer(path) => path.dotted(),
            Self::Model(parameter) => parameter.to_string(),
        }
    }

    /// In words: `gap between trays and shelves`, `cut fruit: ease with which vapour passes`.
    pub fn words(&self) -> String {
        match self {
            Self::Sheet(path) => path.to_string(),
            Self::Dryer(path) => words(&path.dotted()),
            Self::Model(parameter) => model(*parameter),
        }
    }
}

/// Words for an unknown by its name in files; a name that is none of the model's stands for itself.
pub fn words(name: &str) -> String {
    Parameter::of_name(name).map_or_else(|| name.into(), |parameter| Unknown::Model(parameter).words())
}

/// Words for parameters of the model by their names in files, without the class of food.
const WORDS: &str = include_str!("unknown.csv");

fn model(parameter: Parameter) -> String {
    let name = parameter.to_string();
    let (class, key) = match parameter {
        Parameter::Machine(_) => (None, name.as_str()),
        Parameter::Food(class, _) => (Some(class), name.rsplit('.').next().unwrap_or_default()),
    };
    let known = WORDS.lines().filter_map(|line| line.split_once(',')).find(|(known, _)| *known == key);
    let what = known.map_or(key, |(_, words)| words);
    class.map_or_else(|| what.into(), |class| format!("{}: {what}", class.name()))
}

/// Share of all such things that are lower, for a coordinate in standard deviations.
pub fn rank(z: f64) -> f64 {
    Normal::standard().cdf(z)
}

/// "high (higher than 9 in 10)"
pub fn rank_words(rank: f64) -> String {
    let tenths = |share: f64| (10.0 * share).floor().clamp(5.0, 9.0);
    if rank >= 0.5 {
        format!("high (above {:.0} in 10 such)", tenths(rank))
    } else {
        format!("low (below {:.0} in 10 such)", tenths(1.0 - rank))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Sheet;

    #[test]
    fn every_parameter_of_the_model_has_words() {
        let tray = |food| format!("[[tray]]\nfood = \"{food}\"\nshape = \"layer\"\ndepth = \"9 mm\"\nlined = true\n");
        let trays = ["beef, ground", "apples, raw", "blueberries, raw", "milk"].map(tray).concat();
        let text = format!("icefront = 1\ndryer = \"1.00 m2\"\n{trays}");
        let unknowns = text.parse::<Sheet>().unwrap().shared_unknowns();
        for unknown in &unknowns {
            assert!(unknown.words().contains(' ') && !unknown.words().contains('_'), "{}", unknown.name());
        }
        let model = unknowns.iter().map(Unknown::name).collect::<Vec<_>>();
        let unused = |line: &&str| !model.iter().any(|name| name.ends_with(line.split(',').next().unwrap()));
        assert_eq!(WORDS.lines().filter(unused).collect::<Vec<_>>(), Vec::<&str>::new());
    }
}
