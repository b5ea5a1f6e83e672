//! A load sheet, or a dryer file: text -> entries, checked against the schema once -> a [`Load`] at each draw. All
//! problems of a file are shown at once.

pub mod bounds;
pub mod change;
pub mod dish;
pub mod dryer;
pub mod embedded;
pub mod end;
pub mod entries;
pub mod expert;
pub mod foods;
pub mod freezing;
pub mod learned;
pub mod load;
pub mod machine;
pub mod money;
pub mod pack;
pub mod placement;
pub mod printable;
pub mod recipes;
pub mod rig;
pub mod schema;
pub mod section;
pub mod spoken;
pub mod taken;
pub mod text;
pub mod tray;
pub mod vary;

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::str::FromStr;
use std::sync::Arc;

use icefront_core::ModelError;
use icefront_core::load::Load;
use icefront_core::machine::Dryer;
use icefront_core::ranges::{ModelSpread, Point};
use icefront_core::tariff::Period;

use crate::Failure;
use crate::quantity::KeyPath;
use crate::sheet::taken::Meaning;
use crate::storage::{Memory, Storage};
use crate::unknown::Unknown;
pub use change::Change;
pub use dish::Dish;
pub use embedded::APART;
use entries::Entries;
use foods::Found;
use learned::{Known, Use};
use load::Read;
use machine::Machine;
pub use money::Price;
use schema::load::LOAD;
use section::{Draw, Section};
pub use text::Text;

/// A sheet to start from, with a remark for each line.
pub const TEMPLATE: &str = include_str!("new.toml");

/// The invented load that is planned when no sheet is named.
pub fn demonstration() -> Text {
    Text { path: "demonstration (invented)".into(), text: include_str!("../../data/loads/demonstration.toml").into() }
}

/// A sheet that was read and found right.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// What the model needs; uncertain quantities, and what was learned of the dryer, at the middle of their distributions.
    pub load: Load,
    /// Foods as the sheet calls them, and what the table calls them where that differs.
    pub taken: BTreeMap<String, Meaning>,
    /// What the food of each tray is to the cook.
    pub dishes: Vec<Dish>,
    /// Prices by ingredient.
    pub prices: BTreeMap<String, Price>,
    /// Hours in which electricity has a price of its own.
    pub periods: Vec<Period>,
    /// The sheet itself.
    pub text: Text,
    /// What batches taught about the dryer.
    pub learned: Option<Known>,
    /// The load before that.
    entered: Load,
    /// What a draw makes the load of, uncertain quantities with their distributions.
    entries: Arc<Entries>,
    /// Its foods of the table.
    found: Arc<Found>,
    /// The same of the dryer, if it has a file.
    dryer: Option<Arc<Entries>>,
    fill: Option<f64>,
    unknowns: Unknowns,
}

impl Sheet {
    /// Whether it says in which units to answer.
    pub fn says_units(&self) -> bool {
        self.entries.get("units").is_some()
    }
}

/// What is put in place of a sheet's own values.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Variant {
    /// In the sheet.
    pub sheet: Vec<Change>,
    /// In the dryer file it names.
    pub dryer: Vec<Change>,
    /// Food on every tray, over what the sheet says.
    pub fill: Option<f64>,
}

fn filled(load: &mut Load, fill: Option<f64>) {
    if let Some(fill) = fill {
        load.trays.iter_mut().for_each(|tray| tray.shape = tray.shape.filled(fill));
    }
}

/// Which number of a drawn point goes to which unknown.
#[derive(Clone, Debug)]
struct Unknowns {
    /// Uncertain quantities of the sheet.
    sheet: Vec<KeyPath>,
    /// Uncertain quantities of the dryer file.
    dryer: Vec<KeyPath>,
    /// The model's own; they follow.
    model: ModelSpread,
}

/// Gives the same unknown of all sheets the same number of a point.
pub fn share_unknowns(sheets: &mut [Sheet]) {
    let union = |of: fn(&Unknowns) -> &Vec<KeyPath>, sheets: &[Sheet]| {
        let mut all: Vec<KeyPath> = Vec::new();
        for path in sheets.iter().flat_map(|sheet| of(&sheet.unknowns)) {
            if !all.contains(path) {
                all.push(path.clone());
            }
        }
        all
    };
    let (of_sheets, of_dryers) = (union(|u| &u.sheet, sheets), union(|u| &u.dryer, sheets));
    let models: Vec<ModelSpread> = sheets.iter().map(|sheet| sheet.unknowns.model.clone()).collect();
    for sheet in sheets {
        sheet.unknowns.sheet.clone_from(&of_sheets);
        sheet.unknowns.dryer.clone_from(&of_dryers);
        models.iter().for_each(|other| sheet.unknowns.model.join(other));
    }
}

