//! Food safety where packs are made, labelled and opened. Sources: `data/aftercare/README.md`.

use icefront_core::aftercare::Fattiness;

use crate::blocks::List;
use crate::format;
use crate::pack::packing::{FoodPacks, Packing};

/// How to tell that food is dry.
const CHECK_DRYNESS: &str = "Before sealing, break or cut the thickest pieces of every tray: no cold, no soft, no dark or \
    sticky core, and no more loss of weight in another hour of drying. The wettest piece counts, not the mean.";

/// A cheap hour is not worth a spoilt load.
pub const TIMER: &str = "A timer that starts the machine at a cheap hour must not leave food waiting warm: load it frozen, or \
    keep it cold until then.";

/// What holds for every batch.
fn always() -> [&'static str; 5] {
    [
        "Freeze-drying does not kill germs: it is how laboratories keep them alive. Cook meat, poultry, fish and egg before \
         drying or before eating (university extension services).",
        CHECK_DRYNESS,
        "A pack without oxygen is safe only when its food is truly dry: the germ of botulism needs no air. Extension texts \
         draw the line at 10 % water for such packs, and nothing grows below a water activity of 0.60.",
        "Never freeze-dry to save food that was left out, and not honey, jam, syrup, butter or pure fat: they do not dry. \
         Butter, nut paste, chocolate and oily sauces turn rancid.",
        "No storage life is promised here. Your local food-safety rules and your extension service or food authority come \
         first.",
    ]
}

/// What this batch calls for, most pressing first.
fn of(packing: &Packing) -> Vec<String> {
    let named = |that: fn(&FoodPacks) -> bool| {
        let names: Vec<&str> = packing.foods.iter().filter(|f| that(f)).map(|f| f.food.as_str()).collect();
        (!names.is_empty()).then(|| names.join(", "))
    };
    let mut list = Vec::new();
    let wet = packing.foods.iter().filter(|f| !f.dry_enough);
    list.extend(wet.map(|f| {
        format!(
            "{} is NOT dry enough to pack: its wettest spot would hold {} water (activity {:.2}). Dry it on; keep it \
             frozen or cold until then.",
            f.food,
            format::percent_1(f.wettest_wet_frac),
            f.wettest_activity
        )
    }));
    list.extend(named(|f| f.raw).map(|names| {
        format!(
            "{names}: raw meat, fish or egg stays raw. Mark the packs, keep them apart from food that is ready to eat, and \
             cook them through once the water is back. Trays dried together with them count as raw too."
        )
    }));
    list.extend(
        named(|f| f.poor).map(|names| {
            format!("{names}: the food table calls this unfit for freeze-drying (too much fat or sugar).")
        }),
    );
    list.extend(named(|f| f.keeping.fat == Fattiness::Fatty).map(|names| {
        format!("{names}: fatty. It turns rancid even without oxygen; keep it cool and dark, eat it first, and smell it before use.")
    }));
    list.extend(named(|f| f.allergens.is_none()).map(|names| {
        format!("{names}: no allergens were entered; `allergens` in [pack] or [tray.pack] puts them on the label.")
    }));
    let leaky = packing.foods.iter().find(|f| !f.oxygen.kept_out);
    list.extend(leaky.map(|_| {
        "This wall lets in more oxygen in a year than the pack held when it was closed: an absorber is soon used up. Take \
         glass, metal or foil for what is to be kept."
            .to_string()
    }));
    list.push(
        "Once wet it is fresh food again: eat it at once or chill it, and soak for longer than an hour only in the \
         refrigerator."
            .into(),
    );
    list
}

/// The cautions of a batch.
pub fn mind(packing: &Packing) -> List {
    List { label: "mind", items: of(packing).into_iter().chain(always().map(String::from)).collect() }
}

/// What holds for a shelf of packs.
pub fn pantry() -> List {
    let items = [
        "The order is by fat, oxygen and the warmth of the shelf. It is no storage life: nobody has measured how long \
         home freeze-dried meals keep, and real keeping differs by a factor of three either way.",
        "Throw away without tasting: a pack that swells, a lid that is no longer tight, food that is soft, sticky, damp or \
         smells of old oil. When in doubt, throw it out.",
        "Raw stays raw. Once wet, food is fresh again: eat it at once or chill it. Local food-safety rules come first.",
    ];
    List { label: "mind", items: items.map(String::from).to_vec() }
}
