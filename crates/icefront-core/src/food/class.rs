//! What the dried matrix of a kind of food is like: typical numbers with the band they come from.
//!
//! Few of these were measured on the food at hand. Each states its source; a stage that draws from the band takes
//! [`Band::low`] and [`Band::high`] as about the 10 and 90 % points.

use serde::{Deserialize, Serialize};

use super::{Composition, Gab, Structure};

/// Kinds of food that dry alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DryingClass {
    /// Fruit, peeled or cut, and berries without a tight skin.
    CutFruit,
    /// Berries in a whole, waxy skin.
    SkinBerry,
    /// Vegetables, herbs and mushrooms.
    Vegetable,
    /// Meat or fish in pieces.
    LeanMeatOrFish,
    /// Minced meat, stews, soups and sauces with bits in.
    MinceOrStew,
    /// Rice, pasta, potato, pulses.
    Starchy,
    /// Milk, yogurt, cheese, egg.
    DairyOrEgg,
    /// Thin extracts and clear broth.
    Extract,
    /// Jam, syrup, juice, sweet puree.
    SyrupOrJuice,
}

impl DryingClass {
    /// All classes.
    pub const ALL: [Self; 9] = [
        Self::CutFruit,
        Self::SkinBerry,
        Self::Vegetable,
        Self::LeanMeatOrFish,
        Self::MinceOrStew,
        Self::Starchy,
        Self::DairyOrEgg,
        Self::Extract,
        Self::SyrupOrJuice,
    ];

    /// Short name without blanks, as in files.
    pub fn id(self) -> &'static str {
        match self {
            Self::CutFruit => "cut-fruit",
            Self::SkinBerry => "skin-berry",
            Self::Vegetable => "vegetable",
            Self::LeanMeatOrFish => "lean-meat-or-fish",
            Self::MinceOrStew => "mince-or-stew",
            Self::Starchy => "starchy",
            Self::DairyOrEgg => "dairy-or-egg",
            Self::Extract => "extract",
            Self::SyrupOrJuice => "syrup-or-juice",
        }
    }

    /// The class of a short name.
    pub(super) fn of_id(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|class| class.id() == id)
    }

    /// Name in words.
    pub fn name(self) -> &'static str {
        match self {
            Self::CutFruit => "cut fruit",
            Self::SkinBerry => "berries in their skin",
            Self::Vegetable => "vegetable",
            Self::LeanMeatOrFish => "meat or fish",
            Self::MinceOrStew => "mince or stew",
            Self::Starchy => "starchy",
            Self::DairyOrEgg => "dairy or egg",
            Self::Extract => "extract or broth",
            Self::SyrupOrJuice => "syrup, jam or juice",
        }
    }
}

/// A number nobody measured on this very food.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Band {
    /// About one in ten is lower.
    pub low: f64,
    /// Used where one number is needed.
    pub typical: f64,
    /// About one in ten is higher.
    pub high: f64,
}

impl Band {
    /// From its three numbers.
    pub const fn new(low: f64, typical: f64, high: f64) -> Self {
        Self { low, typical, high }
    }

    /// All three times a factor.
    pub fn times(self, factor: f64) -> Self {
        Self { low: self.low * factor, typical: self.typical * factor, high: self.high * factor }
    }
}

/// Bands of one food's numbers; foods of one class share what is not known.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct FoodSpread {
    /// Class.
    pub class: DryingClass,
    /// Permeability without fat, kg/(m s Pa).
    pub permeability: Band,
    /// Conductivity of the dried matrix at zero pressure, W/(m K).
    pub conductivity: Band,
    /// Water that never freezes, kg per kg of food.
    pub unfreezable: Band,
    /// Resistance of the skin, m2 s Pa/kg.
    pub skin: Band,
    /// Desorption rate at 40 degC, 1/s.
    pub desorption: Band,
    /// Front temperature up to which the structure stays intact, degC.
    pub collapse_c: Band,
}

