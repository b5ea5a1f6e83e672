//! Load sheets.

use icefront_core::machine::MOST_UNEVEN;

use super::Value::{self, Amount, Flag, Food, List, Text, Version, Whole, Words};
use super::dryer::{CONTACT, SET_POINT};
use super::expert::EXPERT;
use super::{Key, Table, area, celsius, hours, length, number, of, pressure, share};
use crate::quantity::{self, Kind, Limit};

const LAYER: &[&str] = &["layer"];
const PIECES: &[&str] = &["spheres", "sticks", "cubes", "slices", "bricks"];
const UNFROZEN: &[&str] = &["in machine", "freezer", "outdoors"];
const FREEZER: &[&str] = &["freezer"];
const OUTDOORS: &[&str] = &["outdoors"];
const COLD_PLACE: &[&str] = &["freezer", "outdoors"];
const PIECE: Value = length(0.002, 0.060, "2 mm to 60 mm");
const PIECE_LENGTH: Value = length(0.002, 0.300, "2 mm to 300 mm");
const PART: Value = of(quantity::SHARE);
const SERVINGS: Value = number(0.1, 10_000.0, "0.1 to 10000");
const PRICE: Value = number(0.0, 1000.0, "0 to 1000 per kWh");
const MONEY: Value = number(0.0, 1e6, "0 to 1000000");
const COLD_AIR: Value = celsius(-70.0, 5.0, "-70 °C to 5 °C");
const TIME: Value = hours(0.1, 240.0, "0.1 h to 240 h");
const SHELF: Value = celsius(-60.0, 120.0, "-60 °C to 120 °C");
const VAPOUR: Value = pressure(0.0, 600.0, "0 Pa to 600 Pa");
const AIR: Value = pressure(0.0, 2000.0, "0 Pa to 2000 Pa");

/// The top of a sheet.
#[rustfmt::skip]
pub static LOAD: Table = Table::new(&[
    Key::new("icefront", Version, "the version of this format").required("1"),
    Key::new("dryer", Text("a name listed by `icefront dryers`, or the path of a dryer file ending in `.toml`, relative to the sheet"), "").or("required, unless there is a `[rig]`", "0.60 m2").label("Dryer"),
    Key::new("rig", Value::Table(&RIG), "drying conditions instead of a dryer").or("none", ""),
    Key::new("room", celsius(-20.0, 45.0, "-20 °C to 45 °C"), "a warm room costs time and power").usual("20 °C").label("Room temperature"),
    Key::new("shelf", SET_POINT, "what the shelves are heated to in this batch: one temperature, or a programme").or("that of the dryer", "40 °C").label("Shelf temperature"),
    Key::new("servings", SERVINGS, "to get the cost of each").or("no cost per serving", "").label("Servings"),
    Key::new("units", Words(&[("metric", "metric"), ("us", "US customary")]), "in which you read the answer; the sheet itself may use any").usual("metric").label("Units of the answer"),
    Key::new("dates", Words(&[("day first", "3/4 is in April"), ("month first", "3/4 is in March")]), "how you write dates with slashes in a readings file").or("a date that could be two days is refused", ""),
    Key::new("can_pause", Flag, "a run may be paused to open the door and weigh a tray").or("as the dryer's file says", ""),
    Key::new("end", Value::Table(&END), "what ends the run").or("`wettest spot` at 3 %", ""),
    Key::new("tariff", Value::Table(&TARIFF), "price of electricity").or("no cost", ""),
    Key::new("before_loading", Value::Table(&BEFORE_LOADING), "how the food is frozen").or("`in machine` at 5 °C; in a rig `already frozen` at -18 °C", ""),
    Key::new("tray", List(&TRAY), "from the bottom of the cabinet to its top").or("at least one", ""),
    Key::new("food", Value::Table(&FOODS), "foods of your own: `[food.\"my name\"]`").or("none", ""),
    Key::new("recipe", Value::Table(&RECIPES), "`[recipe.\"my name\"]`").or("none", ""),
    Key::new("recipes", Text("the path of a file with `[recipe.x]` and `[food.x]`, relative to the sheet"), "recipes that several sheets share").or("none", ""),
    Key::new("pack", Value::Table(&PACK), "for `pack`, `labels`, `store`, `bill`").or("see its keys", ""),
    Key::new("price", Value::Table(&PRICES), "`[price.\"my name\"]`, for `bill`").or("the ingredients' cost is not known", ""),
]);

