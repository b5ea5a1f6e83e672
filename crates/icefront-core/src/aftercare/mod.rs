//! After the run: portions, water to add back, oxygen in a pack, water taken up on the bench, what to eat first.
//!
//! ```text
//! Dried (fresh, dry matter, water left) -> Packs -> Pack filled (gas, oxygen, absorber) -> what to eat first
//!                                               \-> water to add and time to soak
//! ```
//! Plain numbers in, plain numbers out. Nothing here says how long a food keeps or that it is safe.

mod absorber;
mod household;
mod keeping;
mod moisture_pickup;
mod nutrition;
mod portion;
mod rehydration;

pub use absorber::{
    ABSORBER_MARGIN, FilledPack, Wall, air_pressure_pa, oxygen_left_frac, oxygen_volume_m3, pouch_area_m2,
};
pub use household::{Cups, rounded_to_scale};
pub use keeping::{Fattiness, Keeping, eat_first_s};
pub use moisture_pickup::{Bench, SEALABLE_ACTIVITY, SEALABLE_WET_FRAC, pickup_time_s};
pub use nutrition::energy_j_per_kg;
pub use portion::{Dried, PackRule, Packs};
pub use rehydration::{Soak, recovery, soak};
