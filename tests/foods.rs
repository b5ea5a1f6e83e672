//! The food table, recipes, household measures and their errors, as a cook meets them.
//!
//! Data: `data/foods/` (USDA SR28). Expected masses stand in the source's own measures or follow from a formula.

#![allow(clippy::unwrap_used, clippy::panic)] // a test may

use icefront_core::food::{
    Composition, DryingClass, Fit, Food, FoodEntry, FoodError, FoodTable, MeasureKind, Structure, mix,
};
use proptest::{prelude::*, test_runner::RngSeed};

/// Rows of the source without fibre and without sugars, counted by another program.
const BLANK: (usize, usize) = (455, 1680);

const CUP_M3: f64 = 2.365_882_365e-4;

fn table() -> &'static FoodTable {
    FoodTable::embedded().unwrap()
}

fn find(asked: &str) -> &'static FoodEntry {
    table().find(asked).unwrap_or_else(|error| panic!("{asked}: {error}"))
}

#[track_caller]
fn close(got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "got {got}, expected {expected} within {tolerance}");
}

#[test]
fn households_find_their_food() {
    for (asked, description) in [
        ("strawberries", "Strawberries, raw"),
        ("Strawberry", "Strawberries, raw"),
        ("frozen strawberries", "Strawberries, frozen, unsweetened"),
        ("strawberries frozen", "Strawberries, frozen, unsweetened"),
        ("apple slices", "Apples, raw, with skin"),
        ("diced apples", "Apples, raw, with skin"),
        ("rice", "Rice, white, long-grain, regular, enriched, cooked"),
        ("rice cooked", "Rice, white, long-grain, regular, enriched, cooked"),
        ("cooked rice", "Rice, white, long-grain, regular, enriched, cooked"),
        ("brown rice", "Rice, brown, long-grain, cooked"),
        ("diced turkey", "Turkey, whole, meat only, cooked, roasted"),
        ("minced beef", "Beef, ground, unspecified fat content, cooked"),
        ("plain yogurt", "Yogurt, plain, whole milk, 8 grams protein per 8 ounce"),
        ("yoghurt", "Yogurt, plain, whole milk, 8 grams protein per 8 ounce"),
        ("mashed potatoes", "Potatoes, mashed, home-prepared, whole milk added"),
        ("kidney beans", "Beans, kidney, red, mature seeds, cooked, boiled, without salt"),
        ("green beans", "Beans, snap, green, raw"),
        ("spinach cooked", "Spinach, cooked, boiled, drained, without salt"),
        ("courgettes", "Squash, summer, zucchini, includes skin, raw"),
        ("scrambled eggs", "Egg, whole, cooked, scrambled"),
        ("beef stew", "Beef stew, canned entree"),
        ("mozzarella", "Cheese, mozzarella, whole milk"),
        ("kiwi", "Kiwifruit, green, raw"),
        ("water", "Water"),
    ] {
        assert_eq!(find(asked).description, description, "{asked}");
    }
}

#[test]
fn every_food_is_found_by_its_own_name_and_number() {
    for entry in table().entries() {
        assert_eq!(find(&entry.description).id, entry.id);
        assert_eq!(find(&entry.id).id, entry.id);
    }
}

#[test]
fn what_is_not_there_is_refused_with_the_nearest() {
    let nearest = |asked: &str| match table().find(asked) {
        Err(FoodError::UnknownFood { query: said, nearest }) => {
            assert_eq!(said, asked);
            nearest
        }
        other => panic!("{asked}: {other:?}"),
    };
    assert!(nearest("alligator stew").iter().any(|name| name.contains("stew")));
    assert_eq!(nearest("xyzzy"), Vec::<String>::new());
    assert_eq!(nearest(""), Vec::<String>::new());
    nearest("skin"); // in many names, but no food
    nearest("raw");
    nearest("soap"); // one letter from soup
}

#[test]
fn slips_of_the_pen_are_repaired_and_said() {
    for (asked, read_as, id) in [
        ("strawbery", "strawberry", "09316"),
        ("beaf stew", "beef stew", "22905"),
        ("brocoli", "broccoli", "11090"),
        ("icecream", "ice cream", "19095"),
        ("butter nut squash", "butternut squash", "11485"),
    ] {
        let found = table().look_up(asked).unwrap();
        assert_eq!((found.read_as.as_deref(), found.entry.id.as_str()), (Some(read_as), id), "{asked}");
    }
    assert_eq!(table().look_up("strawberries").unwrap().read_as, None);
}