/// `[[tray]]`
#[rustfmt::skip]
pub static TRAY: Table = Table::by("shape", &[
    Key::new("name", Text("any"), "").or("`tray 1`, `tray 2`, ...", ""),
    Key::new("food", Food, "").or("required, or `recipe`", "apples, raw").instead_of(&["recipe"]).label("Food"),
    Key::new("recipe", Text("a `[recipe.x]` of this sheet"), "").or("required, or `food`", "").instead_of(&["food"]),
    Key::new("fat", share(0.0, 0.90, "0 % to 90 %"), "of this tray's food; its other parts keep their proportions").or("as the food or recipe has it", "").label("Fat"),
    Key::new("shape", Words(&[("layer", "layer"), ("spheres", "balls or berries"), ("sticks", "sticks"), ("cubes", "cubes"), ("slices", "slices"), ("bricks", "bricks")]), "its shape on the tray").required("").label("Shape"),
    Key::new("depth", of(quantity::DEPTH), "").or("follows from `amount`", "12 mm").with(LAYER).instead_of(&["filled_to", "amount"]).label("Depth"),
    Key::new("size", PIECE, "diameter").required("12 mm").with(&["spheres"]).label("Diameter"),
    Key::new("size", PIECE, "edge").required("10 mm").with(&["cubes"]).label("Edge"),
    Key::new("thickness", PIECE, "").required("10 mm").with(&["sticks"]).label("Thickness"),
    Key::new("thickness", PIECE, "").required("6 mm").with(&["slices"]).label("Thickness"),
    Key::new("length", PIECE_LENGTH, "").required("50 mm").with(&["sticks", "bricks"]).label("Length"),
    Key::new("width", PIECE_LENGTH, "across").required("50 mm").with(&["slices"]).label("Width across"),
    Key::new("width", PIECE_LENGTH, "").required("30 mm").with(&["bricks"]).label("Width"),
    Key::new("height", PIECE, "lying on the tray").required("10 mm").with(&["bricks"]).label("Height on the tray"),
    Key::new("amount", Amount, "by weight or cups").or("follows from the geometry", "").instead_of(&["depth", "filled_to", "layers", "coverage"]).label("Amount").folded(),
    Key::new("filled_to", of(quantity::DEPTH), "height of the food: for a layer the same as `depth`, for pieces \
                                                instead of `layers`").or("follows from the rest", "").instead_of(&["depth", "layers", "amount"]),
    Key::new("layers", Whole(1, 20), "").or("follows from `amount`, else 1", "").with(PIECES).instead_of(&["filled_to", "amount"]).label("Layers of pieces").folded(),
    Key::new("coverage", share(0.01, 1.0, "1 % to 100 %"), "share of the tray that one layer covers").or("follows from `amount`, else 75 %", "75 %").with(PIECES).instead_of(&["amount"]).label("Share of the tray covered").folded(),
    Key::new("embedded", Value::Table(&EMBEDDED), "pieces of another food in the layer: `{ food = \"pork, ground\", size = \"15 mm\", share = \"30 %\" }`").or("none", "").with(LAYER).label("Pieces of another food in it").folded(),
    Key::new("cut", length(0.005, 0.5, "5 mm to 500 mm"), "edge of the square portions that a layer is cut into before it dries, down to the tray").or("not cut", "").with(LAYER).label("Cut into squares of").folded(),
    Key::new("cut_width", length(1e-4, 0.02, "0.1 mm to 20 mm"), "at most a tenth of `cut`").usual("1 mm").with(LAYER).label("Width of a cut").folded(),
    Key::new("area", area(0.001, 2.0, "0.001 m2 to 2 m2"), "floor of the tray").or("one shelf of the dryer; required in a rig", ""),
    Key::new("lined", Flag, "paper or mat under the food").usual("false").switches(|tray, lined| tray.lined = lined).label("Paper or mat under the food").folded(),
    Key::new("uneven_contact", share(0.0, MOST_UNEVEN, "0 % to 95 %"), "how much less heat from below the worst part \
                                                                        of the tray gets than the whole tray on \
                                                                        average; 0 %: the same everywhere").or("as `contact.uneven` of the dryer", "20 %"),
    Key::new("before_loading", Value::Table(&BEFORE_LOADING), "").or("that of the sheet", "").label("Freezing"),
    Key::new("expert", Value::Table(&EXPERT), "").or("none", ""),
    Key::new("dried", of(quantity::AMOUNT), "weight of the dried food, once weighed, less than went on the tray: replaces the computed one").or("computed", ""),
    Key::new("pack", Value::Table(&PACK), "").or("that of the sheet", ""),
]);