impl Sheet {
    /// The sheet's own uncertain quantities: the first numbers of a point.
    pub fn own_unknowns(&self) -> Vec<Unknown> {
        self.unknowns.sheet.iter().cloned().map(Unknown::Sheet).collect()
    }

    /// Which number of a point draws the food of a tray whose name fits several; `None` where it fits one.
    pub fn food_unknown(&self, tray: usize) -> Option<usize> {
        let food = KeyPath::default().key("tray").entry(tray + 1).key("food");
        self.unknowns.sheet.iter().position(|path| *path == food)
    }

    /// The unknowns of machine and foods: the numbers of a point that follow.
    pub fn shared_unknowns(&self) -> Vec<Unknown> {
        let Unknowns { dryer, model, .. } = &self.unknowns;
        dryer.iter().cloned().map(Unknown::Dryer).chain(model.parameters().into_iter().map(Unknown::Model)).collect()
    }

    /// Their names in files.
    pub fn shared_names(&self) -> Vec<String> {
        self.shared_unknowns().iter().map(Unknown::name).collect()
    }

    /// Number of unknowns of a point.
    pub fn unknowns(&self) -> usize {
        let shared = self.shared_names();
        self.unknowns.sheet.len() + shared.len() + self.learned.as_ref().map_or(0, |known| known.further(&shared))
    }

    /// The load of a point, smooth in its numbers also where the dryer is a learned one.
    ///
    /// # Errors
    /// As [`Sheet::at`].
    pub fn at_smooth(&self, point: &Point) -> Result<Load, ModelError> {
        Ok(self.informed(point, Use::Normal)?.0)
    }

    /// The load of a drawn point, the model's unknowns included.
    ///
    /// # Errors
    /// [`ModelError::Unfit`] where drawn quantities contradict each other.
    pub fn at(&self, point: &Point) -> Result<Load, ModelError> {
        Ok(self.drawn(point)?.0)
    }

    /// The load of a drawn point with its dishes.
    ///
    /// # Errors
    /// As [`Sheet::at`].
    pub fn drawn(&self, point: &Point) -> Result<(Load, Vec<Dish>), ModelError> {
        self.informed(point, Use::Draws)
    }

    /// The load of a point with what was learned put into it, and its dishes.
    fn informed(&self, point: &Point, how: Use) -> Result<(Load, Vec<Dish>), ModelError> {
        let point = &match &self.learned {
            Some(known) => known.point(point, self.unknowns.sheet.len(), &self.shared_names(), how),
            None => point.clone(),
        };
        let Unknowns { sheet, dryer, model } = &self.unknowns;
        let entered = sheet.is_empty() && dryer.is_empty();
        let (mut load, dishes) =
            if entered { (self.entered.clone(), self.dishes.clone()) } else { self.realised(point)? };
        model.apply(&mut load, point, sheet.len() + dryer.len());
        Ok((load, dishes))
    }

    /// The load with the uncertain quantities of sheet and dryer file as a point has them, and its dishes.
    fn realised(&self, point: &Point) -> Result<(Load, Vec<Dish>), ModelError> {
        let Unknowns { sheet, dryer, .. } = &self.unknowns;
        let drawn = match &self.dryer {
            Some(entries) if !dryer.is_empty() => {
                let draw = Draw { point, first: sheet.len(), order: dryer };
                Some(Dryer::Cabinet(Box::new(entries.realise(draw, dryer::cabinet)?)))
            }
            _ => None,
        };
        let draw = Draw { point, first: 0, order: sheet };
        let read = self.entries.realise(draw, |sheet| {
            let machine = match (&self.entered.dryer, drawn) {
                (_, Some(drawn)) => Some(drawn),
                (Dryer::Prescribed(_), _) => machine::rig(sheet),
                (cabinet, None) => Some(cabinet.clone()),
            };
            Read::of(sheet, machine, &self.found)
        });
        let Read { mut load, dishes, .. } = read?;
        filled(&mut load, self.fill);
        Ok((load, dishes))
    }
}