/// What holds the water that never freezes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Unfreezable {
    /// kg per kg of dry matter without fat.
    PerFatFreeDry(Band),
    /// kg per kg of protein.
    PerProtein(Band),
}

impl Unfreezable {
    /// Water that never freezes, kg per kg of food.
    pub fn per_food(&self, composition: &Composition) -> Band {
        match self {
            Self::PerFatFreeDry(band) => band.times(composition.fat_free_dry()),
            Self::PerProtein(band) => band.times(composition.protein),
        }
    }
}

/// Numbers of a class.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClassDefaults {
    /// Share of the dried food that is pores in a usual food of the class; permeability and conductivity are stated for it.
    pub pores: f64,
    /// Permeability without fat at 50 Pa, -20 degC, kg/(m s Pa).
    pub permeability_kg_per_m_s_pa: Band,
    /// Conductivity of the dried matrix at zero pressure, W/(m K).
    pub conductivity_vacuum_w_per_m_k: Band,
    /// Water that never freezes.
    pub unfreezable: Unfreezable,
    /// Front temperature up to which the structure stays intact, degC.
    pub collapse_c: Band,
    /// What carries the structure.
    pub structure: Structure,
    /// Resistance of the skin, m2 s Pa/kg.
    pub skin_resistance_m2_s_pa_per_kg: Band,
    /// Isotherm at about 40 degC.
    pub isotherm: Gab,
    /// Desorption rate at 40 degC below [`LOOSE_WATER_PER_DRY`], 1/s.
    pub desorption_rate_40c_per_s: Band,
}

const NO_SKIN: Band = Band::new(0.0, 0.0, 0.0);

/// Skin of whole blueberries: 17 h against 13 h perforated (Munzenmayer et al. 2020, doi:10.3390/foods9020211). Set so that
/// this model's own ratio comes near theirs: a tenth of it hardly slows the berry, since the front warms up until the
/// heat passes. Shelf temperature and pressure of the paper are not known; the band is a factor of two to either side.
///
/// The wax itself passes next to nothing: 0.96 to 3.4 g/(m2 s MPa) for fresh blueberries (Chau et al. 1987, as ASHRAE
/// Refrigeration, skin mass transfer coefficients; quoted from memory), or 3e8 to 1e9 m2 s Pa/kg, would take weeks. The
/// vapour finds the stem scar: to a disk of radius `a` in the face of a body of permeability `K`, `1/(4 a K)` per berry, or
/// `A_0/(4 a K)` per surface. A scar of 1.8 mm (from memory) on a berry of 13 mm gives 6e6.
const BERRY_SKIN: Band = Band::new(2e6, 4e6, 8e6);

/// Apple, desorption, at 40 degC. Source: fit to 28 points of Kaymak-Ertekin and Gedik 2004, Maroulis et al. 1988 and
/// Mbarek and Mihoubi 2019 (0.005 kg/kg rms), measured at 30 to 60 degC.
const APPLE: Gab = Gab { monolayer_per_dry: 0.0694, c: 3.70, k: 0.990 };
/// Potato at 40 degC. Source: Singh 1996 from Kiranoudis et al. 1993, 30 to 60 degC.
const POTATO: Gab = Gab { monolayer_per_dry: 0.0955, c: 36.9, k: 0.660 };
/// Pasta at 40 degC. Source: Waananen 1989, 40 to 90 degC, water activity 0.025 to 0.9.
const PASTA: Gab = Gab { monolayer_per_dry: 0.0609, c: 29.2, k: 0.869 };
/// Sardine, freeze-dried. Monolayer: Drying Technology 19 (2001) 673, 25 to 50 degC; C and K from memory.
const FISH: Gab = Gab { monolayer_per_dry: 0.0494, c: 12.0, k: 0.85 };
/// Milk and egg powders, from memory.
const MILK: Gab = Gab { monolayer_per_dry: 0.05, c: 10.0, k: 0.95 };