/// Pieces of another food in a layer.
#[rustfmt::skip]
static EMBEDDED: Table = Table::new(&[
    Key::new("food", Food, "such as meat in a stew").required("pork, ground").label("Pieces of another food in it"),
    Key::new("size", PIECE, "edge of a cube").required("15 mm").label("Edge of such a piece"),
    Key::new("share", share(0.01, 0.90, "1 % to 90 %"), "by volume").required("30 %").label("Share of the layer"),
    Key::new("apart", Flag, "the pieces go on a tray of their own").usual("false"),
]);

/// `[before_loading]`, of the sheet and of a tray.
#[rustfmt::skip]
pub static BEFORE_LOADING: Table = Table::by("method", &[
    Key::new("method", Words(&[("in machine", "in the machine"), ("already frozen", "already frozen"), ("freezer", "in a freezer"), ("outdoors", "outdoors")]), "how the food is frozen").required("").label("Freezing"),
    Key::new("temperature", celsius(-60.0, 95.0, "-60 °C to 95 °C"), "of the food when it is loaded or set out").usual("5 °C").with(UNFROZEN).label("Food when it goes in"),
    Key::new("temperature", celsius(-70.0, -5.0, "-70 °C to -5 °C"), "of the food when it is loaded").usual("-18 °C").with(&["already frozen"]).label("Frozen food is at"),
    Key::new("air", COLD_AIR, "").usual("-18 °C").with(FREEZER).label("Air there"),
    Key::new("air", COLD_AIR, "").required("-10 °C").with(OUTDOORS).label("Air there"),
    Key::new("wind", of(quantity::WIND), "").usual("0 m/s").with(OUTDOORS).label("Wind"),
    Key::new("wind", of(quantity::WIND), "of a fan").usual("0 m/s").with(FREEZER),
    Key::new("time", TIME, "").required("14 h").with(COLD_PLACE).label("Time there"),
]);

/// `[end]`
#[rustfmt::skip]
pub static END: Table = Table::by("rule", &[
    Key::new("rule", Words(&[("wettest spot", ""), ("fixed time", ""), ("temperatures meet", ""), ("weight constant", "")]), "what ends the run").required(""),
    Key::new("moisture", share(0.005, 0.20, "0.5 % to 20 %"), "the run ends when no spot holds more water than this, by weight").required("3 %").with(&["wettest spot"]).label("Target moisture"),
    Key::new("time", TIME, "from the start of the pump").required("20 h").with(&["fixed time"]),
    Key::new("difference", of(Limit::new(Kind::Difference, 0.1, 20.0, "0.1 K to 20 K")), "food and shelf, on every tray").required("2 K").with(&["temperatures meet"]),
    Key::new("loss", of(Limit::new(Kind::Mass, 0.0001, 1.0, "0.1 g to 1 kg")), "the whole load loses less").required("5 g").with(&["weight constant"]),
    Key::new("over", hours(1.0 / 12.0, 24.0, "5 min to 24 h"), "in this time").required("2 h").with(&["weight constant"]),
]);

/// `[tariff]`
#[rustfmt::skip]
pub static TARIFF: Table = Table::new(&[
    Key::new("price_per_kwh", PRICE, "outside the periods").required("0.25").label("Price of 1 kWh"),
    Key::new("currency", Text("any"), "such as EUR").or("amounts stand without one", "EUR").label("Currency"),
    Key::new("period", List(&PERIOD), "the same every day; where two overlap, the first counts").or("one price all day", ""),
]);

/// `[[tariff.period]]`
#[rustfmt::skip]
static PERIOD: Table = Table::new(&[
    Key::new("from", Text("clock"), "").required("22:00"),
    Key::new("until", Text("clock"), "over midnight too").required("06:00"),
    Key::new("price_per_kwh", PRICE, "").required("0.15"),
]);

/// `[pack]`, of the sheet and of a tray.
#[rustfmt::skip]
pub static PACK: Table = Table::new(&[
    Key::new("servings", SERVINGS, "in one pack").or("1, unless `size` or `container` alone is given", ""),
    Key::new("serving", of(quantity::AMOUNT), "as it went on the tray and will be eaten").or("the load over the sheet's `servings`, else 300 g", ""),
    Key::new("size", of(quantity::AMOUNT), "most dried food in one pack, instead of `servings` and `serving`").or("not limited", ""),
    Key::new("container", of(quantity::CONTAINER), "volume of one closed pack").or("a quarter more than the food fills; given alone, it is filled to nine tenths", ""),
    Key::new("wall", Words(&[("glass", ""), ("metal", ""), ("foil", ""), ("metallised", ""), ("nylon", ""), ("polyethylene", "")]), "what a pack is made of").usual("glass"),
    Key::new("absorber", of(Limit::new(Kind::Volume, 0.0, 0.005, "0 mL to 5 L")), "oxygen that one absorber at hand takes up; `\"0 ml\"`: none are used").or("the size needed is computed", ""),
    Key::new("price", MONEY, "one empty pack").or("not counted", ""),
    Key::new("absorber_price", MONEY, "one absorber").or("not counted", ""),
    Key::new("allergens", Text("any"), "printed as it is").or("those that the food table knows", ""),
    Key::new("humidity", share(0.05, 0.95, "5 % to 95 %"), "relative humidity of the kitchen").usual("50 %"),
    Key::new("altitude", length(0.0, 5000.0, "0 m to 5000 m"), "height above the sea").usual("0 m"),
    Key::new("shelf", of(quantity::PACK_SHELF), "where the packs are kept").usual("20 °C"),
]);