#[test]
fn words_that_fit_several_foods_say_so() {
    let goose = table().look_up("goose").unwrap();
    assert!(goose.raw_or_cooked && !goose.sure && goose.choices.len() > 1);
    let cooked = table().look_up("goose cooked").unwrap();
    assert!(!cooked.raw_or_cooked && cooked.entry.state == "cooked");
    let beef = table().look_up("ground beef raw").unwrap();
    assert!(beef.sure && beef.like.len() > 2, "lean shares differ");
    assert!(beef.like.iter().all(|entry| entry.raw));
}

#[test]
fn a_listing_is_ranked_and_wider() {
    let names =
        |asked: &str| -> Vec<&str> { table().listing(asked, 60).0.iter().map(|e| e.description.as_str()).collect() };
    assert_eq!(names("blueberries")[0], "Blueberries, raw");
    assert!(names("chicken").len() == 60 && table().listing("chicken", 60).1 > 100);
    assert!(names("xyzzy").is_empty());
}

#[test]
fn the_table_is_whole() {
    let entries: Vec<&FoodEntry> = table().entries().collect();
    assert_eq!(entries.len(), 6554 + 3); // those of the source, corned beef hash, water, salt
    for entry in &entries {
        let checked = entry.composition.check().unwrap_or_else(|e| panic!("{}: {e}", entry.description));
        close(checked.sum(), 1.0, 1e-12);
        assert!(checked.sugars <= checked.carbohydrate && checked.salt <= checked.ash);
    }
    // blank in the source: each filled and marked
    let filled = |which| entries.iter().filter(|entry| entry.filled.contains(&which)).count();
    assert_eq!((filled("fibre"), filled("sugars")), BLANK);
}

#[test]
fn a_row_becomes_a_composition() {
    // USDA SR28 09316, per 100 g: water 90.95, protein 0.67, fat 0.30, carbohydrate 7.68 of which fibre 2.0 and sugars
    // 4.89, ash 0.40; the sum is 100.00
    let c = find("strawberries").composition;
    close(c.water, 0.9095, 1e-6);
    close(c.carbohydrate, 0.0568, 1e-6);
    close(c.fibre, 0.02, 1e-6);
    close(c.sugars, 0.0489, 1e-6);
    // 11457 spinach: sodium 79 mg is 0.2008 g of salt
    close(find("spinach").composition.salt, 0.002_008, 1e-6);
    // 09083 black currants: fibre and sugars blank, filled with what raw fruit has of its carbohydrate
    let currants = find("black currants");
    assert_eq!(currants.filled, ["fibre", "sugars"]);
    assert!((0.09..0.13).contains(&currants.composition.sugars), "{:?}", currants.composition);
    assert!((0.01..0.05).contains(&currants.composition.fibre));
}

#[test]
fn kinds_of_food_dry_alike() {
    use DryingClass::*;
    for (asked, class) in [
        ("apple", CutFruit),
        ("raspberries", CutFruit),
        ("blueberries", SkinBerry),
        ("grapes", SkinBerry),
        ("carrots", Vegetable),
        ("basil", Vegetable),
        ("potatoes", Starchy),
        ("rice", Starchy),
        ("lentils", Starchy),
        ("chicken breast", LeanMeatOrFish),
        ("salmon", LeanMeatOrFish),
        ("ground beef", MinceOrStew),
        ("beef stew", MinceOrStew),
        ("chili", MinceOrStew),
        ("tofu", MinceOrStew),
        ("milk", DairyOrEgg),
        ("egg", DairyOrEgg),
        ("vegetable broth", Extract),
        ("honey", SyrupOrJuice),
        ("barbecue sauce", SyrupOrJuice),
    ] {
        assert_eq!(find(asked).class, class, "{asked}");
    }
    assert_eq!(find("butter").fit, Fit::Poor);
    assert_eq!(find("avocado").fit, Fit::WithCare);
}

