//! A load sheet: text -> table with places -> checked [`Load`]. Everything wrong with it is told at once.

pub mod bounds;
pub mod change;
pub mod dish;
pub mod dryer;
pub mod embedded;
pub mod end;
pub mod expert;
pub mod foods;
pub mod freezing;
pub mod learned;
pub mod limits;
pub mod load;
pub mod machine;
pub mod money;
pub mod pack;
pub mod placement;
pub mod printable;
pub mod rig;
pub mod rough;
pub mod schema;
pub mod section;
pub mod text;
pub mod tray;
pub mod vary;

use std::collections::BTreeMap;
use std::path::Path;

use icefront_core::ModelError;
use icefront_core::load::Load;
use icefront_core::machine::Dryer;
use icefront_core::ranges::{ModelSpread, Point};
use icefront_core::tariff::Period;

use crate::failure::Failure;
use crate::storage::{Memory, Storage};
pub use change::Change;
pub use dish::Dish;
pub use embedded::APART;
use learned::{Known, Use};
use load::Read;
use machine::Machine;
pub use money::Price;
pub use rough::{Pick, Rough};
use schema::load::LOAD;
use section::Section;
pub use text::{Reading, Text};

/// A sheet to start from, with a remark for each line.
pub const TEMPLATE: &str = include_str!("new.toml");

/// The invented load that is planned when no sheet is named.
pub fn demonstration() -> Text {
    Text { path: "demonstration (invented)".into(), text: include_str!("../../data/loads/demonstration.toml").into() }
}

/// A sheet that was read and found right.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// What the model needs; rough quantities, and what was learned of the dryer, at the middle of their distributions.
    pub load: Load,
    /// Foods as the sheet calls them, and what the table calls them where that differs.
    pub taken: BTreeMap<String, String>,
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
    dryer: Option<Text>,
    variant: Variant,
    unknowns: Unknowns,
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

impl Variant {
    fn fill(&self, load: &mut Load) {
        if let Some(fill) = self.fill {
            load.trays.iter_mut().for_each(|tray| tray.shape = tray.shape.filled(fill));
        }
    }
}

/// Which number of a drawn point goes to which unknown.
#[derive(Clone, Debug)]
pub struct Unknowns {
    /// Places of rough quantities in the sheet.
    sheet: Vec<String>,
    /// Places of rough quantities in the dryer file.
    dryer: Vec<String>,
    /// The model's own; they follow.
    model: ModelSpread,
}

/// Gives the same unknown of all sheets the same number of a point.
pub fn share_unknowns(sheets: &mut [Sheet]) {
    let union = |of: fn(&Unknowns) -> &Vec<String>, sheets: &[Sheet]| {
        let mut all: Vec<String> = Vec::new();
        for place in sheets.iter().flat_map(|sheet| of(&sheet.unknowns)) {
            if !all.contains(place) {
                all.push(place.clone());
            }
        }
        all
    };
    let (sheet_places, dryer_places) = (union(|u| &u.sheet, sheets), union(|u| &u.dryer, sheets));
    let models: Vec<ModelSpread> = sheets.iter().map(|sheet| sheet.unknowns.model.clone()).collect();
    for sheet in sheets {
        sheet.unknowns.sheet.clone_from(&sheet_places);
        sheet.unknowns.dryer.clone_from(&dryer_places);
        models.iter().for_each(|other| sheet.unknowns.model.join(other));
    }
}

impl Sheet {
    /// Names of the sheet's own rough quantities, such as `tray 1, depth`: the first numbers of a point.
    pub fn own_names(&self) -> &[String] {
        &self.unknowns.sheet
    }

    /// Names of the unknowns of machine and foods, the numbers of a point that follow.
    pub fn shared_names(&self) -> Vec<String> {
        self.unknowns.dryer.iter().map(|place| dryer_key(place)).chain(self.unknowns.model.names()).collect()
    }

