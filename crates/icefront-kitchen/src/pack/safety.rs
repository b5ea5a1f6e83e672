//! Food safety where packs are made, labelled and opened. Sources: `data/aftercare/README.md`.

use icefront_core::aftercare::Fattiness;

use crate::blocks::List;
use crate::format;
use crate::pack::packing::{FoodPacks, Packing};

/// A cheap hour is not worth a spoilt load.
pub const TIMER: &str = "If a timer starts the machine later, do not let the food wait warm. Load it frozen, or keep \
                         it cold until then.";

/// What holds for every batch.
const ALWAYS: &str = include_str!("always.txt");

/// What this batch calls for, most pressing first.
fn of(packing: &Packing) -> Vec<String> {
    let named = |that: fn(&FoodPacks) -> bool, words: &str| {
        let names: Vec<&str> = packing.foods.iter().filter(|f| that(f)).map(|f| f.food.as_str()).collect();
        (!names.is_empty()).then(|| format!("{}: {words}", names.join(", ")))
    };
    let wet = packing.foods.iter().filter(|f| !f.dry_enough).map(|f| {
        format!(
            "{} is NOT dry enough to pack: its wettest spot would hold {} water (activity {:.2}). Dry it on; keep it \
             frozen or cold until then.",
            f.food,
            format::percent_1(f.wettest_wet_frac),
            f.wettest_activity
        )
    });
    let raw = "raw meat, fish, egg or flour stays raw. Mark the packs and keep them apart from food that is ready to \
               eat. Cook them through once the water is back. Trays dried with them count as raw too.";
    let fatty =
        "fatty. It turns rancid even without oxygen. Keep it cool and dark, eat it first, and smell it before use.";
    let of_foods = [
        named(|f| f.raw, raw),
        named(|f| f.poor, "this food does not freeze-dry well (too much fat or sugar)."),
        named(|f| f.keeping.fat == Fattiness::Fatty, fatty),
    ];
    let mut list: Vec<String> = wet.chain(of_foods.into_iter().flatten()).collect();
    let leaky = packing.foods.iter().find(|f| !f.oxygen.kept_out);
    list.extend(leaky.map(|_| {
        "This wall lets in more oxygen in a year than the closed pack held, so an absorber is soon used up. Use \
         glass, metal or foil for what you want to keep."
            .to_string()
    }));
    list.push(
        "Once wet, it is fresh food again. Eat it at once or chill it. If you soak it for more than an hour, do it in \
         the refrigerator."
            .into(),
    );
    list
}

/// The cautions of a batch.
pub fn mind(packing: &Packing) -> List {
    List { label: "cautions", items: of(packing).into_iter().chain(ALWAYS.lines().map(String::from)).collect() }
}

/// What holds for a shelf of packs.
pub fn pantry() -> List {
    List::of_lines("cautions", include_str!("pantry.txt"))
}