#[test]
fn every_food_gives_a_sound_model_or_says_why_not() {
    let mut without_ice = 0;
    for entry in table().entries() {
        match entry.food().model() {
            Ok(model) => {
                let (name, dried) = (&entry.description, &model.dried);
                assert!((150.0..1500.0).contains(&model.density_kg_per_m3), "{name}: {}", model.density_kg_per_m3);
                assert!((0.05..0.62).contains(&model.conductivity_unfrozen_w_per_m_k), "{name}");
                assert!((233.15..=273.15).contains(&model.curve.freezing_point_k), "{name}");
                assert!(model.curve.unfreezable_frac < model.water_frac(), "{name}");
                // pure fat has hardly any ice to leave pores
                let wet = model.water_frac() > 0.05 && entry.composition.fat < 0.8;
                assert!(!wet || (1e-10..6e-8).contains(&dried.permeability_kg_per_m_s_pa), "{name}");
                assert!((1000.0..2300.0).contains(&dried.heat_capacity_j_per_kg_k), "{name}");
                assert!(
                    !entry.is_dried() || model.water_frac() > 0.3 || entry.composition.fat > 0.5,
                    "{name} is dried and would freeze"
                );
            }
            Err(FoodError::NothingFreezes { water_frac, unfreezable_frac, .. }) => {
                assert!(water_frac <= unfreezable_frac && water_frac < 0.25, "{}", entry.description);
                without_ice += 1;
            }
            Err(FoodError::FreezesTooCold { .. }) => assert!(entry.composition.water < 0.4, "{}", entry.description),
            Err(FoodError::NothingToDry { .. }) => assert!(entry.composition.water > 0.999, "{}", entry.description),
            Err(other) => panic!("{}: {other}", entry.description),
        }
    }
    assert!(without_ice > 40, "{without_ice}"); // dried references, nuts, fats, sugars
}

/// Blueberries in their skin carry the resistance that their class says, fat holds vapour back, sugar lowers collapse.
#[test]
fn models_follow_class_fat_and_sugar() {
    let model = |asked: &str| find(asked).food().model().unwrap();
    assert_eq!(model("blueberries").dried.skin_resistance_m2_s_pa_per_kg, 4e6);
    assert_eq!(model("raspberries").dried.skin_resistance_m2_s_pa_per_kg, 0.0);
    let lean = model("ground beef");
    let fatty = find("ground beef").food().with_fat(0.30).unwrap().model().unwrap();
    let ratio = fatty.dried.permeability_kg_per_m_s_pa / lean.dried.permeability_kg_per_m_s_pa;
    // coated pores, and fewer of them: fat takes the place of water
    assert!(ratio < (-1.4 * (fatty.fat_per_dry - lean.fat_per_dry)).exp(), "{ratio}");
    assert!(model("fruit yogurt").limit.collapse_k < model("plain yogurt").limit.collapse_k - 5.0);
    assert_eq!(model("plain yogurt").limit.kind, Structure::Gel);
    assert_eq!(model("carrots").limit.kind, Structure::Tissue);
    // 0.4 kg per kg protein (Schwartzberg 1976)
    let chicken = find("chicken breast").food();
    close(chicken.model().unwrap().curve.unfreezable_frac, 0.4 * chicken.composition.protein, 1e-12);
    // bands are in order
    for class in DryingClass::ALL {
        let d = class.defaults(&chicken.composition);
        for band in [d.permeability_kg_per_m_s_pa, d.conductivity_vacuum_w_per_m_k, d.collapse_c] {
            assert!(band.low < band.typical && band.typical < band.high, "{class:?}");
        }
    }
}

#[test]
fn own_numbers_replace_the_table() {
    let apple = find("apple").food();
    let drier = apple.with_water(0.80).unwrap().composition;
    close(drier.water, 0.80, 1e-12);
    close(drier.sum(), 1.0, 1e-12);
    close(drier.sugars / drier.dry(), apple.composition.sugars / apple.composition.dry(), 1e-12);
    let fatter = apple.with_fat(0.1).unwrap().composition;
    close(fatter.fat, 0.1, 1e-12);
    close(fatter.sum(), 1.0, 1e-12);
    close(fatter.water / fatter.protein, apple.composition.water / apple.composition.protein, 1e-9);
    for wrong in [-0.1, 1.0, f64::NAN] {
        assert!(matches!(apple.with_water(wrong), Err(FoodError::Fraction { which: "water", .. })));
    }
    let airy = find("rice").food().with_bulk_density(700.0).unwrap().model().unwrap();
    close(airy.density_kg_per_m3, 700.0, 1e-9);
    assert!(matches!(find("rice").food().with_bulk_density(5000.0), Err(FoodError::Fraction { .. })));
    let mut measured = find("apple").food();
    measured.freezing_point_k = Some(271.5);
    close(measured.model().unwrap().curve.freezing_point_k, 271.5, 0.0);
}

