//! `icefront bill` as a value: ingredients, electricity by the hour, packs; and the same bill for other ways to run.

pub mod account;
pub mod text;

pub use account::{Bill, FoodBill, Ingredient, Question, Unfit, Way, WayKind, bill, check};
pub use text::bill as text;
