//! Grades of texture: published optima come out well, free solutions do not, no grade improves where it gets warmer, and
//! each is given to a fair share of random fruit.

use crate::common;

use icefront_core::decide::grade::Grade;
use icefront_core::food::{Composition, DryingClass, Food, FoodTable, Structure};
use icefront_core::load::{EndRule, Freezing, Tray};
use icefront_core::machine::Dryer;
use icefront_core::plan;
use icefront_core::ranges::Point;
use icefront_core::shape::{PieceForm, Shape};

fn food(name: &str) -> Food {
    FoodTable::embedded().unwrap().find(name).unwrap().food()
}

/// A fruit juice with 12 % of solids, nearly all sugar; invented.
fn juice() -> Food {
    let composition =
        Composition { water: 0.88, sugars: 0.11, carbohydrate: 0.11, ash: 0.01, ..Composition::default() };
    Food::new("fruit juice", "invented", composition, DryingClass::SyrupOrJuice)
}

fn slices(thickness_m: f64, width_m: f64) -> Shape {
    let form = PieceForm::Brick { length_m: width_m, width_m, height_m: thickness_m };
    Shape::Pieces { form, layers: 1, coverage: 0.75 }
}

/// A food on a plate at this temperature, at this pressure of vapour; `None` where the run is refused: two of the 2 000
/// trays below, thick slices whose surface the step cannot settle.
fn graded(food: &Food, shape: Shape, plate_c: f64, vapour_pa: f64) -> Option<Grade> {
    // as cold as jam must be to count as frozen
    let freezing = Freezing::Frozen { loaded_k: 228.15 };
    let tray = Tray { shape, freezing, ..common::layer(food.model().unwrap(), 0.01, 0.1) };
    let mut load = common::load(common::rig(plate_c, vapour_pa), vec![tray]);
    load.end = EndRule::WettestSpot { moisture_wet_frac: 0.05 };
    let Dryer::Prescribed(rig) = &mut load.dryer else { unreachable!() };
    rig.heated_above = true;
    Some(Grade::of(&plan(&load).ok()?.trays[0].flags))
}

/// Hammami, Rene and Marin 1999 (apple, 50 Pa, 55 degC) and Hammami and Rene 1997 (strawberry, 30 Pa, 50 degC): optima of
/// appearance and texture (`icefront_core::food::StructureLimit`). Thicknesses of slices are ours.
#[test]
fn published_optima_keep_their_texture_and_free_solutions_do_not() {
    for thickness_m in [0.005, 0.008, 0.010] {
        assert_eq!(
            graded(&food("apples, raw, without skin"), slices(thickness_m, 0.04), 55.0, 50.0),
            Some(Grade::Keeps)
        );
        assert_eq!(graded(&food("strawberries, raw"), slices(thickness_m, 0.03), 50.0, 30.0), Some(Grade::Keeps));
    }
    for free in [juice(), food("jams and preserves")] {
        for (plate_c, vapour_pa) in [(55.0, 50.0), (50.0, 30.0)] {
            let found = graded(&free, Shape::Layer { depth_m: 0.008 }, plate_c, vapour_pa);
            assert!(found >= Some(Grade::Shrinks), "{} at {plate_c} degC and {vapour_pa} Pa: {found:?}", free.name);
        }
    }
}

/// Fruit of the table: tissue with sugar in it.
fn fruit() -> Vec<Food> {
    let entries = FoodTable::embedded().unwrap().entries();
    let fruit = entries.filter(|entry| entry.class.id().contains("fruit") || entry.class.id().contains("berr"));
    let foods = fruit.map(|entry| entry.food()).filter(|food| food.model().is_ok_and(|m| m.curve.water_frac > 0.6));
    foods.filter(|food| food.class_defaults().structure == Structure::Tissue).collect()
}

/// Numbers of one random tray, each 0 to 1.
struct Any {
    point: Point,
    next: usize,
}

impl Any {
    fn tray(number: usize, seed: u32) -> Self {
        Self { point: Point::new(number, seed), next: 0 }
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.next += 1;
        low + (high - low) * self.point.unit(self.next - 1)
    }

    fn one_of<'f>(&mut self, foods: &'f [Food]) -> &'f Food {
        &foods[(self.between(0.0, foods.len() as f64) as usize).min(foods.len() - 1)]
    }
}

fn random_shape(any: &mut Any) -> Shape {
    let mut between = |low: f64, high: f64| any.between(low, high);
    let size_m = between(0.004, 0.020);
    let wide_m = size_m * between(1.0, 6.0);
    match (between(0.0, 3.0)) as usize {
        0 => slices(size_m, wide_m),
        1 => Shape::Pieces { form: PieceForm::Sphere { diameter_m: size_m }, layers: 1, coverage: 0.75 },
        _ => {
            let form = PieceForm::Brick { length_m: size_m, width_m: size_m, height_m: size_m };
            Shape::Pieces { form, layers: 1 + (between(0.0, 2.0) as usize), coverage: 0.75 }
        }
    }
}

/// Shares of keeps, softens and shrinks (or worse) over random fruit trays; plates and pressures as dryers have them.
fn shares(trays: usize) -> [f64; 3] {
    let (foods, mut counts, mut refused) = (fruit(), [0_usize; 3], 0);
    for number in 0..trays {
        let mut any = Any::tray(number, 20_261_201);
        let (food, shape) = (any.one_of(&foods), random_shape(&mut any));
        let (plate_c, vapour_pa) = (any.between(20.0, 65.0), 15.0 * 10f64.powf(any.between(0.0, 1.0)));
        match graded(food, shape, plate_c, vapour_pa) {
            Some(Grade::Keeps) => counts[0] += 1,
            Some(Grade::Softens) => counts[1] += 1,
            Some(_) => counts[2] += 1,
            None => refused += 1,
        }
    }
    assert!(refused <= trays / 500, "{refused} refused");
    counts.map(|count| count as f64 / trays as f64)
}

/// A grade that is given to nearly all fruit, or to hardly any, says nothing.
#[test]
fn each_grade_is_given_to_a_fair_share_of_2_000_random_fruit_trays() {
    let shares = shares(2_000);
    println!("keeps, softens, shrinks: {:.1?} %", shares.map(|share| 100.0 * share));
    assert!(shares.iter().all(|share| *share >= 0.05), "{shares:?}");
}

#[test]
fn no_grade_improves_on_a_warmer_plate_or_at_a_higher_pressure() {
    let foods = fruit();
    for number in 0..150 {
        let mut any = Any::tray(number, 7);
        let (food, shape) = (any.one_of(&foods), random_shape(&mut any));
        let (plate_c, vapour_pa) = (any.between(20.0, 60.0), 15.0 * 8f64.powf(any.between(0.0, 1.0)));
        let Some(here) = graded(food, shape, plate_c, vapour_pa) else { continue };
        // wet at the end is no grade of texture: at a higher pressure on a cool plate the vapour keeps it moist
        let worse = |found: Grade| found >= here || here == Grade::NeverDry;
        for (warmer_c, higher_pa) in [(10.0, 1.0), (0.0, 1.5)] {
            let Some(there) = graded(food, shape, plate_c + warmer_c, vapour_pa * higher_pa) else { continue };
            assert!(worse(there), "{shape:?} at {plate_c} degC, {vapour_pa} Pa: {here:?}, then {there:?}");
        }
    }
}