    /// Number of unknowns of a point.
    pub fn unknowns(&self) -> usize {
        let shared = self.shared_names();
        self.own_names().len() + shared.len() + self.learned.as_ref().map_or(0, |known| known.further(&shared))
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
            Some(known) => known.point(point, self.own_names().len(), &self.shared_names(), how),
            None => point.clone(),
        };
        let Unknowns { sheet, dryer, model } = &self.unknowns;
        let entered = sheet.is_empty() && dryer.is_empty();
        let (mut load, dishes) =
            if entered { (self.entered.clone(), self.dishes.clone()) } else { self.read_again(point)? };
        model.apply(&mut load, point, sheet.len() + dryer.len());
        Ok((load, dishes))
    }

    /// The load with the rough quantities of sheet and dryer file as a point has them, and its dishes.
    fn read_again(&self, point: &Point) -> Result<(Load, Vec<Dish>), ModelError> {
        let Unknowns { sheet: places, dryer: dryer_places, .. } = &self.unknowns;
        let drawn = match &self.dryer {
            Some(text) if !dryer_places.is_empty() => {
                let pick = Pick::At { point: point.clone(), first: places.len() };
                let reading = Reading { pick, numbering: dryer_places, changes: &self.variant.dryer };
                let file = dryer::read_text(text, &reading).map_err(|_| ModelError::Unfit)?;
                Some(Dryer::Cabinet(Box::new(file.cabinet)))
            }
            _ => None,
        };
        let pick = Pick::At { point: point.clone(), first: 0 };
        let reading = Reading { pick, numbering: places, changes: &self.variant.sheet };
        let read = self.text.check(&reading, |root| {
            let sheet = root.open(&LOAD)?;
            let machine = match (&self.entered.dryer, drawn) {
                (_, Some(drawn)) => Some(drawn),
                (Dryer::Prescribed(_), _) => {
                    Machine::named(&sheet, Path::new(""), &[], &Memory::default()).ok()?.map(|m| m.dryer)
                }
                (cabinet, None) => Some(cabinet.clone()),
            };
            Read::of(&sheet, machine)
        });
        let Read { mut load, dishes, .. } = read.map_err(|_| ModelError::Unfit)?.0;
        self.variant.fill(&mut load);
        Ok((load, dishes))
    }
}

/// `[contact], gap` -> `contact.gap`
fn dryer_key(place: &str) -> String {
    place.replace('[', "").replace("], ", ".")
}

/// Checks a sheet and the dryer file it may name.
pub fn read(text: &Text, files: &dyn Storage) -> Result<Sheet, Failure> {
    read_variant(text, Variant::default(), files)
}

/// Checks a sheet with other values in place of some of its own, and the dryer file it may name.
pub fn read_variant(text: &Text, variant: Variant, files: &dyn Storage) -> Result<Sheet, Failure> {
    read_in(text, variant, |sheet, changes| {
        Machine::named(sheet, text.path.parent().unwrap_or(Path::new("")), changes, files)
    })
}

/// Checks a sheet whose batch ran in this dryer, whatever dryer it names.
pub fn read_in_dryer(text: &Text, dryer: &Text) -> Result<Sheet, Failure> {
    read_in(text, Variant::default(), |_, changes| Machine::read(dryer.clone(), changes).map(Some))
}

fn read_in(
    text: &Text,
    variant: Variant,
    machine: impl FnOnce(&Section<'_>, &[Change]) -> Result<Option<Machine>, Failure>,
) -> Result<Sheet, Failure> {
    let mut bad_dryer = None;
    let mut found = None;
    let read = text.check(&Reading { changes: &variant.sheet, ..Reading::TYPICAL }, |root| {
        let sheet = root.open(&LOAD)?;
        let machine = machine(&sheet, &variant.dryer).unwrap_or_else(|failure| {
            bad_dryer = Some(failure);
            None
        });
        let in_dryer = machine.as_ref().map(|m| m.dryer.clone());
        found = machine;
        Read::of(&sheet, in_dryer)
    });
    match (read, bad_dryer) {
        (Ok((Read { mut load, taken, dishes, prices, periods }, rough)), None) => {
            let (dryer, rough_dryer, learned) =
                found.map_or((None, Vec::new(), None), |m| (m.text, m.rough, m.learned));
            variant.fill(&mut load);
            let model = ModelSpread::of(&load, &rough_dryer.iter().map(|place| dryer_key(place)).collect());
            let unknowns = Unknowns { sheet: rough, dryer: rough_dryer, model };
            let (text, entered) = (text.clone(), load.clone());
            let mut sheet =
                Sheet { load, taken, dishes, prices, periods, text, learned, entered, dryer, variant, unknowns };
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