#[test]
fn compositions_are_checked() {
    let good = Composition { water: 0.8, protein: 0.1, fat: 0.05, carbohydrate: 0.04, ash: 0.02, ..Default::default() };
    close(good.check().unwrap().sum(), 1.0, 1e-12); // 1.01 is rounding
    let sum = Composition { water: 0.9, ..good }.check();
    assert!(matches!(sum, Err(FoodError::Sum { sum, .. }) if (sum - 1.11).abs() < 1e-9), "{sum:?}");
    let negative = Composition { fat: -0.01, ..good }.check();
    assert_eq!(negative, Err(FoodError::Fraction { which: "fat", value: -0.01 }));
    let sugars = Composition { sugars: 0.2, ..good }.check();
    assert!(matches!(sugars, Err(FoodError::PartOfWhole { part: "sugars", whole: "carbohydrate", .. })));
    let salt = Composition { salt: 0.2, ..good }.check();
    assert!(matches!(salt, Err(FoodError::PartOfWhole { part: "salt", whole: "ash", .. })));
    let nan = Composition { ash: f64::NAN, ..good }.check();
    assert!(matches!(nan, Err(FoodError::Fraction { which: "ash", .. })));
}

#[test]
fn a_recipe_is_its_parts() {
    let part = |asked: &str, mass_kg: f64| (find(asked).food(), mass_kg);
    let parts = [
        part("ground beef", 0.5),
        part("kidney beans", 0.4),
        part("tomatoes", 0.8),
        part("water", 0.3),
        part("salt", 0.01),
    ];
    let stew = mix("bean stew", &parts).unwrap();
    let total: f64 = parts.iter().map(|(_, mass_kg)| mass_kg).sum();
    for of in [|c: &Composition| c.water, |c: &Composition| c.fat, |c: &Composition| c.salt, |c: &Composition| c.fibre]
    {
        let by_hand: f64 = parts.iter().map(|(food, mass_kg)| of(&food.composition) * mass_kg).sum();
        close(of(&stew.composition), by_hand / total, 1e-12);
    }
    assert_eq!(stew.class, DryingClass::MinceOrStew);
    assert_eq!(stew.name, "bean stew");
    assert!(stew.model().unwrap().curve.freezing_point_k < 272.6); // salted

    // neither water nor oil has a vote, and a recipe of one food is that food
    let soaked = mix("soaked rice", &[part("rice", 0.3), part("water", 0.7), part("olive oil", 0.2)]).unwrap();
    assert_eq!(soaked.class, DryingClass::Starchy);
    let only = mix("apple", &[part("apple", 2.0)]).unwrap();
    close(only.porosity, find("apple").porosity, 1e-12);
    close(only.composition.water, find("apple").composition.water, 1e-12);
    // air by volume: half and half of an airy and a dense food of like density
    let half = mix("half", &[part("apple", 0.5), part("pear", 0.5)]).unwrap();
    assert!(half.porosity > 0.09 && half.porosity < 0.13, "{}", half.porosity);

    assert!(matches!(mix("nothing", &[]), Err(FoodError::RecipeMass { .. })));
    for wrong in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(mix("wrong", &[part("apple", wrong)]), Err(FoodError::RecipeMass { .. })));
    }
}