/// Fruit slices at 40 degC and 3 to 5 Pa dry on by diffusion with 1e-9 m2/s (Reale et al. 2023, Int. J. Food Stud. 12, a7):
/// the first mode `pi^2 D/(4 L^2)` for a dried depth L of 4, 3 and 2 mm is 1.5e-4, 2.7e-4 and 6e-4; set on their times to 4 %.
const FRUIT_DESORPTION: Band = Band::new(2e-4, 4e-4, 8e-4);
/// Set on mushrooms (Pei et al. 2014: 38.7 to 4.2 % in 3 h at 40 degC) and carrots (Litvin et al. 1998: 40 % left with the ice,
/// dry 6 h later at 30 degC), both on trays of uneven contact.
const VEGETABLE_DESORPTION: Band = Band::new(2e-4, 4e-4, 8e-4);
/// Coffee extract of 12.5 mm gives 40 % of its 14 to 18 h to desorption (food-technology encyclopedia): 0.4 to 0.03 kg/kg in
/// some 6 h. The band is a factor of two to either side (`from memory`).
const SOLUTION_DESORPTION: Band = Band::new(0.5e-4, 1e-4, 2e-4);
/// No published value: about the geometric mean of the others, between their least and greatest typical value.
const OTHER_DESORPTION: Band = Band::new(1e-4, 3e-4, 8e-4);

/// Meat: beef sticks of 13 mm lost their last ice at about 4 % water by dry weight (Pilsworth, Segars and Hoge 1972,
/// AD0769592), where a rate of 2e-4 left 31 to 39 %: four times that. The band is a factor of two to either side
/// (`from memory`).
const MEAT_DESORPTION: Band = Band::new(4e-4, 8e-4, 16e-4);

/// Cell walls hold vapour up: sliced apple passes less than a quarter of what mashed apple does (Araki et al. 1998, 2001,
/// abstracts), and mash is taken to be like a solution of its porosity. The band is from memory.
const TISSUE_PERMEABILITY: Band = Band::new(0.5e-8, 1.4e-8, 4e-8);

