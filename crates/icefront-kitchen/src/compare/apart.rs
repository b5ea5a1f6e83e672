//! What taking embedded pieces apart gains in keeping: fatty pieces no longer hurry the food between them.

use icefront_core::aftercare::{Fattiness, Keeping, eat_first_s};
use icefront_core::constants::ZERO_CELSIUS_K;
use icefront_core::food::FoodModel;
use icefront_core::units::Duration;
use serde::Serialize;

use crate::blocks::{Column, Table};
use crate::compare::loads::Question;
use crate::sheet::APART;

/// Shelf at which packs are taken to stand, K: warmer than this they keep shorter.
const SHELF_K: f64 = ZERO_CELSIUS_K + 20.0;
/// Days in a month.
const MONTH: f64 = 365.25 / 12.0;

/// A tray whose pieces may go apart.
#[derive(Clone, Debug, Serialize)]
pub struct Kept<'a> {
    /// Its name.
    pub tray: &'a str,
    /// The pieces.
    pub pieces: &'a str,
    /// All of it together.
    pub together: Fate,
    /// The food without the pieces.
    pub rest_apart: Fate,
    /// The pieces alone.
    pub pieces_apart: Fate,
}

/// How fatty a dried food is, and when it is to be eaten first.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Fate {
    /// Fat over dry matter.
    pub fat_per_dry: f64,
    /// Months after which it is to be eaten first, sealed without oxygen.
    pub eat_first_months: f64,
}

impl Fate {
    /// Of a food sealed without oxygen at 20 degC.
    fn of(model: &FoodModel) -> Self {
        let keeping = Keeping { fat: Fattiness::of(model.fat_per_dry), without_oxygen: true, shelf_k: SHELF_K };
        let months = Duration::from_seconds(eat_first_s(&keeping)).days() / MONTH;
        Self { fat_per_dry: model.fat_per_dry, eat_first_months: months }
    }

    fn row(&self, tray: &str, what: String) -> Vec<String> {
        let months = format!("{:.0}", self.eat_first_months);
        vec![tray.to_string(), what, format!("{:.0} %", 100.0 * self.fat_per_dry), months]
    }
}

/// Each tray with embedded pieces where a load takes them apart; none otherwise.
pub fn kept(question: &Question) -> Vec<Kept<'_>> {
    let apart = question.loads.iter().any(|named| named.values.iter().any(|(key, _)| key == APART));
    let trays = question.loads.first().filter(|_| apart).map_or(&[][..], |named| &named.sheet.load.trays);
    let each = trays.iter().filter_map(|tray| {
        let (rest, pieces) = tray.apart()?;
        Some(Kept {
            tray: &tray.name,
            pieces: &tray.embedded.as_ref()?.food,
            together: Fate::of(&tray.mean_model()),
            rest_apart: Fate::of(&rest.model),
            pieces_apart: Fate::of(&pieces.model),
        })
    });
    each.collect()
}

/// The same as a table.
pub fn table(question: &Question) -> Option<Table> {
    let kept = kept(question);
    let rows: Vec<_> = kept
        .iter()
        .flat_map(|k| {
            [
                k.together.row(k.tray, "together".into()),
                k.rest_apart.row(k.tray, "apart, the rest".into()),
                k.pieces_apart.row(k.tray, format!("apart, {}", k.pieces)),
            ]
        })
        .collect();
    (!rows.is_empty()).then(|| {
        let words = [Column::words("tray", 16), Column::words("", 26)];
        let numbers = ["fat of the dry", "best within, months"].map(Column::number);
        Table::new("keeping", [words, numbers].concat(), rows)
            .about(format!(", sealed without oxygen at {}", question.units().temperature(SHELF_K)))
            .note("An order for eating, not a storage life and no guarantee.")
    })
}