#[test]
fn household_measures() {
    let grams =
        |asked: &str, volume_m3: f64, form: &str| table().mass_of_volume(find(asked), volume_m3, form).unwrap() * 1e3;
    // USDA SR28 WEIGHT: apple 125 g a cup quartered or chopped, 109 g sliced; banana 225 g mashed, 150 g sliced
    close(grams("apple", CUP_M3, "slices"), 109.0, 0.1);
    close(grams("apple", CUP_M3, "sliced"), 109.0, 0.1);
    close(grams("apple", CUP_M3, "chopped"), 125.0, 0.1);
    close(grams("apple", CUP_M3, ""), 125.0, 0.1);
    close(grams("banana", 2.0 * CUP_M3, "mashed"), 450.0, 0.3);
    close(grams("rice", CUP_M3, ""), 158.0, 0.1);
    close(grams("milk", CUP_M3, ""), 244.0, 0.1);
    // medium apple 182 g, large 223 g
    let pieces = |asked: &str, n: f64, words: &str| table().mass_of_pieces(find(asked), n, words).unwrap() * 1e3;
    close(pieces("apple", 3.0, ""), 546.0, 0.1);
    close(pieces("apple", 1.0, "large"), 223.0, 0.1);

    match table().mass_of_volume(find("apple"), CUP_M3, "grated") {
        Err(FoodError::UnknownMeasure { query: asked, known, .. }) => {
            assert_eq!(asked, "grated");
            assert!(known.contains(&"cup slices".to_owned()));
        }
        other => panic!("{other:?}"),
    }
    assert!(matches!(table().mass_of_volume(find("salt"), CUP_M3, ""), Err(FoodError::UnknownMeasure { .. })));
    assert!(matches!(table().mass_of_pieces(find("apple"), 1.0, "wedge"), Err(FoodError::UnknownMeasure { .. })));
}

/// Liquids fill a cup without air, so the cup's mass checks the density that follows from the composition.
#[test]
fn cups_of_liquid_agree_with_the_mixture_density() {
    for asked in ["milk", "plain yogurt", "buttermilk", "egg", "honey", "cream"] {
        let entry = find(asked);
        let water = Food::new("x", "", entry.composition, entry.class);
        let solid = icefront_core::food::Mixture::unfrozen(&water.composition).density_kg_per_m3(283.15);
        let cup = table().bulk_density_kg_per_m3(entry, "").unwrap();
        assert!((cup / solid - 1.0).abs() < 0.025, "{asked}: cup {cup}, composition {solid}");
    }
}

#[test]
fn all_measures_can_be_read() {
    let mut volumes = 0;
    let mut pieces = 0;
    for entry in table().entries() {
        for measure in entry.measures().unwrap() {
            assert!(measure.mass_kg > 0.0 && !measure.words.is_empty());
            match measure.kind {
                MeasureKind::Volume { volume_m3, .. } => {
                    volumes += 1;
                    assert!((1e-6..2e-3).contains(&volume_m3), "{}: {}", entry.description, measure.words);
                }
                MeasureKind::Pieces { count } => {
                    pieces += 1;
                    assert!(count > 0.0);
                }
            }
        }
    }
    assert!(volumes > 3000 && pieces > 8000, "{volumes} {pieces}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, rng_seed: RngSeed::Fixed(1), failure_persistence: None, ..ProptestConfig::default() })]

    /// Any composition that passes the check gives a model or an error, and a model's numbers are finite.
    #[test]
    fn any_composition_is_modelled_or_refused(
        parts in prop::array::uniform6(0.0..1.0_f64), sugar_share in 0.0..1.0_f64, class in 0..9_usize,
    ) {
        let sum: f64 = parts.iter().sum();
        let [water, protein, fat, carbohydrate, fibre, ash] = parts.map(|part| part / sum);
        let sugars = sugar_share * carbohydrate;
        let composition = Composition { water, protein, fat, carbohydrate, fibre, ash, sugars, salt: 0.5 * ash };
        if let Ok(model) = Food::new("any", "test", composition, DryingClass::ALL[class]).model() {
            prop_assert!(model.density_kg_per_m3.is_finite() && model.curve.freezing_point_k > 233.0);
            prop_assert!(model.conductivity_frozen_w_per_m_k > 0.0 && model.dried.permeability_kg_per_m_s_pa > 0.0);
            prop_assert!(model.curve.unfrozen_per_dry(250.0).is_finite());
        }
    }

    /// Any words find a food or an error.
    #[test]
    fn any_words_are_answered(asked in "\\PC{0,20}") {
        if let Err(error) = table().find(&asked) {
            let refused = matches!(error, FoodError::UnknownFood { .. });
            prop_assert!(refused, "{error}");
        }
        prop_assert!(table().listing(&asked, 60).0.len() <= 60);
    }
}
