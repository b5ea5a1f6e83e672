//! Layout of the drying state: one flat vector of extensive quantities, with names.

/// Depths at which held water is counted, per front.
pub const DEPTHS: usize = 10;

/// Numbers kept per front.
pub const BODY: usize = 8 + DEPTHS;
/// Dry matter the front has passed, kg.
pub const PASSED: usize = 0;
/// Ice sublimed, kg.
pub const SUBLIMED: usize = 1;
/// Heat of the frozen part and half of the dried part, J.
pub const HEAT_FRONT: usize = 2;
/// Heat of the other half of the dried part, J.
pub const HEAT_TOP: usize = 3;
/// Temperature of the front, K.
pub const FRONT: usize = 4;
/// Temperature of the dried surface, K.
pub const TOP: usize = 5;
/// Pace of the front in the last step: dry matter, kg/s.
pub const PACE: usize = 6;
/// Ice sublimed in the last step, kg/s.
pub const VAPOUR: usize = 7;
/// Held water by depth, kg.
pub const HELD: usize = 8;

/// Numbers kept for the machine, after the bodies and the shelves.
pub const MACHINE: usize = 13;
/// Condenser metal, K.
pub const WALL: usize = 0;
/// Ice on the condenser, kg.
pub const ICE: usize = 1;
/// Vapour deposited per second, kg/s.
pub const DEPOSIT_RATE: usize = 2;
/// Water through the pump, kg.
pub const PUMPED: usize = 3;
/// Electric energy of the compressor, J.
pub const COMPRESSOR: usize = 4;
/// Electric energy of the heaters (in a rig: heat from the shelves), J.
pub const HEATERS: usize = 5;
/// Heat taken by the refrigerant, J.
pub const COOLED: usize = 6;
/// Heat leaked in from the room, J.
pub const LEAKED: usize = 7;
/// Heat spent on vapour in the food, J.
pub const SPENT: usize = 8;
/// Heat of frozen food handed to the dried part, less what that part counts, J.
pub const HANDED: usize = 9;
/// Heat set free on the condenser, J.
pub const DEPOSITED: usize = 10;
/// Time with heaters held back by pressure, s.
pub const LIMITED: usize = 11;
/// Vapour pressure in the chamber, Pa.
pub const PRESSURE: usize = 12;

/// Share of an element's dry matter ahead of its front below which it holds no ice any more.
const NO_ICE_FRAC: f64 = 1e-6;

/// Whether an element with this much dry matter still holds ice.
pub fn has_ice(element: &[f64], dry_kg: f64) -> bool {
    element[PASSED] < dry_kg * (1.0 - NO_ICE_FRAC)
}

/// Where things are in the vector.
#[derive(Clone, Copy, Debug)]
pub struct Layout {
    /// Fronts.
    pub bodies: usize,
    /// Shelves.
    pub shelves: usize,
}

impl Layout {
    /// Length of the vector.
    pub fn length(&self) -> usize {
        self.machine() + MACHINE
    }

    /// First number of a front.
    pub fn body(&self, index: usize) -> usize {
        index * BODY
    }

    /// Temperature of a shelf.
    pub fn shelf(&self, index: usize) -> usize {
        self.bodies * BODY + index
    }

    /// First number of the machine.
    pub fn machine(&self) -> usize {
        self.bodies * BODY + self.shelves
    }
}