static PRICES: Table = Table::named(&Key::new("", Value::Table(&PRICE_OF), "an ingredient or a food of this load"));

/// `[price.x]`
#[rustfmt::skip]
static PRICE_OF: Table = Table::new(&[
    Key::new("paid", MONEY, "for one purchase").required("1.29"),
    Key::new("gives", Amount, "what one purchase gives, as the recipe counts it: 500 g of dry beans may give `\"1.2 kg\"` cooked").required("1 kg"),
]);

static FOODS: Table = Table::named(&Key::new("", Value::Table(&FOOD_OF), "a food of your own"));

/// `[food.x]`
#[rustfmt::skip]
pub static FOOD_OF: Table = Table::new(&[
    Key::new("like", Text("a food of the table"), "the food of the table it is most like").required("beef, ground"),
    Key::new("water", share(0.05, 0.98, "5 % to 98 %"), "").or("as `like`", ""),
    Key::new("protein", PART, "").or("as `like`", ""),
    Key::new("fat", PART, "").or("as `like`", "").label("Fat"),
    Key::new("carbohydrate", PART, "without fibre").or("as `like`", ""),
    Key::new("fibre", PART, "").or("as `like`", ""),
    Key::new("ash", PART, "").or("as `like`", ""),
    Key::new("sugars", PART, "a part of `carbohydrate`").or("as `like`", ""),
    Key::new("salt", PART, "a part of `ash`").or("as `like`", ""),
    Key::new("freezing_point", celsius(-20.0, 0.0, "-20 °C to 0 °C"), "where it begins to freeze").or("from the composition", ""),
    Key::new("air", share(0.0, 0.90, "0 % to 90 %"), "of the volume").or("as `like`", ""),
]);

static RECIPES: Table = Table::named(&Key::new("", Value::Table(&RECIPE_OF), "a recipe"));

/// `[recipe.x]`: ingredients by name.
#[rustfmt::skip]
static RECIPE_OF: Table = Table::with_names(&[
    Key::new("cooked_weight", Amount, "what all of it weighs once it is cooked: the rest boiled off").or("nothing boils off", ""),
    Key::new("simmered_down", share(0.0, 0.90, "0 % to 90 %"), "instead: the share of its weight that boiled off").or("nothing boils off", ""),
], &Key::new("", Amount, "an ingredient, as it goes into the recipe"));

/// `[rig]`
#[rustfmt::skip]
pub static RIG: Table = Table::new(&[
    Key::new("shelf", SHELF, "").or("required, unless there are points", "30 °C"),
    Key::new("vapour_pressure", VAPOUR, "pressure of water vapour").or("required, unless there are points", "40 Pa"),
    Key::new("air_pressure", AIR, "pressure of air, in addition").usual("0 Pa"),
    Key::new("heated_below", Flag, "the trays are on shelves at that temperature; otherwise they face the \
                                    surroundings from below").usual("true"),
    Key::new("heated_above", Flag, "something at shelf temperature faces the food from above; otherwise the surroundings do").usual("false"),
    Key::new("surroundings", SHELF, "what a side that is not heated faces").or("as warm as the room", ""),
    Key::new("point", List(&POINT), "linear between the points, constant after the last").or("none", ""),
    Key::new("contact", Value::Table(&CONTACT), "as in a dryer file").or("a thin household tray", ""),
]);

/// `[[rig.point]]`
#[rustfmt::skip]
static POINT: Table = Table::new(&[
    Key::new("time", hours(0.0, 1000.0, "0 h to 1000 h"), "later than the point before").required("2 h"),
    Key::new("shelf", SHELF, "").required("30 °C"),
    Key::new("vapour_pressure", VAPOUR, "pressure of water vapour").required("40 Pa"),
    Key::new("air_pressure", AIR, "pressure of air, in addition").usual("0 Pa"),
]);