/// Fruit: kiwi holds 0.186 unfreezable (Moraga et al. 2006) and melts from -41 degC; all else from memory.
const CUT_FRUIT: ClassDefaults = ClassDefaults {
    pores: 0.82,
    permeability_kg_per_m_s_pa: TISSUE_PERMEABILITY,
    conductivity_vacuum_w_per_m_k: Band::new(0.015, 0.033, 0.05),
    unfreezable: Unfreezable::PerFatFreeDry(Band::new(0.18, 0.23, 0.30)),
    collapse_c: Band::new(-41.0, -36.5, -32.0),
    structure: Structure::Tissue,
    skin_resistance_m2_s_pa_per_kg: NO_SKIN,
    isotherm: APPLE,
    desorption_rate_40c_per_s: FRUIT_DESORPTION,
};
const SKIN_BERRY: ClassDefaults = ClassDefaults { skin_resistance_m2_s_pa_per_kg: BERRY_SKIN, ..CUT_FRUIT };
/// Vegetables: collapse between carrot (-48.4 degC, LWT 84 (2017) 780) and potato (-1.5 degC); all else from memory.
const VEGETABLE: ClassDefaults = ClassDefaults {
    pores: 0.87,
    permeability_kg_per_m_s_pa: TISSUE_PERMEABILITY,
    conductivity_vacuum_w_per_m_k: Band::new(0.015, 0.036, 0.055),
    unfreezable: Unfreezable::PerFatFreeDry(Band::new(0.2, 0.27, 0.35)),
    collapse_c: Band::new(-48.0, -25.0, -1.5),
    isotherm: POTATO,
    desorption_rate_40c_per_s: VEGETABLE_DESORPTION,
    ..CUT_FRUIT
};
/// Meat and fish: unfreezable 0.4 per protein (Schwartzberg 1976, as ASHRAE Refrigeration eq. 3); all else from memory.
/// The permeability lies between across (1.5e-8) and along (3e-8) the fibre.
const LEAN_MEAT_OR_FISH: ClassDefaults = ClassDefaults {
    pores: 0.70,
    permeability_kg_per_m_s_pa: Band::new(0.7e-8, 1.5e-8, 4e-8),
    conductivity_vacuum_w_per_m_k: Band::new(0.035, 0.045, 0.06),
    unfreezable: Unfreezable::PerProtein(Band::new(0.3, 0.4, 0.5)),
    collapse_c: Band::new(-20.0, -12.0, -5.0),
    isotherm: FISH,
    desorption_rate_40c_per_s: MEAT_DESORPTION,
    ..CUT_FRUIT
};
/// Mince and stews: from memory.
const MINCE_OR_STEW: ClassDefaults = ClassDefaults {
    pores: 0.72,
    permeability_kg_per_m_s_pa: Band::new(0.8e-8, 1.8e-8, 4e-8),
    conductivity_vacuum_w_per_m_k: Band::new(0.03, 0.042, 0.055),
    unfreezable: Unfreezable::PerFatFreeDry(Band::new(0.2, 0.3, 0.4)),
    collapse_c: Band::new(-25.0, -15.0, -6.0),
    isotherm: POTATO,
    desorption_rate_40c_per_s: OTHER_DESORPTION,
    ..CUT_FRUIT
};
/// Starchy food: collapse up to potato (-1.5 degC, food-technology encyclopedia); all else from memory.
const STARCHY: ClassDefaults = ClassDefaults {
    pores: 0.65,
    permeability_kg_per_m_s_pa: Band::new(0.7e-8, 1.5e-8, 3e-8),
    conductivity_vacuum_w_per_m_k: Band::new(0.035, 0.042, 0.055),
    unfreezable: Unfreezable::PerFatFreeDry(Band::new(0.22, 0.3, 0.38)),
    collapse_c: Band::new(-12.0, -6.0, -1.5),
    isotherm: PASTA,
    desorption_rate_40c_per_s: OTHER_DESORPTION,
    ..CUT_FRUIT
};
/// Milk and egg: from memory (0.64 unfreezable stands for skim milk in the freeze-drying literature).
const DAIRY_OR_EGG: ClassDefaults = ClassDefaults {
    pores: 0.82,
    permeability_kg_per_m_s_pa: Band::new(0.5e-8, 1.2e-8, 2.5e-8),
    conductivity_vacuum_w_per_m_k: Band::new(0.028, 0.035, 0.045),
    unfreezable: Unfreezable::PerFatFreeDry(Band::new(0.25, 0.35, 0.64)),
    collapse_c: Band::new(-32.0, -25.0, -15.0),
    structure: Structure::Gel,
    isotherm: MILK,
    desorption_rate_40c_per_s: OTHER_DESORPTION,
    ..CUT_FRUIT
};
/// Dairy with sugar added (ice cream, fruit yogurt, pudding): the sugar sets the collapse, from memory.
const SWEETENED_DAIRY: ClassDefaults = ClassDefaults { collapse_c: Band::new(-40.0, -35.0, -30.0), ..DAIRY_OR_EGG };
/// Extract: permeability, conductivity (at 13 Pa) and collapse of coffee extract (food-technology encyclopedia worked
/// example); unfreezable water and the bands (a factor of two for the permeability) from memory.
const EXTRACT: ClassDefaults = ClassDefaults {
    pores: 0.70,
    permeability_kg_per_m_s_pa: Band::new(1.3e-8, 2.6e-8, 5.2e-8),
    conductivity_vacuum_w_per_m_k: Band::new(0.03, 0.035, 0.04),
    unfreezable: Unfreezable::PerFatFreeDry(Band::new(0.2, 0.25, 0.3)),
    collapse_c: Band::new(-27.0, -23.0, -19.0),
    structure: Structure::Solution,
    isotherm: APPLE,
    desorption_rate_40c_per_s: SOLUTION_DESORPTION,
    ..CUT_FRUIT
};
/// Syrups: collapse from Concord grape juice (-46 degC, food-technology encyclopedia) upwards; all else from memory.
const SYRUP_OR_JUICE: ClassDefaults = ClassDefaults {
    pores: 0.70,
    permeability_kg_per_m_s_pa: Band::new(1e-8, 2.6e-8, 6e-8),
    conductivity_vacuum_w_per_m_k: Band::new(0.025, 0.03, 0.04),
    unfreezable: Unfreezable::PerFatFreeDry(Band::new(0.2, 0.25, 0.3)),
    collapse_c: Band::new(-46.0, -40.5, -35.0),
    structure: Structure::Solution,
    isotherm: APPLE,
    desorption_rate_40c_per_s: SOLUTION_DESORPTION,
    ..CUT_FRUIT
};