/// A sheet from its text alone; the dryer it names is a built-in one.
///
/// ```
/// use icefront_kitchen::failure::Failure;
/// use icefront_kitchen::sheet::Sheet;
///
/// let text = r#"icefront = 1
/// dryer = "0.60 m2"
/// [[tray]]
/// food = "apples, raw, without skin"
/// shape = "layer"
/// depth = "12..18 mm""#;
/// let sheet: Sheet = text.parse()?;
/// assert_eq!(sheet.own_unknowns()[0].name(), "tray 1, depth");
///
/// let Err(Failure::BadFiles(files)) = text.replace("18 mm", "180 mm").parse::<Sheet>() else { panic!("too deep") };
/// let problem = files[0].problems.iter().next().unwrap();
/// let (error, allowed) = *problem.value.clone().unwrap();
/// assert_eq!(problem.key.clone().unwrap().dotted(), "tray.1.depth");
/// assert_eq!((allowed.low, allowed.high), (0.001, 0.080));
/// assert!(error.to_string().contains("180 mm"));
/// # Ok::<(), Failure>(())
/// ```
impl FromStr for Sheet {
    type Err = Failure;

    fn from_str(text: &str) -> Result<Self, Failure> {
        read(&Text { path: "sheet".into(), text: text.into() }, &Memory::default())
    }
}

/// Checks a sheet and the dryer file it may name.
pub fn read(text: &Text, files: &dyn Storage) -> Result<Sheet, Failure> {
    read_variant(text, Variant::default(), files)
}

/// Checks a sheet with other values in place of some of its own, and the dryer file it may name.
pub fn read_variant(text: &Text, variant: Variant, files: &dyn Storage) -> Result<Sheet, Failure> {
    let text = &recipes::with_shared(text, files)?;
    read_in(text, variant, |sheet, changes| {
        Machine::named(sheet, text.path.parent().unwrap_or(Path::new("")), changes, files)
    })
}

/// Checks a sheet whose batch ran in this dryer, whatever dryer it names.
pub fn read_in_dryer(text: &Text, dryer: &Text) -> Result<Sheet, Failure> {
    read_in(text, Variant::default(), |_, changes| Machine::read(dryer, changes).map(Some))
}

fn read_in(
    text: &Text,
    variant: Variant,
    machine: impl FnOnce(&Section<'_>, &[Change]) -> Result<Option<Machine>, Failure>,
) -> Result<Sheet, Failure> {
    let mut bad_dryer = None;
    let mut found = None;
    let read = text.check(&LOAD, &variant.sheet, |sheet| {
        found = machine(sheet, &variant.dryer).unwrap_or_else(|failure| {
            bad_dryer = Some(failure);
            None
        });
        Read::of(sheet, found.as_ref().map(|machine| machine.dryer.clone()), &Found::new())
    });
    match (read, bad_dryer) {
        (Ok(read), None) => {
            let Read { mut load, found: foods, dishes, prices, periods } = read.made;
            let (dryer, of_dryer, learned) =
                found.map_or((None, Vec::new(), None), |m| (m.entries, m.given, m.learned));
            filled(&mut load, variant.fill);
            let known: BTreeSet<String> = of_dryer.iter().map(KeyPath::dotted).collect();
            let model = ModelSpread::of(&load, &known);
            let unknowns = Unknowns { sheet: read.given, dryer: of_dryer, model };
            let (text, entered, fill) = (text.clone(), load.clone(), variant.fill);
            let (entries, dryer) = (Arc::new(read.entries), dryer.map(Arc::new));
            let (taken, found) = (taken::meanings(&foods), Arc::new(foods));
            let mut sheet = Sheet {
                load,
                taken,
                dishes,
                prices,
                periods,
                text,
                learned,
                entered,
                entries,
                found,
                dryer,
                fill,
                unknowns,
            };
            if sheet.learned.is_some() {
                sheet.load = sheet.informed(&Point::given([]), Use::Best)?.0;
            }
            Ok(sheet)
        }
        (Err(sheet), None) => Err(Failure::BadFiles(vec![sheet])),
        (Err(sheet), Some(Failure::BadFiles(mut files))) if !sheet.problems.is_empty() => {
            files.insert(0, sheet);
            Err(Failure::BadFiles(files))
        }
        (_, Some(failure)) => Err(failure),
    }
}