/// Sugars over fat-free dry matter above which dairy counts as sweetened: milk and plain yogurt stay below (0.6).
const SWEETENED_ABOVE: f64 = 0.65;

impl DryingClass {
    /// Numbers of the class for a food of this composition.
    pub fn defaults(self, composition: &Composition) -> &'static ClassDefaults {
        match self {
            Self::CutFruit => &CUT_FRUIT,
            Self::SkinBerry => &SKIN_BERRY,
            Self::Vegetable => &VEGETABLE,
            Self::LeanMeatOrFish => &LEAN_MEAT_OR_FISH,
            Self::MinceOrStew => &MINCE_OR_STEW,
            Self::Starchy => &STARCHY,
            Self::DairyOrEgg if composition.sugars > SWEETENED_ABOVE * composition.fat_free_dry() => &SWEETENED_DAIRY,
            Self::DairyOrEgg => &DAIRY_OR_EGG,
            Self::Extract => &EXTRACT,
            Self::SyrupOrJuice => &SYRUP_OR_JUICE,
        }
    }
}

/// Activation energy of desorption, J/mol, from memory.
pub const DESORPTION_ACTIVATION_J_PER_MOL: Band = Band::new(30e3, 45e3, 60e3);
/// Water content from which water is held loosely, kg/kg dry: about three monolayers, from memory.
pub const LOOSE_WATER_PER_DRY: f64 = 0.25;
/// Exponent of the rate above that content, from memory.
pub const LOOSE_WATER_EXPONENT: f64 = 1.1;
/// Heat of desorption, J/kg: latent heat of water at 40 degC (2.41 MJ/kg) and a net 0.2 to 1.0 MJ/kg below 0.1 kg/kg
/// (furcellaran, Heliyon 8 (2022) e11056); the mean over the dry-down from memory.
pub const HEAT_OF_DESORPTION_J_PER_KG: Band = Band::new(2.5e6, 2.75e6, 3.2e6);
/// Factor on permeability is exp(-this x fat share of the dry matter): 0.5 at half fat, from memory.
pub const FAT_ON_PERMEABILITY: Band = Band::new(0.2, 1.4, 2.8);
/// Share of the permeability that is free-molecular at 50 Pa: kinetic formula for pores of 100 um; pore size from memory.
pub const KNUDSEN_SHARE: Band = Band::new(0.8, 0.9, 0.95);
/// What gas adds to the conductivity at high pressure, W/(m K), from memory.
pub const CONDUCTIVITY_GAS_W_PER_M_K: f64 = 0.014;
/// Pressure at which half of that is reached, Pa: 150 Pa for pores of 100 um, double at 50, half at 200 um. Form of the
/// rarefied-gap formula; pore size from memory.
pub const CONDUCTIVITY_HALF_PRESSURE_PA: Band = Band::new(75.0, 150.0, 300.0);
/// Emissivity of dried food, from memory.
pub const EMISSIVITY: Band = Band::new(0.85, 0.9, 0.95);
